"""What if: the same questions for more or less use, batteries and panels."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.lab import DAY_S, Lab
from proposal.studies.behaviour.machine import Machine
from proposal.studies.behaviour.reading import darkened
from proposal.studies.behaviour.result import WhatIf
from proposal.studies.behaviour.starting import crank

FACTORS = (0.5, 0.75, 1.0, 1.5, 2.0)
FOLLOWED_DAYS = 14
SETTLING_DAYS = 6
LASTING_DARK_S = 3600.0
VERDICTS = {"starts": 1.0, "uncertain": 0.5, "fails": 0.0}


def what_if(lab: Lab, season: int, threads: int) -> WhatIf:
    """Use × bank × sun on a grid of factors of what is proposed, in the season asked for."""
    lab.coarse, lab.ordinary_sun, lab.left_on  # noqa: B018 - made once, before threads share them
    pairs = [(use, bank) for use in FACTORS for bank in FACTORS]

    def row(pair: tuple[float, float]) -> tuple[float, float, float, list[tuple[float, float]]]:
        use, bank = pair
        alone = _until_dark(_machine(lab, season, use, bank, 0.0))
        starts, until = _neglected(lab, season, use, bank)
        return alone, starts, until, [_with_sun(lab, season, use, bank, sun) for sun in FACTORS]

    if threads > 1:
        with ThreadPoolExecutor(threads) as pool:
            found = list(pool.map(row, pairs))
    else:
        found = [row(pair) for pair in pairs]
    width = len(FACTORS)
    return WhatIf(
        use_factors=FACTORS,
        bank_factors=FACTORS,
        solar_factors=FACTORS,
        season=lab.seasons[season],
        followed_days=float(FOLLOWED_DAYS),
        autonomy_days=tuple(sun[0] for _, _, _, suns in found for sun in suns),
        no_charge_days=tuple(alone for alone, _, _, _ in found for _ in range(width)),
        engine_h_per_day=tuple(sun[1] for _, _, _, suns in found for sun in suns),
        starts=tuple(starts for _, starts, _, _ in found for _ in range(width)),
        starts_until_days=tuple(until for _, _, until, _ in found for _ in range(width)),
    )


def _machine(lab: Lab, season: int, use: float, bank: float, sun: float, *, there: bool = True) -> Machine:
    machine = lab.ordinary(lab.coarse, season, FOLLOWED_DAYS, there=there)
    lab.scale_use(machine, use)
    lab.scale_banks(machine, bank)
    if sun > 0.0:
        lab.scale_sun(machine, sun)
    else:
        lab.silence(machine)
    return machine


def _until_dark(machine: Machine) -> float:
    """Days until a load goes dark for more than an hour; at most those that are followed."""
    machine.run(0, FOLLOWED_DAYS * machine.size(c.N_SLOTS))
    dark = darkened(machine, 0.0, LASTING_DARK_S)
    return round(dark[0][1] / DAY_S, 3) if dark else float(FOLLOWED_DAYS)


def _with_sun(lab: Lab, season: int, use: float, bank: float, sun: float) -> tuple[float, float]:
    """Days until something goes dark with the sun alone; engine and generator hours a day once things have settled."""
    alone = _machine(lab, season, use, bank, sun)
    alone.arrays[c.M_SET][c.USES_ENGINE] = alone.arrays[c.M_SET][c.USES_GENERATOR] = 0.0
    helped = _machine(lab, season, use, bank, sun)
    helped.run(0, FOLLOWED_DAYS * helped.size(c.N_SLOTS))
    late = helped.days[SETTLING_DAYS:]
    hours = float(late[:, c.D_ENGINE_S].mean() + late[:, c.D_GENERATOR_S].mean()) / 3600.0
    return _until_dark(alone), round(hours, 3)


def _neglected(lab: Lab, season: int, use: float, bank: float) -> tuple[float, float]:
    """Whether the engine starts after the days that the vessel is left alone, and until which day it surely does."""
    if lab.circuit.starter is None or lab.left_on is None:
        return 0.0, 0.0
    days = max(1, round(lab.spec.spec.system.unattended_days or FOLLOWED_DAYS))
    machine = lab.ordinary(lab.coarse, season, days, there=False)
    lab.leave_on(machine, lab.left_on)
    lab.scale_use(machine, use)
    lab.scale_banks(machine, bank)
    lab.silence(machine)
    slots = machine.size(c.N_SLOTS)
    until, sure = 0.0, True
    verdict = crank(lab, machine, "own_bank").verdict
    for day in range(days):
        machine.run(day * slots, (day + 1) * slots)
        verdict = crank(lab, machine, "own_bank").verdict
        sure = sure and verdict == "starts"
        until = float(day + 1) if sure else until
    return VERDICTS[verdict], until
