"""What an option costs in ten years: its price, batteries by their expected life, engine or generator for charging."""

import math
from collections.abc import Iterator
from decimal import Decimal
from typing import Literal

from proposal.circuit.model import Circuit
from proposal.parts.catalogue import Catalogue
from proposal.results.model import PriceTotals, ReplacedBank, RunningResult, TenYears, Unstated
from proposal.results.pricing import money
from proposal.spec.installer import Installer
from proposal.studies.behaviour.result import BankYear, Behaviour

YEARS = 10
EDGE = 1e-9
"""Share by which a life may miss a whole part of the years: the last bits of arithmetic buy no batteries."""
LOW, USUAL, HIGH = 2, 10, 18
"""Places of the tenth, fiftieth and ninetieth percentile among 21 quantiles by steps of a twentieth."""

Ends = tuple[float, float, float]
Kind = Literal["engine", "generator"]


def ten_years(
    behaviour: Behaviour, circuit: Circuit, catalogue: Catalogue, installer: Installer, price: PriceTotals
) -> TenYears:
    """Cost over ten years at today's prices.

    cost = price + Σ banks (⌈years/life⌉ − 1)·(batteries + labour)·(1 + tax) + Σ years·hours·price of an hour, each
    rounded once. Low, usual and high are from the tenth, middle and ninetieth percentile of the seeded years, or all
    from the ordinary year where they do not give a quantity.
    """
    banks = tuple(_bank(one, behaviour, circuit, catalogue, installer) for one in behaviour.year.banks)
    running = tuple(_running(behaviour, installer))
    new = [sum((_times(b)[n] * b.each for b in banks if b.each is not None), Decimal(0)) for n in range(3)]
    run = [sum((_run_cost(r)[n] for r in running), Decimal(0)) for n in range(3)]
    return TenYears(
        horizon_years=YEARS,
        currency=price.currency,
        today=price.total,
        banks=banks,
        running=running,
        replacements_low=new[0],
        replacements_usual=new[1],
        replacements_high=new[2],
        running_low=run[0],
        running_usual=run[1],
        running_high=run[2],
        total_low=price.total + new[0] + run[0],
        total_usual=price.total + new[1] + run[1],
        total_high=price.total + new[2] + run[2],
        unstated=tuple(_unstated(banks, running, circuit, price)),
    )


def replacements(life_years: float, years: float = YEARS) -> int:
    """How often batteries of this life are bought anew within so many years; the last ones may outlive them.

    Raises ValueError for a life that is not above zero.
    """
    if not life_years > 0.0:
        raise ValueError(f"a life of {life_years} years")
    return max(0, math.ceil(years / life_years * (1.0 - EDGE)) - 1)


def _ends(behaviour: Behaviour, quantity: str, item: str | None, usual: float) -> Ends:
    """Low, middle and high of the seeded years; three times the ordinary year's figure where they do not say."""
    for spread in behaviour.years.spreads:
        if spread.quantity == quantity and item in (None, spread.item) and len(spread.quantiles) > HIGH:
            return spread.quantiles[LOW], spread.quantiles[USUAL], spread.quantiles[HIGH]
    return usual, usual, usual


def _bank(
    one: BankYear, behaviour: Behaviour, circuit: Circuit, catalogue: Catalogue, installer: Installer
) -> ReplacedBank:
    short, usual, long = _ends(behaviour, "life_years", one.bank, one.life_years)
    batteries = [b for b in circuit.batteries if b.bank == one.bank]
    count = sum(b.series_count for b in batteries)
    prices = [(b.series_count, catalogue.battery(b.part_id).price) for b in batteries]
    each = None
    if all(price is not None for _, price in prices):
        material = sum((number * price for number, price in prices if price is not None), Decimal(0))
        labour = Decimal(str(installer.labour.per_battery_h)) * count * installer.hourly_rate
        each = money((material + labour) * (1 + Decimal(str(installer.tax))))
    return ReplacedBank(
        one.bank, usual, short, long, one.life_by, count, each,
        replacements(long), replacements(usual), replacements(short),
    )  # fmt: skip


def _running(behaviour: Behaviour, installer: Installer) -> Iterator[RunningResult]:
    year = behaviour.year
    kinds: tuple[tuple[Kind, float, Decimal | None], ...] = (
        ("engine", year.engine_h, installer.engine_cost_per_hour),
        ("generator", year.generator_h, installer.generator_cost_per_hour),
    )
    for kind, usual_h, per_hour in kinds:
        ends = _ends(behaviour, f"{kind}_h", None, usual_h)
        if any(hours > 0.0 for hours in (*ends, usual_h)):
            yield RunningResult(kind, *ends, per_hour)


def _times(bank: ReplacedBank) -> tuple[int, int, int]:
    return bank.low_count, bank.usual_count, bank.high_count


def _run_cost(running: RunningResult) -> list[Decimal]:
    hours = (running.low_h, running.usual_h, running.high_h)
    per_hour = running.per_hour if running.per_hour is not None else Decimal(0)
    return [money(Decimal(str(YEARS * hours_h)) * per_hour) for hours_h in hours]


def _unstated(
    banks: tuple[ReplacedBank, ...], running: tuple[RunningResult, ...], circuit: Circuit, price: PriceTotals
) -> Iterator[Unstated]:
    """What is wanting, where it would change a sum."""
    if price.unpriced_lines:
        yield Unstated("unpriced_lines", "")
    stays = {b.bank for b in circuit.batteries if b.stays}
    for bank in banks:
        if bank.each is None and bank.high_count:
            yield Unstated("battery_price", bank.bank)
        if bank.bank in stays:
            yield Unstated("battery_age", bank.bank)
    for one in running:
        if one.per_hour is None:
            yield Unstated("engine_cost" if one.kind == "engine" else "generator_cost", "")
