"""What of a network follows from topology and case alone: made once, used for every set of sizes."""

from dataclasses import replace

import numpy as np

from proposal.circuit.model import Circuit
from proposal.frozen import frozen
from proposal.studies.network.case import NORMALLY_OPEN, Case
from proposal.studies.network.result import Resistor
from proposal.studies.network.shape import Array, Numbers, Shape, shape_of


@frozen
class Frame:
    """Live nodes and branches of a case.

    `conductors`, `devices`: positions in the circuit of those that are live and closed, `of_conductors` and
    `of_devices` the same as arrays; `batteries` likewise. `names` stand for the conductors, then the devices, with no
    resistance yet; `shape` has its branches in that order. `place_c`: temperature of each live conductor while nothing
    flows in it; `length_m` of each.
    """

    shape: Shape
    nodes: tuple[str, ...]
    dead: tuple[str, ...]
    open_devices: tuple[str, ...]
    conductors: tuple[int, ...]
    devices: tuple[int, ...]
    batteries: tuple[int, ...]
    names: tuple[Resistor, ...]
    of_conductors: Numbers
    of_devices: Numbers
    place_c: Array
    length_m: Array


def frame_of(circuit: Circuit, case: Case) -> Frame:
    """The frame of a case, from the circuit's memo or made now; cases that open the same devices share one."""
    joined = (case.open_devices, case.closed_devices, case.batteries_out, case.broken)
    key = (Frame, *joined, case.temperatures)
    found = circuit.memo.get(key)
    if not isinstance(found, Frame):
        plain = circuit.memo.get((Frame, *joined))
        if plain is None:
            plain = circuit.memo[Frame, *joined] = _make(circuit, case)
        found = circuit.memo[key] = replace(plain, place_c=_place_c(circuit, plain, case))
    return found


def _make(circuit: Circuit, case: Case) -> Frame:
    """All but the temperatures."""
    shut = tuple(d.key for d in circuit.devices if _is_open(d.key, case))
    closed = [n for n, d in enumerate(circuit.devices) if d.key not in shut]
    strings = [n for n, b in enumerate(circuit.batteries) if b.key not in case.batteries_out]
    whole = [n for n, c in enumerate(circuit.conductors) if c.key not in case.broken]
    joins = [(circuit.conductors[n].from_node, circuit.conductors[n].to_node) for n in whole]
    joins += [(circuit.devices[n].from_node, circuit.devices[n].to_node) for n in closed]
    joins += [(circuit.batteries[n].positive, circuit.batteries[n].negative) for n in strings]
    live = _live(circuit.reference, joins)
    nodes = tuple(n.key for n in circuit.nodes if n.key in live)
    conductors = tuple(n for n in whole if circuit.conductors[n].from_node in live)
    devices = tuple(n for n in closed if circuit.devices[n].from_node in live)
    batteries = tuple(n for n in strings if circuit.batteries[n].positive in live)
    branches = [(circuit.conductors[n].from_node, circuit.conductors[n].to_node) for n in conductors]
    branches += [(circuit.devices[n].from_node, circuit.devices[n].to_node) for n in devices]
    keys = [circuit.conductors[n].key for n in conductors] + [circuit.devices[n].key for n in devices]
    spans = [(circuit.batteries[n].positive, circuit.batteries[n].negative) for n in batteries]
    return Frame(
        shape_of(nodes, circuit.reference, branches, spans, _pins(circuit)),
        nodes,
        tuple(n.key for n in circuit.nodes if n.key not in live),
        shut,
        conductors,
        devices,
        batteries,
        tuple(Resistor(key, "", "", 0.0, 0.0) for key in keys),
        np.array(conductors, dtype=np.intp),
        np.array(devices, dtype=np.intp),
        np.zeros(0),
        np.array([circuit.conductors[n].length_m for n in conductors]),
    )


def _place_c(circuit: Circuit, frame: Frame, case: Case) -> Array:
    """Temperature of each conductor in a case while nothing flows in it; see `Temperatures`."""
    conductors = [circuit.conductors[n] for n in frame.conductors]
    if case.temperatures == "limit":
        return np.array([float(c.insulation_c) for c in conductors])
    if case.temperatures == "20":
        return np.full(len(conductors), 20.0)
    hot = case.temperatures == "hot"
    at_c = {key: place.hottest_c if hot else place.coldest_c for key, place in circuit.place.items()}
    return np.array([at_c[c.place] for c in conductors], dtype=np.float64)


def _pins(circuit: Circuit) -> list[str]:
    """Ends of everything that can be a port of some case."""
    pins = [pin for x in circuit.loads for pin in (x.positive, x.negative)]
    pins += [pin for s in circuit.sources for pin in (s.positive, s.negative)]
    if circuit.starter is not None:
        pins += [circuit.starter.positive, circuit.starter.negative]
    for c in circuit.converters:
        pins += [c.in_positive, c.in_negative, c.out_positive, c.out_negative]
    return pins + [pin for k in circuit.controllers for pin in (k.supply, k.negative)]


def _is_open(key: str, case: Case) -> bool:
    if key.endswith(f".{NORMALLY_OPEN}"):
        return key not in case.closed_devices
    return key in case.open_devices


def _live(reference: str, joins: list[tuple[str, str]]) -> set[str]:
    """Nodes that closed paths join to the reference."""
    beside: dict[str, list[str]] = {}
    for one, other in joins:
        beside.setdefault(one, []).append(other)
        beside.setdefault(other, []).append(one)
    seen, ahead = {reference}, [reference]
    while ahead:
        for node in beside.get(ahead.pop(), ()):
            if node not in seen:
                seen.add(node)
                ahead.append(node)
    return seen
