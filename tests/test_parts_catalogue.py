"""The catalogue: what is found by id, what is offered to choose from, and in which order."""

import random
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proposal.errors import Problem, SpecError
from proposal.parts.catalogue import Catalogue, PartError, clashes
from proposal.reading import read_text
from proposal.spec.pricebook import Part, PriceBook
from proposal.units import UnitError, parse_size

BOOK = """
price_book_version: "1"
currency: EUR
parts:
  bank: {kind: battery, title: Battery, chemistry: agm, voltage: 12 V, capacity: 100 Ah, price: 200}
  old_bank: {kind: battery, title: Old battery, chemistry: agm, voltage: 12 V, capacity: 90 Ah}
  inverter_small: {kind: inverter, title: Inverter, power: 1 kW, surge: 2 kW, input_voltage: 12 V, price: 400}
  charger_small: {kind: shore_charger, title: Charger, output: 20 A, output_voltage: 12 V, price: 150}
  strong_100: {kind: fuse, title: Strong, class: t, rating: 100 A, voltage_max: 125 V, interrupt: 20 kA, price: 40}
  weak_100: {kind: fuse, title: Weak, class: strip, rating: 100 A, voltage_max: 32 V, interrupt: 2 kA, price: 9}
  weak_100_cheap: {kind: fuse, title: Weak, class: cube, rating: 100 A, voltage_max: 58 V, interrupt: 2 kA, price: 8}
  weak_80: {kind: fuse, title: Weak, class: strip, rating: 80 A, voltage_max: 32 V, interrupt: 2 kA, price: 90}
  weak_495: {kind: fuse, title: Weak, class: strip, rating: 495 A, voltage_max: 32 V, interrupt: 2 kA, price: 20}
  fitted_100: {kind: fuse, title: Fitted today, class: strip, rating: 100 A, voltage_max: 32 V, interrupt: 2 kA}
  hand_300: {kind: switch, title: Switch, rating: 300 A, voltage_max: 48 V, price: 40}
  hand_300_high: {kind: switch, title: Switch, rating: 300 A, voltage_max: 72 V, price: 70}
  hand_150: {kind: switch, title: Switch, rating: 150 A, voltage_max: 48 V, price: 99}
  held_12: {kind: contactor, title: C, rating: 200 A, voltage_max: 80 V, coil_voltage: 12 V, price: 91}
  held_24: {kind: contactor, title: C, rating: 200 A, voltage_max: 80 V, coil_voltage: 24 V, price: 110}
  latch_12: {kind: contactor, title: C, rating: 200 A, voltage_max: 80 V, coil: latching, coil_voltage: 12 V, price: 99}
  joiner: {kind: vsr, title: V, rating: 140 A, voltage_max: 16 V, joins: 13.4 V, releases: 12.8 V, price: 80}
  shunt_500: {kind: shunt, title: S, rating: 500 A, resistance: 0.1 mohm, price: 140}
  shunt_300: {kind: shunt, title: S, rating: 300 A, resistance: 0.1667 mohm, price: 140}
  bus_8: {kind: bus, title: B, rating: 250 A, studs: 8, voltage_max: 70 V, price: 30}
  bus_4: {kind: bus, title: B, rating: 250 A, studs: 4, voltage_max: 70 V, price: 35}
  bus_big: {kind: bus, title: B, rating: 600 A, studs: 4, voltage_max: 70 V, price: 10}
  cable_90: {kind: cable, title: C, size: 70 mm2, insulation: 90 °C, price: 11}
  cable_105: {kind: cable, title: C, size: 70 mm2, insulation: 105 °C, price: 10}
  cable_thin: {kind: cable, title: C, size: 16 mm2, insulation: 70 °C, price: 3}
  cable_awg: {kind: cable, title: C, size: 2/0 AWG, insulation: 105 °C, price: 10}
"""


def book() -> PriceBook:
    return read_text(BOOK, "prices.yaml", PriceBook).value


def own(**parts: str) -> dict[str, Part]:
    lines = "".join(f"  {name}: {text}\n" for name, text in parts.items())
    text = f'price_book_version: "1"\ncurrency: EUR\nparts:\n{lines}'
    return dict(read_text(text, "spec.yaml", PriceBook).value.parts)


def ids(pairs: tuple[tuple[str, Any], ...]) -> list[str]:
    return [name for name, _ in pairs]


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.of(book())


def test_finds_each_kind_by_id(catalogue: Catalogue) -> None:
    assert catalogue.get("weak_80").title == "Weak"
    assert catalogue.battery("old_bank").capacity_ah == 90
    assert catalogue.inverter("inverter_small").surge_w == 2000
    assert catalogue.charger("charger_small").output_a == 20
    assert catalogue.relay("held_12").coil_v == catalogue.relay("latch_12", "contactor").coil_v == 12


def test_a_misspelt_id_brings_its_near_matches(catalogue: Catalogue) -> None:
    with pytest.raises(PartError) as caught:
        catalogue.get("wek_100")
    assert caught.value.what == "is not in the price book or under parts"
    assert "weak_100" in caught.value.allowed


def test_a_part_of_another_kind_is_named_and_the_right_ones_offered(catalogue: Catalogue) -> None:
    with pytest.raises(PartError) as caught:
        catalogue.battery("charger_small")
    assert caught.value.what == "is a shore charger, and a battery belongs here"
    assert caught.value.allowed == "bank, old_bank"
    with pytest.raises(PartError) as caught:
        catalogue.charger("charger_small", "solar_controller")
    assert caught.value.what == "is a shore charger, and a solar controller belongs here"
    assert caught.value.allowed == "a part that is listed"
    with pytest.raises(PartError, match="is a contactor, and a voltage-sensitive relay belongs here · allowed: joiner"):
        catalogue.relay("held_12", "vsr")


def test_fuse_candidates_rise_by_rating_then_breaking_capacity_then_price(catalogue: Catalogue) -> None:
    assert ids(catalogue.fuse_candidates(80, 100, 14.4)) == ["weak_80", "weak_100_cheap", "weak_100", "strong_100"]


@pytest.mark.parametrize("first_a", [0.0, 59.9, 60.0, 100.0, 1e6])
@pytest.mark.parametrize(("smallest_a", "largest_a"), [(0.0, 1e6), (60.0, 100.0), (60.1, 99.9), (100.0, 60.0)])
def test_fuses_rated_are_those_of_the_window_with_the_cool_ones_first(
    catalogue: Catalogue, smallest_a: float, largest_a: float, first_a: float
) -> None:
    fitting = [pair for pair in catalogue.fuses() if smallest_a <= pair[1].rating_a <= largest_a]
    wanted = sorted(fitting, key=lambda pair: pair[1].rating_a < first_a)
    assert list(catalogue.fuses_rated(smallest_a, largest_a, first_a)) == wanted


def test_fuse_candidates_leave_out_what_cannot_interrupt_at_that_voltage(catalogue: Catalogue) -> None:
    assert ids(catalogue.fuse_candidates(80, 100, 58.0)) == ["weak_100_cheap", "strong_100"]
    assert ids(catalogue.fuse_candidates(80, 100, 58.4)) == ["strong_100"]


def test_fuse_candidates_take_both_limits_though_arithmetic_misses_the_last_bit(catalogue: Catalogue) -> None:
    assert 1.1 * 3 * 150 > 495  # the float that a rule would hand over
    assert ids(catalogue.fuse_candidates(1.1 * 3 * 150, 500, 12)) == ["weak_495"]
    assert ids(catalogue.fuse_candidates(495.001, 500, 12)) == []
    assert ids(catalogue.fuse_candidates(450, 494.999, 12)) == []


def test_what_has_no_price_is_found_but_not_offered(catalogue: Catalogue) -> None:
    assert catalogue.get("fitted_100").price is None
    assert "fitted_100" not in ids(catalogue.fuses())
    assert ids(catalogue.fuses("strip")) == ["weak_80", "weak_100", "weak_495"]


def test_switches_by_rating_then_price(catalogue: Catalogue) -> None:
    assert ids(catalogue.switches(100, 14.4)) == ["hand_150", "hand_300", "hand_300_high"]
    assert ids(catalogue.switches(151, 58.4)) == ["hand_300_high"]
    assert catalogue.switches(301, 12) == ()


def test_relays_by_kind_coil_voltage_and_how_they_are_driven(catalogue: Catalogue) -> None:
    assert ids(catalogue.relays("contactor", 100, 14.4, 12)) == ["held_12", "latch_12"]
    assert ids(catalogue.relays("contactor", 100, 14.4, 12, "latching")) == ["latch_12"]
    assert ids(catalogue.relays("contactor", 100, 28.8, 24)) == ["held_24"]
    assert ids(catalogue.relays("vsr", 140, 14.4)) == ["joiner"]
    assert catalogue.relays("vsr", 140, 14.4, 24) == ()
    assert catalogue.relays("contactor", 201, 14.4, 12) == ()


def test_shunts_and_buses(catalogue: Catalogue) -> None:
    assert ids(catalogue.shunts(250)) == ["shunt_300", "shunt_500"]
    assert ids(catalogue.shunts(300.5)) == ["shunt_500"]
    assert ids(catalogue.buses(200, 3, 14.4)) == ["bus_4", "bus_8", "bus_big"]
    assert ids(catalogue.buses(200, 5, 14.4)) == ["bus_8"]
    assert catalogue.buses(200, 5, 71) == ()


def test_cable_is_of_the_lowest_insulation_class_that_serves_whatever_it_costs(catalogue: Catalogue) -> None:
    def chosen(size: str, insulation_c: float) -> str | None:
        found = catalogue.cable(size, insulation_c)
        return found[0] if found else None

    assert chosen("70 mm2", 75) == "cable_90"
    assert chosen("70 mm²", 90) == "cable_90"
    assert chosen("70 mm2", 105) == "cable_105"
    assert chosen("70 mm2", 110) is None
    assert chosen("95 mm2", 70) is None
    assert catalogue.cable(parse_size("2/0 AWG"), 105) == ("cable_awg", catalogue.get("cable_awg"))
    with pytest.raises(UnitError):
        catalogue.cable("thick", 70)


def test_cable_sizes_of_one_system_that_have_the_class(catalogue: Catalogue) -> None:
    assert [size.label for size in catalogue.cable_sizes("mm2", 70)] == ["16 mm²", "70 mm²"]
    assert [size.label for size in catalogue.cable_sizes("mm2", 75)] == ["70 mm²"]
    assert [size.label for size in catalogue.cable_sizes("awg", 75)] == ["2/0 AWG"]


def test_own_parts_extend_the_book_and_a_clash_is_reported() -> None:
    mine = own(
        fine_fuse="{kind: fuse, title: F, class: strip, rating: 90 A, voltage_max: 32 V, interrupt: 3 kA, price: 5}",
        bank="{kind: battery, title: Mine, chemistry: gel, voltage: 12 V, capacity: 80 Ah, price: 1}",
    )
    assert clashes(book(), mine) == ("bank",)
    joined = Catalogue.of(book(), mine)
    assert joined.battery("bank").title == "Mine"
    assert ids(joined.fuse_candidates(80, 95, 12)) == ["weak_80", "fine_fuse"]
    assert clashes(book(), {}) == ()


def test_equal_in_all_else_the_id_decides() -> None:
    line = "{kind: shunt, title: S, rating: 300 A, resistance: 0.1667 mohm, price: 140}"
    joined = Catalogue.of(book(), own(shunt_zz=line, shunt_aa=line))
    assert ids(joined.shunts(300)) == ["shunt_300", "shunt_aa", "shunt_zz", "shunt_500"]


def test_the_order_in_the_file_changes_nothing() -> None:
    lines = BOOK.strip().splitlines()
    head, parts = lines[:3], lines[3:]
    shuffled = parts.copy()
    random.Random(7).shuffle(shuffled)  # noqa: S311 - not for secrets
    assert shuffled != parts
    other = read_text("\n".join(head + shuffled), "prices.yaml", PriceBook).value
    assert Catalogue.of(other) == Catalogue.of(book())
    assert list(Catalogue.of(other).parts) == sorted(book().parts)


def test_the_catalogue_is_frozen(catalogue: Catalogue) -> None:
    with pytest.raises(AttributeError):
        catalogue.currency = "USD"  # type: ignore[misc]
    with pytest.raises(TypeError):
        catalogue.parts["bank"] = catalogue.get("bank")  # type: ignore[index]
    assert catalogue.get("bank").price == Decimal(200)


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_a_damaged_book_is_told_or_read_and_never_breaks(data: st.DataObject) -> None:
    lines = BOOK.strip().splitlines()
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(lines) - 1))
        start = data.draw(st.integers(0, len(lines[at])))
        cut = data.draw(st.integers(0, 12))
        put = data.draw(
            st.sampled_from(["", ",", ": ", "{", "}", "-1", "1e9 A", "\t", "&a ", "*a", "no", "§", "<script>", "kA"])
        )
        lines[at] = lines[at][:start] + put + lines[at][start + cut :]
    problems: tuple[Problem, ...] = ()
    try:
        catalogue = Catalogue.of(read_text("\n".join(lines), "prices.yaml", PriceBook).value)
    except SpecError as error:
        problems = error.problems
    else:
        for part_id, part in catalogue.parts.items():
            assert catalogue.get(part_id) is part
    for problem in problems:
        assert str(problem).startswith(f"prices.yaml:{problem.line}:{problem.column}: ")
        assert 1 <= problem.line <= len(lines) + 1
        assert problem.what
