"""An option laid over the common base: the one effective spec from which everything above is made."""

from proposal.frozen import frozen
from proposal.spec.equipment import Load, Source
from proposal.spec.installer import Installer
from proposal.spec.options import Bank, Option
from proposal.spec.pricebook import Part
from proposal.spec.project import Spec


@frozen
class Pin:
    """A part or size that is given for an item; `stays` where it is fitted today and not bought."""

    item: str
    fitted: str
    stays: bool
    loc: tuple[str | int, ...]


@frozen
class EffectiveSpec:
    """Base and option in one; `pins` by item key; `family` the id of its rules, None: the usual ones for its kind."""

    spec: Spec
    option_id: str
    option: Option
    pins: dict[str, Pin]
    parts: dict[str, Part]
    family: str | None

    @property
    def staying(self) -> frozenset[str]:
        """Keys of conductors, devices and circuits that are fitted today and stay: neither bought nor fitted anew."""
        return frozenset(pin.item for pin in self.pins.values() if pin.stays)

    def load(self, key: str) -> Load:
        """The section of a load by its key, loads.NAME. Raises KeyError."""
        return self.spec.loads[key.split(".")[1]]

    def source(self, key: str) -> Source:
        """The section of a charge source by its key, sources.NAME. Raises KeyError."""
        return self.spec.sources[key.split(".")[1]]

    def bank(self, key: str) -> Bank:
        """The section of a bank by its key, banks.NAME, or by that of something in it. Raises KeyError."""
        return self.option.banks[key.split(".")[1]]


def effective(spec: Spec, installer: Installer, option_id: str) -> EffectiveSpec:
    """Lay the option over the base: equipment that stays and the option's own pins become pins; the option's win.

    What stays and is pinned to the same is still what stays: nobody buys it.
    Charge sources are set as the option says, where it says so.
    """
    option = spec.options[option_id]
    pins = {
        s.item: Pin(s.item, s.fitted, True, ("survey", "stays", number, "fitted"))
        for number, s in enumerate(spec.survey.stays)
    }
    stays = {item: pin.fitted for item, pin in pins.items()}
    pins |= {
        item: Pin(item, fitted, stays.get(item) == fitted, ("options", option_id, "pins", item))
        for item, fitted in option.pins.items()
    }
    family = spec.rules or getattr(installer.rules, spec.vessel.kind)
    return EffectiveSpec(_with_settings(spec, option), option_id, option, pins, dict(spec.parts), family)


def _with_settings(spec: Spec, option: Option) -> Spec:
    """The base with its charge sources set as the option says."""
    if not option.settings:
        return spec
    sources = dict(spec.sources)
    for name, settings in option.settings.items():
        stated = {k: v for k, v in settings.model_dump().items() if v is not None}
        sources[name] = sources[name].model_copy(update=stated)
    return spec.model_copy(update={"sources": sources})


def spec_loc(option_id: str, key: str) -> tuple[str | int, ...]:
    """Where in the spec an item's key came from: banks and links belong to the option, all else to the base.

    links.vsr, links.dc_dc and banks.NAME.contactor stand under the option's section of that name.
    """
    path = tuple(key.split("."))
    if path[0] == "banks":
        in_contactor = len(path) > 2 and path[2] in ("contactor", "controller")
        return ("options", option_id, "contactor") if in_contactor else ("options", option_id, "banks", *path[1:2])
    if path[0] == "links":
        composed = ("options", option_id, "composition", "links", *path[1:2])
        return ("options", option_id, path[1]) if path[1] in ("vsr", "dc_dc") else composed
    if path[0] == "climate":
        return path[:3]
    if path[0] == "buses":
        return ("options", option_id, "composition", "buses", *path[1:2])
    return path[:2]
