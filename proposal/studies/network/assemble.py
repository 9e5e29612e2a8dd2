"""Circuit + case → reduced network: the only place where resistances, battery voltages and ports are put together."""

from collections.abc import Sequence

import numpy as np

from proposal.circuit.model import Battery, Circuit, SeriesDevice
from proposal.codes.family import RuleFamily
from proposal.parts.chemistry import battery_resistance, cell_count, cold_resistance_factor, ocv_v
from proposal.studies.network.accept import accepted_by
from proposal.studies.network.case import Case
from proposal.studies.network.equations import conductor_ohm
from proposal.studies.network.frame import Frame, frame_of
from proposal.studies.network.result import Emf, Network, Resistor
from proposal.studies.network.shape import Array
from proposal.studies.network.wired import ports_of

CONTACT_OHM = {"fuse": 4e-4, "switch": 1.5e-4, "contactor": 2e-4, "vsr": 4e-4, "shunt": 1e-4}
"""Resistance of a device whose part states none or is not chosen yet: 0.4 mΩ is 40 mV at 100 A. Common practice."""
LEAST_OHM = 1e-6
AGED_RESISTANCE_FACTOR = 1.5
"""Resistance of a battery near the end of its life over that of a new one. Common practice, no source."""


def assemble(circuit: Circuit, case: Case, family: RuleFamily, warm_c: Sequence[float] | None = None) -> Network:
    """The network of a case.

    Only nodes joined to the reference by a closed path (conductors, closed devices, batteries) are live; ports with a
    dead end are left out. Conductor temperature: `warm_c`, that of a solution, or hottest or coldest of its place, or
    20 °C. Raises nothing.
    """
    frame = frame_of(circuit, case)
    temperature_c = frame.place_c if warm_c is None else np.array(warm_c)
    ohms = branch_ohms(circuit, frame, family, temperature_c).tolist()
    resistors = [
        Resistor(c.key, c.from_node, c.to_node, ohm, warm)
        for c, ohm, warm in zip(
            (circuit.conductors[n] for n in frame.conductors), ohms, temperature_c.tolist(), strict=False
        )
    ]
    resistors += [
        Resistor(d.key, d.from_node, d.to_node, ohm, 20.0)
        for d, ohm in zip((circuit.devices[n] for n in frame.devices), ohms[len(frame.conductors) :], strict=True)
    ]
    return Network(
        case.id,
        case.temperatures,
        circuit.reference,
        frame.nodes,
        frame.dead,
        tuple(resistors),
        emfs_of(circuit, case, frame),
        ports_of(circuit, case, frame),
        frame.open_devices,
    )


def branch_ohms(circuit: Circuit, frame: Frame, family: RuleFamily, temperature_c: Array) -> Array:
    """Resistances [Ω] of the frame's conductors at their temperatures, then of its devices."""
    per_m, of_devices = _unit_ohms(circuit, family)
    of_conductors = conductor_ohm(per_m[frame.of_conductors], frame.length_m, temperature_c)
    of_conductors = np.maximum(of_conductors, LEAST_OHM)
    return np.concatenate([of_conductors, of_devices[frame.of_devices]])


def _unit_ohms(circuit: Circuit, family: RuleFamily) -> tuple[Array, Array]:
    """Of all conductors [Ω/m at 20 °C] and of all devices [Ω], from the circuit's own memo."""
    memo = ("ohms", family.id)
    found = circuit.own_memo.get(memo)
    if found is None:
        per_m: dict[str, float] = {}
        for c in circuit.conductors:
            size = c.size or family.sizes[0]
            if size.label not in per_m:
                per_m[size.label] = family.resistance_20c_ohm_per_m(size).value
        of_conductors = [per_m[(c.size or family.sizes[0]).label] for c in circuit.conductors]
        found = np.array(of_conductors), np.array([device_ohm(d) for d in circuit.devices])
        circuit.own_memo[memo] = found
    return found


def device_ohm(device: SeriesDevice) -> float:
    """Resistance of a series device: what its part states, else the usual contact resistance of its kind."""
    stated = device.part.resistance_ohm if device.part is not None else 0.0
    return max(stated or CONTACT_OHM[device.kind], LEAST_OHM)


def battery_ohm(circuit: Circuit, battery: Battery, case: Case) -> float:
    """Resistance of a string in a case: series count × one battery's, aged and colder ones higher."""
    one = battery_resistance(battery.part)
    ohm = battery.series_count * (one.for_fault_ohm if case.for_fault or case.strong else one.for_drop_ohm)
    if case.weak:
        ohm *= AGED_RESISTANCE_FACTOR
    if case.temperatures in ("cold", "limit"):
        ohm *= cold_resistance_factor(battery.part.chemistry, circuit.place[battery.place].coldest_c)
    return ohm


def emfs_of(circuit: Circuit, case: Case, frame: Frame) -> tuple[Emf, ...]:
    """The battery strings of a case, from the circuit's memo: no size of a conductor or device touches them."""
    key = (Emf, case)
    found = circuit.memo.get(key)
    if found is None:
        strings = [circuit.batteries[n] for n in frame.batteries]
        found = circuit.memo[key] = tuple(_emf(circuit, battery, case) for battery in strings)
    return tuple(found)


def _emf(circuit: Circuit, battery: Battery, case: Case) -> Emf:
    share = dict(case.charge_of).get(battery.bank, case.charge_share)
    volts = battery.series_count * ocv_v(battery.part.chemistry, share, cell_count(battery.part))
    accepts_a = accepted_by(circuit, case, battery.key)
    return Emf(battery.key, battery.positive, battery.negative, volts, battery_ohm(circuit, battery, case), accepts_a)
