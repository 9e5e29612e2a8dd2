"""Part ids in a spec that lead nowhere, or to a part of another kind: all of them, each at its place."""

from collections.abc import Callable, Iterator, Mapping

from proposal.parts.catalogue import Catalogue, PartError
from proposal.spec.equipment import AlternatorSource, ShoreSource, SolarSource, WindSource
from proposal.spec.options import Option
from proposal.spec.pricebook import CablePart, Part
from proposal.spec.project import Spec
from proposal.spec.references import Complaint
from proposal.units import AWG_SIZES, MM2_SIZES, SAE_SIZES, ConductorSize

Loc = tuple[str | int, ...]


def part_complaints(spec: Spec, catalogue: Catalogue) -> Iterator[Complaint]:
    """Every reference to a part, in base and options, that neither price book nor the spec's own parts answer."""
    for name, load in spec.loads.items():
        if load.inverter is not None:
            yield from _try(("loads", name, "inverter"), catalogue.inverter, load.inverter)
    for name, source in spec.sources.items():
        yield from _source(("sources", name), source, catalogue)
    for number, extra in enumerate(spec.extras):
        yield from _try(("extras", number, "part"), catalogue.get, extra.part)
    for option_id, option in spec.options.items():
        yield from _option(("options", option_id), option, catalogue)


def cable_complaints(parts: Mapping[str, Part]) -> Iterator[Complaint]:
    """Cables whose standard has no such size. `parts` of a price book or of a spec, under `parts` in its file."""
    for part_id, part in parts.items():
        if isinstance(part, CablePart) and part.standard is not None and not _has(part.standard, part.size):
            sizes = ", ".join(size.label for size in OF_STANDARD[part.standard])
            yield ("parts", part_id, "standard"), f"{part.standard} has no cable of {part.size}", sizes


OF_STANDARD = {"astm_awg": AWG_SIZES, "sae": SAE_SIZES, "iec_60228": MM2_SIZES}


def _has(standard: str, size: ConductorSize) -> bool:
    labels = {known.label for known in OF_STANDARD[standard]}
    return size.label in (labels | {known.nominal for known in OF_STANDARD[standard]})


def _source(
    loc: Loc, source: SolarSource | AlternatorSource | ShoreSource | WindSource, catalogue: Catalogue
) -> Iterator[Complaint]:
    if isinstance(source, SolarSource):
        yield from _try((*loc, "controller"), lambda i: catalogue.charger(i, "solar_controller"), source.controller)
    elif isinstance(source, ShoreSource):
        yield from _try((*loc, "charger"), lambda i: catalogue.charger(i, "shore_charger"), source.charger)


def _option(loc: Loc, option: Option, catalogue: Catalogue) -> Iterator[Complaint]:
    for name, bank in option.banks.items():
        yield from _try((*loc, "banks", name, "battery"), catalogue.battery, bank.battery)
    if option.contactor is not None and option.contactor.part is not None:
        yield from _try((*loc, "contactor", "part"), lambda i: catalogue.relay(i, "contactor"), option.contactor.part)
    if option.vsr is not None and option.vsr.part is not None:
        yield from _try((*loc, "vsr", "part"), lambda i: catalogue.relay(i, "vsr"), option.vsr.part)
    if option.dc_dc is not None:
        yield from _try((*loc, "dc_dc", "part"), lambda i: catalogue.charger(i, "dc_dc"), option.dc_dc.part)
    for number, extra in enumerate(option.extras):
        yield from _try((*loc, "extras", number, "part"), catalogue.get, extra.part)
    for name, link in option.composition.links.items() if option.composition is not None else ():
        here = (*loc, "composition", "links", name, "part")
        if link.kind == "dc_dc" and link.part is None:
            yield (*loc, "composition", "links", name), "a DC-DC charger needs its part", "`part:` a DC-DC charger"
        elif link.part is not None and link.kind == "dc_dc":
            yield from _try(here, lambda i: catalogue.charger(i, "dc_dc"), link.part)
        elif link.part is not None and link.kind in ("vsr", "contactor"):
            yield from _try(here, catalogue.relay, link.part)
        elif link.part is not None:
            yield from _try(here, catalogue.get, link.part)


def _try(loc: Loc, find: Callable[[str], object], part_id: str) -> Iterator[Complaint]:
    try:
        find(part_id)
    except PartError as error:
        yield loc, f"{loc[-1]} {error.what}", error.allowed
