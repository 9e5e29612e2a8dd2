"""The network with its batteries taken out: what no battery is joined to answers to nothing but itself."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from proposal.codes import family
from proposal.results.evaluate import evaluate
from proposal.spec.loading import load_project
from proposal.studies.network.apart import OPEN_OHM, apart, is_joined, port_ohm

MARRAM = Path(__file__).parents[2] / "projects" / "marram"


def test_a_pair_without_a_battery_is_an_open_contact_and_changes_no_other() -> None:
    circuit = evaluate(load_project(MARRAM), {}, "a test", sheets=False).circuits["shared"]
    reduced = apart(circuit, family("us_boats"), set())
    pairs = [(s.positive, s.negative) for s in circuit.sources]
    nowhere = ("buses.island.positive", "buses.island.negative")
    usual = port_ohm(reduced, pairs)
    with_island = port_ohm(reduced, [pairs[0], nowhere, *pairs[1:]])
    assert [is_joined(reduced, pair) for pair in (*pairs, nowhere)] == [True] * len(pairs) + [False]
    kept = [0, *range(2, len(pairs) + 1)]
    np.testing.assert_array_equal(with_island[np.ix_(kept, kept)], usual)
    assert with_island[1, 1] == OPEN_OHM
    assert np.count_nonzero(with_island[1]) == np.count_nonzero(with_island[:, 1]) == 1
    assert np.all(np.linalg.eigvalsh(usual) > 0.0)
