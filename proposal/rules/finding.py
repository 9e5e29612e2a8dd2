"""What a check is given and what it hands back: the case file of one option; objections as codes with typed values."""

from collections.abc import Callable, Iterator
from functools import cached_property
from typing import Literal

from proposal.circuit.laid import ampacity_of
from proposal.circuit.model import Bank, Battery, Circuit, Conductor, Load, SeriesDevice
from proposal.codes.family import Ampacity, RuleFamily, highest_system_v
from proposal.design.result import Design
from proposal.facts import Severity, Value, Values
from proposal.frozen import frozen
from proposal.parts.catalogue import Catalogue
from proposal.parts.chemistry import battery_resistance
from proposal.rules.paths import Ways, ways
from proposal.sources import Citation
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.behaviour.result import Behaviour
from proposal.studies.energy.result import Energy
from proposal.studies.energy.study import energy
from proposal.studies.flow.cases import flow_cases, is_cranking
from proposal.studies.fuses.judge import fitted_of, judge
from proposal.studies.fuses.result import Verdict
from proposal.studies.joins.result import Join
from proposal.studies.network.case import Case, emergency_keys
from proposal.studies.sharing.result import Sharing, StringOut
from proposal.studies.sharing.study import sharing, strings_out
from proposal.studies.switching.result import Store, Switching
from proposal.studies.switching.study import switching
from proposal.units import ConductorSize

Objecting = Literal["fires", "undecided"]

PRACTICE = Citation("common_practice", "", "common practice")
ROUNDING = 1e-9
"""Share by which a figure may pass its limit: the last bits of arithmetic are no objection."""


@frozen
class Objection:
    """What one check has against one item, or could not decide; `citation` where it is another than the check's own."""

    outcome: Objecting
    item: str
    values: Values
    citation: Citation | None = None


@frozen
class Examined:
    """How many items a check looked at, and its objections."""

    count: int
    objections: tuple[Objection, ...] = ()


@frozen
class RawFinding:
    """An objection with the id, number and severity of its check. `item` is a key; values hold units in names."""

    id: str
    number: int
    severity: Severity
    outcome: Objecting
    item: str
    values: Values
    citation: Citation


@frozen
class Outcome:
    """How a whole check went: items tested, and findings in the order of the circuit."""

    tested: int
    findings: tuple[RawFinding, ...]


def fires(item: str, citation: Citation | None = None, /, **values: Value) -> Objection:
    """An objection that the computed figures bear out."""
    return Objection("fires", item, values, citation)


def undecided(item: str, find_out: str, citation: Citation | None = None, /, **values: Value) -> Objection:
    """A point that cannot be decided; `find_out` is the code of the figure that is wanting."""
    return Objection("undecided", item, {"find_out": find_out, **values}, citation)


def above(value: float, limit: float) -> bool:
    """Whether a value is above its limit by more than rounding."""
    return value > limit + ROUNDING * abs(limit)


@frozen
class Evidence:
    """Everything about one option that a check may look at: results only, nothing that chooses."""

    design: Design
    spec: EffectiveSpec
    family: RuleFamily
    joins: tuple[Join, ...]
    catalogue: Catalogue
    behaviour: Behaviour | None = None
    """What the days show; None where nobody asked for them."""

    @property
    def circuit(self) -> Circuit:
        """The circuit with its chosen parts."""
        return self.design.circuit

    @property
    def scale(self) -> float:
        """System voltage over 12 V: thresholds of practice are given for 12 V."""
        return self.circuit.system_v / 12.0

    @cached_property
    def highest_v(self) -> float:
        """Highest voltage that the system reaches [V]."""
        return highest_system_v(self.circuit.system_v).value

    @cached_property
    def energy(self) -> Energy:
        """A day's balance by season, and what the banks hold."""
        return energy(self.spec, self.circuit)

    @cached_property
    def lasting(self) -> dict[str, Case]:
        """The cases of load flow that last, by id."""
        return {case.id: case for case in flow_cases(self.circuit) if not is_cranking(case.id)}

    @cached_property
    def sharing(self) -> tuple[Sharing, ...]:
        """How the strings of each bank share its current."""
        return sharing(self.circuit, self.family, self.lasting, self.design.flow)

    def strings_out(self, shared: Sharing) -> tuple[StringOut, ...]:
        """What happens when a string of a bank is out."""
        return strings_out(self.circuit, self.family, self.lasting, self.design.flow, shared)

    @cached_property
    def verdicts(self) -> dict[str, Verdict]:
        """How each fuse that has a part stands on what is asked of it."""
        fitted, demands = fitted_of(self.circuit), self.design.fuse_demands
        return {
            key: judge(demands[key], each.part, each.curve, fitted) for key, each in fitted.items() if key in demands
        }

    @cached_property
    def switching(self) -> Switching:
        """What contactors, relays and switches meet, and what is left when one opens."""
        stores = tuple(self._store(load) for load in self.circuit.loads if load.inverter_id is not None)
        cases = {case.id: case for case in flow_cases(self.circuit)}
        return switching(self.circuit, self.family, cases, self.design.flow, self.joins, stores)

    def _store(self, load: Load) -> Store:
        written = self.spec.load(load.key)
        part = self.catalogue.inverter(load.inverter_id or "")
        said = [part.precharges, written.precharge]
        if self.spec.option.contactor is not None:
            said.append(self.spec.option.contactor.precharge)
        gentle = True if True in said else False if False in said else None
        if written.precharge_ohm is not None:
            gentle = False  # the resistor itself is reckoned with
        return Store(load.key, part.capacitance_f, gentle, written.precharge_ohm)

    @cached_property
    def bank(self) -> dict[str, Bank]:
        """Banks by key."""
        return {b.key: b for b in self.circuit.banks}

    @cached_property
    def emergency(self) -> frozenset[str]:
        """Keys of hand switches that are open in ordinary use."""
        return emergency_keys(self.circuit)

    @cached_property
    def positive(self) -> Ways:
        """Branches of the positive pole by node."""
        return ways(self.circuit, "positive")

    @cached_property
    def negative(self) -> Ways:
        """Branches of the negative pole by node."""
        return ways(self.circuit, "negative")

    @cached_property
    def lithium(self) -> tuple[Bank, ...]:
        """Lithium banks."""
        return tuple(b for b in self.circuit.banks if b.chemistry == "lithium")

    @cached_property
    def lead(self) -> tuple[Bank, ...]:
        """Banks of lead-acid."""
        return tuple(b for b in self.circuit.banks if b.chemistry != "lithium")

    @cached_property
    def _assumed(self) -> dict[str, frozenset[str]]:
        found: dict[str, set[str]] = {}
        for entry in self.circuit.assumed:
            found.setdefault(entry.item, set()).add(entry.code)
        return {item: frozenset(codes) for item, codes in found.items()}

    def assumed(self, item: str, code: str) -> bool:
        """Whether a figure of an item was assumed because nobody stated it."""
        return code in self._assumed.get(item, ())

    @cached_property
    def assumed_batteries(self) -> frozenset[str]:
        """Keys of batteries whose fault current no maker's figure bears out."""
        return frozenset(b.key for b in self.circuit.batteries if battery_resistance(b.part).fault_assumed)

    @cached_property
    def banks_of_assumed_resistance(self) -> frozenset[str]:
        """Keys of banks whose batteries' resistance no maker states."""
        return frozenset(b.bank for b in self.circuit.batteries if battery_resistance(b.part).drop_assumed)

    def devices(self, *kinds: str) -> Iterator[SeriesDevice]:
        """Series devices of some kinds, in the order of the circuit."""
        return (d for d in self.circuit.devices if d.kind in kinds)

    def strings(self, bank: Bank) -> tuple[Battery, ...]:
        """The strings of a bank."""
        return tuple(self.circuit.battery[key] for key in bank.strings)

    def capacity_ah(self, bank: Bank) -> float:
        """Capacity of a bank [Ah]: strings in parallel add up."""
        return sum(battery.part.capacity_ah for battery in self.strings(bank))

    def ampacity_a(self, key: str) -> float:
        """Ampacity of a conductor [A]."""
        return self.design.ampacities[key].ampacity_a

    def largest_fuse_a(self, key: str) -> float:
        """Largest fuse that the family allows on a conductor [A]."""
        return self.family.fuse_window(0.0, self.ampacity_a(key), self.circuit.system_v).largest_a

    def size_with_ampacity(self, conductor: Conductor, current_a: float) -> str | None:
        """The smallest size for sale that carries a current where this conductor runs; see `smallest_size`."""
        return self._smallest(conductor, lambda found: not above(current_a, found.ampacity_a))

    def size_with_fuse(self, conductor: Conductor, rating_a: float) -> str | None:
        """The smallest size for sale that may stand behind a fuse of this rating; see `smallest_size`."""

        def allows(found: Ampacity) -> bool:
            window = self.family.fuse_window(0.0, found.ampacity_a, self.circuit.system_v)
            return not above(rating_a, window.largest_a)

        return self._smallest(conductor, allows)

    def smallest_size(self, conductor: Conductor, meets: Callable[[ConductorSize], bool]) -> str | None:
        """Of the sizes that meet a demand the smallest for sale, else the smallest; None: none meets it."""
        sold = set(self.catalogue.cable_sizes(self.family.size_system, conductor.insulation_c))
        fitting = [size for size in self.family.sizes if meets(size)]
        return next((size.label for size in fitting if size in sold), fitting[0].label if fitting else None)

    def _smallest(self, conductor: Conductor, meets: Callable[[Ampacity], bool]) -> str | None:
        return self.smallest_size(
            conductor, lambda size: meets(ampacity_of(conductor, size, self.circuit, self.family))
        )
