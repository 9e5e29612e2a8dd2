"""Numbers as printed. The writing of each locale is that of the Unicode CLDR, read here from its published charts."""

from __future__ import annotations

from decimal import Decimal

import pytest

from proposal.book.cells import UNITS, WHOLE_OHM, Cells, unit_of
from proposal.book.language import Language

NB = "\u00a0"


@pytest.fixture(scope="module")
def cells() -> Cells:
    return Cells("en_GB", "EUR", Language("en_GB"))


@pytest.mark.parametrize(
    ("name", "value", "text"),
    [
        ("current_a", 213.4, "213 A"),
        ("current_a", 31.456, "31.5 A"),
        ("current_a", 5.0, "5 A"),
        ("rating_a", 7.5, "7.5 A"),
        ("fault_a", 8132.4, "8,132 A"),
        ("design_current_a", 0.0001, "0 A"),
        ("ampacity_a", 9.996, "10.0 A"),
        ("starter_v", 9.8004, "9.80 V"),
        ("system_v", 12.0, "12 V"),
        ("resistance_20c_ohm", 0.00863, "8.63 mΩ"),
        ("loop_drop_share", 0.02517, "2.5 %"),
        ("usable_share", 0.5, "50 %"),
        ("length_m", 4.2, "4.2 m"),
        ("distance_m", 0.1778, "0.18 m"),
        ("length_m", 11.0, "11 m"),
        ("area_mm2", 33.62, "33.6 mm²"),
        ("area_mm2", 0.823, "0.82 mm²"),
        ("capacity_ah", 220.0, "220 Ah"),
        ("wh_per_day", 3017.13, "3,017 Wh"),
        ("engine_accepted_h", 1.5, "1.5 h"),
        ("after_s", 600.0, "10 min"),
        ("time_s", 6.0, "6 s"),
        ("place_c", -25.0, "-25 °C"),
        ("mass_kg", 116.4, "116 kg"),
        ("days", 1.878, "1.9 days"),
        ("days", 1.0, "1 day"),
        ("days", 0.404, "9.7 h"),
        ("drop_v", 0.6044, "0.604 V"),
        ("resistance_ohm", 0.0000421, "0.042 mΩ"),
        ("leak_ohm", 470.0, "470 Ω"),
        ("leak_ohm", 10_000.0, "10 kΩ"),
        ("moved_m", 0.0254, "25.4 mm"),
        ("moved_m", 0.1, "0.1 m"),
        ("temperature_factor", 0.931, "0.93"),
        ("strings_count", 2, "2"),
        ("clock_s", 31_259.0, "08:40"),
        ("clock_s", 64_440.0 - 1e-11, "17:54"),
        ("at_clock_s", 86_400.0 + 67_200.0, "18:40"),
    ],
)
def test_a_number_is_printed_by_the_unit_in_its_name(cells: Cells, name: str, value: float, text: str) -> None:
    cell = cells.number(name, value, "somewhere")
    assert cell.text == text.replace(" ", NB)
    assert cell.value == value
    assert cell.ref == "somewhere"


def test_the_text_is_the_value_at_the_stated_digits(cells: Cells) -> None:
    for name, factor in (("current_a", 1.0), ("resistance_ohm", 1000.0), ("drop_share", 100.0)):
        for value in (0.0, 0.0123456, 0.5, 3.14159, 9.999, 42.4242, 99.97, 123.456, 98765.4321):
            if name == "resistance_ohm" and value >= WHOLE_OHM:
                continue  # told in Ω and kΩ
            cell = cells.number(name, value, "x")
            number = float(cell.text.split(NB)[0].replace(",", ""))
            assert number == round(value * factor, cell.digits)


def test_every_unit_has_a_name_that_leads_to_it() -> None:
    named = set(UNITS) - {"hours_of_days", "days_of_s", "hours_of_s", "whole_ohm"}
    assert {unit_of(f"some_{key}") for key in named} == named
    assert unit_of("engine_accepted_h") == "h"
    assert unit_of("usable_wh_per_day") == "wh"
    assert unit_of("nonsense") == ""


@pytest.mark.parametrize(
    ("locale", "number", "money"),
    [
        ("en_GB", "1,234.5", "€1,234.50"),
        ("de_DE", "1.234,5", f"1.234,50{NB}€"),
        ("fr_FR", "1\u202f234,5", f"1\u202f234,50{NB}€"),
        ("xx_unknown", "1,234.5", "€1,234.50"),
    ],
)
def test_the_locale_decides_the_writing(locale: str, number: str, money: str) -> None:
    made = Cells(locale, "EUR", Language(locale))
    assert made.number("current_a", 1234.5, "x", digits=1).text == f"{number}{NB}A"
    assert made.money(Decimal("1234.50"), "x").text == money
    assert made.decimal_mark == number[-2]


def test_money_keeps_its_exact_value(cells: Cells) -> None:
    cell = cells.money(Decimal("0.10"), "price.total")
    assert (cell.value, cell.unit, cell.text) == ("0.10", "EUR", "€0.10")


def test_no_value_is_said_in_words(cells: Cells) -> None:
    assert cells.number("current_a", None, "x").text == "– not known"
    assert cells.number("current_a", None, "x").value is None
    assert cells.money(None, "x", "no price yet").text == "– no price yet"


def test_quantities_carry_their_unit(cells: Cells) -> None:
    assert cells.quantity(Decimal("12.6"), "m", "x").text == f"12.6{NB}m"
    assert cells.quantity(Decimal("2"), "pc", "x").text == f"2{NB}pc"
    assert cells.quantity(Decimal("2E+1"), "pc", "x").text == f"20{NB}pc"


def test_what_is_nearly_nothing_is_told_in_powers_of_ten(cells: Cells) -> None:
    assert cells.tiny("kirchhoff_a", 3.14e-13, "x").text == f"3.1E-13{NB}A"


def test_dates_are_written_out(cells: Cells) -> None:
    assert cells.date("2026-03-14") == "14 March 2026"
    assert cells.date("in spring") == "in spring"
