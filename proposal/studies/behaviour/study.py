"""All questions about the days of an option, asked and answered."""

from __future__ import annotations

import math

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.parts.catalogue import Catalogue
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.behaviour.alone import neglect, no_charge
from proposal.studies.behaviour.assumed import assumptions
from proposal.studies.behaviour.days import ordinary_day
from proposal.studies.behaviour.grid import what_if
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.lab import STEP_S, Lab
from proposal.studies.behaviour.losing import cut_offs, recharges
from proposal.studies.behaviour.machine import Machine
from proposal.studies.behaviour.reading import Record, tolerance_v
from proposal.studies.behaviour.result import Behaviour, Cranking, Day
from proposal.studies.behaviour.starting import crank, ways
from proposal.studies.behaviour.troubles import troubles
from proposal.studies.behaviour.years import many_years, one_year

SEEDED_YEARS = 200


def behaviour(
    spec: EffectiveSpec,
    circuit: Circuit,
    family: RuleFamily,
    catalogue: Catalogue,
    *,
    seed: int,
    threads: int = 1,
    years: int = SEEDED_YEARS,
) -> Behaviour:
    """Simulate an option: ordinary days by season, days without charge, neglect, cut-offs, a year and many.

    Parameters: the option's spec, its designed circuit, rule family and parts; `seed` of weather, use and tolerances;
    `threads` to share the seeded years between, which changes no result; `years`, how many.
    Pure: equal input gives equal results.
    """
    lab = Lab(spec, circuit, family, catalogue, seed)
    days = [ordinary_day(lab, season) for season in range(len(lab.seasons))]
    worst = worst_season(days)
    lasting, ended = no_charge(lab, worst)
    left = neglect(lab, worst)
    year, year_machine = one_year(lab)
    cut = cut_offs(lab, worst)
    cranking = _cranking(lab, days, worst, left[1] if left else None)
    longer: list[tuple[str, Machine]] = [("no_charge", ended), ("year", year_machine)]
    if left is not None:
        longer.append(("neglect", left[1]))
    named = [(day.season, machine) for day, machine in days]
    return Behaviour(
        seed=seed,
        step_s=STEP_S,
        days=tuple(day for day, _ in days),
        no_charge=lasting,
        neglect=left[0] if left else None,
        cut_offs=cut,
        cranking=cranking,
        recharge=recharges(lab, worst, _morning_share(days[worst][1])),
        year=year,
        years=many_years(lab, year, years, threads),
        what_if=what_if(lab, worst, threads),
        troubles=troubles(lab, named, longer, year, cut),
        assumptions=assumptions(lab),
        tolerance_v=tolerance_v(lab.scale),
    )


def worst_season(days: list[tuple[Day, Machine]]) -> int:
    """The season with most engine hours on its ordinary day; of equals the one that ends with least in the house."""

    def held(entry: tuple[int, tuple[Day, Machine]]) -> tuple[float, float]:
        day, machine = entry[1]
        state = machine.block(c.M_STATE, c.STATE)
        share = float(sum(state[b, c.S] * machine.arrays[c.M_HOUSE][b] for b in range(len(machine.banks))))
        return (-round(day.engine_h, 2), round(share, 3))

    return min(enumerate(days), key=held)[0]


def _morning_share(machine: Machine) -> float:
    """Least charge of the house over a recorded day, about the time at which the engine would be run."""
    record = Record(machine)
    shares = sum(record.bank(b, 1) * machine.arrays[c.M_HOUSE][b] for b in range(len(machine.banks)))
    return float(min(max(shares.min(), 0.05), 0.95))


def _cranking(lab: Lab, days: list[tuple[Day, Machine]], worst: int, left: Machine | None) -> tuple[Cranking, ...]:
    """After each ordinary day, after the days without charge that are wanted, and after the neglect."""
    if lab.circuit.starter is None:
        return ()
    own = next(b for b in lab.circuit.banks if b.key == lab.circuit.starter.bus)
    coldest_c = lab.circuit.place[own.place].coldest_c
    states = [(day.season, 1.0, machine) for day, machine in days]
    wanted = lab.spec.spec.system.wanted_days
    lasting = lab.ordinary(lab.fine, worst, max(1, math.ceil(wanted)))
    lab.silence(lasting)
    lasting.run(0, max(1, round(wanted * lasting.size(c.N_SLOTS))))
    states.append(("no_charge", wanted, lasting))
    if left is not None:
        states.append(("neglect", float(len(left.arrays[c.M_SEASON])), left))
    return tuple(
        Cranking(after, day, way, coldest_c, *crank(lab, machine, way))
        for after, day, machine in states
        for way in ways(lab)
    )
