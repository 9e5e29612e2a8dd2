"""Gas: hydrogen of lead banks that must find its way out, and what leaves a failing lithium cell."""

from proposal.circuit.model import Bank
from proposal.facts import Values
from proposal.parts.chemistry import cell_count
from proposal.parts.lead import gas_ma_per_ah, opening_cm2, vent_m3_per_h
from proposal.rules.chargers import chargers
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided


def vent_small(evidence: Evidence) -> Examined:
    """41. Inlet or outlet of a place with lead banks smaller than natural ventilation needs at boost charge.

    Q = 0.05·n·I_gas·C/1000 [m³/h] summed over the banks of the place, A = 28·Q [cm²] each. Source: EN IEC 62485-2.
    """
    by_place: dict[str, list[Bank]] = {}
    for bank in evidence.lead:
        by_place.setdefault(bank.place, []).append(bank)
    objections = []
    for name, banks in by_place.items():
        place = evidence.spec.spec.climate.places[name]
        air = sum(_air_m3h(evidence, bank) for bank in banks)
        facts: Values = {
            "air_m3h": air, "needed_cm2": opening_cm2(air), "place_title": place.title,
            "capacity_ah": sum(evidence.capacity_ah(bank) for bank in banks), "people_sleep": place.people_sleep,
        }  # fmt: skip
        openings = [area for area in (place.vent_inlet_cm2, place.vent_outlet_cm2) if area is not None]
        smallest = min(openings, default=None)
        if smallest is not None and above(opening_cm2(air), smallest):
            objections.append(fires(banks[0].key, **facts, opening_cm2=smallest))
        elif len(openings) < 2:
            objections.append(undecided(banks[0].key, "vent_openings", **facts))
    return Examined(len(by_place), tuple(objections))


def _air_m3h(evidence: Evidence, bank: Bank) -> float:
    battery = evidence.strings(bank)[0]
    cells = battery.series_count * cell_count(battery.part)
    return vent_m3_per_h(cells, gas_ma_per_ah(bank.chemistry), evidence.capacity_ah(bank))


def gas_reaches_people(evidence: Evidence) -> Examined:
    """42. Lithium where people sleep with nothing that leads its gas outside; a charger that bypasses its management.

    Source: ISO 23625 (gas from a failing battery must not endanger people; every charge current can be stopped).
    """
    objections: list[Objection] = []
    for bank in evidence.lithium:
        place = evidence.spec.spec.climate.places[bank.place]
        if not place.people_sleep or place.gas_led_outside:
            continue
        facts: Values = {
            "cause": "gas", "place_title": place.title, "capacity_ah": evidence.capacity_ah(bank), "people_sleep": True,
        }  # fmt: skip
        if place.gas_led_outside is None:
            objections.append(undecided(bank.key, "gas_led_outside", **facts))
        else:
            objections.append(fires(bank.key, **facts))
    near = [c for c in chargers(evidence) if any(bank.chemistry == "lithium" for bank in c.banks)]
    for charger in near:
        if charger.written is not None and charger.written.bypasses_management:
            bank_key = next(b.key for b in charger.banks if b.chemistry == "lithium")
            objections.append(fires(charger.key, cause="bypass", bank=bank_key, charge_v=charger.charge_v))
    return Examined(len(evidence.lithium) + len(near), tuple(objections))
