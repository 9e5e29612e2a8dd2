"""Circuits: what must never go dark, returns, voltage on the way, and the start of the engine."""

from proposal.circuit.model import Bank, Conductor, Load
from proposal.design.result import Drop
from proposal.facts import Values
from proposal.rules.finding import PRACTICE, Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.mending import mended
from proposal.rules.paths import reach
from proposal.rules.pumps import MUST_STAY, feeding
from proposal.rules.starting import FAILS_BELOW_V_AT_12V, SURE_ABOVE_V_AT_12V, start_verdict
from proposal.studies.flow.cases import is_cranking

SYSTEM_V = (12.0, 24.0, 48.0)


def always_on_at_risk(evidence: Evidence) -> Examined:
    """46. What must stay alive without a fuse, behind a hand switch, or fed only by banks that switch themselves off.

    Loads that are stated to be always on, bilge pumps and high-water alarms. Relays and contactors count as open.
    Common practice, no source.
    """
    objections, count = [], 0
    guarded = {key for fuse in evidence.devices("fuse") for key in fuse.guards}
    for load in evidence.circuit.loads:
        if not (load.always_on or evidence.spec.load(load.key).serves in MUST_STAY):
            continue
        count += 1
        feed = [c for c in evidence.circuit.conductors if c.circuit == load.key and c.pole == "positive"]
        if not any(c.key in guarded for c in feed):
            objections.append(fires(load.key, cause="no_fuse", current_a=load.current_a))
        found = _can_go_dark(evidence, load)
        objections += [found] if found is not None else []
    return Examined(count, tuple(objections))


def _can_go_dark(evidence: Evidence, load: Load) -> Objection | None:
    fed_by = feeding(evidence, load.positive)
    if any(not _cuts_off(evidence, bank) for bank in fed_by):
        if feeding(evidence, load.positive, through_switches=False):
            return None
        bank = next(bank for bank in fed_by if not _cuts_off(evidence, bank))
        return fires(load.key, cause="switched", better_bank=bank.key)
    better = next((b.key for b in evidence.circuit.banks if not _cuts_off(evidence, b)), None)
    return fires(load.key, cause="cut_off", bank=fed_by[0].key if fed_by else None, better_bank=better)


def _cuts_off(evidence: Evidence, bank: Bank) -> bool:
    """Whether all strings of a bank can switch themselves off."""
    return all(battery.cut_off for battery in evidence.strings(bank))


def return_smaller(evidence: Evidence) -> Examined:
    """49. A negative smaller than its positive, a shared one overloaded, banks with no common negative.

    Shared: its lasting current exceeds that of its own positive, so that it brings back what left by another; then what
    it carries in all must stay within its ampacity. Common practice, no source.
    """
    objections, count = [], 0
    for poles in _by_circuit(evidence).values():
        count += 1
        positive, negative = max(poles["positive"], key=_area), min(poles["negative"], key=_area)
        if above(_area(positive), _area(negative)):
            objections.append(_smaller(negative, positive))
        found = _shared_return(evidence, negative, positive)
        objections += [found] if found is not None else []
    common = reach(evidence.negative, evidence.circuit.reference, lambda branch: branch.key not in evidence.emergency)
    stated = evidence.spec.spec.bonding
    for bank in evidence.circuit.banks:
        count += 1
        if any(battery.negative not in common for battery in evidence.strings(bank)):
            objections.append(fires(bank.key, cause="no_common_negative"))
    if (
        stated is not None
        and stated.common_negative is False
        and not any(found.values["cause"] == "no_common_negative" for found in objections)
    ):
        objections.append(fires(evidence.circuit.banks[-1].key, cause="no_common_negative"))
    return Examined(count, tuple(objections))


def _by_circuit(evidence: Evidence) -> dict[str, dict[str, list[Conductor]]]:
    """Sized conductors of circuits that have both poles, by circuit and pole."""
    found: dict[str, dict[str, list[Conductor]]] = {}
    for c in evidence.circuit.conductors:
        if c.size is not None:
            found.setdefault(c.circuit, {}).setdefault(c.pole, []).append(c)
    return {circuit: poles for circuit, poles in found.items() if len(poles) == 2}


def _area(conductor: Conductor) -> float:
    return conductor.size.area_mm2 if conductor.size is not None else 0.0


def _smaller(negative: Conductor, positive: Conductor) -> Objection:
    return fires(
        negative.key, cause="smaller", area_mm2=_area(negative), fitted=negative.size.label if negative.size else "",
        needed_mm2=_area(positive), size=positive.size.label if positive.size else "",
    )  # fmt: skip


def _shared_return(evidence: Evidence, negative: Conductor, positive: Conductor) -> Objection | None:
    demands = evidence.design.flow.demands
    back, out_a = demands[negative.key], demands[positive.key].current_a
    limit_a = evidence.ampacity_a(negative.key)
    if not (above(back.current_a, out_a) and above(back.current_a, limit_a)):
        return None
    return fires(
        negative.key, cause="shared", current_a=back.current_a, own_a=out_a, limit_a=limit_a, case=back.case,
        size=evidence.size_with_ampacity(negative, back.current_a),
    )  # fmt: skip


def voltage_drop_high(evidence: Evidence) -> Examined:
    """51. Voltage lost over the whole loop above the family's limit; a load that finds no voltage at all.

    Conductors, fuses, switches and joints, both poles, as solved. What would mend it: own conductors of `size` or some
    in parallel, or no longer than `length_m`, the rest unchanged; a nearer bus; a higher system voltage.
    """
    design = evidence.design
    objections = [
        _drop_objection(evidence, drop, drop.limit_v)
        for drop in design.drops.values()
        if drop.limit_v is not None and above(drop.drop_v, drop.limit_v)
    ]
    dark = _without_voltage(evidence)
    objections += [fires(key, cause=cause, case=case) for key, (cause, case) in dark.items()]
    return Examined(len(design.drops.keys() | dark.keys()), tuple(objections))


def _without_voltage(evidence: Evidence) -> dict[str, tuple[str, str]]:
    """Loads and converters that collapsed in some case, or that nothing feeds while they should run: cause and case."""
    found: dict[str, tuple[str, str]] = {}
    inputs = {f"{c.key}.input": c.key for c in evidence.circuit.converters}
    for case, solution in evidence.design.flow.solutions.items():
        for key in solution.collapsed:
            found.setdefault(inputs.get(key, key), ("collapse", case))
    usual = evidence.design.flow.solutions["usual"]
    for load in evidence.circuit.loads:
        if load.key not in found and load.usual_a > 0 and not load.high_current and load.key not in usual.port_v:
            found[load.key] = ("no_supply", "usual")
    return found


def _drop_objection(evidence: Evidence, drop: Drop, limit_v: float) -> Objection:
    solution = evidence.design.flow.solutions[drop.case]
    mend = mended(evidence, drop.item, solution, drop.drop_v, limit_v)
    load = next((x for x in evidence.circuit.loads if x.key == drop.item), None)
    starter = evidence.circuit.starter
    at_starter = starter is not None and drop.item == starter.key
    critical = load.critical if load is not None else True
    drop_share = drop.drop_v / evidence.circuit.system_v
    return fires(
        drop.item, PRACTICE if at_starter else evidence.family.drop_limit(critical).over(drop_share), cause="drop",
        drop_v=drop.drop_v, limit_v=limit_v, drop_share=drop_share, case=drop.case,
        own_drop_v=mend.own_v, size=mend.size, length_m=mend.length_m, parallel_size=mend.parallel_size,
        parallel_count=mend.parallel_count, shared_drop_v=mend.shared_v,
        higher_v=None if at_starter else _higher_v(evidence, drop, limit_v),
    )  # fmt: skip


def _higher_v(evidence: Evidence, drop: Drop, limit_v: float) -> float | None:
    """The next system voltage at which the same power on these conductors meets its limit: the share goes with 1/U²."""
    now_v = evidence.circuit.system_v
    higher = (volts for volts in SYSTEM_V if volts > now_v)
    return next((volts for volts in higher if not above(drop.drop_v * (now_v / volts) ** 2, limit_v)), None)


def starter_voltage_low(evidence: Evidence) -> Examined:
    """52. Voltage at the starter's own terminals, cranking cold from its own battery, below what the engine needs.

    Without the engine maker's figure: below 8.0 V it fires, up to 9.5 V it is undecided (at 12 V). Undecided too
    where the starter's current is assumed. Common practice, no source. Verdict: `starting.start_verdict`.
    """
    starter = evidence.circuit.starter
    if starter is None:
        return Examined(0)
    solutions = evidence.design.flow.solutions
    rows = {f"{case}_v": s.port_v.get(starter.key) for case, s in solutions.items() if is_cranking(case)}
    volts = rows.get("cranking_v")
    known = not evidence.assumed("engine", "starter_current")
    verdict = start_verdict(volts, starter.minimum_v, evidence.circuit.system_v, current_known=known)
    if verdict == "starts":
        return Examined(1)
    if volts is None:
        return Examined(1, (fires(starter.key, cause="no_supply", cranking_a=starter.cranking_a),))
    least_v = starter.minimum_v
    if least_v is None:
        least_v = (FAILS_BELOW_V_AT_12V if verdict == "fails" else SURE_ABOVE_V_AT_12V) * evidence.scale
    facts: Values = {
        "cause": "voltage", "voltage_v": volts, "limit_v": least_v, "minimum_known": starter.minimum_v is not None,
        "lacking_v": max(0.0, least_v - volts), "cranking_a": starter.cranking_a,
        "resistance_less_ohm": max(0.0, least_v - volts) / starter.cranking_a, **rows,
    }  # fmt: skip
    if verdict == "fails":
        return Examined(1, (fires(starter.key, **facts),))
    find_out = "starter_current" if not known else "minimum_cranking_voltage"
    return Examined(1, (undecided(starter.key, find_out, **facts),))
