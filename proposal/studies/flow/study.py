"""Solves the named cases and finds what each branch must carry."""

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.studies.flow.cases import decides_drop, flow_cases, is_cranking
from proposal.studies.flow.result import Demand, Flow
from proposal.studies.network.result import Solution
from proposal.studies.network.solve import solve_case, solve_quickly


def quick_flow(circuit: Circuit, family: RuleFamily, *, drops_only: bool = False) -> Flow:
    """As `load_flow`, without the networks: for a design step, which solves again and again.

    `drops_only` leaves out the cases that never decide a voltage drop.
    """
    cases = [c for c in flow_cases(circuit) if not drops_only or decides_drop(c.id)]
    solutions = {case.id: solve_quickly(circuit, case, family) for case in cases}
    return Flow({}, solutions, {} if drops_only else _demands(circuit, solutions))


def load_flow(circuit: Circuit, family: RuleFamily) -> Flow:
    """Solve every named case of a circuit.

    A branch's demand is its largest absolute current over all cases that last (cranking apart), and at least the rated
    current of the load, source or DC-DC charger at its end, for a single circuit may run when the rest is off.
    """
    networks, solutions = {}, {}
    for case in flow_cases(circuit):
        networks[case.id], solutions[case.id] = solve_case(circuit, case, family)
    return Flow(networks, solutions, _demands(circuit, solutions))


def _demands(circuit: Circuit, solutions: dict[str, Solution]) -> dict[str, Demand]:
    rated = {x.key: x.current_a for x in circuit.loads} | {s.key: s.rated_a for s in circuit.sources}
    for link in circuit.converters:
        rated |= {link.key: link.input_w / circuit.system_v, f"{link.key}.to_fuse": link.output_a}
    lasting = [(key, s.current_a) for key, s in solutions.items() if not is_cranking(key)]
    cranking = [s.current_a for key, s in solutions.items() if is_cranking(key)]
    demands = {}
    for branch in circuit.branches:
        key = branch.key
        largest_a, case = rated.get(branch.circuit, 0.0), "rated"
        for case_id, currents in lasting:
            amps = abs(currents.get(key, 0.0))
            if amps > largest_a * (1.0 + 1e-9):
                largest_a, case = amps, case_id
        demands[key] = Demand(largest_a, case, max((abs(c.get(key, 0.0)) for c in cranking), default=0.0))
    return demands
