"""What bears the first current at joining: the relay's contacts, the fuses in its way, each lithium string."""

from proposal.frozen import frozen
from proposal.rules.finding import Evidence
from proposal.spec.pricebook import BatteryPart
from proposal.studies.joins.result import Join

DIGITS = 9
"""Significant digits by which limits are compared: of equal ones the first is named, whatever the last bits say."""


@frozen
class JoinLimit:
    """Something in the way of a joining current: it bears `limit_a`, reckoned at the relay [A]; None: not known."""

    kind: str
    item: str
    limit_a: float | None


def limits(evidence: Evidence, join: Join) -> tuple[JoinLimit, ...]:
    """What limits a joining current: the relay's make rating, fuses, and what each lithium string takes or gives.

    A fuse bears its rating, and more of a current that falls. A lithium string gives its peak if that is allowed for as
    long as the current lasts, else what it gives for hours.
    """
    relay = evidence.circuit.device[join.relay]
    share = join.share
    makes = relay.kind != "switch"  # makers of hand switches state no making current
    found = [JoinLimit("relay_make", relay.key, getattr(relay.part, "make_a", None))] if makes else []
    for fuse in evidence.devices("fuse"):
        if fuse.key in share and fuse.part is not None:
            rating_a = getattr(fuse.part, "rating_a", 0.0)
            found.append(JoinLimit("fuse", fuse.key, join.fuse_holds * rating_a / abs(share[fuse.key])))
    direction = -1.0 if join.situation == "near_empty" else 1.0
    for bank in evidence.lithium:
        for battery in evidence.strings(bank):
            taken = direction * share.get(battery.key, 0.0)
            if taken == 0.0:
                continue
            kind, bears_a = _bears(battery.part, join.lasts_s, charged=taken > 0)
            if kind == "lithium_charge" or bears_a is not None:
                found.append(JoinLimit(kind, battery.key, bears_a / abs(taken) if bears_a is not None else None))
    return tuple(found)


def _bears(part: BatteryPart, lasts_s: float | None, *, charged: bool) -> tuple[str, float | None]:
    if charged:
        return "lithium_charge", part.charge_max_a
    too_long = lasts_s is None or (part.peak_s is not None and part.peak_s < lasts_s)
    if too_long and part.discharge_max_a is not None:
        return "lithium_discharge", part.discharge_max_a
    return "lithium_peak", part.peak_a


def smallest(found: tuple[JoinLimit, ...]) -> tuple[JoinLimit, float] | None:
    """The limit that is reached first and its value [A]; None where nothing is known."""
    known = [(limit, limit.limit_a) for limit in found if limit.limit_a is not None]
    return min(known, key=lambda pair: float(f"{pair[1]:.{DIGITS}g}"), default=None)
