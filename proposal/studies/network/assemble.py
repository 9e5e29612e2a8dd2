"""Circuit + case → reduced network: the only place where resistances, battery voltages and ports are put together."""

from collections.abc import Mapping

from proposal.circuit.model import Battery, Circuit, SeriesDevice, Source
from proposal.codes.family import RuleFamily
from proposal.parts.chemistry import battery_resistance, cell_count, cold_resistance_factor, ocv_v
from proposal.studies.network.case import STARTER, Case
from proposal.studies.network.equations import conductor_ohm
from proposal.studies.network.result import Emf, Network, Port, Resistor

CHARGER_DROOP_V = 0.05
"""Fall of a charger's voltage from no load to its limit; small beside any threshold. Common practice, no source."""
CONTACT_OHM = {"fuse": 4e-4, "switch": 1.5e-4, "contactor": 2e-4, "vsr": 4e-4, "shunt": 1e-4}
"""Resistance of a device whose part states none or is not chosen yet: 0.4 mΩ is 40 mV at 100 A. Common practice."""
LEAST_OHM = 1e-6
NORMALLY_OPEN = "emergency"


def assemble(circuit: Circuit, case: Case, family: RuleFamily) -> Network:
    """The network of a case.

    Only nodes joined to the reference by a closed path (conductors, closed devices, batteries) are live; ports with a
    dead end are left out. Conductor temperature: hottest or coldest of its place, or 20 °C. Raises nothing.
    """
    resistors = []
    open_here = tuple(d.key for d in circuit.devices if _is_open(d, case))
    for conductor in circuit.conductors:
        place = circuit.place[conductor.place]
        warm = {"hot": place.hottest_c, "cold": place.coldest_c, "20": 20.0}[case.temperatures]
        size = conductor.size if conductor.size is not None else family.sizes[0]
        ohm = conductor_ohm(family.resistance_20c_ohm_per_m(size).value, conductor.length_m, warm)
        resistors.append(Resistor(conductor.key, conductor.from_node, conductor.to_node, max(ohm, LEAST_OHM), warm))
    resistors += [
        Resistor(d.key, d.from_node, d.to_node, device_ohm(d), 20.0) for d in circuit.devices if d.key not in open_here
    ]
    emfs = [_emf(circuit, battery, case) for battery in circuit.batteries if battery.key not in case.batteries_out]
    live = _live(circuit, resistors, emfs)
    ports = [p for p in _ports(circuit, case) if p.positive in live and p.negative in live]
    return Network(
        case.id, case.temperatures, circuit.reference,
        tuple(n.key for n in circuit.nodes if n.key in live),
        tuple(n.key for n in circuit.nodes if n.key not in live),
        tuple(r for r in resistors if r.from_node in live and r.to_node in live),
        tuple(e for e in emfs if e.positive in live and e.negative in live),
        tuple(ports), open_here,
    )  # fmt: skip


def device_ohm(device: SeriesDevice) -> float:
    """Resistance of a series device: what its part states, else the usual contact resistance of its kind."""
    stated = device.part.resistance_ohm if device.part is not None else 0.0
    return max(stated or CONTACT_OHM[device.kind], LEAST_OHM)


def _is_open(device: SeriesDevice, case: Case) -> bool:
    if device.key.endswith(f".{NORMALLY_OPEN}"):
        return device.key not in case.closed_devices
    return device.key in case.open_devices


def battery_ohm(circuit: Circuit, battery: Battery, case: Case) -> float:
    """Resistance of a string in a case: series count × one battery's, colder ones higher."""
    one = battery_resistance(battery.part)
    ohm = battery.series_count * (one.for_fault_ohm if case.for_fault else one.for_drop_ohm)
    if case.temperatures == "cold":
        ohm *= cold_resistance_factor(battery.part.chemistry, circuit.place[battery.place].coldest_c)
    return ohm


def _emf(circuit: Circuit, battery: Battery, case: Case) -> Emf:
    share = dict(case.charge_of).get(battery.bank, case.charge_share)
    volts = battery.series_count * ocv_v(battery.part.chemistry, share, cell_count(battery.part))
    return Emf(battery.key, battery.positive, battery.negative, volts, battery_ohm(circuit, battery, case))


def _live(circuit: Circuit, resistors: list[Resistor], emfs: list[Emf]) -> set[str]:
    beside: dict[str, list[str]] = {}
    for one, other in [(r.from_node, r.to_node) for r in resistors] + [(e.positive, e.negative) for e in emfs]:
        beside.setdefault(one, []).append(other)
        beside.setdefault(other, []).append(one)
    seen, ahead = {circuit.reference}, [circuit.reference]
    while ahead:
        for node in beside.get(ahead.pop(), ()):
            if node not in seen:
                seen.add(node)
                ahead.append(node)
    return seen


def _ports(circuit: Circuit, case: Case) -> list[Port]:
    amps: Mapping[str, float] = dict(case.loads)
    ports = []
    for load in circuit.loads:
        taken = amps.get(load.key, 0.0)
        if taken and load.constant_power:
            ports.append(Port(load.key, load.positive, load.negative, "power", power_w=taken * circuit.system_v))
        elif taken:
            ports.append(Port(load.key, load.positive, load.negative, "current", taken))
    if circuit.starter is not None and amps.get(STARTER):
        starter = circuit.starter
        ports.append(Port(starter.key, starter.positive, starter.negative, "current", amps[STARTER]))
    for controller in circuit.controllers:
        contactor = circuit.device[controller.contactor]
        coil_a = getattr(contactor.part, "coil_a", 0.0)
        if coil_a and contactor.key not in case.open_devices:
            ports.append(Port(controller.key, controller.supply, controller.negative, "current", coil_a))
    ports += [_charger(s, case) for s in circuit.sources if s.key in case.sources]
    for c in circuit.converters:
        if c.key in case.sources:
            taken_w = c.output_a * c.charge_v / c.efficiency
            ports.append(Port(f"{c.key}.input", c.in_positive, c.in_negative, "power", power_w=taken_w))
            ports.append(
                Port(
                    f"{c.key}.output", c.out_positive, c.out_negative, "charger", c.output_a, set_v=c.charge_v,
                    droop_ohm=CHARGER_DROOP_V / c.output_a,
                )
            )  # fmt: skip
    return ports


def _charger(source: Source, case: Case) -> Port:
    if case.for_fault:
        return Port(source.key, source.positive, source.negative, "current", -source.current_a)
    droop_ohm = CHARGER_DROOP_V / max(source.current_a, 0.1)
    return Port(
        source.key, source.positive, source.negative, "charger", source.current_a, set_v=source.charge_v,
        droop_ohm=droop_ohm,
    )  # fmt: skip
