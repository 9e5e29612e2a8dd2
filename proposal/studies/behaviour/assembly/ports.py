"""The rows of a machine's matrix: ports, watched pairs, relays; and the matrix from the one reduction."""

from __future__ import annotations

import numpy as np

from proposal.circuit.model import SeriesDevice, Source
from proposal.studies.behaviour.assembly.draft import Draft
from proposal.studies.behaviour.machine import Array
from proposal.studies.network.apart import apart, port_ohm
from proposal.studies.network.case import NORMALLY_OPEN


def lay_ports(draft: Draft) -> dict[str, int]:
    """Ports by key of what hangs on them: charge sources, bars, heavy loads, the starter, DC-DC chargers."""
    circuit, found = draft.circuit, {}
    for source in circuit.sources:
        found[source.key] = draft.rows.row(source_pair(draft, source))
    for bus in circuit.buses:
        if any(x.bus == bus.key and not x.high_current for x in circuit.loads) or bus.kind in ("main", "start"):
            found[bus.key] = draft.rows.row((bus.positive, bus.negative))
    for load in circuit.loads:
        if load.high_current:
            found[load.key] = draft.rows.row((load.positive, load.negative))
    if circuit.starter is not None:
        found[circuit.starter.key] = draft.rows.row((circuit.starter.positive, circuit.starter.negative))
    for link in circuit.converters:
        found[f"{link.key}.input"] = draft.rows.row((link.in_positive, link.in_negative))
        found[f"{link.key}.output"] = draft.rows.row((link.out_positive, link.out_negative))
    draft.count_ports = len(draft.rows.pairs)
    return found


def source_pair(draft: Draft, source: Source) -> tuple[str, str]:
    """A source that senses at the battery regulates the bus; one that does not, its own terminals."""
    if draft.spec.source(source.key).senses == "battery":
        bus = draft.circuit.bus[source.bus]
        return bus.positive, bus.negative
    return source.positive, source.negative


def relay_devices(draft: Draft) -> list[SeriesDevice]:
    """Contactors, voltage-sensitive relays, and hand switches that are open in ordinary use."""
    return [
        d for d in draft.circuit.devices
        if d.kind in ("contactor", "vsr") or d.key.endswith(f".{NORMALLY_OPEN}")
    ]  # fmt: skip


def watched_rows(draft: Draft, relays: list[SeriesDevice]) -> list[int]:
    """Rows of the pairs that relays sense, beyond the ports."""
    node, before = draft.circuit.node, len(draft.rows.pairs)
    for device in relays:
        for end in (device.from_node, device.to_node):
            draft.rows.row((end, node[end].mate))
    return list(range(before, len(draft.rows.pairs)))


def matrix(draft: Draft, relay_pairs: list[tuple[str, str]], opened: set[str]) -> Array:
    """The matrix over ports, watched pairs and relays; a bank is seen as the mean of its strings."""
    reduced = apart(draft.circuit, draft.family, opened)
    pairs: list[tuple[str, str]] = []
    weights: list[list[tuple[int, float]]] = []
    for one, other in [*draft.rows.pairs, *relay_pairs]:
        if one == "bank":
            bank = draft.circuit.banks[draft.by_key[other]]
            strings = [draft.circuit.battery[key] for key in bank.strings]
            weights.append([(len(pairs) + n, 1.0 / len(strings)) for n in range(len(strings))])
            pairs += [(s.positive, s.negative) for s in strings]
        else:
            weights.append([(len(pairs), 1.0)])
            pairs.append((one, other))
    mix = np.zeros((len(weights), len(pairs)))
    for n, parts in enumerate(weights):
        for at, share in parts:
            mix[n, at] = share
    draft.reduced = reduced
    return np.asarray(mix @ port_ohm(reduced, pairs) @ mix.T)
