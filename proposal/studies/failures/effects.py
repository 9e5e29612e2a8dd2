"""A network with one thing changed, against the same network as it was."""

from collections.abc import Iterable, Mapping
from dataclasses import field, replace
from functools import cached_property

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.frozen import frozen
from proposal.studies.failures.result import BusChange
from proposal.studies.flow.result import Flow
from proposal.studies.network.case import Case
from proposal.studies.network.result import Solution
from proposal.studies.network.solve import solve_quickly

CHARGES_A = 0.5
"""Less than this is the rounding of a charge that has ended, or a loss in a cable. Common practice, no source."""
SHOWN = ("main", "start")


@frozen
class Change:
    """What is opened, closed, taken out, silent, or broken (a conductor)."""

    opened: frozenset[str] = frozenset()
    closed: frozenset[str] = frozenset()
    out: frozenset[str] = frozenset()
    silent: frozenset[str] = frozenset()
    broken: frozenset[str] = frozenset()


NOTHING = Change()


@frozen
class Network:
    """The circuit with its named cases and their solutions as they are without a failure."""

    circuit: Circuit
    family: RuleFamily
    cases: Mapping[str, Case]
    flow: Flow
    solved: dict[tuple[str, Change], Solution] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def at_home(self) -> frozenset[str]:
        """Loads of the house that its switches can darken."""
        house = {b.key for b in self.circuit.buses if b.side == "house"}
        return frozenset(x.key for x in self.circuit.loads if x.bus in house and not x.always_on)

    @cached_property
    def _by_circuit(self) -> dict[str, tuple[str, ...]]:
        found: dict[str, list[str]] = {}
        for device in self.circuit.devices:
            found.setdefault(device.circuit, []).append(device.key)
        for conductor in self.circuit.conductors:
            found.setdefault(conductor.circuit, []).append(conductor.key)
        return {key: tuple(keys) for key, keys in found.items()}

    def on_the_way(self, key: str) -> tuple[str, ...]:
        """Fuses and switches of a circuit, then its cables."""
        return self._by_circuit.get(key, ())

    def solve(self, name: str, change: Change) -> Solution:
        """The solution of a case with a change; the one at hand where the change is none in that case."""
        found = self.solved.get((name, change))
        if found is None:
            found = self.solved[name, change] = self._solve(name, change)
        return found

    def _solve(self, name: str, change: Change) -> Solution:
        case = self.cases[name]
        opened = (case.open_devices | change.opened) - change.closed
        out = case.batteries_out | change.out
        sources = tuple(s for s in case.sources if s not in change.silent)
        if (opened, out, sources) == (case.open_devices, case.batteries_out, case.sources) and not change.broken:
            return self.flow.solutions[name]
        changed = replace(
            case, id=f"{name}.failed", open_devices=opened, batteries_out=out, sources=sources,
            closed_devices=case.closed_devices | change.closed, broken=change.broken,
        )  # fmt: skip
        solution = solve_quickly(self.circuit, changed, self.family)
        starved = self._starved(solution)
        if not starved:
            return solution
        fed = tuple(s for s in sources if s not in starved)
        return solve_quickly(self.circuit, replace(changed, sources=fed), self.family)

    def _starved(self, solution: Solution) -> frozenset[str]:
        """DC-DC chargers whose input is dead: they can give nothing."""
        given = solution.given_a
        return frozenset(
            c.key for c in self.circuit.converters if f"{c.key}.output" in given and f"{c.key}.input" not in given
        )

    def across_v(self, solution: Solution, positive: str, negative: str) -> float | None:
        """Voltage between two nodes [V]; None where one of them is dead."""
        volts = solution.voltage_v
        return volts[positive] - volts[negative] if positive in volts and negative in volts else None

    def buses(self, usual: Solution, charging: Solution) -> tuple[BusChange, ...]:
        """Voltages of the main and start buses before and after."""
        before = self.flow.solutions["usual"]
        return tuple(
            BusChange(
                b.key,
                *(self.across_v(s, b.positive, b.negative) for s in (before, usual, charging)),
            )
            for b in self.circuit.buses
            if b.kind in SHOWN
        )

    def dead(self, usual: Solution) -> tuple[str, ...]:
        """Loads with no voltage, switched on or not, that had it before."""
        before = self.flow.solutions["usual"]
        return tuple(
            x.key
            for x in self.circuit.loads
            if self.across_v(usual, x.positive, x.negative) is None
            and self.across_v(before, x.positive, x.negative) is not None
        )

    def low(self, usual: Solution) -> tuple[str, ...]:
        """Loads that find less than their drop limit leaves of the system's voltage, and found more before."""
        before = self.flow.solutions["usual"]
        found = []
        for load in self.circuit.loads:
            least_v = self.circuit.system_v * (1.0 - self.family.drop_limit(load.critical).value)
            now_v, then_v = usual.port_v.get(load.key), before.port_v.get(load.key)
            if load.key in usual.collapsed or (now_v is not None and then_v is not None and now_v < least_v <= then_v):
                found.append(load.key)
        return tuple(found)

    def stranded(self, usual: Solution, charging: Solution, silent: Iterable[str] = ()) -> tuple[str, ...]:
        """Sources that work and have no battery left, or none before a relay has joined them to one."""
        return tuple(
            s.key
            for s in self.circuit.sources
            if s.key not in silent
            and (s.key not in charging.given_a or self.across_v(usual, s.positive, s.negative) is None)
        )

    def charging(self, charging: Solution) -> tuple[tuple[str, float], ...]:
        """Sources and DC-DC chargers that still give current [A]."""
        named = [(s.key, s.key) for s in self.circuit.sources]
        named += [(c.key, f"{c.key}.output") for c in self.circuit.converters]
        given = [(key, charging.given_a.get(port, 0.0)) for key, port in named]
        return tuple((key, amps) for key, amps in given if amps > CHARGES_A)

    def charged(self, charging: Solution) -> tuple[tuple[str, float], ...]:
        """Banks that still take current [A]."""
        taken = [
            (bank.key, -sum(charging.given_a.get(key, 0.0) for key in bank.strings)) for bank in self.circuit.banks
        ]
        return tuple((key, amps) for key, amps in taken if amps > CHARGES_A)

    def starter_v(self, name: str, change: Change = NOTHING) -> float | None:
        """Voltage at the starter's terminals while it cranks [V]; None where there is none, or no such case."""
        starter = self.circuit.starter
        if starter is None or name not in self.cases:
            return None
        return self.solve(name, change).port_v.get(starter.key)
