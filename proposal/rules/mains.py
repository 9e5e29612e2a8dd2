"""Where mains voltage meets the battery system, and how the system is tied to earth and hull. No earth is ever cut."""

from collections.abc import Iterator

from proposal.circuit.model import Conductor
from proposal.codes.fitting import fitting_limit
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.sources import Citation
from proposal.spec.vessel import Bonding, Mains
from proposal.units import ConductorSize

EARTH = Citation("abyc_e11", "mains earth joined to the DC negative; check your edition", "from memory")
TRANSFER = Citation("abyc_a31", "A-31.6.5.2: one source is left before the other is joined", "corroborated")
CASE = Citation("abyc_a31", "case conductor at most one size below DC; check your edition", "corroborated")
LEAKY_OHM = 10_000.0
"""Positive to a metal hull, everything switched on at the panel. Common practice, no source."""
MAINS_KINDS = ("shore", "generator")


def mains_aboard(evidence: Evidence) -> bool:
    """Whether the vessel has mains voltage: as stated, or because an inverter or a mains charger is in the circuit."""
    circuit = evidence.circuit
    inverters = any(load.inverter_id is not None for load in circuit.loads)
    chargers = any(source.kind in ("shore", "generator") for source in circuit.sources)
    return evidence.spec.spec.vessel.mains_aboard or inverters or chargers


def mains_unsafe(evidence: Evidence) -> Examined:
    """53. Mains aboard: earth and DC negative, the device at the inlet, the inverter's neutral, the case conductor.

    Asked where there is mains, a mains charger or an inverter: the earth bond on boats, the inlet's device where the
    family has one and shore power comes aboard, the neutral where an inverter is. What nobody states is one undecided
    point. Case conductor: no more than one step of the family's ladder below the DC conductor of the same device.
    """
    spec = evidence.spec.spec
    inverters = [load for load in evidence.circuit.loads if load.inverter_id is not None]
    chargers = [source for source in evidence.circuit.sources if source.kind in MAINS_KINDS]
    if not mains_aboard(evidence):
        return Examined(0)
    mains = spec.mains if spec.mains is not None else Mains.model_construct()
    inlet = fitting_limit(evidence.family.id, "inlet_residual_a") if any(s.kind == "shore" for s in chargers) else None
    asked: list[bool | ConductorSize | None] = []
    objections: list[Objection] = []
    if spec.vessel.kind == "boat":
        asked.append(mains.earth_bonded)
        objections += [fires("mains", EARTH, cause="earth")] if mains.earth_bonded is False else []
    if inlet is not None:
        asked.append(mains.residual_device)
        if mains.residual_device is False:
            objections.append(fires("mains", inlet.citation, cause="inlet", trips_a=inlet.value))
    if inverters:
        asked.append(mains.neutral_switched)
        objections += [fires("mains", TRANSFER, cause="neutral")] if mains.neutral_switched is False else []
    cased = [load.key for load in inverters] + [charger.key for charger in chargers]
    if cased:
        asked.append(mains.case_conductor)
        objections += _case_conductors(evidence, cased, mains.case_conductor)
    unknown = sum(1 for answer in asked if answer is None)
    if unknown:
        objections.append(undecided("mains", "mains_facts", cause="unknown", point_count=unknown))
    return Examined(len(asked), tuple(objections))


def _case_conductors(evidence: Evidence, keys: list[str], fitted: ConductorSize | None) -> Iterator[Objection]:
    if fitted is None:
        return
    for key in keys:
        dc = [c for c in evidence.circuit.conductors if c.circuit == key and c.size is not None]
        largest = max(dc, key=_dc_area, default=None)
        if largest is None:
            continue
        below = [size for size in evidence.family.sizes if size.area_mm2 < _dc_area(largest)]
        least = below[-1] if below else evidence.family.sizes[0]
        if above(least.area_mm2, fitted.area_mm2):
            yield fires(
                key, CASE, cause="case", area_mm2=fitted.area_mm2, dc_mm2=_dc_area(largest), needed_mm2=least.area_mm2,
                size=least.label,
            )  # fmt: skip


def _dc_area(conductor: Conductor) -> float:
    return conductor.size.area_mm2 if conductor.size is not None else 0.0


def bonding_wrong(evidence: Evidence) -> Examined:
    """54. More than one joint of DC negative and earth, a shore earth with nothing against corrosion, a leaky hull.

    Boats are asked; elsewhere what is stated is judged. Shore earth where shore power comes aboard a boat; positive to
    hull on a metal boat: R < 10 kΩ. No remedy cuts an earth. Common practice, no source.
    """
    spec = evidence.spec.spec
    boat = spec.vessel.kind == "boat"
    bonding = spec.bonding if spec.bonding is not None else Bonding.model_construct()
    mains = spec.mains if spec.mains is not None else Mains.model_construct()
    metal = boat and spec.vessel.hull == "metal"
    shore = boat and any(source.kind == "shore" for source in evidence.circuit.sources)
    asked: list[object] = [bonding.bonds] if boat or bonding.bonds is not None else []
    asked += [mains.shore_earth] if shore else []
    asked += [bonding.positive_to_hull_ohm] if metal else []
    objections = []
    if bonding.bonds is not None and bonding.bonds > 1:
        objections.append(fires("bonding", cause="several", bond_count=bonding.bonds))
    if shore and mains.shore_earth == "plain":
        objections.append(fires("mains", cause="shore"))
    leak_ohm = bonding.positive_to_hull_ohm
    if metal and leak_ohm is not None and above(LEAKY_OHM, leak_ohm):
        objections.append(fires("bonding", cause="hull", leak_ohm=leak_ohm, limit_ohm=LEAKY_OHM))
    unknown = sum(1 for answer in asked if answer is None)
    if unknown:
        wanted = "bonding_facts_metal" if metal else "bonding_facts"
        objections.append(undecided("bonding", wanted, cause="unknown", point_count=unknown))
    return Examined(len(asked), tuple(objections))
