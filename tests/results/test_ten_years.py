"""Cost over ten years against sums by hand; what nobody states is left out and said."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from proposal.circuit.model import Circuit
from proposal.parts.catalogue import Catalogue
from proposal.results.evaluate import evaluate
from proposal.results.model import OptionResult, TenYears
from proposal.results.ten_years import replacements, ten_years
from proposal.spec.installer import Installer
from proposal.spec.loading import Project, load_project
from proposal.studies.behaviour.result import BankYear, Behaviour, Spread
from tests.sample_behaviour import sample_behaviour

PROJECT = Path(__file__).parents[2] / "projects" / "marram"


@pytest.fixture(scope="module")
def project() -> Project:
    return load_project(PROJECT)


@pytest.fixture(scope="module")
def made(project: Project) -> tuple[Circuit, OptionResult]:
    """Circuit and results of Marram's second option."""
    evaluated = evaluate(project, {}, "a test", sheets=False)
    return evaluated.circuits["dedicated"], evaluated.results.options[1]


def _life(bank: str, years: float) -> BankYear:
    return BankYear(bank, 100.0, 0.3, 0.6, years, "cycles")


def _spread(quantity: str, item: str, low: float, usual: float, high: float) -> Spread:
    """Straight lines from low at a tenth to high at nine tenths, bent at the middle."""
    steps = [usual + (n - 10) * ((usual - low) if n < 10 else (high - usual)) / 8.0 for n in range(21)]
    return Spread(quantity, item, tuple(steps))  # type: ignore[arg-type]


def _behaviour(option: OptionResult, lives: dict[str, float], engine_h: float, *spreads: Spread) -> Behaviour:
    sample = sample_behaviour(option)
    year = replace(sample.year, banks=tuple(_life(k, y) for k, y in lives.items()), engine_h=engine_h, generator_h=0.0)
    return replace(sample, year=year, years=replace(sample.years, spreads=spreads))


def _cost(
    project: Project, made: tuple[Circuit, OptionResult], behaviour: Behaviour, **stated: Decimal | None
) -> TenYears:
    circuit, option = made
    installer: Installer = project.installer.value.model_copy(update=stated)
    catalogue = Catalogue.of(project.prices.value, project.spec.value.parts)
    return ten_years(behaviour, circuit, catalogue, installer, option.price)


@pytest.mark.parametrize(
    ("life", "times"),
    [(10.0, 0), (9.999, 1), (12.0, 0), (5.0, 1), (4.9, 2), (10.0 / 3.0, 2), (3.0, 3), (1.0, 9), (0.3, 33), (1e9, 0)],
)
def test_batteries_are_bought_anew_when_their_life_is_over_but_not_at_the_very_end(life: float, times: int) -> None:
    assert replacements(life) == times


def test_the_last_bit_of_a_life_buys_nothing() -> None:
    for parts in range(1, 60):
        assert replacements(10.0 / parts) == parts - 1
        assert replacements((10.0 / parts) * (1.0 - 1e-13)) == parts - 1


@pytest.mark.parametrize("life", [0.0, -1.0, float("nan")])
def test_a_life_that_is_none_is_a_mistake(life: float) -> None:
    with pytest.raises(ValueError, match="a life of"):
        replacements(life)


def test_sums_by_hand(project: Project, made: tuple[Circuit, OptionResult]) -> None:
    lives = {"banks.lead": 4.0, "banks.lithium": 15.0, "banks.starter": 6.0}
    cost = _cost(project, made, _behaviour(made[1], lives, 33.3), engine_cost_per_hour=Decimal("7.25"))
    price = {line.part_id: line.unit_price for line in made[1].price_lines if line.group == "battery"}
    rate, tax = Decimal("64.00"), Decimal("1.21")
    lead = ((price["agm_12v_90"] + rate * Decimal("0.75")) * tax).quantize(Decimal("0.01"))
    by_bank = {bank.bank: bank for bank in cost.banks}
    assert by_bank["banks.lead"].each == lead
    assert (by_bank["banks.lead"].battery_count, by_bank["banks.lead"].usual_count) == (1, 2)
    assert (by_bank["banks.lithium"].battery_count, by_bank["banks.lithium"].usual_count) == (2, 0)
    starter = by_bank["banks.starter"]
    assert starter.usual_count == 1
    assert starter.each is not None
    assert cost.replacements_usual == 2 * lead + starter.each
    assert cost.running_usual == Decimal("2414.25")  # 10 · 33.3 h · 7.25
    assert cost.today == made[1].price.total
    assert cost.total_usual == made[1].price.total + 2 * lead + starter.each + Decimal("2414.25")
    assert cost.total_low == cost.total_usual == cost.total_high  # no seeded years: nothing is known of the spread
    assert cost.currency == "EUR"


def test_the_seeded_years_give_the_ends_a_long_life_the_low_one(
    project: Project, made: tuple[Circuit, OptionResult]
) -> None:
    behaviour = _behaviour(
        made[1], {"banks.lead": 4.0}, 30.0,
        _spread("life_years", "banks.lithium", 1.0, 1.0, 1.0), _spread("life_years", "banks.lead", 3.0, 4.5, 11.0),
        _spread("engine_h", "", 10.0, 25.0, 60.0),
    )  # fmt: skip
    cost = _cost(project, made, behaviour, engine_cost_per_hour=Decimal(2))
    (lead,) = cost.banks
    assert (lead.life_low_years, lead.life_years, lead.life_high_years) == pytest.approx((3.0, 4.5, 11.0))
    assert (lead.low_count, lead.usual_count, lead.high_count) == (0, 2, 3)
    assert (cost.running_low, cost.running_usual, cost.running_high) == (Decimal(200), Decimal(500), Decimal(1200))
    assert lead.each is not None
    assert cost.total_low == cost.today + 200
    assert cost.total_usual == cost.today + 2 * lead.each + 500
    assert cost.total_high == cost.today + 3 * lead.each + 1200


def test_what_nobody_states_is_left_out_and_said(project: Project, made: tuple[Circuit, OptionResult]) -> None:
    behaviour = _behaviour(made[1], {"banks.lead": 4.0}, 30.0)
    behaviour = replace(behaviour, year=replace(behaviour.year, generator_h=12.0))
    cost = _cost(project, made, behaviour, engine_cost_per_hour=None, generator_cost_per_hour=None)
    assert [(r.kind, r.usual_h) for r in cost.running] == [("engine", 30.0), ("generator", 12.0)]
    assert [r.per_hour for r in cost.running] == [None, None]
    assert cost.running_high == 0
    assert {(u.code, u.item) for u in cost.unstated} >= {("engine_cost", ""), ("generator_cost", "")}
    stated = _cost(project, made, behaviour, engine_cost_per_hour=Decimal(1), generator_cost_per_hour=Decimal(3))
    assert stated.running_usual == 300 + 360
    assert not {u.code for u in stated.unstated} & {"engine_cost", "generator_cost"}


def test_an_engine_that_never_runs_asks_for_no_price(project: Project, made: tuple[Circuit, OptionResult]) -> None:
    cost = _cost(project, made, _behaviour(made[1], {"banks.lead": 4.0}, 0.0), engine_cost_per_hour=None)
    assert cost.running == ()
    assert "engine_cost" not in {u.code for u in cost.unstated}


def test_batteries_without_a_price_and_of_unknown_age_are_said(
    project: Project, made: tuple[Circuit, OptionResult]
) -> None:
    circuit, option = made
    old = replace(circuit, batteries=tuple(replace(b, stays=b.bank == "banks.lead") for b in circuit.batteries))
    book = project.prices.value
    bare = book.model_copy(
        update={"parts": {**book.parts, "agm_12v_90": book.parts["agm_12v_90"].model_copy(update={"price": None})}}
    )
    catalogue = Catalogue.of(bare, project.spec.value.parts)
    behaviour = _behaviour(option, {"banks.lead": 4.0, "banks.lithium": 12.0}, 0.0)
    cost = ten_years(behaviour, old, catalogue, project.installer.value, option.price)
    assert cost.banks[0].each is None
    assert cost.replacements_usual == 0
    assert [(u.code, u.item) for u in cost.unstated if u.item] == [
        ("battery_price", "banks.lead"), ("battery_age", "banks.lead"),
    ]  # fmt: skip
    long_lived = _behaviour(option, {"banks.lead": 14.0}, 0.0)
    cost = ten_years(long_lived, old, catalogue, project.installer.value, option.price)
    assert "battery_price" not in {u.code for u in cost.unstated}
