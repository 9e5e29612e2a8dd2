"""What a load alone loses on its whole loop, from the posts of the battery that feeds it to its own pins."""

from collections.abc import Iterator

from proposal.circuit.model import Circuit, Load
from proposal.codes.family import RuleFamily
from proposal.studies.flow.result import Flow
from proposal.studies.network.case import Case, relay_keys
from proposal.studies.network.result import Solution
from proposal.studies.network.solve import reduce_case

GIVES_A = 0.01


def loop_drops(circuit: Circuit, family: RuleFamily, flow: Flow) -> Iterator[tuple[str, str, float]]:
    """(load, battery, drop [V]) of each load that finds voltage, in the order of the circuit.

    ΔU = I·(R_load − R_post): of each ampere drawn at the pins, what the pins lose less what the posts of the battery
    lose that gives most of it. Conductors at 20 °C, for nothing has run long enough to warm them; of the batteries
    those that feed the load in its own case; relays between house and start open. Linear in the current.
    """
    found: dict[str, tuple[str, float]] = {}
    by_out: dict[frozenset[str], list[Load]] = {}
    for load in circuit.loads:
        solution = flow.solutions.get(f"full.{load.key.split('.', 1)[1]}", flow.solutions["usual"])
        if load.key in solution.port_v:
            by_out.setdefault(_idle(circuit, solution), []).append(load)
    for out, loads in by_out.items():
        for load, post, ohm in _loops(circuit, family, out, loads):
            found[load.key] = post, ohm * load.current_a
    return ((x.key, *found[x.key]) for x in circuit.loads if x.key in found)


def _idle(circuit: Circuit, solution: Solution) -> frozenset[str]:
    """Strings that give nothing in a case."""
    return frozenset(b.key for b in circuit.batteries if solution.given_a.get(b.key, 0.0) <= GIVES_A)


def _loops(
    circuit: Circuit, family: RuleFamily, out: frozenset[str], loads: list[Load]
) -> Iterator[tuple[Load, str, float]]:
    """(load, battery that gives most, resistance of the loop between the two [Ω])."""
    case = Case(
        "commissioning", "20", 1.0, open_devices=relay_keys(circuit, "vsr"), batteries_out=out, limit_lead=False
    )
    reduced = reduce_case(circuit, case, family)
    live = frozenset(reduced.network.nodes)
    there = [x for x in loads if x.positive in live and x.negative in live]
    if not there or not reduced.network.emfs:
        return
    pins = [(x.positive, x.negative) for x in there]
    seen = reduced.seen(pins)
    most = seen.given_share.argmax(axis=0).tolist()
    emfs = [reduced.network.emfs[place] for place in most]
    posts_ohm = reduced.transfer_ohm([(e.positive, e.negative) for e in emfs], pins)
    ohms = (seen.resistance_ohm - posts_ohm).tolist()
    yield from zip(there, (e.key for e in emfs), ohms, strict=True)
