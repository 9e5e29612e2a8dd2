"""The network with its batteries and relays taken out, for studies that put their laws in at ports."""

from collections.abc import Collection, Sequence

import numpy as np

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.studies.network.assemble import branch_ohms
from proposal.studies.network.case import Case, emergency_keys
from proposal.studies.network.frame import frame_of
from proposal.studies.network.reduced import Reduced
from proposal.studies.network.result import Emf, Network
from proposal.studies.network.shape import Array, Pair

OPEN_OHM = 1e6
"""An open contact: 14 µA at 14 V. Finite, so that what lies behind it keeps a voltage."""
ANCHOR_OHM = 1.0
"""Stands for a bank, whose own law comes in at its port and takes this out again: it keeps the numbers near each other.

A thousand times larger and eight digits would be lost on the way from it to a battery's milliohms.
"""


def apart(circuit: Circuit, family: RuleFamily, opened: Collection[str]) -> Reduced:
    """The reduced network with each bank as `ANCHOR_OHM` in all, and some devices, by key, as open.

    Conductors are at the usual temperature of their places. Hand switches that are open in ordinary use are in it.
    """
    case = Case("days", "20", 0.5, closed_devices=emergency_keys(circuit))
    frame = frame_of(circuit, case)
    usual_c = np.array([circuit.place[circuit.conductors[n].place].usual_c for n in frame.conductors], dtype=np.float64)
    ohms = branch_ohms(circuit, frame, family, usual_c).copy()
    first = len(frame.conductors)
    for number, position in enumerate(frame.devices):
        if circuit.devices[position].key in opened:
            ohms[first + number] = OPEN_OHM
    strings = [circuit.batteries[n] for n in frame.batteries]
    count = {bank.key: len(bank.strings) for bank in circuit.banks}
    emfs = tuple(Emf(b.key, b.positive, b.negative, 0.0, ANCHOR_OHM * count[b.bank]) for b in strings)
    network = Network(case.id, "20", circuit.reference, frame.nodes, frame.dead, frame.names, emfs, (), ())
    return Reduced(network, frame.shape, ohms)


def is_joined(reduced: Reduced, pair: Pair) -> bool:
    """Whether both nodes are joined to some battery: what is not, a source on a bus without one, is in no network."""
    return pair[0] in reduced.shape.index and pair[1] in reduced.shape.index


def port_ohm(reduced: Reduced, pairs: Sequence[Pair]) -> Array:
    """How pairs of nodes answer to each other [Ω], pairs × pairs: what an ampere through one makes across another.

    A pair that is not joined to any battery answers to none, and to itself as an open contact does.
    """
    joined = [n for n, pair in enumerate(pairs) if is_joined(reduced, pair)]
    live, count = [pairs[n] for n in joined], len(joined)
    each = [pair for pair in live for _ in range(count)]
    found = reduced.transfer_ohm(each, live * count).reshape(count, count)
    whole = np.diag([0.0 if is_joined(reduced, pair) else OPEN_OHM for pair in pairs])
    whole[np.ix_(joined, joined)] = 0.5 * (found + found.T)
    return np.asarray(whole)
