"""Closing a relay between two banks: i₀ = ΔU/ΣR, since inductance over resistance is about a millisecond here."""

from proposal.circuit.model import Circuit, SeriesDevice
from proposal.codes.family import RuleFamily
from proposal.studies.joins.result import Join
from proposal.studies.network.assemble import device_ohm
from proposal.studies.network.case import Case, emergency_keys
from proposal.studies.network.solve import reduce_case, solve, thevenin

EMPTY_SHARE = 0.05
"""An emptied bank: below this a lithium bank has cut itself off and a lead bank is at its end. Common practice."""
FULL_SHARE = 1.0


def first_currents(circuit: Circuit, family: RuleFamily) -> tuple[Join, ...]:
    """For each relay, the currents at closing in the situations that occur.

    near_empty: the side beyond the relay charged to its sources' voltage, the near bank empty. far_empty: the near bank
    full, the far banks empty. i₀ = U_open/(R_Thévenin + R_relay) [A]. Temperatures 20 °C.
    """
    joins = []
    for device in circuit.devices:
        if device.kind in ("contactor", "vsr"):
            joins += [_join(circuit, family, device, situation) for situation in ("near_empty", "far_empty")]
    return tuple(joins)


def _join(circuit: Circuit, family: RuleFamily, device: SeriesDevice, situation: str) -> Join:
    near = _near_banks(circuit, device)
    low, high = (near, FULL_SHARE) if situation == "near_empty" else (near, EMPTY_SHARE)
    shares = tuple((bank, EMPTY_SHARE if situation == "near_empty" else FULL_SHARE) for bank in low)
    sources = tuple(s.key for s in circuit.sources) if situation == "near_empty" else ()
    case = Case(
        f"join.{situation}", "20", high, (), sources, frozenset({device.key}), charge_of=shares,
    )  # fmt: skip
    reduced = reduce_case(circuit, case, family)
    solution = solve(reduced)
    near_v, far_v = solution.voltage_v.get(device.from_node), solution.voltage_v.get(device.to_node)
    if near_v is None or far_v is None:
        return Join(device.key, situation, 0.0, device_ohm(device), 0.0)
    _, ohm = thevenin(reduced, device.to_node, device.from_node)
    difference_v = abs(far_v - near_v)
    loop_ohm = ohm + device_ohm(device)
    return Join(device.key, situation, difference_v, loop_ohm, difference_v / loop_ohm)


def _near_banks(circuit: Circuit, device: SeriesDevice) -> tuple[str, ...]:
    """Banks on the from-side of a relay: the bank it belongs to, or those on the bus that its link starts from."""
    if device.circuit.startswith("banks."):
        return (device.circuit,)
    beside: dict[str, set[str]] = {}
    apart = {device.key} | emergency_keys(circuit)
    for branch in circuit.branches:
        if branch.key not in apart and branch.pole == "positive":
            beside.setdefault(branch.from_node, set()).add(branch.to_node)
            beside.setdefault(branch.to_node, set()).add(branch.from_node)
    seen, ahead = {device.from_node}, [device.from_node]
    while ahead:
        for node in beside.get(ahead.pop(), ()):
            if node not in seen:
                seen.add(node)
                ahead.append(node)
    return tuple({b.bank: None for b in circuit.batteries if b.positive in seen})
