"""Highest prospective fault currents: batteries full and warm, links closed, conductors at 20 °C, sources at full."""

import numpy as np

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.studies.faults.result import Fault, Faults
from proposal.studies.network.assemble import assemble
from proposal.studies.network.case import Case, emergency_keys
from proposal.studies.network.result import Network
from proposal.studies.network.solve import reduce_network


def fault_case(circuit: Circuit) -> Case:
    """Everything that can feed a fault does: relays and emergency switches closed, lowest battery resistances."""
    sources = tuple(s.key for s in circuit.sources)
    closed = emergency_keys(circuit)
    return Case("fault", "20", 1.0, (), sources, closed_devices=closed, for_fault=True, limit_lead=False)


def fault_currents(circuit: Circuit, family: RuleFamily) -> tuple[Network, Faults]:
    """Prospective fault current between every node and its mate.

    Thévenin: I = U_open / R, R = Z_pp + Z_nn − 2·Z_pn of the inverted nodal matrix [Ω]; charge sources add their full
    current. `feeds`: what each battery and source gives into that fault. A conductor's two ends are two nodes.
    Where no battery is joined to the reference there is no fault.
    """
    network = assemble(circuit, fault_case(circuit), family)
    reduced = reduce_network(network)
    volts = reduced.idle_v.copy()
    for port in network.ports:
        volts = volts - reduced.inverse_ohm @ (reduced.incidence(port.positive, port.negative) * port.current_a)
    live = set(network.nodes) if network.emfs else set()
    pairs = [(n.key, n.mate) for n in circuit.nodes if n.key in live and n.mate in live and n.key != n.mate]
    size = len(reduced.index)
    columns = np.zeros((size, len(pairs)))
    for number, (one, other) in enumerate(pairs):
        sign = 1.0 if circuit.node[one].pole == "positive" else -1.0
        columns[:, number] = sign * reduced.incidence(one, other)
    response = reduced.inverse_ohm @ columns
    open_v = columns.T @ volts
    ohm = np.einsum("ij,ij->j", columns, response)
    amps = open_v / ohm
    spans = reduced.battery_incidence.T
    behind = np.array([e.resistance_ohm for e in network.emfs])
    emf = np.array([e.emf_v for e in network.emfs])
    at_battery = spans.T @ volts[:, None] - (spans.T @ response) * amps[None, :]
    given = (emf[:, None] - at_battery) / behind[:, None]
    steady = tuple((p.key, -p.current_a) for p in network.ports)
    faults = {}
    for number, (one, other) in enumerate(pairs):
        feeds = tuple((e.key, float(given[row, number])) for row, e in enumerate(network.emfs))
        faults[one] = Fault(
            one, other, float(amps[number]), float(open_v[number]), float(ohm[number]), (*feeds, *steady)
        )
    return network, Faults(faults)
