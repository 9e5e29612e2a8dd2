"""Highest prospective fault currents: batteries full and warm, links closed, conductors at 20 °C, sources at full."""

from dataclasses import replace

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.parts.chemistry import FAULT_RESISTANCE_SHARE
from proposal.studies.faults.pairs import shorts
from proposal.studies.faults.result import Fault, Faults, StandardFault
from proposal.studies.network.case import Case, emergency_keys
from proposal.studies.network.reduced import reduce_network
from proposal.studies.network.result import Network
from proposal.studies.network.solve import reduce_case

PEAK_VOLTAGE_SHARE = 1.05
"""Electromotive force of a charged battery over its nominal voltage. Source: IEC 61660-1, from memory."""
QUASI_STEADY_SHARE = 0.95
"""Of that electromotive force, what is left when the current has settled. Source: as above."""


def fault_case(circuit: Circuit) -> Case:
    """Everything that can feed a fault does: relays and emergency switches closed, lowest battery resistances."""
    sources = (*(s.key for s in circuit.sources), *(c.key for c in circuit.converters))
    closed = emergency_keys(circuit)
    return Case("fault", "20", 1.0, (), sources, closed_devices=closed, for_fault=True, limit_lead=False)


def fault_currents(circuit: Circuit, family: RuleFamily) -> tuple[Network, Faults]:
    """Prospective fault current between every node and its mate: what decides breaking capacities.

    Thévenin, full resting voltage over all resistances, those of the batteries 0.9 of what is stated or assumed (a
    maker's short-circuit current stands as it is); charge sources and DC-DC chargers add their full current. `feeds`:
    what each battery and source gives into that fault. A conductor's two ends are two nodes. Where no battery is joined
    to the reference there is no fault.
    """
    reduced = reduce_case(circuit, fault_case(circuit), family)
    network, found = reduced.network, shorts(circuit, reduced)
    seen = found.seen
    steady = tuple((p.key, -p.current_a) for p in network.ports)
    keys = [e.key for e in network.emfs]
    figures = zip(
        found.pairs, seen.fault_a.tolist(), seen.open_v.tolist(), seen.resistance_ohm.tolist(), seen.fed_a.T.tolist(),
        strict=True,
    )  # fmt: skip
    faults = {
        one: Fault(one, other, amps, open_v, ohm, (*zip(keys, fed, strict=True), *steady))
        for (one, other), amps, open_v, ohm, fed in figures
    }
    return network, Faults(faults)


def standard_currents(circuit: Circuit, network: Network) -> dict[str, StandardFault]:
    """The faults of `network`, that of `fault_currents`, by the battery clause of IEC 61660-1, by node.

    Peak: i = E_B/(0.9·R_B + R_L), E_B = 1.05·U_n. Quasi-steady: I = 0.95·E_B/(0.9·R_B + R_L + 0.1·R_B). Inductance
    only delays them. Charge sources add their full current. From memory: shown beside the Thévenin current, never
    instead of it.
    """
    nominal_v = {b.key: b.series_count * b.part.voltage_v for b in circuit.batteries}
    at_peak = tuple(replace(e, emf_v=PEAK_VOLTAGE_SHARE * nominal_v[e.key]) for e in network.emfs)
    settled = tuple(
        replace(e, emf_v=QUASI_STEADY_SHARE * e.emf_v, resistance_ohm=e.resistance_ohm / FAULT_RESISTANCE_SHARE)
        for e in at_peak
    )
    peak, steady = (shorts(circuit, reduce_network(replace(network, emfs=emfs))) for emfs in (at_peak, settled))
    return {
        pair[0]: StandardFault(pair[0], float(peak_a), float(steady_a))
        for pair, peak_a, steady_a in zip(peak.pairs, peak.current_a, steady.current_a, strict=True)
    }
