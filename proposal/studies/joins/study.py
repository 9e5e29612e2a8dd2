"""Closing a relay between two banks: i₀ = ΔU/ΣR, since inductance over resistance is about a millisecond here.

Which joinings really occur:

* A contactor with a controller joins a lithium bank to its bus. Its rule bounds the difference, either way by the
  controller's tolerance: the bus at most `joins_below_v` above the lithium, the lithium at most `lithium_above_v` above
  the bus. So a charged bus over an emptied lithium bank never makes the full difference: the controller waits until
  charging has stopped and the bus has sunk. A lithium bank that has switched itself off inside shows no voltage at all
  and is not joined. Where nothing is said of one direction, that difference is free: a lead bank that has been emptied
  while the contactor was held open is joined to a full lithium bank. A contactor that can be closed by hand knows no
  rule.
* A voltage-sensitive relay joins when a side that it senses is charged to its threshold; the other side may be empty.
  A side that it does not sense, or that nothing lifts to the threshold, never is the charged one.
* A contactor between two buses has no controller of its own here: both directions are free.
* A hand switch for emergencies joins a flat starting battery to a house that may be charged, or the other way round.
"""

from proposal.circuit.model import Bank, Battery, Circuit, SeriesDevice
from proposal.circuit.thresholds import controller_tolerance_v, threshold_v
from proposal.codes.family import RuleFamily
from proposal.parts.chemistry import is_lead
from proposal.studies.joins.equations import as_first_s
from proposal.studies.joins.result import Join, Ruled
from proposal.studies.network.accept import accepts_a
from proposal.studies.network.assemble import device_ohm
from proposal.studies.network.case import Case, emergency_keys
from proposal.studies.network.reach import reached
from proposal.studies.network.solve import reduce_quickly, volts_quickly

EMPTY_SHARE = 0.05
"""An emptied bank: below this a lithium bank has cut itself off and a lead bank is at its end. Common practice."""
FULL_SHARE = 1.0
DECAY_S = 10.0
"""Time constant with which the current into discharged lead falls from the first to what it accepts: within half a
minute it is there. Common practice, no source."""
TINY_SHARE = 0.02
"""Branches that take less of the joining current are left out. Common practice."""
SITUATIONS = ("near_empty", "far_empty")


def first_currents(circuit: Circuit, family: RuleFamily) -> tuple[Join, ...]:
    """For each relay and emergency switch, the currents at closing in both situations.

    near_empty: the side beyond the relay full and held at the highest charge voltage of the sources there, since full
    batteries take next to nothing, its own side empty and at rest; far_empty: the other way round.
    i₀ = ΔU/(R_Thévenin + R_relay) [A], lowest battery resistances, 20 °C. Other relays are closed or
    open, whichever gives more. Raises nothing.
    """
    relays = [d for d in circuit.devices if d.kind in ("contactor", "vsr")]
    by_hand = [circuit.device[key] for key in sorted(emergency_keys(circuit))]
    joins = []
    for device in (*relays, *by_hand):
        others = frozenset(d.key for d in relays) - {device.key}
        states = [frozenset({device.key})] + ([others | {device.key}] if others else [])
        for situation in SITUATIONS:
            if device.kind == "vsr" and not _senses(device, situation):
                joins.append(Join(device.key, situation, 0.0, device_ohm(device), 0.0, ruled_by="not_sensed"))
                continue
            found = [_join(circuit, family, device, situation, opened) for opened in states]
            joins.append(max(found, key=lambda join: float(f"{join.current_a:.9g}")))
    return tuple(joins)


def _senses(relay: SeriesDevice, situation: str) -> bool:
    """Whether a voltage-sensitive relay senses the side that is charged."""
    return (relay.senses or "both") in ("to" if situation == "near_empty" else "from", "both")


def _join(circuit: Circuit, family: RuleFamily, device: SeriesDevice, situation: str, opened: frozenset[str]) -> Join:
    apart = opened | emergency_keys(circuit)
    sides = [reached(circuit, node, apart) for node in (device.from_node, device.to_node)]
    if device.to_node in sides[0]:  # joined already, by another way
        return Join(device.key, situation, 0.0, device_ohm(device), 0.0, ruled_by="dead")
    near, far = ([b for b in circuit.banks if _lands(circuit, b, nodes)] for nodes in sides)
    low, high = (near, far) if situation == "near_empty" else (far, near)
    full_side = sides[1] if situation == "near_empty" else sides[0]
    shares = tuple((bank.key, EMPTY_SHARE) for bank in low)
    case = Case(f"join.{situation}", "20", FULL_SHARE, open_devices=opened, charge_of=shares, strong=True)
    reduced = reduce_quickly(circuit, case, family)
    rested = volts_quickly(circuit, case, reduced)
    ends = (device.from_node, device.to_node) if situation == "near_empty" else (device.to_node, device.from_node)
    low_v, rested_v = (rested.get(node) for node in ends)
    if low_v is None or rested_v is None or not low or not high:
        return Join(device.key, situation, 0.0, device_ohm(device), 0.0, ruled_by="dead")
    high_v = max([rested_v, *(s.charge_v for s in circuit.sources if s.positive in full_side)])
    loop = reduced.loop(device.from_node, device.to_node)
    loop_ohm = loop.resistance_ohm + device_ohm(device)
    free_v = max(0.0, high_v - low_v)
    difference_v, ruled_by = _ruled(circuit, device, situation, free_v, high_v)
    current_a = difference_v / loop_ohm
    taken_a = _goes_on_taking_a(circuit, low)
    settles_a = current_a if taken_a is None else min(current_a, taken_a)
    lasts_s = as_first_s(settles_a / current_a, DECAY_S) if settles_a < current_a else None
    return Join(
        device.key, situation, difference_v, loop_ohm, current_a, free_v, ruled_by, settles_a, lasts_s,
        (*_shares(circuit, loop.shares), (device.key, 1.0)),
    )  # fmt: skip


def _ruled(circuit: Circuit, device: SeriesDevice, situation: str, free_v: float, high_v: float) -> tuple[float, Ruled]:
    """Difference at which a relay closes [V], and what settles it. `high_v`: voltage of the charged side's bus."""
    if device.kind == "vsr":
        joins_v, tolerance_v = (threshold_v(device, name, circuit.system_v)[0] for name in ("joins_v", "tolerance_v"))
        return (0.0, "below_threshold") if high_v < joins_v - tolerance_v else (free_v, "free")
    if device.by_hand or device.kind == "switch":
        return free_v, "hand"
    rule = dict(device.settings).get("joins_below_v" if situation == "near_empty" else "lithium_above_v")
    if rule is None:
        return free_v, "free"
    allowed_v = rule + controller_tolerance_v(device, circuit.system_v)[0]
    return (allowed_v, "rule") if allowed_v < free_v else (free_v, "free")


def _goes_on_taking_a(circuit: Circuit, low: list[Bank]) -> float | None:
    """What the emptied side takes for good [A]: lead what it accepts; None: with lithium in it, all that is given."""
    strings: list[Battery] = [circuit.battery[key] for bank in low for key in bank.strings]
    if not all(is_lead(string.part.chemistry) for string in strings):
        return None
    return sum(accepts_a(string, charging=True) for string in strings)


def _shares(circuit: Circuit, shares: dict[str, float]) -> tuple[tuple[str, float], ...]:
    conductors = circuit.conductor
    return tuple((key, share) for key, share in shares.items() if key not in conductors and abs(share) > TINY_SHARE)


def _lands(circuit: Circuit, bank: Bank, nodes: frozenset[str]) -> bool:
    return any(circuit.battery[key].positive in nodes for key in bank.strings)
