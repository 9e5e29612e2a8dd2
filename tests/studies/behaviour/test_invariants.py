"""What holds for every machine: charge and energy on the books, Kirchhoff, sameness of runs, and no nonsense."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from proposal.studies.behaviour.assembly.build import build_machine
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.machine import Machine
from tests.generate import Built, designed, project, seeded

SEEDS = range(6)
VESSELS = [(seed, option) for seed in SEEDS for option in range(2)]
HOURS = 8


@cache
def made(seed: int, option: int, step_s: float = 120.0) -> Machine:
    return build(seeded(seed, most_loads=14)[option], step_s)


def build(built: Built, step_s: float) -> Machine:
    circuit = designed(built).circuit
    return build_machine(built.spec, circuit, built.family, built.catalogue, seed=1, step_s=step_s)


def vessel(base: Machine, share: float = 0.6, *, sun_w: float = 400.0, days: int = 1) -> Machine:
    """A machine that has a sun from six to six, an engine at eight, and banks at a charge."""
    machine = base.copy()
    sun = np.zeros((max(1, len(machine.sources)), 1, 25))
    hours = np.arange(25)
    kinds = machine.season_rows(c.M_SOURCE, c.SOURCE, max(1, len(machine.sources)))[0, :, c.KIND]
    for s in range(len(machine.sources)):
        most = {c.SOLAR: sun_w, c.WIND: 5.0}.get(int(kinds[s]), 0.0)
        sun[s, 0] = most * np.clip(np.sin((hours - 6.0) / 12.0 * np.pi), 0.0, 1.0)
    machine.sun(sun)
    zero, one = np.zeros(days), np.ones(days)
    machine.calendar(zero, zero, one, np.arange(days) % machine.size(c.N_VARIANTS), one)
    machine.block(c.M_STATE, c.STATE)[:, c.S] = share
    setting = machine.arrays[c.M_SET]
    setting[c.ENGINE_MODE], setting[c.ENGINE_FROM_S], setting[c.ENGINE_MOST_S] = 1.0, 8.0 * 3600.0, 3600.0
    return machine


def run(machine: Machine, from_h: float, hours: float) -> None:
    slots = machine.size(c.N_SLOTS) / 24.0
    first, last = round(from_h * slots), round((from_h + hours) * slots)
    machine.keep_record(1, last - first)
    machine.run(first, last, quick=False)


def sound(machine: Machine) -> None:
    """Nothing that is no number, nothing unsettled; sub-events that were cut short are counted where there are any."""
    for which in (c.M_STATE, c.M_V, c.M_I, c.M_SS, c.M_RS, c.M_AUDIT, c.M_DAYS, c.M_REC, c.M_LS):
        assert np.isfinite(machine.arrays[which]).all(), which
    audit, events = machine.arrays[c.M_AUDIT], machine.events
    if audit[c.A_UNSETTLED] > 0:
        # a windlass on a bank that empties within the step: what it gives and what is left of it go round in circles
        assert any(int(e[1]) == c.E_LOAD_DARK for e in events)
        assert audit[c.A_UNSETTLED] <= 0.01 * audit[c.A_STEPS]
    assert (np.diff(events[:, 0]) >= -1e-6).all()
    if audit[c.A_CAPPED] > 0:
        assert len(events) > 20


def charge_kept(machine: Machine, before: np.ndarray, within: float) -> None:
    """S·Q, the compensated sum of what went in, and sums of in, out, gas and loss: one charge by three ways."""
    state = machine.block(c.M_STATE, c.STATE)
    rows = machine.season_rows(c.M_BANK, c.BANK, len(machine.banks))
    charge = rows[0, :, c.Q_AS]
    stored = (state[:, c.S] - before[:, c.S]) * charge
    assert np.abs(stored - state[:, c.COULOMB]).max() <= within * charge.max()
    booked = state[:, c.IN_AS] - state[:, c.OUT_AS] - state[:, c.GAS_AS] - state[:, c.SELF_AS]
    through = np.maximum(state[:, c.IN_AS] + state[:, c.OUT_AS], charge)
    # these sums are plain ones: each addition rounds
    assert (np.abs(booked - stored) / through).max() <= 100.0 * within


@pytest.mark.parametrize(("seed", "option"), VESSELS)
def test_generated_vessels_keep_their_books(seed: int, option: int) -> None:
    machine = vessel(made(seed, option))
    before = machine.block(c.M_STATE, c.STATE).copy()
    run(machine, 5.0, HOURS)
    sound(machine)
    charge_kept(machine, before, 1e-11)
    audit = machine.arrays[c.M_AUDIT]
    assert audit[c.A_NETWORK_J] >= 0.0
    given = sum(machine.block(c.M_SS, c.SOURCE_STATE)[: len(machine.sources), c.GIVEN_J])
    assert given == pytest.approx(audit[c.A_GIVEN_J], rel=1e-9, abs=1e-3)
    kirchhoff(machine)


def kirchhoff(machine: Machine) -> None:
    """Voltages of each recorded instant are what its currents make across the network with its relays as they stood.

    By Woodbury's identity on the matrix of the open network; nothing of the kernel's own folding has a part in it.
    """
    count, ports = machine.size(c.N_ALL), machine.size(c.N_PORTS)
    z = machine.arrays[c.M_Z].reshape(count, count)
    rec, first = machine.records, machine.size(c.FIRST_RELAY)
    at = 1 + 2 * ports + machine.size(c.N_SEEN) + 6 * len(machine.banks)
    ohm = machine.block(c.M_RELAY, c.RELAY)[:, c.R_OHM]
    worst = 0.0
    for row in rec[:: max(1, len(rec) // 40)]:
        on = [first + r for r in range(len(machine.relays)) if row[at + r] > 0.0]
        closed = z
        if on:
            part = z[np.ix_(on, on)] + np.diag(ohm[[n - first for n in on]])
            closed = z - z[:, on] @ np.linalg.solve(part, z[on])
        volts, amps = row[1 : 1 + 2 * ports : 2], row[2 : 2 + 2 * ports : 2]
        worst = max(worst, float(np.abs(volts - closed[:ports, :ports] @ amps).max()))
    assert worst < 1e-5


@pytest.mark.parametrize(("seed", "option"), VESSELS[::2])
@pytest.mark.parametrize("change", ["stuck", "no loads", "no sources", "dead banks", "all full"])
def test_nothing_breaks_at_the_ends(seed: int, option: int, change: str) -> None:
    share = {"dead banks": 0.0, "all full": 1.0}.get(change, 0.4)
    machine = vessel(made(seed, option), share, sun_w=800.0)
    if change == "stuck":
        machine.arrays[c.M_SIZES][c.N_CONDITIONS] = 0
        held = machine.block(c.M_RS, c.RELAY_STATE)
        held[:, c.CLOSED] = 1.0 - held[:, c.CLOSED]
    elif change == "no loads":
        for table in (c.M_PAT_I, c.M_PAT_P, c.M_PAT_W, c.M_PAT_ON):
            machine.arrays[table] = np.zeros_like(machine.arrays[table])
    elif change == "no sources":
        machine.arrays[c.M_SUN][:] = 0.0
        machine.arrays[c.M_SET][[c.USES_ENGINE, c.USES_GENERATOR]] = 0.0
        machine.season_rows(c.M_SOURCE, c.SOURCE, max(1, len(machine.sources)))[:, :, c.FOR_S] = 0.0
    before = machine.block(c.M_STATE, c.STATE).copy()
    run(machine, 6.0, 4.0)
    sound(machine)
    charge_kept(machine, before, 1e-11)
    if change == "no loads":
        # what runs without being switched on: coils, heaters, insulation
        assert machine.arrays[c.M_AUDIT][c.A_LOADS_J] >= -1.0
    if change == "no sources":
        assert machine.arrays[c.M_AUDIT][c.A_GIVEN_J] == 0.0
        charge = machine.season_rows(c.M_BANK, c.BANK, len(machine.banks))[0, :, c.Q_AS]
        assert (machine.block(c.M_STATE, c.STATE)[:, c.S] - before[:, c.S]) @ charge < 0.0


def test_the_same_seed_gives_the_same_bytes() -> None:
    one, other = (vessel(build(project("marram")[1], 120.0)) for _ in range(2))
    for machine in (one, other):
        run(machine, 7.0, 4.0)
    assert all(a.tobytes() == b.tobytes() for a, b in zip(one.arrays, other.arrays, strict=True))


@pytest.mark.parametrize("option", [0, 1])
def test_half_the_step_moves_a_day_by_little(option: int) -> None:
    """From two minutes to one: a tenth of a per cent of charge, and each joining and parting is there both times."""
    found = []
    for step_s in (120.0, 60.0):
        machine = vessel(build(project("marram")[option], step_s), 0.7)
        run(machine, 6.0, 12.0)
        relays = [(int(e[1]), int(e[2])) for e in machine.events if int(e[1]) in (c.E_JOINS, c.E_PARTS)]
        found.append((machine.block(c.M_STATE, c.STATE)[:, c.S].copy(), relays, machine.arrays[c.M_AUDIT].copy()))
    assert np.abs(found[0][0] - found[1][0]).max() < 2e-3
    assert found[0][1] == found[1][1]
    assert found[0][2][c.A_LOADS_J] == pytest.approx(found[1][2][c.A_LOADS_J], rel=5e-3)


@pytest.mark.parametrize("option", [0, 1])
def test_energy_is_where_it_should_be(option: int) -> None:
    """Loads by their own meters, banks by their charge at rest voltage: what is lost is lost in wires and in banks.

    The kernel books loads as what sources and banks give less what the network keeps; meters of loads are another way.
    What their own wires take is at most the drop that they were designed for. Halved, the step moves losses by 5 %.
    """
    lost = []
    for step_s in (120.0, 60.0):
        machine = vessel(build(project("marram")[option], step_s), 0.7)
        before = machine.block(c.M_STATE, c.STATE).copy()
        run(machine, 6.0, 12.0)
        audit, state = machine.arrays[c.M_AUDIT], machine.block(c.M_STATE, c.STATE)
        relays = machine.block(c.M_RELAY, c.RELAY)[:, c.COIL_A].sum() * 12.0 * 3600.0 * 13.0
        metered = machine.block(c.M_LS, c.LOAD_STATE)[:, c.TAKEN_J].sum()
        assert metered < audit[c.A_LOADS_J] < 1.06 * metered + 1.05 * relays
        heat = -audit[c.A_BANKS_J] - (state[:, c.WORK_J] - before[:, c.WORK_J]).sum()
        through = audit[c.A_GIVEN_J] + audit[c.A_LOADS_J]
        assert 0.0 < heat < 0.15 * through
        assert 0.0 < audit[c.A_NETWORK_J] < 0.05 * through
        assert audit[c.A_GIVEN_J] + audit[c.A_BANKS_J] == pytest.approx(
            audit[c.A_LOADS_J] + audit[c.A_NETWORK_J] + audit[c.A_CONVERTER_J], abs=1e-9 * through
        )
        lost.append(heat + audit[c.A_NETWORK_J])
    assert lost[0] == pytest.approx(lost[1], rel=0.05)


@pytest.mark.slow
def test_a_year_of_charge_is_closed_to_the_eleventh_digit() -> None:
    """365 days by the minute, compiled: S·Q against the compensated sum, and against the plain ones."""
    machine = vessel(build(project("marram")[1], 60.0), 0.9, days=365)
    before = machine.block(c.M_STATE, c.STATE).copy()
    machine.keep_record(0, 1)
    machine.run(0, 365 * 1440)
    state = machine.block(c.M_STATE, c.STATE)
    charge = machine.season_rows(c.M_BANK, c.BANK, len(machine.banks))[0, :, c.Q_AS]
    stored = (state[:, c.S] - before[:, c.S]) * charge
    through = state[:, c.IN_AS] + state[:, c.OUT_AS]
    assert (np.abs(stored - state[:, c.COULOMB]) / charge).max() <= 1e-11
    booked = state[:, c.IN_AS] - state[:, c.OUT_AS] - state[:, c.GAS_AS] - state[:, c.SELF_AS]
    assert (np.abs(booked - stored) / through).max() <= 1e-9
    audit = machine.arrays[c.M_AUDIT]
    assert audit[c.A_UNSETTLED] == audit[c.A_CAPPED] == 0
    books = machine.days[:, c.DAY :].reshape(365, len(machine.banks), c.DAY_BANK)
    assert books[:, :, c.B_IN_AS].sum(axis=0) == pytest.approx(state[:, c.IN_AS], rel=1e-9)
    assert books[:, :, c.B_OUT_AS].sum(axis=0) == pytest.approx(state[:, c.OUT_AS], rel=1e-9)
