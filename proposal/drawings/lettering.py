"""What stands beside each symbol and conductor: designation, size, length, rating. Values come from the results."""

from typing import TYPE_CHECKING

from proposal.drawings.marks import Mark
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.text import clean
from proposal.drawings.topology import Bar
from proposal.frozen import frozen

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit
    from proposal.results.model import ConductorResult, OptionResult


LEAST_TENTH_A = 0.1
"""Below this a current is told in hundredths: a position sender that draws 0.04 A would else draw nothing."""


@frozen
class Lines:
    """Lines of a label: the first bold where it is a designation; `wrapped` ones may be broken over lines."""

    designation: str
    title: str
    values: tuple[str, ...]

    def all(self) -> tuple[str, ...]:
        """Everything that it says, in order."""
        return tuple(text for text in (self.designation, self.title, *self.values) if text)


class Lettering:
    """Labels of one option's items by key; `marks` are those of what is drawn, where the sheet has any."""

    def __init__(self, circuit: "Circuit", option: "OptionResult", info: SheetInfo) -> None:
        self.circuit = circuit
        self.info = info
        self.conductors = {c.key: c for c in option.conductors}
        self.devices = {d.key: d for d in option.devices}
        self.banks = {b.key: b for b in option.banks}
        self.loads = {e.key: e for e in option.loads}
        self.sources = {s.key: s for s in option.sources}
        self._mates = {(c.circuit, c.purpose, c.length_m): c for c in option.conductors if c.pole == "negative"}
        self._bus = {b.key: b for b in circuit.buses}
        self.marks: dict[str, Mark] = {}

    def number(self, value: float, digits: int = 2, *, fixed: bool = False) -> str:
        """A number with at most `digits` decimals and, unless `fixed`, no idle zeros."""
        text = f"{value:.{digits}f}"
        if "." in text and not fixed:
            text = text.rstrip("0").rstrip(".")
        return text.replace(".", self.info.labels["decimal_mark"])

    def amps(self, value: float) -> str:
        """A current."""
        small = 0.0 < abs(value) < LEAST_TENTH_A
        return self.info.word("ampere", value=self.number(value, 2 if small else 1))

    def designation(self, key: str) -> str:
        """The printed designation of any item, empty where the results give none."""
        for table in (self.conductors, self.devices, self.loads, self.sources, self.banks):
            if key in table:
                return clean(table[key].designation)
        return clean(self.info.designations.get(key, ""))

    def size(self, c: "ConductorResult") -> str:
        """A conductor's size, with its area where the size doesn't name it."""
        size = clean(c.size)
        if "mm" in size:
            return size
        return self.info.word("area", size=size, value=self.number(c.area_mm2, 1 if c.area_mm2 >= 10 else 2))

    def conductor(self, key: str) -> tuple[str, ...]:
        """`W12 · 1.8 m`, then its size, then the negative's size where that differs."""
        c = self.conductors.get(key)
        if c is None:
            return ()
        length = self.info.word("metre", value=self.number(c.length_m))
        first = f"{clean(c.designation)} · {length}" if c.designation else length
        lines = [first, self.size(c)]
        mate = self._mate(c)
        if c.pole == "positive" and mate is not None and mate.size != c.size:
            lines.append(self.info.word("negative_size", size=clean(mate.size)))
        return tuple(lines)

    def _mate(self, c: "ConductorResult") -> "ConductorResult | None":
        named = self.conductors.get(c.key.removesuffix("positive") + "negative") if c.key.endswith("positive") else None
        return named or self._mates.get((c.circuit, c.purpose, c.length_m))

    def device(self, key: str) -> Lines:
        """A series device: designation, rating and fuse class, a relay's voltages."""
        d = self.devices.get(key)
        if d is None:
            return Lines("", "", ())
        values = [] if d.rating_a is None else [self.amps(d.rating_a)]
        if d.fuse_class:
            values.append(clean(d.fuse_class.replace("_", " ")))
        settings = dict(self.circuit.device[key].settings) if key in self.circuit.device else {}
        for name, word in (("joins_v", "joins"), ("releases_v", "releases")):
            if settings.get(name):
                values.append(self.info.word(word, value=self.info.word("volt", value=self.number(settings[name]))))
        return Lines(clean(d.designation), "", tuple(values))

    def converter(self, key: str) -> Lines:
        """A DC-DC charger: designation, title, output."""
        v = next(c for c in self.circuit.converters if c.key == key)
        return Lines(self.designation(key), clean(v.title), (self.amps(v.output_a),))

    def load(self, key: str) -> Lines:
        """A load: designation, title, current."""
        load = self.loads.get(key)
        if load is None:
            own = next(e for e in self.circuit.loads if e.key == key)
            return Lines(self.designation(key), clean(own.title), (self.amps(own.current_a),))
        return Lines(clean(load.designation), clean(load.title), (self.amps(load.current_a),))

    def source(self, key: str) -> Lines:
        """A charge source: designation, title, current."""
        source = self.sources.get(key)
        if source is None:
            own = next(e for e in self.circuit.sources if e.key == key)
            return Lines(self.designation(key), clean(own.title), (self.amps(own.current_a),))
        return Lines(clean(source.designation), clean(source.title), (self.amps(source.current_a),))

    def starter(self) -> Lines:
        """The starter: designation, title, current while cranking."""
        s = self.circuit.starter
        assert s is not None  # noqa: S101 - only called for a circuit that has one
        return Lines(self.designation(s.key), clean(s.title), (self.amps(s.cranking_a),))

    def battery(self, key: str) -> Lines:
        """One string of a bank: the bank's designation and title, batteries in series, capacity and chemistry."""
        b = self.circuit.battery[key]
        bank = self.banks.get(b.bank)
        title = clean(bank.title) if bank else clean(self.circuit.title.get(b.bank, b.bank))
        capacity = self.info.word("ampere_hour", value=self.number(b.part.capacity_ah, 1))
        rating = f"{capacity} {self.info.word(b.part.chemistry)}"
        volts = self.info.word("volt", value=self.number(b.part.voltage_v, 1))
        if b.series_count > 1:
            volts = self.info.word("string_of", count=str(b.series_count), what=volts)
        first = next(other.key for other in self.circuit.batteries if other.bank == b.bank) == key
        return Lines(self.designation(key) or self.designation(b.bank), title if first else "", (volts, rating))

    def bar(self, key: str) -> str:
        """A bus: designation and title on one line."""
        bus = self._bus.get(key)
        if bus is None:
            return ""
        title = clean(bus.title) or self.info.word(f"bus_{bus.kind}")
        return " · ".join(text for text in (self.designation(key), title) if text)

    def bar_label(self, key: str) -> str:
        """What stands above a bus where it is drawn."""
        return self.bar(key)

    def joint(self, bar: "Bar") -> str:
        """A joint that is drawn a second time: the designations of the devices that meet there."""
        if bar.kind != "tap" and not bar.from_band:
            return ""
        here = [d.key for d in self.circuit.devices if bar.node in (d.from_node, d.to_node)]
        return " / ".join(text for text in map(self.designation, here) if text)

    def bar_at(self, node: str) -> str:
        """The bus whose positive bar is this node, or the designations of the devices that meet there."""
        named = next((self.bar(b.key) for b in self.circuit.buses if b.positive == node), "")
        return named or self.joint(Bar("", node, "tap", ""))

    def area_mm2(self, key: str) -> float:
        """Area that decides how thick a conductor is drawn; 0 where it is not known."""
        c = self.conductors.get(key)
        return c.area_mm2 if c else 0.0
