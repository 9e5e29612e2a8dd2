"""By how much each event of a day was decided: the day again with what is sensed read too high or too low."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.lab import Lab
from proposal.studies.behaviour.machine import Machine
from proposal.studies.behaviour.reading import CODES, item_of, told_rows, tolerance_v
from proposal.studies.behaviour.result import Event

OFFSETS_12V = (0.02, 0.05, 0.08, 0.12, 0.2, 0.3, 0.5)
"""How far readings are shifted, at 12 V, to both sides; beyond the last nothing is asked."""
DECIDED_BY_VOLTAGE = (
    "relay_joins", "relay_parts", "charge_blocked", "discharge_blocked", "load_dark", "load_back", "collapse",
)  # fmt: skip
Occurrence = tuple[str, str]


def with_margins(
    lab: Lab, before: Machine, happened: Sequence[Event], first_slot: int, last_slot: int
) -> tuple[Event, ...]:
    """Events of some slots with their margins: the largest shift with which each still happens, to both sides.

    `before` is the machine at the beginning. The nth of a kind at an item is told from the others by its number alone.
    Uncertain is what a shift by less than the tolerances makes to be left out. Shifts are of relays' own leads (the bus
    side of a contactor), of loads' and managements' thresholds alike.
    """
    wanted = Counter(occurrence(e) for e in happened if e.code in DECIDED_BY_VOLTAGE)
    if not wanted:
        return tuple(happened)
    margins_v = {key: [0.0] * count for key, count in wanted.items()}
    narrower_v = 0.0
    for offset_v in (o * lab.scale for o in OFFSETS_12V):
        fewest = _fewest(lab, before, offset_v, first_slot, last_slot)
        for key, each_v in margins_v.items():
            for number in range(min(len(each_v), fewest[key])):
                if each_v[number] == narrower_v:  # once lost, a wider shift proves nothing
                    each_v[number] = offset_v
        narrower_v = offset_v
    within, seen = tolerance_v(lab.scale), Counter[Occurrence]()
    return tuple(_told(event, margins_v, seen, within) for event in happened)


def _told(event: Event, margins_v: dict[Occurrence, list[float]], seen: Counter[Occurrence], within_v: float) -> Event:
    key = occurrence(event)
    if key not in margins_v:
        return event
    margin_v = margins_v[key][seen[key]]
    seen[key] += 1
    return replace(event, margin_v=margin_v, uncertain=margin_v < within_v)


def occurrence(event: Event) -> Occurrence:
    """What happens, and to what."""
    return event.code, event.item


def _fewest(lab: Lab, before: Machine, offset_v: float, first_slot: int, last_slot: int) -> Counter[Occurrence]:
    """How often each thing happens at least, with readings shifted to either side."""
    runs = [Counter(_occurrences(lab, before, sign * offset_v, first_slot, last_slot)) for sign in (1.0, -1.0)]
    return runs[0] & runs[1]


def _occurrences(lab: Lab, before: Machine, offset_v: float, first_slot: int, last_slot: int) -> Iterator[Occurrence]:
    machine = shifted(before, offset_v)
    machine.arrays[c.M_AUDIT][c.A_EVENTS] = 0.0
    machine.run(first_slot, last_slot)
    for row in told_rows(machine):
        code = int(row[1])
        if code in CODES:
            yield CODES[code], item_of(lab, machine, code, int(row[2]))


def shifted(machine: Machine, offset_v: float) -> Machine:
    """A copy whose relays, managements and loads take every voltage for so much higher than it is [V]."""
    m = machine.copy()
    relays = m.block(c.M_RELAY, c.RELAY)
    relays[:, c.OFFSET_ONE_V] += offset_v
    for r in range(len(m.relays)):
        if relays[r, c.R_KIND] == c.VSR:  # a contactor compares both its sides: one lead of them is off
            relays[r, c.OFFSET_OTHER_V] += offset_v
    rows = m.season_rows(c.M_BANK, c.BANK, len(m.banks))
    for column in (c.HIGH_V, c.HIGH_FREE_V, c.LOW_V, c.LOW_FREE_V):
        rows[:, :, column] -= offset_v
    loads, groups = m.block(c.M_LOAD, c.LOAD), m.block(c.M_GROUP, c.GROUP)
    loads[:, c.L_CUT_V] -= offset_v
    loads[:, c.L_BACK_V] -= offset_v
    groups[:, c.G_CUT_V] -= offset_v
    return m
