"""Cranking on an instant's state: from the starting battery, joined, from lithium alone, by the emergency switch."""

from __future__ import annotations

from typing import NamedTuple

from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.lab import Lab
from proposal.studies.behaviour.machine import Machine
from proposal.studies.behaviour.reading import tolerance_v
from proposal.studies.behaviour.result import CrankingFrom, Verdict

STARTS_12V, FAILS_12V = 9.5, 8.0
"""Where the engine's maker says nothing: starts above, fails below, at the starter. Common practice, no source."""
COLDEST = -1


class Cranked(NamedTuple):
    """Starter voltage [V], the least that it needs [V], margin [V], and what that means."""

    starter_v: float | None
    minimum_v: float | None
    margin_v: float | None
    verdict: Verdict


def ways(lab: Lab) -> tuple[CrankingFrom, ...]:
    """The ways of starting that a circuit has."""
    circuit, starter = lab.circuit, lab.circuit.starter
    if starter is None:
        return ()
    found: list[CrankingFrom] = ["own_bank"]
    if len(circuit.banks) > 1 and any(not r.endswith(".emergency") for r in lab.coarse.relays):
        found.append("joined")
    if any(b.chemistry == "lithium" and b.key != starter.bus for b in circuit.banks):
        found.append("lithium")
    if any(r.endswith(".emergency") for r in lab.coarse.relays):
        found.append("emergency")
    return tuple(found)


def crank(lab: Lab, machine: Machine, way: CrankingFrom, *, coldest: bool = True, season: int = 0) -> Cranked:
    """Crank on a machine's state, everything else off; batteries as cold as their place gets, or as in a season."""
    circuit, starter = lab.circuit, lab.circuit.starter
    if starter is None:
        return Cranked(None, None, None, "fails")
    m = machine.copy()
    own = _own_bank(lab)
    m.arrays[c.M_GNOW][:] = 0.0
    m.block(c.M_SS, c.SOURCE_STATE)[:, c.STAGE] = c.OFF
    m.arrays[c.M_CS][:] = 0.0
    m.arrays[c.M_SET][c.LOW_LOAD_V] = 1.0 * lab.scale
    held, state = m.block(c.M_RS, c.RELAY_STATE), m.block(c.M_STATE, c.STATE)
    for r, key in enumerate(m.relays):
        emergency = key.endswith(".emergency")
        closed = (way == "joined" and not emergency) or way in ("lithium", "emergency")
        held[r, c.CLOSED] = 1.0 if closed and r < len(m.relays) else 0.0
    if way in ("lithium", "emergency"):
        for b, bank in enumerate(circuit.banks):
            if bank.key == own or (way == "lithium" and bank.chemistry != "lithium"):
                state[b, c.CHARGE_BLOCKED] = state[b, c.DISCHARGE_BLOCKED] = 4.0
    group = m.groups.index(starter.key)
    m.arrays[c.M_GNOW][group * c.G_NOW] = starter.cranking_a
    at = COLDEST if coldest else season
    for _ in range(len(circuit.banks) + 1):
        well = lab.settle_at(m, at, starter.cranking_s)
        tripped = _tripped(lab, m, starter.cranking_s)
        if tripped is None:
            break
        m.block(c.M_STATE, c.STATE)[tripped, c.DISCHARGE_BLOCKED] = 1.0
    volts = lab.volts(m, starter.key) if well else None
    return judged(lab, None if volts is None or volts < 1.0 * lab.scale else volts)


def judged(lab: Lab, volts: float | None) -> Cranked:
    """The verdict on a starter's voltage: uncertain within the tolerances, or where its current is only assumed."""
    starter = lab.circuit.starter
    if starter is None:
        return Cranked(volts, None, None, "fails")
    known = not any(a.item == starter.key and a.code == "starter_current" for a in lab.circuit.assumed)
    within = tolerance_v(lab.scale)
    if volts is None:
        return Cranked(None, starter.minimum_v, None, "fails")
    if starter.minimum_v is None:
        margin = volts - STARTS_12V * lab.scale
        sure: Verdict = "starts" if margin >= within else "fails" if volts < FAILS_12V * lab.scale else "uncertain"
        return Cranked(volts, None, margin, sure)
    margin = volts - starter.minimum_v
    verdict: Verdict = "fails" if margin < -within else "uncertain" if margin < within else "starts"
    return Cranked(volts, starter.minimum_v, margin, verdict if known or verdict == "fails" else "uncertain")


def _own_bank(lab: Lab) -> str:
    """Key of the bank that starts the engine."""
    starter = lab.circuit.starter
    keys = [b.key for b in lab.circuit.banks]
    if starter is not None and starter.bus in keys:
        return starter.bus
    found = next((b for b in lab.circuit.banks if b.role == "start"), None)
    return (found or next((b for b in lab.circuit.banks if b.role == "both"), lab.circuit.banks[0])).key


def _tripped(lab: Lab, machine: Machine, lasts_s: float) -> int | None:
    """A lithium bank whose management cuts out at this current within this time."""
    for b, bank in enumerate(lab.circuit.banks):
        part = lab.circuit.battery[bank.strings[0]].part
        if bank.chemistry != "lithium" or machine.block(c.M_STATE, c.STATE)[b, c.DISCHARGE_BLOCKED] > 0.0:
            continue
        amps = machine.block(c.M_STATE, c.STATE)[b, c.AMPS] / len(bank.strings)
        short = part.peak_s is None or lasts_s <= part.peak_s
        limit = part.peak_a if short and part.peak_a is not None else part.discharge_max_a
        if part.trip_a is not None and amps > part.trip_a:
            return b
        if limit is not None and amps > limit:
            return b
    return None
