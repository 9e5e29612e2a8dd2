"""Banks: what a lithium battery bears, and what happens when a lead cell shorts beside it."""

from collections.abc import Iterator
from dataclasses import replace

from proposal.circuit.model import Bank, Battery, SeriesDevice
from proposal.facts import Values
from proposal.frozen import frozen
from proposal.parts.chemistry import cell_count, ocv_v
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.paths import Branch, all_but, banks_at, reach
from proposal.rules.thresholds import resting, thresholds
from proposal.studies.flow.cases import LOW_SHARE, flow_cases, is_cranking
from proposal.studies.network.case import Case, relay_keys
from proposal.studies.network.solve import solve_quickly

RESOLVE_MARGIN = 1.3
"""A re-solve can bring at most about this much more than an even share of the rest: below that it is left out."""
SHORTED_PARTS_SHARE = 0.05
SHORTED_PARTS_AFTER_S = 600.0
"""Lithium into lead above 0.05 C for ten minutes with no charge source: part them. Common practice, no source."""
PLATEAU_SHARE = 0.6


@frozen
class _Worst:
    current_a: float
    case: str
    strings_out: int


@frozen
class _Surge:
    load: str
    time_s: float
    worst: _Worst


def battery_limit_exceeded(evidence: Evidence) -> Examined:
    """21. Solved current of a lithium battery above what its maker allows: lasting, charging, or for seconds.

    Every case as solved, surges of inverters and motors at a low charge, and the same with one string of the bank
    taken out. For seconds: above the lasting limit only up to the peak, and no longer than its time.
    Common practice, no source.
    """
    objections: list[Objection] = []
    batteries = [(bank, battery) for bank in evidence.lithium for battery in evidence.strings(bank)[:1]]
    for bank, battery in batteries:
        objections += [
            found
            for found in (
                _lasting(evidence, bank, battery),
                _charging(evidence, bank, battery),
                _seconds(evidence, bank, battery),
            )
            if found is not None
        ]
    return Examined(sum(len(bank.strings) for bank in evidence.lithium), tuple(objections))


def _worst(evidence: Evidence, bank: Bank, sign: float, *, cranking: bool, limit_a: float | None) -> _Worst:
    """Largest current of a string in one direction over solved cases, and with a string out where that could matter.

    One thing goes wrong at a time: a case in which other batteries are out is not solved again with a string less.
    """
    solutions = evidence.design.flow.solutions
    cases = {case.id: case for case in flow_cases(evidence.circuit)}
    found = whole = _Worst(0.0, "", 0)
    for case, solution in solutions.items():
        if is_cranking(case) == cranking:
            amps = max(sign * solution.given_a.get(key, 0.0) for key in bank.strings)
            if amps > found.current_a:
                found = _Worst(amps, case, 0)
            if amps > whole.current_a and not cases[case].batteries_out:
                whole = _Worst(amps, case, 0)
    count = len(bank.strings)
    could = whole.current_a * count / (count - 1) * RESOLVE_MARGIN if count > 1 else 0.0
    if limit_a is None or above(found.current_a, limit_a) or not above(could, limit_a):
        return found
    fewer = replace(cases[whole.case], batteries_out=frozenset(bank.strings[-1:]))
    solution = solve_quickly(evidence.circuit, fewer, evidence.family)
    amps = max(sign * solution.given_a.get(key, 0.0) for key in bank.strings[:-1])
    return _Worst(amps, whole.case, 1) if amps > found.current_a else found


def _judge(bank: Bank, cause: str, find_out: str, worst: _Worst, limit_a: float | None) -> Objection | None:
    if worst.current_a <= 0.0:
        return None
    facts: Values = {"cause": cause, "current_a": worst.current_a, "case": worst.case, "strings_out": worst.strings_out}
    if limit_a is None:
        return undecided(bank.key, find_out, **facts)
    if not above(worst.current_a, limit_a):
        return None
    together_a = worst.current_a * (len(bank.strings) - worst.strings_out)
    needed = _count(together_a, limit_a) + worst.strings_out
    return fires(bank.key, **facts, limit_a=limit_a, strings=len(bank.strings), strings_needed=needed)


def _count(current_a: float, limit_a: float) -> int:
    return int(-(-current_a // limit_a)) if limit_a > 0 else 0


def _lasting(evidence: Evidence, bank: Bank, battery: Battery) -> Objection | None:
    limit_a = battery.part.discharge_max_a
    worst = _worst(evidence, bank, 1.0, cranking=False, limit_a=limit_a)
    return _judge(bank, "discharge", "discharge_limit", worst, limit_a)


def _charging(evidence: Evidence, bank: Bank, battery: Battery) -> Objection | None:
    limit_a = battery.part.charge_max_a
    worst = _worst(evidence, bank, -1.0, cranking=False, limit_a=limit_a)
    return _judge(bank, "charge", "charge_limit", worst, limit_a)


def _seconds(evidence: Evidence, bank: Bank, battery: Battery) -> Objection | None:
    """Cranking and surges. Up to the lasting limit nothing is asked; above it the peak and its time decide."""
    part = battery.part
    lasting_a = part.discharge_max_a or 0.0
    cranking = _worst(evidence, bank, 1.0, cranking=True, limit_a=part.peak_a)
    surges = [surge for surge in _surges(evidence, bank, lasting_a) if above(surge.worst.current_a, lasting_a)]
    briefly = [surge.worst for surge in surges] + ([cranking] if above(cranking.current_a, lasting_a) else [])
    if not briefly:
        return None
    worst = max(briefly, key=lambda w: w.current_a)
    found = _judge(bank, "peak", "peak_limit", worst, part.peak_a)
    if found is None and cranking in briefly:
        found = _too_long(evidence, bank, battery, cranking)
    longest = max(surges, key=lambda s: (s.time_s, s.worst.current_a), default=None)
    return found if found is not None or longest is None else _surge_too_long(evidence, bank, battery, longest)


def _too_long(evidence: Evidence, bank: Bank, battery: Battery, worst: _Worst) -> Objection | None:
    """Cranking above the lasting limit for longer than the peak is allowed."""
    starter, limit_s = evidence.circuit.starter, battery.part.peak_s
    wanted_s = starter.cranking_s if starter is not None else 0.0
    facts: Values = {"cause": "peak_time", "current_a": worst.current_a, "case": worst.case, "time_s": wanted_s}
    if limit_s is None:
        return undecided(bank.key, "peak_time", **facts)
    limit_a = battery.part.discharge_max_a or 0.0
    return fires(bank.key, **facts, limit_s=limit_s, limit_a=limit_a) if above(wanted_s, limit_s) else None


def _surge_too_long(evidence: Evidence, bank: Bank, battery: Battery, surge: _Surge) -> Objection | None:
    """The longest surge above the lasting limit, against the time that the peak is allowed."""
    part, worst = battery.part, surge.worst
    lasting_a = part.discharge_max_a or 0.0
    together_a = worst.current_a * (len(bank.strings) - worst.strings_out)
    facts: Values = {
        "cause": "surge_time", "current_a": worst.current_a, "case": worst.case, "time_s": surge.time_s,
        "item": surge.load, "limit_a": lasting_a, "strings_out": worst.strings_out, "strings": len(bank.strings),
        "strings_needed": _count(together_a, lasting_a) + worst.strings_out,
    }  # fmt: skip
    if part.peak_s is None:
        return undecided(bank.key, "peak_time", **facts)
    if not above(surge.time_s, part.peak_s):
        return None
    if evidence.assumed(surge.load, "inrush_time"):
        return undecided(bank.key, "inrush_time", **facts, limit_s=part.peak_s)
    return fires(bank.key, **facts, limit_s=part.peak_s)


def _surges(evidence: Evidence, bank: Bank, lasting_a: float) -> Iterator[_Surge]:
    """Largest current of a string while one load draws its inrush, banks low, the rest at its mean, one string out.

    A constant power draws it at the voltage that is left: I = P_surge/(η·U) with U as solved, the lowest.
    """
    circuit = evidence.circuit
    mean = {x.key: x.mean_a for x in circuit.loads if not x.high_current}
    count = len(bank.strings)
    out = 1 if count > 1 else 0
    post = evidence.strings(bank)[0].positive
    beside = reach(evidence.positive, post, all_but(*relay_keys(circuit, "vsr"), *evidence.emergency))
    for load in circuit.loads:
        inrush_a = load.inrush_a or 0.0
        most_a = (inrush_a + sum(mean.values())) * RESOLVE_MARGIN / (count - out)
        if inrush_a <= load.current_a or not above(most_a, lasting_a) or load.positive not in beside:
            continue
        on = tuple({**mean, load.key: inrush_a}.items())
        case_id = f"surge.{load.key.split('.', 1)[1]}"
        case = Case(
            case_id, "hot", LOW_SHARE, on, open_devices=relay_keys(circuit, "vsr"),
            batteries_out=frozenset(bank.strings[-1:]) if out else frozenset(), lasts=False,
        )  # fmt: skip
        solution = solve_quickly(circuit, case, evidence.family)
        amps = max(solution.given_a.get(key, 0.0) for key in bank.strings)
        yield _Surge(load.key, load.inrush_s or 0.0, _Worst(amps, case_id, out))


def lithium_feeds_shorted_lead(evidence: Evidence) -> Examined:
    """24. Lithium and lead with nothing that parts them when a lead cell shorts. Common practice, no source.

    Nothing opens by itself on the way: a contactor whose controller parts on discharge does, a voltage-sensitive relay
    does where its release lies above the lithium's resting voltage, a converter does not lead that way at all.
    Voltage of the remaining cells: U_lithium / (n − 1) [V].
    """
    objections, count = [], 0
    for lithium in evidence.lithium:
        for lead in evidence.lead:
            count += 1
            found = _joined(evidence, lithium, lead)
            if found is not None:
                objections.append(found)
    return Examined(count, tuple(objections))


def _joined(evidence: Evidence, lithium: Bank, lead: Bank) -> Objection | None:
    facts = _shorted_facts(evidence, lithium, lead)
    start = evidence.strings(lithium)[0].positive

    def reaches(*, doubtful_parts: bool) -> bool:
        def passes(branch: Branch) -> bool:
            if branch.key in evidence.emergency:
                return False
            return not (isinstance(branch, SeriesDevice) and _parts(evidence, branch, lithium, doubtful=doubtful_parts))

        return lead in banks_at(evidence.circuit, reach(evidence.positive, start, passes))

    if reaches(doubtful_parts=True):
        return fires(lithium.key, **facts)
    if reaches(doubtful_parts=False):
        return undecided(lithium.key, "relay_thresholds", **facts)
    return None


def _parts(evidence: Evidence, device: SeriesDevice, lithium: Bank, *, doubtful: bool) -> bool:
    """Whether a device opens by itself while lithium feeds lead; `doubtful` where nobody states its thresholds."""
    if device.kind == "contactor":
        return bool(dict(device.settings).get("parts_on_discharge"))
    if device.kind != "vsr":
        return False
    found = thresholds(evidence, device)
    if found is None or found.assumed:
        return doubtful
    return not above(resting(evidence, lithium).full_v, found.surely_held_v)


def _shorted_facts(evidence: Evidence, lithium: Bank, lead: Bank) -> Values:
    one, other = evidence.strings(lithium)[0], evidence.strings(lead)[0]
    lithium_v = ocv_v("lithium", PLATEAU_SHARE, one.series_count * cell_count(one.part))
    cells = other.series_count * cell_count(other.part)
    return {
        "lead": lead.key,
        "contactor": lithium.through,
        "lithium_v": lithium_v,
        "cells_left": cells - 1,
        "cell_v": lithium_v / (cells - 1),
        "parts_above_a": SHORTED_PARTS_SHARE * evidence.capacity_ah(lead),
        "after_s": SHORTED_PARTS_AFTER_S,
    }
