"""How fast days are stepped: against ngspice on the same circuit, as plain Python, and on two threads.

The case: Marram's option with a starter battery of its own: 3 banks, 3 sources, 3 relays, 13 pairs of nodes that the
kernel follows (10 ports, 3 that relays watch besides). One day, over and over, in which relays switch. ngspice is given
the whole circuit with steps of 60 s at most and writes nothing; the kernel steps 60 s and finds every switching to a
quarter of a second.
"""

from __future__ import annotations

import math
import os
import subprocess
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from proposal.parts.catalogue import Catalogue
from proposal.results import evaluate
from proposal.spec.loading import load_project
from proposal.studies.behaviour.assembly.build import build_machine
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.machine import Machine
from proposal.studies.behaviour.weather import sunshine

MARRAM = Path(__file__).parents[2] / "projects" / "marram"
LEAST_RATIO, BEST_RATIO, LEAST_THREADS, LARGEST_EXPONENT = 900.0, 2500.0, 1.8, 1.1
CLOUDS_W = np.interp(np.arange(25), [0, 6, 8, 11, 12, 13, 14, 17, 18, 24], [0, 0, 480, 560, 0, 520, 450, 250, 0, 0])
SPICE_STEP_S, SPICE_DAY_S, MOST_EDGES = 60, 86400, 100
HASTY = ".options reltol=1e-2 abstol=1e-6 vntol=1e-4 chgtol=1e-6 trtol=1000 itl4=100 method=gear"


def prepared(project: Path, option: int) -> tuple[Any, Any]:
    """An option of a project with its circuit designed, and its machine in steps of 60 s."""
    read = load_project(project)
    spec, installer = read.spec.value, read.installer.value
    catalogue = Catalogue.of(read.prices.value, spec.parts)
    made = evaluate._prepare(spec, installer, tuple(spec.options)[option], catalogue)
    return made, build_machine(made.spec, made.design.circuit, made.family, made.catalogue, seed=1, step_s=60.0)


def ordinary(project: Path, option: int, days: int) -> Machine:
    """So many ordinary days of an option, seasons in turn, with the sun of their place."""
    made, machine = prepared(project, option)
    seasons = len(machine.seasons)
    sun = np.zeros((len(machine.sources), seasons, 25))
    for s, key in enumerate(machine.sources):
        if made.design.circuit.sources[s].kind == "solar":
            here = sunshine(made.spec, key)
            sun[s] = [here.ordinary_w(season) for season in range(seasons)]
    machine.sun(sun)
    turn = np.arange(days) % seasons
    machine.calendar(turn, turn, np.ones(days), np.arange(days) % 8, np.ones(days))
    machine.keep_record(0, 0)
    return machine


def case(days: int) -> tuple[Any, Machine]:
    """The case of this report: the option and its machine."""
    made, machine = prepared(MARRAM, 1)
    sun = np.zeros((len(machine.sources), 1, 25))
    sun[machine.sources.index("sources.solar"), 0] = CLOUDS_W
    machine.sun(sun)
    zero, one = np.zeros(days), np.ones(days)
    machine.calendar(zero, zero, one, zero, one)
    machine.keep_record(0, 0)
    machine.block(c.M_STATE, c.STATE)[:, c.S] = [0.97, 0.62, 0.95]
    row, setting = machine.block(c.M_RELAY, c.RELAY)[0], machine.arrays[c.M_SET]
    row[c.OPENS_ABOVE_V], row[c.OPENS_BELOW_V], row[c.WAITS_S] = 14.3, 13.1, 240.0
    setting[c.USES_ENGINE], setting[c.ENGINE_MODE] = 1.0, 1.0
    setting[c.ENGINE_FROM_S], setting[c.ENGINE_MOST_S] = 3600.0 * 9.5, 3600.0
    return made, machine


def ran(machine: Machine, days: int, *, quick: bool = True) -> Machine:
    """A copy of the machine after so many days."""
    mine = machine.copy()
    mine.run(0, days * machine.size(c.N_SLOTS), quick=quick)
    return mine


def same(one: Machine, other: Machine, within: float) -> bool:
    """Whether all numbers of two machines are the same within so much of themselves."""
    return all(np.allclose(a, b, rtol=within, atol=within) for a, b in zip(one.arrays, other.arrays, strict=True))


def least_s(work: Callable[[], object], rounds: int, clock: Callable[[], float] = time.thread_time) -> float:
    """The least time of some rounds: what disturbs only adds."""
    found = math.inf
    for _ in range(rounds):
        begin = clock()
        work()
        found = min(found, clock() - begin)
    return found


def on_threads(machines: Sequence[Machine], days: int, threads: int) -> list[Machine]:
    """All machines after so many days, on so many threads."""
    with ThreadPoolExecutor(threads) as pool:
        return list(pool.map(lambda machine: ran(machine, days), machines))


def spice_s(made: Any, machine: Machine, folder: Path, *, hasty: bool) -> tuple[float, str]:
    """Processor time that ngspice takes for the day, and the settings with which it ran.

    `hasty`: use and sun drawn on from minute to minute, so that it need not stop at each, and errors of a hundredth let
    pass: as quick as it would go without losing its way. Otherwise as in the tests of truth.
    """
    from tests.truth import days_spice

    class Smooth(days_spice.Deck):
        def steps(self, times: np.ndarray, values: np.ndarray) -> str:
            if len(values) < MOST_EDGES or np.ptp(values) == 0.0:
                return super().steps(times, values)
            n = self.fresh()
            middle_s = 0.5 * (times[1] - times[0])
            points = "\n+ ".join(f"{t + middle_s:.10g} {v:.9g}" for t, v in zip(times, values, strict=True))
            self.add("V", n, 0, f"pwl(\n+ 0 {values[0]:.9g} {points})")
            return f"v({n})"

    options = HASTY if hasty else days_spice.OPTIONS
    deck = (Smooth if hasty else days_spice.Deck)(machine, made.design.circuit, made.family)
    deck.build({}, [(9.5 * 3600.0, 10.5 * 3600.0)])
    tran = f"tran {SPICE_STEP_S} {SPICE_DAY_S} 0 {SPICE_STEP_S}"
    control = [
        ".control", "save v(1)", tran, "print time[length(time)-1] length(time)", "quit 0", ".endc", ".end", "",
    ]  # fmt: skip
    (folder / "day.cir").write_text("\n".join(["a day", *deck.lines, options, *control]), encoding="ascii")
    before = os.times()
    done = subprocess.run(
        ["ngspice", "-b", "-n", "day.cir"], cwd=folder, capture_output=True, text=True, timeout=900, check=False
    )
    after = os.times()
    said = {line.split(" = ")[0]: line.split(" = ")[1] for line in done.stdout.splitlines() if line.count(" = ") == 1}
    reached = float(said.get("time[length(time)-1]", "nan"))
    if not reached >= SPICE_DAY_S - 1:
        raise RuntimeError(f"ngspice ended at {reached} s: {(done.stdout + done.stderr)[-2000:]}")
    took = after.children_user - before.children_user + after.children_system - before.children_system
    return took, f"`{tran}`, `{options}`, {float(said['length(time)']):.0f} steps"


@dataclass(frozen=True)
class Speeds:
    """Days in a second of processor time, and what was compared."""

    located: float
    unlocated: float
    plain: float
    spice: float
    spice_exact: float
    spice_settings: tuple[str, str]
    threads: float
    threads_processor: float
    identical: bool
    agree: bool
    by_days: dict[int, float]
    by_scenarios: dict[int, float]
    a_step: dict[str, float]

    @property
    def holds(self) -> bool:
        """Whether all that is promised was kept."""
        quick = self.located >= LEAST_RATIO * self.spice and self.threads >= LEAST_THREADS
        grows = max(exponent(self.by_days), exponent(self.by_scenarios))
        return quick and self.identical and self.agree and grows <= LARGEST_EXPONENT


def exponent(took: dict[int, float]) -> float:
    """Slope of the straight line through log n and log t."""
    return float(np.polyfit(np.log(list(took)), np.log(list(took.values())), 1)[0])


def measure_kernel(folder: Path, rounds: int = 5, days: int = 60) -> Speeds:
    """Measure all of it in one run; the least of the rounds counts."""
    folder.mkdir(parents=True, exist_ok=True)
    made, machine = case(days)
    blunt = machine.copy()
    blunt.arrays[c.M_SET][c.LOCATES] = 0.0
    done = ran(machine, days)  # compiles
    audit = done.arrays[c.M_AUDIT]
    plain_s = least_s(lambda: ran(machine, 1, quick=False), max(1, rounds // 2))
    hasty = [spice_s(made, machine, folder, hasty=True) for _ in range(max(1, rounds // 2))]
    exact = spice_s(made, machine, folder, hasty=False)
    several = [machine.copy() for _ in range(8)]
    for n, one in enumerate(several):
        one.block(c.M_STATE, c.STATE)[1, c.S] -= 0.02 * n
    alone = on_threads(several, days, 1)
    together = on_threads(several, days, 2)
    one_s = least_s(lambda: on_threads(several, days, 1), rounds, time.perf_counter)
    two_s = least_s(lambda: on_threads(several, days, 2), rounds, time.perf_counter)
    one_cpu_s = least_s(lambda: on_threads(several, days, 1), rounds, time.process_time)
    two_cpu_s = least_s(lambda: on_threads(several, days, 2), rounds, time.process_time)
    return Speeds(
        located=days / least_s(lambda: ran(machine, days), rounds),
        unlocated=days / least_s(lambda: ran(blunt, days), rounds),
        plain=1.0 / plain_s,
        spice=1.0 / min(s for s, _ in hasty),
        spice_exact=1.0 / exact[0],
        spice_settings=(hasty[0][1], exact[1]),
        threads=one_s / two_s,
        threads_processor=two_cpu_s / one_cpu_s,
        identical=all(same(a, b, 0.0) for a, b in zip(alone, together, strict=True)),
        agree=same(ran(machine, 1), ran(machine, 1, quick=False), 1e-9),
        by_days={n: least_s(lambda n=n: ran(machine, n), rounds) for n in (15, 30, 60)},  # type: ignore[misc]
        by_scenarios={n: least_s(lambda n=n: [ran(one, 15) for one in several[:n]], rounds) for n in (2, 4, 8)},  # type: ignore[misc]
        a_step={
            "turns of the iteration": audit[c.A_ITERATIONS] / audit[c.A_STEPS],
            "solutions": audit[c.A_LOOKED] / audit[c.A_STEPS],
            "matrices built anew": audit[c.A_REBUILDS] / audit[c.A_STEPS],
            "events a day": audit[c.A_EVENTS] / days,
            "unsettled in all": float(audit[c.A_UNSETTLED]),
        },
    )


def table(found: Speeds) -> str:
    """A Markdown table, ready for the contributor's guide."""
    rates = [
        ("ngspice in haste, whole circuit, no output", found.spice, "-"),
        ("ngspice as exact as in the tests, no output", found.spice_exact, "-"),
        ("plain Python, switchings located", found.plain, "-"),
        ("compiled, switchings located", found.located, f"≥ {LEAST_RATIO:.0f}"),
        ("compiled, not located", found.unlocated, "-"),
    ]
    lines = ["| what | scenario-days a second of a core | against ngspice | promised |", "| --- | --- | --- | --- |"]
    lines += [
        f"| {name} | {_rounded(rate)} | {_rounded(rate / found.spice)} | {promise} |" for name, rate, promise in rates
    ]
    lines += [
        "",
        f"That is {100 * found.located / found.spice / BEST_RATIO:.0f} % of the {BEST_RATIO:.0f} aimed at. "
        f"ngspice: {found.spice_settings[0]}; in the tests {found.spice_settings[1]}.",
        f"Two threads against one: {found.threads:.2f} (promised ≥ {LEAST_THREADS} with two idle "
        f"cores), in {found.threads_processor:.2f} of its processor time, "
        f"{'the same bytes' if found.identical else 'NOT the same bytes'}; compiled against plain: "
        f"{'the same to 1e-9' if found.agree else 'NOT the same'}.",
        f"Cost grows with days to the power {exponent(found.by_days):.2f}, with scenarios to the power "
        f"{exponent(found.by_scenarios):.2f} (promised ≤ {LARGEST_EXPONENT}).",
        "A step takes " + ", ".join(f"{value:.2f} {name}" for name, value in found.a_step.items()) + ".",
    ]
    return "\n".join(lines)


def _rounded(value: float) -> str:
    return f"{value:.0f}" if value >= 100.0 else f"{value:.2g}"
