"""Conductor sizes: the ladder, what raises a circuit on it, and what each size was turned down for."""

from dataclasses import dataclass, field, replace

from proposal.circuit.laid import ampacity_of
from proposal.circuit.model import Circuit, Conductor
from proposal.codes.family import RuleFamily
from proposal.design.result import Choice
from proposal.facts import Reason, Rejected
from proposal.parts.catalogue import Catalogue
from proposal.studies.flow.result import Flow
from proposal.units import ConductorSize


@dataclass
class Ladder:
    """Sizes by circuit: a circuit's conductors share one size. Sizes only rise; each rise remembers why.

    `joined`: the strings of a bank, which rise together, since unequal ones would share its current unequally.
    """

    family: RuleFamily
    catalogue: Catalogue
    insulation_c: int
    sizes: tuple[ConductorSize, ...]
    at: dict[str, int] = field(default_factory=dict)
    reason: dict[str, Reason] = field(default_factory=dict)
    rejected: dict[str, list[Rejected]] = field(default_factory=dict)
    stuck: set[str] = field(default_factory=set)
    joined: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def size(self, circuit_key: str) -> ConductorSize:
        """Present size of a circuit."""
        return self.sizes[self.at[circuit_key]]

    def raise_to(self, circuit_key: str, step: int, reason: Reason) -> bool:
        """Raise a circuit and those joined to it to a step of the ladder, the top at most. True if one moved."""
        moved = False
        for key in self.joined.get(circuit_key, (circuit_key,)):
            moved |= self._raise(key, step, reason)
        return moved

    def _raise(self, circuit_key: str, step: int, reason: Reason) -> bool:
        if step >= len(self.sizes):
            self.stuck.add(circuit_key)
            step = len(self.sizes) - 1
        if step <= self.at[circuit_key]:
            return False
        turned_down = self.rejected.setdefault(circuit_key, [])
        turned_down += [Rejected(self.sizes[n].label, reason) for n in range(self.at[circuit_key], step)]
        self.at[circuit_key] = step
        self.reason[circuit_key] = reason
        return True

    def choice(self, circuit_key: str) -> Choice:
        """Why the circuit has its size."""
        return Choice(self.reason[circuit_key], tuple(self.rejected.get(circuit_key, ())))


def start_ladder(circuit: Circuit, family: RuleFamily, catalogue: Catalogue) -> Ladder:
    """Every circuit at the smallest size that the family takes there and the price book sells."""
    insulation_c = circuit.conductors[0].insulation_c
    known = {size.label for size in family.sizes}
    sold = catalogue.cable_sizes(family.size_system, insulation_c)
    sizes = tuple(size for size in sold if size.nominal in known) or family.sizes
    wired = {c.circuit for c in circuit.conductors}
    leads = [tuple(s for s in bank.strings if s in wired) for bank in circuit.banks if len(bank.strings) > 1]
    joined = {string: strings for strings in leads for string in strings}
    ladder = Ladder(family, catalogue, insulation_c, sizes, joined=joined)
    for conductor in circuit.conductors:
        floor = family.minimum_size(conductor.sheathed)
        step = next((n for n, size in enumerate(sizes) if size >= floor.size), 0)
        if step >= ladder.at.get(conductor.circuit, -1):
            ladder.at[conductor.circuit] = step
            ladder.reason[conductor.circuit] = Reason("smallest_allowed", {"size": sizes[step].label})
    return ladder


def raise_to_rated(ladder: Ladder, circuit: Circuit) -> None:
    """Before anything is solved: each circuit carries at least the currents that its own ends are rated for.

    A feeder or bank carries all ordinary loads of its bus or side at once, since in some case it is their only source.
    """
    least_a: dict[str, float] = {x.key: max(x.current_a, x.rated_a) for x in circuit.loads}
    least_a |= {s.key: s.rated_a for s in circuit.sources}
    least_a |= {k.key: k.input_w / circuit.system_v for k in circuit.converters}
    for load in circuit.loads:
        if load.bus.startswith("panels."):
            least_a[load.bus] = least_a.get(load.bus, 0.0) + load.current_a
    for bank in circuit.banks:
        side = circuit.bus[bank.bus].side
        served = [x for x in circuit.loads if circuit.bus[x.bus].side == side and not x.high_current]
        least_a[bank.key] = sum(x.current_a for x in served)
        for string in bank.strings:
            least_a[string] = least_a[bank.key] / len(bank.strings)
    for conductor in circuit.conductors:
        wanted_a = least_a.get(conductor.circuit, 0.0)
        if conductor.pinned or wanted_a == 0.0:
            continue
        step = ladder.at[conductor.circuit]
        while step < len(ladder.sizes) - 1 and (
            ampacity_of(conductor, ladder.sizes[step], circuit, ladder.family).ampacity_a < wanted_a * (1.0 - 1e-9)
        ):
            step += 1
        ladder.raise_to(conductor.circuit, step, Reason("ampacity", {"current_a": wanted_a, "case": "rated"}))


def raise_for_ampacity(ladder: Ladder, circuit: Circuit, flow: Flow) -> bool:
    """Raise every circuit whose current exceeds its ampacity to the smallest size that carries it."""
    moved = False
    for conductor in circuit.conductors:
        if conductor.pinned:
            continue
        demand = flow.demands[conductor.key]
        step = ladder.at[conductor.circuit]
        while step < len(ladder.sizes):
            ampacity = ampacity_of(conductor, ladder.sizes[step], circuit, ladder.family)
            if ampacity.ampacity_a >= demand.current_a * (1.0 - 1e-9):
                break
            step += 1
        if step > ladder.at[conductor.circuit] or step == len(ladder.sizes):
            reason = Reason("ampacity", {"current_a": demand.current_a, "case": demand.case})
            moved |= ladder.raise_to(conductor.circuit, step, reason)
    return moved


def step_for_fuse(ladder: Ladder, conductor: Conductor, circuit: Circuit, family: RuleFamily, rating_a: float) -> int:
    """The smallest step that may stand behind so large a rating [A]; at least one step up, at most the top."""
    step = ladder.at[conductor.circuit] + 1
    while step < len(ladder.sizes) - 1:
        carries_a = ampacity_of(conductor, ladder.sizes[step], circuit, family).ampacity_a
        if family.fuse_window(0.0, carries_a, circuit.system_v).largest_a >= rating_a * (1.0 - 1e-9):
            break
        step += 1
    return step


def with_sizes(circuit: Circuit, ladder: Ladder) -> Circuit:
    """The circuit with the ladder's present sizes; pinned conductors keep theirs."""
    found: dict[str, tuple[ConductorSize, str | None, str | None]] = {}
    conductors = []
    for conductor in circuit.conductors:
        if conductor.pinned:
            conductors.append(conductor)
            continue
        if conductor.circuit not in found:
            size = ladder.size(conductor.circuit)
            cable = ladder.catalogue.cable(size, ladder.insulation_c)
            found[conductor.circuit] = (size, cable[0] if cable else None, cable[1].compound if cable else None)
        size, part_id, compound = found[conductor.circuit]
        same = conductor.size is size and conductor.part_id == part_id
        conductors.append(conductor if same else replace(conductor, size=size, part_id=part_id, compound=compound))
    return circuit.with_parts(conductors=tuple(conductors))
