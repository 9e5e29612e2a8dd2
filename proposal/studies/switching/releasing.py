"""Which load makes a voltage-sensitive relay let go of banks that rest above its release."""

from dataclasses import replace

from proposal.circuit.model import Circuit, SeriesDevice
from proposal.codes.family import RuleFamily
from proposal.studies.network.assemble import assemble
from proposal.studies.network.case import Case, relay_keys
from proposal.studies.network.reduced import Reduced, reduce_network
from proposal.studies.network.result import Port
from proposal.studies.network.solve import solve

RESTED_SHARE = 0.99
"""Full and rested: beyond it a lithium curve tells limits of charging and no resting voltages."""
MOST_STEPS = 30
NEAR_V = 1e-4


def releasing_load_a(circuit: Circuit, family: RuleFamily, relay: SeriesDevice, releases_v: float) -> float | None:
    """Load beyond a relay that pulls what it senses down to its release, all banks full, rested and joined [A].

    The voltage falls with the load along straight pieces, steeper while fewer batteries give: found by halving and
    by straight lines in turn (Illinois method). None where no load does, or the relay is released at rest.
    """
    case = Case("releasing", "20", RESTED_SHARE, open_devices=relay_keys(circuit, "vsr") - {relay.key})
    network = assemble(circuit, case, family)
    if relay.to_node not in network.nodes or relay.from_node not in network.nodes:
        return None
    far_negative = circuit.node[relay.to_node].mate
    probe = Port("probe", relay.to_node, far_negative, "current")
    reduced = reduce_network(replace(network, ports=(*network.ports, probe)))
    low_a, low_v = 0.0, _sensed_v(circuit, reduced, relay, 0.0) - releases_v
    if low_v <= 0.0:
        return None
    high_a = 1.0
    while (high_v := _sensed_v(circuit, reduced, relay, high_a) - releases_v) > 0.0:
        low_a, low_v, high_a = high_a, high_v, 4.0 * high_a
        if high_a > 1e6:
            return None
    for _ in range(MOST_STEPS):
        load_a = (low_a * high_v - high_a * low_v) / (high_v - low_v)
        off_v = _sensed_v(circuit, reduced, relay, load_a) - releases_v
        if abs(off_v) < NEAR_V:
            return load_a
        if off_v > 0.0:
            low_a, low_v, high_v = load_a, off_v, high_v / 2.0
        else:
            high_a, high_v, low_v = load_a, off_v, low_v / 2.0
    return 0.5 * (low_a + high_a)


def _sensed_v(circuit: Circuit, reduced: Reduced, relay: SeriesDevice, load_a: float) -> float:
    """Voltage at the side that a relay senses [V] while the last port, the probe beyond it, takes a load."""
    *others, probe = reduced.network.ports
    network = replace(reduced.network, ports=(*others, replace(probe, current_a=load_a)))
    volts = solve(replace(reduced, network=network)).voltage_v
    node = relay.to_node if relay.senses == "to" else relay.from_node
    return volts[node] - volts[circuit.node[node].mate]
