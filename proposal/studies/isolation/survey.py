"""What the steps ask of a circuit: which bank keeps the pump alive, what stands where, what a meter shows."""

from functools import cached_property

from proposal.circuit.model import Bank, Bus, Circuit, Load, SeriesDevice
from proposal.codes.family import RuleFamily
from proposal.frozen import frozen
from proposal.parts.catalogue import Catalogue
from proposal.parts.chemistry import cell_count, ocv_v
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.network.case import Case, emergency_keys, relay_keys
from proposal.studies.network.reach import reached
from proposal.studies.network.result import Solution
from proposal.studies.network.solve import solve_quickly

RESTED_SHARE = 0.9
"""Charge of batteries that have rested before work begins. Common practice, no source."""


@frozen
class Yard:
    """An option about to be worked on, and its network with everything parted that can be parted."""

    spec: EffectiveSpec
    circuit: Circuit
    catalogue: Catalogue
    parted: Solution
    """Contactors and relays open, switches closed, nothing on."""
    isolated: Solution
    """Every switch open as well."""

    @cached_property
    def alive(self) -> tuple[Load, ...]:
        """Loads that stay connected when all switches are open."""
        return tuple(x for x in self.circuit.loads if x.always_on)

    @cached_property
    def reserve(self) -> str:
        """Key of the bank that feeds them; empty where there are none."""
        for load in self.alive:
            for bank in self.circuit.banks:
                if load.bus.startswith(f"{bank.key}.") or load.bus == bank.bus:
                    return bank.key
        return ""

    @cached_property
    def banks(self) -> tuple[Bank, ...]:
        """Banks in the order in which they are taken off: the one that keeps the pump alive last."""
        return tuple(sorted(self.circuit.banks, key=lambda b: b.key == self.reserve))

    @cached_property
    def inverters(self) -> tuple[Load, ...]:
        """Loads behind an inverter."""
        return tuple(x for x in self.circuit.loads if x.inverter_id is not None)

    @cached_property
    def contactors(self) -> tuple[SeriesDevice, ...]:
        """Contactors, in the order of the circuit."""
        return tuple(d for d in self.circuit.devices if d.kind == "contactor")

    @cached_property
    def relays(self) -> tuple[SeriesDevice, ...]:
        """Voltage-sensitive relays."""
        return tuple(d for d in self.circuit.devices if d.kind == "vsr")

    @cached_property
    def switches(self) -> tuple[SeriesDevice, ...]:
        """Hand switches that are closed in ordinary use, that of the bank which keeps the pump alive last."""
        shut = emergency_keys(self.circuit)
        found = [d for d in self.circuit.devices if d.kind == "switch" and d.key not in shut]
        return tuple(sorted(found, key=lambda d: d.circuit == self.reserve))

    @cached_property
    def emergency(self) -> tuple[str, ...]:
        """Keys of hand switches that bridge a relay and are open in ordinary use."""
        shut = emergency_keys(self.circuit)
        return tuple(d.key for d in self.circuit.devices if d.key in shut)

    @cached_property
    def buses(self) -> tuple[Bus, ...]:
        """Buses at which work is done, those ahead of a switch last."""
        found = [b for b in self.circuit.buses if b.kind in ("main", "start", "panel", "unswitched")]
        return tuple(sorted(found, key=lambda b: b.kind == "unswitched"))

    def rest_v(self, bank: Bank) -> float:
        """Voltage at the posts of a bank at rest [V]; of one that shares no pole with the house, by its chemistry."""
        battery = self.circuit.battery[bank.strings[0]]
        alone_v = battery.series_count * ocv_v(bank.chemistry, RESTED_SHARE, cell_count(battery.part))
        return self.isolated.port_v.get(battery.key, alone_v)

    def left_v(self, bus: Bus) -> float | None:
        """What is left on a bus with every switch open [V]: of the bank that still reaches it; None where none does."""
        here = reached(self.circuit, bus.positive, self.opened)
        bank = next((b for b in self.circuit.banks if self.circuit.battery[b.strings[0]].positive in here), None)
        return None if bank is None else self.rest_v(bank)

    @cached_property
    def opened(self) -> frozenset[str]:
        """Everything that can be opened."""
        return frozenset(d.key for d in self.circuit.devices if d.kind in ("switch", "contactor", "vsr"))

    def across_v(self, solution: Solution, one: str, other: str) -> float | None:
        """Voltage between two nodes [V]; None where one is dead."""
        volts = solution.voltage_v
        return volts[one] - volts[other] if one in volts and other in volts else None

    def posts(self, bank: Bank, pole: str) -> tuple[str, ...]:
        """Conductors that land on a bank's own posts in one pole."""
        ends = {getattr(self.circuit.battery[key], pole) for key in bank.strings}
        return tuple(
            c.key
            for c in self.circuit.conductors
            if c.pole == pole and c.purpose != "sense" and (c.from_node in ends or c.to_node in ends)
        )


def yard_of(spec: EffectiveSpec, circuit: Circuit, catalogue: Catalogue, family: RuleFamily) -> Yard:
    """The network in the two states that the plan measures."""
    relays = relay_keys(circuit, "contactor") | relay_keys(circuit, "vsr")
    parted = Case("parted", "20", RESTED_SHARE, open_devices=relays)
    switches = frozenset(d.key for d in circuit.devices if d.kind == "switch")
    isolated = Case("isolated", "20", RESTED_SHARE, open_devices=relays | switches)
    return Yard(
        spec, circuit, catalogue, solve_quickly(circuit, parted, family), solve_quickly(circuit, isolated, family)
    )
