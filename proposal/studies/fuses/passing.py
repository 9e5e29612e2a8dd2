"""Starts and inrushes through each fuse: the peak with warm, strong, paralleled sources, the time of a cold start."""

from collections.abc import Iterable, Mapping

import numpy as np

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.frozen import frozen
from proposal.studies.flow.result import Flow
from proposal.studies.fuses.result import MustPass
from proposal.studies.joins.result import Join
from proposal.studies.network.case import Case, relay_keys
from proposal.studies.network.equations import constant_power_v
from proposal.studies.network.solve import reduce_quickly

ASSUMED_TIME = "inrush_time"
"""Code of the assumption that a duration was not stated."""
LEAST_SHARE = 0.02
"""A fuse that takes less of an inrush is left out. Common practice."""

LOW_CHARGE_SHARE = 0.2
"""Charge of the banks at which electronics draw most for their power: as low as a bank is used by plan."""


@frozen
class Inrush:
    """What an item draws at first: as stated at nominal voltage [A], and while it runs; between its terminals.

    Electronics of constant power draw most at a low voltage, a motor at rest at a high one.
    """

    item: str
    positive: str
    negative: str
    stated_a: float
    duration_s: float
    running_a: float
    constant_power: bool


def must_pass(
    circuit: Circuit, family: RuleFamily, flow: Flow, joins: Iterable[Join] = ()
) -> dict[str, tuple[MustPass, ...]]:
    """What each fuse must let pass without melting, by fuse.

    A motor at rest is a resistance: with the stated inrush at nominal voltage, I = U/(R_Thévenin + U_n/I_stated) from
    warm, full banks, and never less than stated. Electronics keep their power: I = U_n·I_stated/U from low ones. It
    divides over the fuses as the network does; what else flows through a fuse adds to it. Relays closed and open, the
    larger. Starts: the largest cranking current, for the cranking time. Joinings:
    the first current, for the time in which it would heat as much as the one that falls.
    """
    found: dict[str, list[MustPass]] = {}
    inrushes = _inrushes(circuit)
    if inrushes:
        relays = relay_keys(circuit, "vsr") | relay_keys(circuit, "contactor")
        peaks: dict[tuple[str, str], float] = {}
        for open_devices in dict.fromkeys((frozenset[str](), relays)):
            for constant_power in (False, True):
                alike = [x for x in inrushes if x.constant_power is constant_power]
                for key, amps in _peaks(circuit, family, flow, alike, open_devices).items() if alike else ():
                    peaks[key] = max(peaks.get(key, 0.0), amps)
        assumed = {a.item for a in circuit.assumed if a.code == ASSUMED_TIME}
        durations = {x.item: x.duration_s for x in inrushes}
        for (fuse, item), amps in peaks.items():
            found.setdefault(fuse, []).append(MustPass(item, "inrush", amps, durations[item], item in assumed))
    starter = circuit.starter
    for device in circuit.devices:
        demand = flow.demands.get(device.key)
        if device.kind == "fuse" and starter is not None and demand is not None and demand.cranking_a > 0.0:
            point = MustPass(starter.key, "start", demand.cranking_a, starter.cranking_s, False)
            found.setdefault(device.key, []).append(point)
    for join in joins:
        for passed in join.share if join.lasts_s is not None else ():
            if passed in circuit.device and circuit.device[passed].kind == "fuse":
                point = MustPass(join.relay, "joining", join.through_a(passed), join.lasts_s or 0.0, False)
                found.setdefault(passed, []).append(point)
    return {fuse: _envelope(points) for fuse, points in found.items()}


def _inrushes(circuit: Circuit) -> list[Inrush]:
    found = [
        Inrush(x.key, x.positive, x.negative, x.inrush_a, x.inrush_s, x.current_a, x.constant_power)
        for x in circuit.loads
        if x.inrush_a is not None and x.inrush_s is not None and x.inrush_a > x.current_a
    ]
    starter = circuit.starter
    if starter is not None:
        pins = (starter.positive, starter.negative)
        found.append(Inrush(starter.key, *pins, starter.inrush_a, starter.inrush_s, 0.0, False))
    return found


def _peaks(
    circuit: Circuit, family: RuleFamily, flow: Flow, inrushes: list[Inrush], open_devices: frozenset[str]
) -> dict[tuple[str, str], float]:
    """Current [A] through each fuse by (fuse, item), one inrush at a time, in one state of the relays.

    All are of one kind, motors or electronics.
    """
    strong = not inrushes[0].constant_power
    charge_share = 1.0 if strong else LOW_CHARGE_SHARE
    case = Case("inrush", "20", charge_share, open_devices=open_devices, for_fault=strong, limit_lead=False)
    reduced = reduce_quickly(circuit, case, family)
    if not reduced.network.emfs:
        return {}
    alive = {*reduced.network.nodes, circuit.reference}
    live = [x for x in inrushes if x.positive in alive and x.negative in alive]
    ohms = reduced.ohms
    fuses = [d for d in circuit.devices if d.kind == "fuse" and d.key in ohms]
    if not live or not fuses:
        return {}
    seen = reduced.seen([(x.positive, x.negative) for x in live])
    behind = zip(live, seen.open_v.tolist(), seen.resistance_ohm.tolist(), strict=True)
    peak_a = [_peak_a(x, open_v, ohm, circuit.system_v) for x, open_v, ohm in behind]
    pairs = [(fuse, number) for fuse in fuses for number in range(len(live))]
    shared_ohm = reduced.transfer_ohm(
        [(fuse.from_node, fuse.to_node) for fuse, _ in pairs], [(live[n].positive, live[n].negative) for _, n in pairs]
    )
    found = {}
    for (fuse, number), ohm in zip(pairs, np.abs(shared_ohm).tolist(), strict=True):
        one, share = live[number], ohm / ohms[fuse.key]
        if share > LEAST_SHARE:
            rest_a = _rest_a(flow, fuse.key, one.item, share * one.running_a)
            found[fuse.key, one.item] = share * peak_a[number] + rest_a
    return found


def _peak_a(inrush: Inrush, open_v: float, ohm: float, system_v: float) -> float:
    """The inrush at the voltage that it finds [A], at least as stated; past maximum power, at half the open voltage."""
    if inrush.constant_power:
        power_w = inrush.stated_a * system_v
        return max(inrush.stated_a, power_w / (constant_power_v(open_v, ohm, power_w) or open_v / 2.0))
    # open voltage over path and what the item is at rest, U / I, written so that an inrush of nothing stays nothing
    return max(inrush.stated_a, open_v * inrush.stated_a / (ohm * inrush.stated_a + system_v))


def _rest_a(flow: Flow, fuse: str, item: str, own_a: float) -> float:
    """What flows through a fuse besides the item that starts [A]: in its own case the rest at its mean."""
    name = item.partition(".")[2]
    solution = flow.solutions.get(f"full.{name}") or flow.solutions.get("usual")
    return max(0.0, abs(solution.current_a.get(fuse, 0.0)) - own_a) if solution is not None else 0.0


def _envelope(points: list[MustPass]) -> tuple[MustPass, ...]:
    """Only points that no other exceeds in both current and duration, the shortest first."""
    kept: list[MustPass] = []
    for point in sorted(points, key=lambda p: (-p.current_a, -p.duration_s, p.item, p.kind)):
        if all(point.duration_s > other.duration_s for other in kept):
            kept.append(point)
    return tuple(sorted(kept, key=lambda p: p.duration_s))


def by_fuse(found: Mapping[str, tuple[MustPass, ...]], fuse: str, lasting_a: float) -> tuple[MustPass, ...]:
    """The points of one fuse that ask for more than its lasting current does [A]."""
    return tuple(p for p in found.get(fuse, ()) if p.current_a > lasting_a)
