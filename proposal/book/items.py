"""How readers find the items of an option: designation and title of every key, with words where there is no title."""

from proposal.book.language import filled
from proposal.book.sentences import names
from proposal.book.writer import Named, Writer
from proposal.results.model import BankResult, ConductorResult, DeviceResult, LoadResult, OptionResult, SourceResult

_OUTPUT = ".output"
"""Last name of the port through which a DC-DC charger gives."""


class Items:
    """Names of one option's items by key. A key without an entry of its own is named by what it belongs to."""

    def __init__(self, option: OptionResult, writer: Writer) -> None:
        self._writer = writer
        self._named: dict[str, Named] = {}
        self._option = option
        banks = {bank.key: bank.title for bank in option.banks}
        self._banks = banks
        kinds: dict[str, str] = {}
        for device in option.devices:
            if device.kind in names.LINK_TITLES and kinds.get(device.circuit, "switch") == "switch":
                kinds[device.circuit] = device.kind
        kinds |= {
            p.key.removesuffix(_OUTPUT): "dc_dc" for case in option.cases for p in case.ports if p.key.endswith(_OUTPUT)
        }
        for conductor in option.conductors:
            title = self.conductor_title(conductor, kinds)
            self._named[conductor.key] = Named(conductor.designation, title)
            self._named.setdefault(conductor.circuit, Named("", title))
        self._relays = frozenset(d.key for d in option.devices if d.kind == "vsr")
        self._phrases: dict[str, str] = {}
        for device in option.devices:
            self._named[device.key] = Named(device.designation, self.device_title(device, kinds))
            self._phrases[device.key] = self._device_phrase(device)
        ends: tuple[BankResult | LoadResult | SourceResult, ...] = (*option.banks, *option.loads, *option.sources)
        for item in ends:
            self._named[item.key] = Named(item.designation, item.title)
        for bank in option.banks:
            for number in range(1, bank.parallel_count + 1):
                self._named.setdefault(f"{bank.key}.s{number}", Named("", bank.title))

    def __contains__(self, key: str) -> bool:
        """Whether an item of this very key has a name."""
        return key in self._named

    def named(self, key: str) -> Named | None:
        """Name of an item, or of the nearest item that its key belongs to; None where there is none."""
        while key:
            if key in self._named:
                return self._named[key]
            key = key.rpartition(".")[0]
        return None

    def phrase(self, key: str) -> str:
        """Title and designation of an item for a sentence; the words for an item nobody named where there is none."""
        if key in self._phrases:
            return self._phrases[key]
        found = self.named(key)
        return self._writer.pair(found) if found is not None else self._writer.text(names.UNNAMED)

    def called(self, key: str) -> str:
        """An item in a list of devices: as in a sentence, but a relay that has a title of its own by that alone."""
        found = self.named(key)
        if found is not None and key in self._relays:
            return self._writer.pair(found)
        return self.phrase(key)

    def case(self, case: str) -> str:
        """A load-flow case in words."""
        if case in names.CASES:
            return self._writer.text(names.CASES[case])
        kind, _, load = case.partition(".")
        found = self.named(f"loads.{load}")
        if found is not None and kind in names.CASES_OF_LOAD:
            return filled(self._writer.text(names.CASES_OF_LOAD[kind]), {"load": found.title})
        return self._writer.text(names.CASE_OTHER)

    def naming(self, field: str, value: str) -> str | None:
        """Words for a text value of a fact, by the name of its field; None where the value is its own text."""
        if field == "case" or field.endswith("_case"):
            return self.case(value)
        if field in names.VALUE_WORDS:
            words = names.VALUE_WORDS[field].get(value)
            return self._writer.text(words) if words is not None else None
        if field in names.ITEM_FIELDS or value in self._named:
            return self.phrase(value)
        return None

    def conductor_title(self, conductor: ConductorResult, kinds: dict[str, str]) -> str:
        """The user's words for a conductor's circuit, or words for its kind."""
        text = self._writer.text
        bank = self._bank_of(conductor.circuit)
        lead = conductor.circuit.rpartition(".controller.")[2]
        if ".controller." in conductor.circuit and lead in names.CONTROLLER_LEADS:
            return filled(text(names.CONTROLLER_LEADS[lead]), {"bank": bank})
        if conductor.circuit.endswith(".controller"):
            return filled(text(names.CONTROLLER), {"bank": bank})
        if conductor.title:
            return conductor.title
        if conductor.purpose == "link":
            return text(names.LINK_TITLES[kinds.get(conductor.circuit, "")])
        if conductor.purpose == "starter":
            return text(names.ENGINE)
        return text(names.PURPOSES.get(conductor.purpose, names.UNNAMED))

    def device_title(self, device: DeviceResult, kinds: dict[str, str]) -> str:
        """The user's words for a device's circuit, or words for its kind."""
        text = self._writer.text
        bank = self._bank_of(device.key)
        lead = device.circuit.rpartition(".controller.")[2]
        if ".controller." in device.circuit and lead in names.CONTROLLER_LEADS:
            return filled(text(names.CONTROLLER_LEADS[lead]), {"bank": bank})
        if device.kind in ("bank_bus", "unswitched_bus"):
            return filled(text(names.BUS_TITLES[device.kind]), {"bank": bank})
        if device.title:
            return device.title
        if device.kind in names.BUS_TITLES:
            return text(names.BUS_TITLES[device.kind])
        if device.circuit.startswith("links."):
            return text(names.LINK_TITLES[kinds.get(device.circuit, "")])
        return text(names.DEVICE_KINDS.get(device.kind, names.UNNAMED))

    def _device_phrase(self, device: DeviceResult) -> str:
        named = self._named[device.key]
        kind = self._writer.text(names.DEVICE_WORDS.get(device.kind, names.UNNAMED))
        if device.kind in names.BUS_TITLES:
            return self._writer.pair(named)
        fields = {"designation": device.designation, "kind": kind, "title": named.title}
        return filled(self._writer.text(names.DEVICE_PHRASE), fields)

    def _bank_of(self, key: str) -> str:
        return self._banks.get(".".join(key.split(".")[:2]), "")
