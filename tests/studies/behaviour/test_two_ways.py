"""The kernel runs in two ways, plain and compiled, and on any number of threads: all give the same."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from proposal.studies.behaviour.assembly.build import build_machine
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.machine import Machine
from tests.generate import Built, cell, designed, project

DAYS = 2


def machine_of(built: Built) -> Machine:
    """Two days, the first ordinary, the second in the next season with half its sun and nobody aboard."""
    circuit = designed(built).circuit
    machine = build_machine(built.spec, circuit, built.family, built.catalogue, seed=1, step_s=60.0)
    seasons = len(machine.seasons)
    sun = np.zeros((len(machine.sources), seasons, 25))
    sun[[s.kind in ("solar", "wind") for s in circuit.sources]] = 300.0 * np.clip(
        np.sin((np.arange(25) - 6.0) / 12.0 * np.pi), 0.0, None
    )
    machine.sun(sun)
    season = np.array([0.0, 1.0]) % seasons
    machine.calendar(season, season, np.array([1.0, 0.5]), np.array([0.0, 3.0]), np.array([1.0, 0.0]))
    machine.keep_record(10, DAYS * 1440)
    machine.block(c.M_STATE, c.STATE)[:, c.S] = np.linspace(0.55, 0.9, len(machine.banks))
    return machine


CASES = {
    "shared": lambda: project("marram")[0],
    "dedicated": lambda: project("marram")[1],
    "24 V": lambda: cell("house_and_starter", 24),
    "48 V": lambda: cell("one_bank", 48),
}


@pytest.mark.parametrize("name", CASES)
def test_plain_and_compiled_give_the_same(name: str) -> None:
    plain = machine_of(CASES[name]())
    quick = plain.copy()
    plain.run(0, DAYS * 1440, quick=False)
    quick.run(0, DAYS * 1440)
    for number, (one, other) in enumerate(zip(plain.arrays, quick.arrays, strict=True)):
        np.testing.assert_allclose(other, one, rtol=1e-9, atol=1e-9, err_msg=f"array {number}")
    audit = plain.arrays[c.M_AUDIT]
    assert audit[c.A_STEPS] == DAYS * 1440
    assert audit[c.A_UNSETTLED] == 0.0
    assert not np.array_equal(plain.block(c.M_STATE, c.STATE), machine_of(CASES[name]()).block(c.M_STATE, c.STATE))


def test_two_threads_give_the_same_bytes_as_one() -> None:
    machine = machine_of(CASES["dedicated"]())

    def day(share: float) -> list[bytes]:
        mine = machine.copy()
        mine.block(c.M_STATE, c.STATE)[0, c.S] = share
        mine.run(0, DAYS * 1440)
        return [numbers.tobytes() for numbers in mine.arrays]

    shares = [0.5, 0.6, 0.7, 0.8]
    alone = [day(share) for share in shares]
    with ThreadPoolExecutor(2) as pool:
        assert list(pool.map(day, shares)) == alone
    assert alone[0] != alone[1]


def test_switchings_that_are_not_located_come_at_the_end_of_their_minute() -> None:
    located = machine_of(CASES["dedicated"]())
    blunt = located.copy()
    blunt.arrays[c.M_SET][c.LOCATES] = 0.0
    for machine in (located, blunt):
        machine.run(0, DAYS * 1440)
    joins = [m.events[np.isin(m.events[:, 1], (c.E_JOINS, c.E_PARTS))] for m in (located, blunt)]
    assert len(joins[0]) > 0
    assert joins[0][0, 1:3].tolist() == joins[1][0, 1:3].tolist()
    assert abs(joins[0][0, 0] - joins[1][0, 0]) <= 120.0
