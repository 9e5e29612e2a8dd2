"""What the days show of relays: chatter, a joining that is missed, one that never switches, a source left alone."""

from proposal.circuit.model import Bank, SeriesDevice
from proposal.facts import Values
from proposal.rules.days import every_item, figure, figure_or, seen_in, shown, troubles, worst_of_each
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.losing import HIGHEST_V_AT_12V
from proposal.rules.paths import all_but, banks_at, reach
from proposal.rules.thresholds import Thresholds, thresholds
from proposal.spec.equipment import AlternatorSource
from proposal.studies.behaviour.result import Trouble

CHARGES_A = 1.0
"""A source that never gives as much charges nothing. Common practice, no source."""
CHATTER_COUNT = 4
"""More switchings than these in one go are chatter."""
QUIET_S = 600.0
"""A relay whose switchings lie farther apart than this on average does not chatter. Both: common practice, no source.
"""


def relay_chatters(evidence: Evidence) -> Examined:
    """56. A relay or contactor that switches to and fro: more than four times, on average within ten minutes.

    Remedy: a hold-off as long as it went on, ten minutes at most; or a release lower by twice what sensors leave open.
    Undecided where the hold-off is assumed. Common practice, no source.
    """
    if evidence.behaviour is None:
        return Examined(0)
    relays = tuple(evidence.devices("contactor", "vsr"))
    worst = worst_of_each(troubles(evidence, "chatter"), lambda t: figure_or(t, "count", 0.0))
    found = (_chatter(evidence, trouble) for trouble in every_item(worst, (d.key for d in relays)))
    return Examined(len(relays), tuple(x for x in found if x is not None))


def _chatter(evidence: Evidence, trouble: Trouble) -> Objection | None:
    switchings, within_s = figure_or(trouble, "count", 0.0), figure_or(trouble, "within_s", 0.0)
    if not above(switchings, CHATTER_COUNT) or above(within_s, QUIET_S * (switchings - 1)):
        return None
    relay = evidence.circuit.device[trouble.item]
    link = evidence.spec.option.contactor
    limits = thresholds(evidence, relay) if relay.kind == "vsr" else None
    facts: Values = {
        "switch_count": int(switchings), "within_s": within_s, "hold_to_s": min(QUIET_S, within_s),
        "release_to_v": limits.releases_v - 2.0 * shown(evidence).tolerance_v if limits is not None else None,
        **seen_in(evidence, trouble),
    }  # fmt: skip
    if relay.kind == "contactor" and (link is None or link.holds_s is None):
        return undecided(relay.key, "hold_off", **facts)
    return fires(relay.key, **facts)


def join_missed(evidence: Evidence) -> Examined:
    """59. At dusk the bus falls through the lithium's voltage faster than the rule joins; lead then carries the night.

    rule: it joins only while both are nearly equal. hold: it may join however far the bus has fallen, but its hold-off
    outlasts the fall. Remedy: join at bus ≤ lithium + margin, the larger of the rule's and what sensors leave open.
    Undecided where it was missed by less than that, or the hold-off is assumed. Common practice, no source.
    """
    if evidence.behaviour is None:
        return Examined(0)
    banks = {b.through: b for b in evidence.circuit.banks if b.through is not None}
    own = {b.key: through for through, b in banks.items()}
    missed = worst_of_each(troubles(evidence, "join_missed"), lambda t: figure_or(t, "difference_v", 0.0))
    by_contactor = {own.get(key, key): trouble for key, trouble in missed.items()}
    found = (_missed(evidence, key, banks[key], by_contactor[key]) for key in banks if key in by_contactor)
    return Examined(len(banks), tuple(found))


def _missed(evidence: Evidence, key: str, bank: Bank, trouble: Trouble) -> Objection:
    link, tolerance_v = evidence.spec.option.contactor, shown(evidence).tolerance_v
    rule_v = figure(trouble, "rule_v")
    if rule_v is None:
        rule_v = (link.joins_below_v if link is not None else None) or 0.0
    difference_v, falls_s = figure(trouble, "difference_v"), figure(trouble, "falls_s")
    holds_s = link.holds_s if link is not None else None
    facts: Values = {
        "bank": bank.key, "difference_v": difference_v, "rule_v": rule_v, "set_to_v": max(rule_v, tolerance_v),
        "falls_s": falls_s, "holds_s": holds_s, **seen_in(evidence, trouble),
    }  # fmt: skip
    if difference_v is not None and not above(difference_v, rule_v + tolerance_v):
        return undecided(key, "join_watched", **facts)
    if link is not None and link.lithium_above_v is not None:
        return fires(key, cause="rule", **facts)
    if holds_s is None:
        return undecided(key, "hold_off", cause="hold", **facts)
    return fires(key, cause="hold", **facts)


def source_stranded(evidence: Evidence) -> Examined:
    """61. Lithium that parts while it is charged hard: how high the bus then goes, against what is connected bears.

    It is an alternator's field that takes its time to die. Undecided within what sensors leave open, and where the
    alternator has a surge protector, whose own voltage nobody states. What is left with no battery at all is for checks
    31 and 34, and so is a rise that check 31 finds by itself. Common practice, no source.
    """
    if evidence.behaviour is None:
        return Examined(0)
    worst = worst_of_each(troubles(evidence, "source_stranded", ordinary=True), lambda t: figure_or(t, "peak_v", 0.0))
    sources = [s.key for s in evidence.circuit.sources] + [c.key for c in evidence.circuit.converters]
    found = (_stranded(evidence, trouble) for trouble in every_item(worst, sources))
    return Examined(len(sources), tuple(x for x in found if x is not None))


def _stranded(evidence: Evidence, trouble: Trouble) -> Objection | None:
    peak_v, limit_v = figure(trouble, "peak_v"), figure(trouble, "limit_v")
    tolerance_v = shown(evidence).tolerance_v
    if peak_v is None or limit_v is None or not above(peak_v, limit_v - tolerance_v):
        return None
    fields = [s.key for s in evidence.circuit.sources if s.kind == "alternator"]
    item = fields[0] if fields else trouble.item
    bears_v = HIGHEST_V_AT_12V * evidence.scale
    losses = [loss for loss in evidence.switching.losses if loss.source in (item, trouble.item)]
    if any(not loss.left or (loss.voltage_v is not None and above(loss.voltage_v, bears_v)) for loss in losses):
        return None
    written = evidence.spec.spec.sources.get(item.partition(".")[2])
    protected = isinstance(written, AlternatorSource) and written.surge_protected
    facts: Values = {"peak_v": peak_v, "limit_v": limit_v}
    if protected or not above(peak_v, limit_v + tolerance_v):
        return undecided(item, "stranded_peak", **facts)
    return fires(item, **facts)


def relay_never_switches(evidence: Evidence) -> Examined:
    """62. A relay that on an ordinary day of no season joins, though its side is charged; or that never parts.

    Whether a contactor parts is not asked. Remedy: a threshold that the voltage of what it senses passes by what
    sensors leave open, from the days' highest and lowest. Undecided where its thresholds are assumed. Common practice.
    """
    if evidence.behaviour is None:
        return Examined(0)
    relays = tuple(evidence.devices("contactor", "vsr"))
    found = [_never_joins(evidence, r) for r in relays if _in_all_seasons(evidence, "never_joins", r)]
    found += [
        _never_parts(evidence, r) for r in relays if r.kind == "vsr" and _in_all_seasons(evidence, "never_parts", r)
    ]
    return Examined(len(relays), tuple(x for x in found if x is not None))


def _in_all_seasons(evidence: Evidence, code: str, relay: SeriesDevice) -> bool:
    runs = {trouble.run for trouble in troubles(evidence, code) if trouble.item == relay.key}
    seasons = {day.season for day in shown(evidence).days}
    return bool(seasons) and seasons <= runs


def _never_joins(evidence: Evidence, relay: SeriesDevice) -> Objection | None:
    tolerance_v = shown(evidence).tolerance_v
    limits, seen_v = thresholds(evidence, relay), _seen(evidence, "voltage_v", _sensed(evidence, relay)[0])
    if max(_seen(evidence, "current_a", _sensed(evidence, relay)[1]), default=0.0) < CHARGES_A:
        return None
    facts: Values = {
        "joins_v": limits.joins_v if limits is not None else None, "highest_v": max(seen_v, default=None),
        "set_to_v": max(seen_v) - tolerance_v if seen_v and limits is not None else None,
    }  # fmt: skip
    if _assumes(limits, "joins_v"):
        return undecided(relay.key, "relay_thresholds", cause="joins", **facts)
    return fires(relay.key, cause="joins", **facts)


def _never_parts(evidence: Evidence, relay: SeriesDevice) -> Objection:
    tolerance_v = shown(evidence).tolerance_v
    limits, seen_v = thresholds(evidence, relay), _seen(evidence, "voltage_v", _sensed(evidence, relay)[0])
    facts: Values = {
        "releases_v": limits.releases_v if limits is not None else None, "lowest_v": min(seen_v, default=None),
        "set_to_v": min(seen_v) + tolerance_v if seen_v else None,
    }  # fmt: skip
    if _assumes(limits, "releases_v"):
        return undecided(relay.key, "relay_thresholds", cause="parts", **facts)
    return fires(relay.key, cause="parts", **facts)


def _assumes(limits: Thresholds | None, name: str) -> bool:
    return limits is not None and name in limits.assumed


def _sensed(evidence: Evidence, relay: SeriesDevice) -> tuple[set[str], set[str]]:
    """Banks and charge sources beside a relay, on the side that it senses or on both."""
    closed = all_but(*(d.key for d in evidence.devices("vsr")), *evidence.emergency, relay.key)
    nodes = {"from": (relay.from_node,), "to": (relay.to_node,)}.get(
        relay.senses or "both", (relay.from_node, relay.to_node)
    )
    sides = [reach(evidence.positive, node, closed) for node in nodes]
    banks = {b.key for here in sides for b in banks_at(evidence.circuit, here)}
    return banks, {s.key for here in sides for s in evidence.circuit.sources if s.positive in here}


def _seen(evidence: Evidence, quantity: str, items: set[str]) -> list[float]:
    """What some items have in the ordinary days, all seasons together."""
    return [
        value
        for day in shown(evidence).days
        for trace in day.traces
        if trace.quantity == quantity and trace.item in items
        for value in trace.values
    ]
