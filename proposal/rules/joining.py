"""How the first current at joining divides over fuses and strings, and which of them it is too much for first."""

from dataclasses import dataclass, replace

from proposal.circuit.model import SeriesDevice
from proposal.rules.finding import Evidence
from proposal.studies.joins.result import Join
from proposal.studies.network.assemble import assemble
from proposal.studies.network.case import Case
from proposal.studies.network.result import Port
from proposal.studies.network.solve import reduce_network, solve

TINY_SHARE = 0.02
"""Branches that take less of the joining current are left out. Common practice."""


@dataclass(frozen=True, slots=True)
class JoinLimit:
    """Something in the way of a joining current: it bears `limit_a`, reckoned at the relay [A]; None: not known."""

    kind: str
    item: str
    limit_a: float | None


def shares(evidence: Evidence, relay: SeriesDevice) -> dict[str, float]:
    """Part of a unit current through a relay, from its from-node to its to-node, in every branch and battery.

    Linear superposition: in the network without the relay all batteries' voltages are zero, and a port draws 1 A at one
    side and returns it at the other. A battery's part is positive where it is charged. Empty where a side is dead.
    """
    case = Case("join", "20", 1.0, open_devices=frozenset({relay.key}), limit_lead=False)
    network = assemble(evidence.circuit, case, evidence.family)
    if relay.from_node not in network.nodes or relay.to_node not in network.nodes:
        return {}
    unit = Port(relay.key, relay.from_node, relay.to_node, "current", 1.0)
    silent = tuple(replace(emf, emf_v=0.0) for emf in network.emfs)
    solution = solve(reduce_network(replace(network, emfs=silent, ports=(unit,))))
    return solution.current_a | {emf.key: -solution.given_a[emf.key] for emf in silent}


def closing_v(evidence: Evidence, join: Join) -> float:
    """Voltage across a relay when it closes [V]: what the study found, or what its controller lets it close on.

    A contactor's controller joins only while the bus is less than `joins_below_v` above the lithium.
    """
    relay = evidence.circuit.device[join.relay]
    allowed_v = dict(relay.settings).get("joins_below_v")
    if relay.kind == "contactor" and join.situation == "near_empty" and allowed_v is not None:
        return min(join.difference_v, allowed_v)
    return join.difference_v


def limits(evidence: Evidence, join: Join, divided: dict[str, float]) -> tuple[JoinLimit, ...]:
    """What limits a joining current: the relay's make rating, fuses, and what each lithium string takes or gives.

    `near_empty` flows from the to-side to the from-side, `far_empty` the other way.
    """
    relay = evidence.circuit.device[join.relay]
    found = [JoinLimit("relay_make", relay.key, getattr(relay.part, "make_a", None))]
    for fuse in evidence.devices("fuse"):
        share = abs(divided.get(fuse.key, 0.0))
        if share > TINY_SHARE and fuse.part is not None:
            found.append(JoinLimit("fuse", fuse.key, getattr(fuse.part, "rating_a", 0.0) / share))
    direction = -1.0 if join.situation == "near_empty" else 1.0
    for bank in evidence.lithium:
        for battery in evidence.strings(bank):
            taken = direction * divided.get(battery.key, 0.0)
            if abs(taken) <= TINY_SHARE:
                continue
            kind, bears_a = ("lithium_charge", battery.part.charge_max_a) if taken > 0 else (
                "lithium_peak", battery.part.peak_a,
            )  # fmt: skip
            if kind == "lithium_charge" or bears_a is not None:
                found.append(JoinLimit(kind, battery.key, bears_a / abs(taken) if bears_a is not None else None))
    return tuple(found)


def smallest(found: tuple[JoinLimit, ...]) -> tuple[JoinLimit, float] | None:
    """The limit that is reached first and its value [A]; None where nothing is known."""
    known = [(limit, limit.limit_a) for limit in found if limit.limit_a is not None]
    return min(known, key=lambda pair: pair[1], default=None)
