"""One bank of the days against an open battery model's equivalent circuit: voltage to 0.2 mV, charge to 1e-9.

PyBaMM's `equivalent_circuit.Thevenin`, solved anew here, and what of it is printed in library_checks.csv and W57.
"""

from __future__ import annotations

import math
import os
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest

from proposal.parts.dynamics import dynamics
from proposal.spec.pricebook import BatteryPart
from proposal.studies.behaviour.kernel import columns as c
from tests.studies.behaviour.small import Cell, machine, run, state, volts_now
from tests.truth.reference import one

pytestmark = pytest.mark.reference
VOLTAGE_RMS_V = 0.0002
CHARGE_SHARE = 1e-9
FLAT = {c.R0: 0.002, c.R1: 0.001, c.T1: 30.0}
"""W57: 2 and 1 mohm, 30 kF."""


def thevenin() -> Any:
    """The model library, kept from calling home; skipped where it is not installed."""
    os.environ.setdefault("PYBAMM_DISABLE_TELEMETRY", "true")
    return pytest.importorskip("pybamm")


def flat_cell(start: float = 0.9) -> Cell:
    return Cell(100.0, [0.0, 1.0], [13.2, 13.2], start, FLAT)


def test_worked_example_of_an_equivalent_circuit() -> None:
    """W57: V − I·(R0 + R1·(1 − e^(−t/30 s))) at 30 s, 12.9368 V."""
    found = machine([flat_cell()], amps=100.0, step_s=15.0)
    run(found, 2)
    assert volts_now(found)[0] == pytest.approx(float(one("worked_examples", id="W57")["expected"]), abs=5e-5)  # digits
    assert volts_now(found)[0] == pytest.approx(13.2 - 100.0 * (0.002 + 0.001 * (1.0 - math.exp(-1.0))), abs=1e-6)


def test_printed_run_of_the_library() -> None:
    """library_checks: six voltages within 2e-5 V and the charge after 300 s, at 15 s steps."""
    row = one("library_checks", call=CALL)
    words = row["expected"].removeprefix("V ").split(" at ")
    printed_v = [float(word) for word in words[0].split(" / ")]
    found = machine([flat_cell()], amps=100.0, step_s=15.0)
    volts, done = [], 0
    for until_s in (0, 15, 30, 60, 120, 300):
        slots = until_s // 15
        run(found, slots - done, first=done)
        done = slots
        if until_s:
            volts.append(volts_now(found)[0])
    assert volts == pytest.approx(printed_v[1:], abs=float(row["tolerance"]))
    assert printed_v[0] == pytest.approx(13.2 - 100.0 * 0.002)
    assert state(found, 0, c.S) == pytest.approx(0.816667, abs=5e-7)


CALL = "Thevenin 13.2 V flat, R0 2 m, R1 1 m, C1 30 k, 100 A"
SPELLS = ((40.0, 60), (0.0, 90), (-50.0, 30), (120.0, 20), (0.0, 120), (-20.0, 150), (25.0, 120), (0.0, 130))
"""Amperes given, and minutes: twelve hours of use, rest and charging."""


def by_library(cell: Cell, spells: Sequence[tuple[float, int]], currents: Sequence[float]) -> tuple[Any, Any]:
    """Voltage at the middle of each minute and charge at the end of each spell, as the library has them."""
    pybamm = thevenin()
    row = cell.row
    model = pybamm.equivalent_circuit.Thevenin(options={"number of rc elements": 2})
    values = model.default_parameter_values
    curve = (np.asarray(cell.shares), np.asarray(cell.rest_v))

    def steady(ohm: float) -> Any:
        return lambda *_: pybamm.Scalar(ohm)

    values.update(
        {
            "Current function [A]": "[input]",
            "Cell capacity [A.h]": row[c.Q_AS] / 3600.0,
            "Nominal cell capacity [A.h]": row[c.Q_AS] / 3600.0,
            "Initial SoC": cell.start,
            "Open-circuit voltage [V]": lambda soc: pybamm.Interpolant(*curve, soc, interpolator="linear"),
            "R0 [Ohm]": steady(row[c.R0]),
            "R1 [Ohm]": steady(row[c.R1]),
            "C1 [F]": steady(row[c.T1] / row[c.R1]),
            "R2 [Ohm]": steady(row[c.R2]),
            "C2 [F]": steady(row[c.T2] / row[c.R2]),
            "Element-1 initial overpotential [V]": 0.0,
            "Element-2 initial overpotential [V]": 0.0,
            "Entropic change [V/K]": lambda *_: pybamm.Scalar(0.0),
            "Upper voltage cut-off [V]": 100.0,
            "Lower voltage cut-off [V]": 0.0,
        },
        check_already_exists=False,
    )
    solver = pybamm.IDAKLUSolver(rtol=1e-9, atol=1e-9)
    simulation = pybamm.Simulation(model, parameter_values=values, solver=solver)
    volts: list[float] = []
    shares: list[float] = []
    for (_, minutes), amps in zip(spells, currents, strict=True):
        simulation.step(60.0 * minutes, inputs={"Current function [A]": amps}, save=False)
        solution = simulation.solution
        middles_s = solution.t[-1] - 60.0 * minutes + np.arange(30.0, 60.0 * minutes, 60.0)
        volts += solution["Voltage [V]"](middles_s).tolist()
        shares.append(float(solution["SoC"](solution.t[-1])))
    return np.array(volts), np.array(shares)


def lithium_cell() -> Cell:
    """A 100 Ah lithium battery of the catalogue's kind, as the days take it at 10 °C, without its hysteresis."""
    part = BatteryPart.model_validate(
        {"kind": "battery", "title": "B", "chemistry": "lithium", "voltage": "12.8 V", "capacity": "100 Ah"}
    )
    own = dynamics(part, 10.0)
    parameters = {c.R0: own.resistance_ohm, c.R1: own.fast_ohm, c.T1: own.fast_s, c.R2: own.slow_ohm, c.T2: own.slow_s}
    return Cell(100.0, own.rest_share, own.rest_v, 0.85, parameters)


def test_twelve_hours_of_lithium_against_the_library() -> None:
    """Steps of 60 s; the library is given the current that the bank carried, within 1e-6 of what was asked of it."""
    cell = lithium_cell()
    found = machine([cell])
    minutes = [amps for amps, count in SPELLS for _ in range(count)]
    for aboard in range(2):
        found.arrays[c.M_PAT_I][aboard * 1440 : aboard * 1440 + len(minutes)] = minutes
    found.keep_record(1, len(minutes))
    ours_v, ours_share, carried, done = [], [], [], 0
    for asked, count in SPELLS:
        run_recorded = []
        for n in range(count):
            run(found, 1, first=done + n)
            run_recorded.append((found.records[0, 1], state(found, 0, c.AMPS)))
        done += count
        ours_v += [volts for volts, _ in run_recorded]
        ours_share.append(state(found, 0, c.S))
        carried.append(float(np.mean([amps for _, amps in run_recorded])))
        assert carried[-1] == pytest.approx(asked, abs=2e-4)
    theirs_v, theirs_share = by_library(cell, SPELLS, carried)
    assert np.sqrt(np.mean((np.array(ours_v) - theirs_v) ** 2)) < VOLTAGE_RMS_V
    assert np.abs(np.array(ours_share) - theirs_share).max() < CHARGE_SHARE
