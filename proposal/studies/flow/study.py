"""Solves the named cases and finds what each branch must carry."""

from collections.abc import Mapping

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.studies.flow.cases import decides_drop, flow_cases, is_cranking
from proposal.studies.flow.result import Demand, Flow
from proposal.studies.network.assemble import assemble
from proposal.studies.network.result import Solution
from proposal.studies.network.solve import solve_quickly

NOTHING_A = 1e-6
"""Less than this is the rounding of a solution that is zero: it must not name the case that decides."""


def drop_flow(circuit: Circuit, family: RuleFamily, near: Flow | None = None) -> Flow:
    """The cases that decide voltage drops, without networks and demands: what a design step solves most often.

    `near`: cases of the circuit at other sizes, from which to begin.
    """
    cases = [case for case in flow_cases(circuit) if decides_drop(case.id)]
    begin: Mapping[str, Solution] = near.solutions if near is not None else {}
    return Flow({}, {case.id: solve_quickly(circuit, case, family, begin.get(case.id)) for case in cases}, {})


def quick_flow(circuit: Circuit, family: RuleFamily, known: Flow | None = None, near: Flow | None = None) -> Flow:
    """As `load_flow`, without the networks. `known`: cases of the very same circuit that are solved already.

    `near`: cases of the circuit at other sizes, from which to begin.
    """
    solved: Mapping[str, Solution] = known.solutions if known is not None else {}
    begin: Mapping[str, Solution] = near.solutions if near is not None else {}
    solutions = {
        case.id: solved[case.id] if case.id in solved else solve_quickly(circuit, case, family, begin.get(case.id))
        for case in flow_cases(circuit)
    }
    return Flow({}, solutions, _demands(circuit, solutions))


def load_flow(circuit: Circuit, family: RuleFamily) -> Flow:
    """Solve every named case of a circuit.

    A branch's demand is its largest absolute current over all cases that last (cranking apart), and at least the rated
    current of the load, source or DC-DC charger at its end, for a single circuit may run when the rest is off.
    """
    flow = quick_flow(circuit, family)
    networks = {
        case.id: assemble(circuit, case, family, flow.solutions[case.id].warm_c) for case in flow_cases(circuit)
    }
    return Flow(networks, flow.solutions, flow.demands)


def _demands(circuit: Circuit, solutions: dict[str, Solution]) -> dict[str, Demand]:
    rated = {x.key: max(x.current_a, x.rated_a) for x in circuit.loads} | {s.key: s.rated_a for s in circuit.sources}
    for link in circuit.converters:
        rated |= {link.key: link.input_w / circuit.system_v, f"{link.key}.to_fuse": link.output_a}
    lasting = [(key, s.current_a) for key, s in solutions.items() if not is_cranking(key)]
    cranking = [s.current_a for key, s in solutions.items() if is_cranking(key)]
    demands = {}
    for branch in circuit.branches:
        key = branch.key
        largest_a = rated.get(key, rated.get(branch.circuit, 0.0))
        case = "rated" if largest_a > 0.0 or not lasting else lasting[0][0]
        above_a = max(NOTHING_A, largest_a * (1.0 + 1e-9))
        for case_id, currents in lasting:
            amps = currents.get(key, 0.0)
            if not -above_a <= amps <= above_a:
                largest_a, case, above_a = abs(amps), case_id, abs(amps) * (1.0 + 1e-9)
        cranking_a = max([abs(c.get(key, 0.0)) for c in cranking], default=0.0)
        demands[key] = Demand(largest_a, case, cranking_a if cranking_a > NOTHING_A else 0.0)
    return demands
