"""Cutting off: in an emergency, by the lithium itself, and what the controller that decides measures."""

from proposal.circuit.model import Bank, SeriesDevice
from proposal.facts import Values
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.thresholds import SENSE_V_AT_12V
from proposal.sources import Citation
from proposal.spec.options import ContactorLink
from proposal.spec.pricebook import RelayPart
from proposal.studies.flow.cases import is_cranking
from proposal.studies.switching.result import Coil

E13_REMOTE = Citation("abyc_e13", "E-13.6.7.1.1 (July 2025), remote switch of a contactor", "corroborated")
E13_WARNING = Citation("abyc_e13", "alarm before the pack shuts down; check your edition", "corroborated")
COIL_HOLDS_SHARE = 0.7
"""Of its rated voltage, at which a held coil that states no drop-out surely stays closed. Common practice."""
NEEDED = ("navigation", "radio", "engine_control")


def emergency_off_defeated(evidence: Evidence) -> Examined:
    """17. An emergency-off that does not open the contactor for certain; a coil that lets go while the engine cranks.

    signals_only: it tells a controller, which may have failed. stays_closed: a latching contactor keeps closed without
    control power, and no hand switch is in its line. no_switch: it is said to be a hand switch, and there is none.
    drops_out: drop-out voltage above the supply while cranking, as solved. Source: ABYC E-13, in own words.
    """
    coils = {met.key: met.coil for met in evidence.switching.devices}
    objections: list[Objection] = []
    banks = [bank for bank in evidence.circuit.banks if bank.through is not None]
    for bank in banks:
        contactor = evidence.circuit.device[bank.through or ""]
        objections += _emergency_off(evidence, bank, contactor)
        dropped = _drops_out(evidence, contactor, coils.get(contactor.key))
        objections += [dropped] if dropped is not None else []
    return Examined(len(banks), tuple(objections))


def _emergency_off(evidence: Evidence, bank: Bank, contactor: SeriesDevice) -> list[Objection]:
    said = evidence.spec.option.emergency_off
    part = contactor.part
    latching = isinstance(part, RelayPart) and part.coil == "latching"
    by_hand = any(d.circuit == bank.key for d in evidence.devices("switch"))
    facts: Values = {"bank": bank.key, "hand_switch": by_hand}
    if said is not None and said.acts == "hand_switch":
        return [] if by_hand else [fires(contactor.key, cause="no_switch", **facts)]
    if said is not None and said.acts == "signal":
        return [fires(contactor.key, cause="signals_only", **facts)]
    if latching and not by_hand:
        return [fires(contactor.key, cause="stays_closed", **facts)]
    return [undecided(contactor.key, "emergency_off", **facts)] if said is None else []


def _drops_out(evidence: Evidence, contactor: SeriesDevice, coil: Coil | None) -> Objection | None:
    if coil is None or coil.kind == "latching" or coil.least_v is None:
        return None
    facts: Values = {"cause": "drops_out", "voltage_v": coil.least_v, "case": coil.least_case}
    if coil.drop_out_v is None:
        rated_v = coil.rated_v if coil.rated_v is not None else evidence.circuit.system_v
        holds = not above(COIL_HOLDS_SHARE * rated_v, coil.least_v)
        return None if holds else undecided(contactor.key, "drop_out", **facts)
    return fires(contactor.key, **facts, limit_v=coil.drop_out_v) if above(coil.drop_out_v, coil.least_v) else None


def sense_lead_wrong(evidence: Evidence) -> Examined:
    """20. Where a controller or relay measures: unfused, at the bus, or on a negative in which load current flows.

    at_bus, shared_negative: the voltage lost between bank and bus, as solved, above the tolerance of the reading.
    Common practice, no source.
    """
    objections: list[Objection] = []
    count = 0
    link = evidence.spec.option.contactor
    for bank in evidence.circuit.banks:
        if bank.through is not None and link is not None:
            count += 1
            objections += _contactor_senses(evidence, bank, evidence.circuit.device[bank.through], link)
    relay = evidence.spec.option.vsr
    for device in evidence.devices("vsr") if relay is not None else ():
        count += 1
        if relay is not None and relay.sense_fused is None:
            objections.append(undecided(device.key, "sense_fused"))
        elif relay is not None and not relay.sense_fused:
            objections.append(fires(device.key, cause="unfused"))
    return Examined(count, tuple(objections))


def _contactor_senses(evidence: Evidence, bank: Bank, contactor: SeriesDevice, link: ContactorLink) -> list[Objection]:
    plus_v, minus_v = _sense_errors(evidence, bank)
    tolerance_v = dict(contactor.settings).get("tolerance_v", SENSE_V_AT_12V * evidence.scale)
    found = [fires(contactor.key, cause="unfused")] if link.sense_fused is False else []
    if link.sense_at == "bus" and above(plus_v[0], tolerance_v):
        facts: Values = {"cause": "at_bus", "error_v": plus_v[0], "case": plus_v[1], "limit_v": tolerance_v}
        found.append(fires(contactor.key, **facts, bank=bank.key))
    if link.sense_negative == "shared" and above(minus_v[0], tolerance_v):
        facts = {"cause": "shared_negative", "error_v": minus_v[0], "case": minus_v[1], "limit_v": tolerance_v}
        found.append(fires(contactor.key, **facts, bank=bank.key))
    asked = link.sense_fused is None
    asked |= link.sense_at is None and above(plus_v[0], tolerance_v)
    asked |= link.sense_negative is None and above(minus_v[0], tolerance_v)
    if asked:
        most_v = max(plus_v[0], minus_v[0])
        found.append(undecided(contactor.key, "sense_leads", error_v=most_v, limit_v=tolerance_v, bank=bank.key))
    return found


def _sense_errors(evidence: Evidence, bank: Bank) -> tuple[tuple[float, str], tuple[float, str]]:
    """Largest voltage between post and bus in each pole over the cases that last [V], with the case."""
    bus, post = evidence.circuit.bus[bank.bus], evidence.strings(bank)[0]
    worst = [(0.0, ""), (0.0, "")]
    for case, solution in evidence.design.flow.solutions.items():
        if is_cranking(case) or bank.through not in solution.current_a:
            continue
        for pole, (one, other) in enumerate(((post.positive, bus.positive), (post.negative, bus.negative))):
            volts = solution.voltage_v
            if one in volts and other in volts and abs(volts[one] - volts[other]) > worst[pole][0]:
                worst[pole] = (abs(volts[one] - volts[other]), case)
    return worst[0], worst[1]


def cut_off_darkens(evidence: Evidence) -> Examined:
    """48. Navigation, radio or engine go dark when lithium switches itself off, and nothing warns before.

    Solved with that bank out and usual loads on. A load counts that serves one of these, or is needed for safety; and
    the starter. Source: ABYC E-13, in own words.
    """
    objections = []
    loads = {load.key: load for load in evidence.circuit.loads}
    for dark in evidence.switching.darks:
        bank = evidence.spec.bank(dark.bank)
        gone = [key for key in dark.loads if loads[key].critical or _serves(evidence, key)]
        if not gone and not dark.starter:
            continue
        link = evidence.spec.option.contactor if evidence.bank[dark.bank].through is not None else None
        said = {bank.warns_before, link.warns_before if link is not None else None}
        if True in said:
            continue
        facts: Values = {"first_item": gone[0] if gone else "engine", "dark_count": len(gone) + dark.starter}
        objections.append(fires(dark.bank, **facts) if False in said else undecided(dark.bank, "warning", **facts))
    return Examined(len(evidence.switching.darks), tuple(objections))


def _serves(evidence: Evidence, key: str) -> bool:
    return evidence.spec.load(key).serves in NEEDED
