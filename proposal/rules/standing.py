"""What drains a vessel that nobody is aboard."""

from collections.abc import Iterator

from proposal.circuit.model import Bank
from proposal.facts import Values
from proposal.frozen import frozen
from proposal.parts.self_discharge import self_discharge_a
from proposal.rules.days import emptied_by_neglect
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.paths import all_but, banks_at, reach
from proposal.sources import Citation
from proposal.spec.pricebook import RelayPart, ShuntPart

RELAY_WAITS_A = 0.010
"""Own current of a voltage-sensitive relay that is open. A seller's data sheet."""
HOURS_PER_DAY = 24.0
LONGEST_DAYS = 365.0
"""Left alone for a year: beyond that nobody is asked for how long."""


@frozen
class _Together:
    """Banks that stay joined with nobody aboard: what each thing draws from them [A], and what they lose alone [A]."""

    banks: tuple[Bank, ...]
    usable_ah: float
    drains: tuple[tuple[str, float], ...]
    lost_a: float
    lost_by: Citation | None

    @property
    def drain_a(self) -> float:
        """All that draws [A]."""
        return sum(amps for _, amps in self.drains)


def standing_drain_high(evidence: Evidence) -> Examined:
    """16. What flows with nobody aboard, for as long as she is left alone, above the charge that may be used.

    Loads that stay on at their mean, held coils, electronics of latching and waiting relays, meters, and what the banks
    lose by themselves. Usable: of full banks, in the cold. Voltage-sensitive relays are open, contactors closed; what a
    DC-DC charger that always works joins counts as one.
    Where the days are known they decide: as long as a bank of those joined keeps its reserve nothing is said, even with
    the load forgotten on; run without one, or with one that stays on anyway, they say when all are spent.
    Common practice, no source; self-discharge: `parts.self_discharge`, which from memory decides nothing alone.
    """
    groups = tuple(_left_together(evidence))
    days = evidence.spec.spec.system.unattended_days
    found = [_drained(evidence, group, days) for group in groups]
    if days is None:
        asked = [objection for objection in found if objection is not None]
        first = min(asked, key=lambda objection: float(objection.values["lasts_days"] or 0.0), default=None)
        return Examined(len(groups), () if first is None else (first,))
    return Examined(len(groups), tuple(objection for objection in found if objection is not None))


def _drained(evidence: Evidence, group: _Together, days: float | None) -> Objection | None:
    whole_a = group.drain_a + group.lost_a
    lasts_days = group.usable_ah / (whole_a * HOURS_PER_DAY) if whole_a > 0.0 else None
    wanted_days = LONGEST_DAYS if days is None else days
    spent = _spent_by_then(evidence, group, days) if days is not None else None
    if spent is False or (spent is None and (lasts_days is None or not above(wanted_days, lasts_days))):
        return None
    most, most_a = max(group.drains, key=lambda pair: pair[1], default=("", 0.0))
    facts: Values = {
        "drain_a": group.drain_a, "lost_a": group.lost_a, "usable_ah": group.usable_ah, "lasts_days": lasts_days,
        "first_item": most if most_a > 0.0 else None, "first_a": most_a,
    }  # fmt: skip
    item = group.banks[0].key
    if days is None:
        return undecided(item, "left_alone", **facts)
    taken: Values = {"left_days": days, "taken_ah": whole_a * HOURS_PER_DAY * days}
    if spent:
        last_days = _last_emptied_days(evidence, group)
        return fires(item, **{**facts, "by": "simulated", "lasts_days": last_days or lasts_days}, **taken)
    surely = above(group.drain_a * HOURS_PER_DAY * days, group.usable_ah)
    if not surely and group.lost_by is not None and group.lost_by.status == "from memory":
        return undecided(item, "self_discharge", group.lost_by, **facts, **taken)
    return fires(item, **facts, **taken)


def _spent_by_then(evidence: Evidence, group: _Together, days: float) -> bool | None:
    """Whether all of these banks are below their reserve after so many days alone; None: the days do not tell."""
    neglect = evidence.behaviour.neglect if evidence.behaviour is not None else None
    rows = [emptied_by_neglect(evidence, bank.key) for bank in group.banks]
    if neglect is None or above(days, neglect.followed_days) or None in rows:
        return None
    usable = {held.bank: held.usable_share for held in evidence.energy.banks}
    kept = any(
        not above(1.0 - usable[row.bank], row.lowest_share) or (row.days is not None and above(row.days, days))
        for row in rows
        if row is not None
    )
    if kept:
        return False
    stays_on = neglect.left_on in ("", *(key for key, amps in group.drains if amps > 0.0))
    told = not above(neglect.followed_days, days) or all(row is not None and row.days is not None for row in rows)
    return True if stays_on and told else None


def _last_emptied_days(evidence: Evidence, group: _Together) -> float | None:
    """When the last of these banks was empty [days]; None: one never was."""
    rows = (emptied_by_neglect(evidence, bank.key) for bank in group.banks)
    days = [row.days for row in rows if row is not None]
    known = [day for day in days if day is not None]
    return max(known, default=None) if len(known) == len(days) else None


def _left_together(evidence: Evidence) -> Iterator[_Together]:
    usable = {held.bank: held.usable_ah for held in evidence.energy.banks}
    seen: set[str] = set()
    for bank in evidence.circuit.banks:
        if bank.key in seen:
            continue
        here = _fed_together(evidence, evidence.strings(bank)[0].positive)
        banks = banks_at(evidence.circuit, here)
        seen |= {b.key for b in banks}
        lost = [self_discharge_a(b.chemistry, evidence.capacity_ah(b)) for b in banks]
        least_sure = next((cited for _, cited in lost if cited.status == "from memory"), lost[0][1])
        yield _Together(
            banks, sum(usable[b.key] for b in banks), tuple(_drains(evidence, banks, here)),
            sum(amps for amps, _ in lost), least_sure,
        )  # fmt: skip


def _fed_together(evidence: Evidence, start: str) -> frozenset[str]:
    """Nodes joined to a node with relays open, and across DC-DC chargers that work whether or not an engine runs."""
    passes = all_but(*(d.key for d in evidence.devices("vsr")), *evidence.emergency)
    here = reach(evidence.positive, start, passes)
    while True:
        pairs = [(c.in_positive, c.out_positive) for c in evidence.circuit.converters if c.runs_with == "always"]
        beyond = [other for pair in pairs for one, other in (pair, pair[::-1]) if one in here and other not in here]
        if not beyond:
            return here
        here |= reach(evidence.positive, beyond[0], passes)


def _drains(evidence: Evidence, banks: tuple[Bank, ...], here: frozenset[str]) -> Iterator[tuple[str, float]]:
    circuit = evidence.circuit
    for load in circuit.loads:
        if load.positive in here and (load.away or load.always_on):
            yield load.key, load.mean_a
    for controller in circuit.controllers:
        part = circuit.device[controller.contactor].part
        if controller.supply in here and isinstance(part, RelayPart):
            yield controller.contactor, part.coil_a
    for relay in evidence.devices("vsr"):
        fed_at = relay.to_node if relay.senses == "to" else relay.from_node
        if fed_at in here and isinstance(relay.part, RelayPart):
            yield relay.key, relay.part.coil_a if relay.part.coil == "latching" else RELAY_WAITS_A
    keys = {bank.key for bank in banks}
    for shunt in evidence.devices("shunt"):
        if shunt.circuit in keys and isinstance(shunt.part, ShuntPart):
            yield shunt.key, shunt.part.meter_a
