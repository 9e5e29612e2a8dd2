"""What relays meet for minutes and seconds, and capacitors that are charged through them or by lithium alone."""

from proposal.circuit.model import SeriesDevice
from proposal.facts import Values
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.thresholds import banks_joined, resting, thresholds
from proposal.spec.pricebook import RelayPart
from proposal.studies.switching.result import Surge, Switched

LEAST_EQUIPMENT_V_AT_12V = 10.5
"""Lower end of the voltages at which equipment for 12 V must work (ISO 10133 and its successor)."""


def relay_overloaded_for_seconds(evidence: Evidence) -> Examined:
    """13. What a relay carries for minutes or during a start, or must break, above its ratings; or nothing opens it.

    minutes: windlass, thruster or inverter, with every relay joined, above its five-minute rating. seconds: its share
    of cranking above its rating for that. opening: more than it can break. not_isolated: it stays joined at rest, and a
    start pulls the house below what equipment bears. Common practice, no source.
    """
    objections: list[Objection] = []
    count = 0
    for met in evidence.switching.devices:
        relay = evidence.circuit.device[met.key]
        if met.kind == "switch" or not isinstance(relay.part, RelayPart):
            continue
        count += 1
        objections += [found for found in _relay_ratings(relay, relay.part, met) if found is not None]
        isolated = _not_isolated(evidence, relay)
        objections += [isolated] if isolated is not None else []
    return Examined(count, tuple(objections))


def _relay_ratings(relay: SeriesDevice, part: RelayPart, met: Switched) -> list[Objection | None]:
    minutes_a = part.five_minutes_a or part.rating_a
    found = [_beyond(relay, "minutes", met.minutes.current_a, met.minutes.case, part.five_minutes_a, part.rating_a)]
    if relay.opens_while_starting is not True:
        found.append(_beyond(relay, "seconds", met.seconds.current_a, met.seconds.case, part.cranking_a, minutes_a))
    found.append(_beyond(relay, "opening", met.opening.current_a, met.opening.case, part.break_a, part.rating_a))
    return found


def _beyond(
    relay: SeriesDevice, cause: str, current_a: float, case: str, rating_a: float | None, surely_a: float
) -> Objection | None:
    """`surely_a`: what it bears in any case, where the rating in question is not stated."""
    if not above(current_a, rating_a if rating_a is not None else surely_a):
        return None
    facts: Values = {"cause": cause, "current_a": current_a, "case": case}
    if rating_a is None:
        wanted = "minutes_rating" if cause == "minutes" else "start_rating" if cause == "seconds" else "break_rating"
        return undecided(relay.key, wanted, **facts)
    return fires(relay.key, **facts, limit_a=rating_a)


def _not_isolated(evidence: Evidence, relay: SeriesDevice) -> Objection | None:
    """A voltage-sensitive relay that a resting bank holds is closed when the engine is started."""
    solution = evidence.design.flow.solutions.get("cranking_joined")
    found = thresholds(evidence, relay) if relay.kind == "vsr" else None
    if found is None or solution is None or relay.opens_while_starting is True:
        return None
    if not any(above(resting(evidence, bank).full_v, found.surely_held_v) for bank in banks_joined(evidence, relay)):
        return None
    limit_v = LEAST_EQUIPMENT_V_AT_12V * evidence.scale
    volts = [
        solution.voltage_v[bus.positive] - solution.voltage_v[bus.negative]
        for bus in evidence.circuit.buses
        if bus.kind == "main" and bus.positive in solution.voltage_v and bus.negative in solution.voltage_v
    ]
    if not volts or not above(limit_v, min(volts)):
        return None
    facts: Values = {"cause": "not_isolated", "voltage_v": min(volts), "limit_v": limit_v, "case": "cranking_joined"}
    if relay.opens_while_starting is None:
        return undecided(relay.key, "opens_while_starting", **facts)
    return fires(relay.key, **facts)


def inrush_closes_contactor(evidence: Evidence) -> Examined:
    """18. Capacitors of an inverter charged from nothing with more than a relay makes or a management system lets pass.

    i₀ = U/R [A], τ = R·C [s]; a management system acts only if its trip current is passed for its time. Not where they
    are charged gently. Common practice, no source.
    """
    surges = evidence.switching.surges
    return Examined(len(surges), tuple(found for surge in surges if (found := _surge_objection(surge)) is not None))


def _surge_objection(surge: Surge) -> Objection | None:
    if surge.gentle:
        return None
    facts: Values = {
        "first_item": surge.load, "peak_a": surge.peak_a, "open_v": surge.open_v, "resistance_ohm": surge.loop_ohm,
        "time_constant_s": surge.time_constant_s, "limit_a": surge.limit_a, "limited_by": surge.kind,
    }  # fmt: skip
    wanting = _surge_wanting(surge)
    if wanting is not None:
        return undecided(surge.through, wanting, **facts) if wanting else None
    return fires(
        surge.through, **facts, precharge_ohm=surge.resistor_ohm, precharge_s=surge.precharge_s,
        energy_j=surge.energy_j,
    )  # fmt: skip


def _surge_wanting(surge: Surge) -> str | None:
    """Which figure is wanting; empty where the surge is borne, None where it is not."""
    if surge.limit_a is None:
        return "relay_make_rating" if surge.kind == "relay_make" else "trip_current"
    if not above(surge.peak_a, surge.limit_a):
        return ""
    if surge.above_s is None:
        return "input_capacitance"
    if surge.kind == "management" and surge.limit_s is None:
        return "trip_time"
    if surge.kind == "management" and surge.limit_s is not None and surge.above_s < surge.limit_s:
        return ""
    return "precharge" if surge.gentle is None else None
