"""Charge sources that lose their battery while they work."""

from collections.abc import Iterable

from proposal.facts import Values
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.spec.equipment import AlternatorSource, SolarSource
from proposal.studies.switching.result import Loss

HIGHEST_V_AT_12V = 15.5
"""Upper end of the voltages that equipment for 12 V must bear (ISO 10133 and its successor)."""


def alternator_loses_battery(evidence: Evidence) -> Examined:
    """31. An alternator that something can leave without a battery, or with one that cannot hold its voltage down.

    no_battery: its field goes on for a moment and drives the bus to many times its voltage. rises: lithium gone, its
    current into the lead that is left, U = E + I·R hot, above 15.5 V (at 12 V). Common practice, no source.
    """
    objections: list[Objection] = []
    count = 0
    for key, spec in evidence.spec.spec.sources.items():
        if isinstance(spec, AlternatorSource):
            count += 1
            found = _alternator_alone(evidence, f"sources.{key}", spec)
            objections += [found] if found is not None else []
    return Examined(count, tuple(objections))


def _alternator_alone(evidence: Evidence, key: str, spec: AlternatorSource) -> Objection | None:
    losses = [loss for loss in evidence.switching.losses if loss.source == key]
    limit_v = HIGHEST_V_AT_12V * evidence.scale
    alone = next((loss for loss in losses if not loss.left), None)
    if alone is not None and not spec.surge_protected:
        facts = {"cause": "no_battery", **_lost(alone)}
        return fires(key, **facts) if spec.surge_protected is False else undecided(key, "surge_protected", **facts)
    high = [loss for loss in losses if loss.voltage_v is not None and above(loss.voltage_v, limit_v)]
    worst = max(high, key=lambda loss: loss.voltage_v or 0.0, default=None)
    if worst is None or worst.resistance_ohm is None:
        return None
    return fires(
        key, cause="rises", **_lost(worst), voltage_v=worst.voltage_v, limit_v=limit_v, bank=worst.left[0],
        current_a=worst.current_a, resistance_ohm=worst.resistance_ohm,
        resistance_allowed_ohm=max(0.0, limit_v - spec.charge_v) / worst.current_a,
    )  # fmt: skip


def _lost(loss: Loss) -> Values:
    return {"event": loss.event, "first_item": loss.item}


def solar_loses_battery(evidence: Evidence) -> Examined:
    """34. A solar controller that something can leave without a battery in sunshine, and that does not bear it.

    Where only a hand can do it, a switch in the array side that is opened first is enough. Common practice, no source.
    """
    objections: list[Objection] = []
    count = 0
    for key, spec in evidence.spec.spec.sources.items():
        if isinstance(spec, SolarSource):
            count += 1
            losses = (loss for loss in evidence.switching.losses if loss.source == f"sources.{key}")
            found = _controller_alone(evidence, f"sources.{key}", spec, losses)
            objections += [found] if found is not None else []
    return Examined(count, tuple(objections))


def _controller_alone(evidence: Evidence, key: str, spec: SolarSource, losses: Iterable[Loss]) -> Objection | None:
    survives = evidence.catalogue.charger(spec.controller).survives_without_battery
    alone = [loss for loss in losses if not loss.left]
    itself = [loss for loss in alone if loss.event != "switch"]
    if survives or not alone or (not itself and spec.array_switch):
        return None
    first = (itself or alone)[0]
    if survives is None:
        return undecided(key, "survives_without_battery", **_lost(first))
    return fires(key, cause="itself" if itself else "by_hand", **_lost(first))
