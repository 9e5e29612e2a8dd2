"""The loads and charge sources of a case, and where their pins are in its network."""

from collections.abc import Mapping, Sequence

from proposal.circuit.model import Circuit, Converter, Source
from proposal.frozen import frozen
from proposal.studies.network.case import STARTER, Case
from proposal.studies.network.frame import Frame
from proposal.studies.network.ports import Laws, laws_of
from proposal.studies.network.result import Emf, Port
from proposal.studies.network.shape import Numbers, Shape

CHARGER_DROOP_V = 0.05
"""Fall of a charger's voltage from no load to its limit; small beside any threshold. Common practice, no source."""


@frozen
class Wired:
    """Ports of a case whose two ends are live; with the bounds of its batteries, their laws and nodes at their pins."""

    ports: tuple[Port, ...]
    laws: Laws
    positive: Numbers
    negative: Numbers


def wire(ports: Sequence[Port], emfs: Sequence[Emf], shape: Shape) -> Wired:
    """Ports and batteries in a network. Raises KeyError for a pin that is not live."""
    laws = laws_of((*ports, *_bounds(emfs)))
    return Wired(
        tuple(ports), laws, shape.rows(p.positive for p in laws.ports), shape.rows(p.negative for p in laws.ports)
    )


def _bounds(emfs: Sequence[Emf]) -> list[Port]:
    """For each battery that takes only so much, a port that gives back what it would take above that."""
    return [
        Port(e.key, e.positive, e.negative, "bound", e.accepts_a, set_v=e.emf_v, droop_ohm=e.resistance_ohm)
        for e in emfs
        if e.accepts_a is not None
    ]


def coils_a(circuit: Circuit) -> tuple[float, ...]:
    """What the coil of each controller's contactor takes [A]: all that chosen parts change of the ports of a case."""
    return tuple(getattr(circuit.device[c.contactor].part, "coil_a", 0.0) for c in circuit.controllers)


def ports_of(circuit: Circuit, case: Case, frame: Frame) -> tuple[Port, ...]:
    """Loads and sources of a case whose two ends are live."""
    live = frame.shape.index
    return tuple(p for p in _ports(circuit, case) if p.positive in live and p.negative in live)


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
    in_fault = case.for_fault or case.weak  # what it does to a coil is no part of a fault current
    for controller in () if in_fault else circuit.controllers:
        contactor = circuit.device[controller.contactor]
        coil_a = getattr(contactor.part, "coil_a", 0.0)
        if coil_a and contactor.key not in case.open_devices:
            ports.append(Port(controller.key, controller.supply, controller.negative, "current", coil_a))
    ports += [_charger(s, case) for s in circuit.sources if s.key in case.sources]
    for c in circuit.converters:
        if c.key in case.sources:
            ports += _converter(c, case)
    return ports


def _converter(c: Converter, case: Case) -> list[Port]:
    """What a DC-DC charger takes and gives; into a fault it gives its full current, whatever it takes."""
    pins, key = (c.out_positive, c.out_negative), f"{c.key}.output"
    if case.for_fault:
        return [Port(key, *pins, "current", -c.output_a)]
    taken = Port(f"{c.key}.input", c.in_positive, c.in_negative, "power", power_w=c.input_w)
    droop_ohm = CHARGER_DROOP_V / c.output_a
    return [taken, Port(key, *pins, "charger", c.output_a, set_v=c.charge_v, droop_ohm=droop_ohm)]


def _charger(source: Source, case: Case) -> Port:
    pins = (source.positive, source.negative)
    if case.for_fault:
        return Port(source.key, *pins, "current", -max(source.rated_a, source.current_a))
    droop_ohm = CHARGER_DROOP_V / max(source.current_a, 0.1)
    return Port(source.key, *pins, "charger", source.current_a, set_v=source.charge_v, droop_ohm=droop_ohm)
