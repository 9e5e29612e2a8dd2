"""Limbs and trunk against the whole: every node of a network at once, by the plain inverse of its nodal matrix."""

from __future__ import annotations

import random

import numpy as np
import pytest

from proposal.studies.network.reduced import Reduced, reduce_network
from proposal.studies.network.result import Emf, Network, Port, Resistor


def any_network(seed: int) -> Network:
    """A random tree with some rings, batteries between any of its nodes and the reference, and steady currents."""
    rng = random.Random(seed)  # noqa: S311 - test data
    size = rng.randint(2, 30)
    nodes = ["ref", *(f"n{n}" for n in range(1, size))]
    resistors = [
        Resistor(f"tree{n}", nodes[n], nodes[rng.choice((n - 1, rng.randrange(n)))], 10 ** rng.uniform(-5, -1), 20.0)
        for n in range(1, size)
    ]
    for n in range(rng.choice((0, 0, 1, 3))):
        one, other = rng.sample(nodes, 2)
        resistors.append(Resistor(f"ring{n}", one, other, 10 ** rng.uniform(-5, -1), 20.0))
    emfs = [
        Emf(f"e{n}", rng.choice(nodes[1:]), "ref", rng.uniform(11, 14), 10 ** rng.uniform(-3, -1))
        for n in range(rng.randint(1, 3))
    ]
    ports = []
    for n in range(rng.randint(0, 6)):
        plus, minus = rng.sample(nodes, 2)
        ports.append(Port(f"p{n}", plus, minus, "current", rng.uniform(-30, 30)))
    return Network("case", "20", "ref", tuple(nodes), (), tuple(resistors), tuple(emfs), tuple(ports), ())


def whole(network: Network) -> tuple[dict[str, int], np.ndarray, np.ndarray]:
    """Row of each node, the inverse of the nodal matrix, and the voltages with the steady currents at work."""
    row = {node: n for n, node in enumerate(n for n in network.nodes if n != network.reference)}
    matrix, into = np.zeros((len(row), len(row))), np.zeros(len(row))
    pairs = [(r.from_node, r.to_node, 1.0 / r.resistance_ohm) for r in network.resistors]
    pairs += [(e.positive, e.negative, 1.0 / e.resistance_ohm) for e in network.emfs]
    for one, other, siemens in pairs:
        column = unit(row, one, other)
        matrix += siemens * np.outer(column, column)
    for e in network.emfs:
        into += unit(row, e.positive, e.negative) * e.emf_v / e.resistance_ohm
    for p in network.ports:
        into -= unit(row, p.positive, p.negative) * p.current_a
    inverse = np.linalg.inv(matrix)
    return row, inverse, inverse @ into


def unit(row: dict[str, int], one: str, other: str) -> np.ndarray:
    made = np.zeros(len(row))
    for node, sign in ((one, 1.0), (other, -1.0)):
        if node in row:
            made[row[node]] += sign
    return made


@pytest.mark.parametrize("seed", range(60))
def test_what_is_seen_between_any_two_nodes_is_that_of_the_whole_matrix(seed: int) -> None:
    network = any_network(seed)
    row, inverse, volts = whole(network)
    pairs = [(a, b) for a in network.nodes for b in network.nodes if a != b]
    seen = reduce_network(network).seen(pairs)
    for n, (one, other) in enumerate(pairs):
        column = unit(row, one, other)
        assert seen.open_v[n] == pytest.approx(column @ volts, abs=1e-8)
        assert seen.resistance_ohm[n] == pytest.approx(column @ inverse @ column, rel=1e-8)
        for k, e in enumerate(network.emfs):
            across = unit(row, e.positive, e.negative)
            given_a = (e.emf_v - across @ volts) / e.resistance_ohm
            assert seen.given_a[k] == pytest.approx(given_a, abs=1e-5)
            share = across @ inverse @ column / e.resistance_ohm
            assert seen.given_share[k, n] == pytest.approx(share, abs=1e-8)


def chain(*more: Resistor, ports: tuple[Port, ...] = ()) -> Reduced:
    """A battery, then three ohms one after the other."""
    wires = [Resistor(f"w{n}", f"n{n}", f"n{n + 1}", 1.0, 20.0) for n in range(3)]
    nodes = ("ref", "n0", "n1", "n2", "n3", *(r.to_node for r in more))
    network = Network("c", "20", "ref", nodes, (), (*wires, *more), (Emf("e", "n0", "ref", 12.0, 1.0),), ports, ())
    return reduce_network(network)


def test_a_chain_that_ends_nowhere_is_no_part_of_the_trunk() -> None:
    made = chain()
    assert made.shape.size == 1
    assert made.seen([("n3", "ref"), ("n3", "n1")]).resistance_ohm == pytest.approx([4.0, 2.0])


def test_a_pin_within_a_chain_and_a_pin_that_two_share_belong_to_the_trunk() -> None:
    within = chain(ports=(Port("p", "n2", "ref", "current", 1.0),))
    assert within.shape.size == 3
    assert within.seen([("n3", "ref")]).open_v == pytest.approx([12.0 - 3.0])
    two = (Port("p", "n3", "ref", "current", 1.0), Port("q", "n3", "ref", "current", 1.0))
    shared = chain(ports=two)
    assert shared.shape.size == 4
    assert shared.seen([("n3", "ref")]).open_v == pytest.approx([12.0 - 8.0])


def test_where_two_limbs_begin_is_trunk() -> None:
    made = chain(Resistor("b", "n2", "side", 5.0, 20.0))
    assert made.shape.size == 3
    assert made.seen([("n3", "side")]).resistance_ohm == pytest.approx([6.0])


def test_the_trunk_does_not_grow_with_the_loads() -> None:
    few, many = (
        chain(*(Resistor(f"l{n}", "n2", f"load{n}", 1.0, 20.0) for n in range(count))).shape.size for count in (2, 200)
    )
    assert few == many


def test_a_node_that_is_not_live_is_not_seen() -> None:
    with pytest.raises(KeyError):
        chain().seen([("n3", "elsewhere")])
