"""The demonstration price book and installer: they read cleanly, claim nothing beyond their class, cover the job."""

import itertools
from pathlib import Path
from typing import Literal

import pytest

from proposal.errors import SpecError
from proposal.parts.catalogue import Catalogue
from proposal.parts.chemistry import assumed_resistance_ohm, full_rest_v
from proposal.parts.fuse_classes import fuse_classes, published
from proposal.reading import read, read_text
from proposal.spec.installer import Installer
from proposal.spec.pricebook import BatteryPart, CablePart, FusePart, PriceBook, RelayPart
from proposal.units import AWG_SIZES, MM2_SIZES

PROJECTS = Path(__file__).parent.parent / "projects"


@pytest.fixture(scope="module")
def book() -> PriceBook:
    return read(PROJECTS / "prices.yaml", PriceBook).value


@pytest.fixture(scope="module")
def catalogue(book: PriceBook) -> Catalogue:
    return Catalogue.of(book)


def test_the_installer_reads_and_shares_the_currency(book: PriceBook) -> None:
    installer = read(PROJECTS / "installer.yaml", Installer).value
    assert installer.currency == book.currency == "EUR"
    assert installer.tax == pytest.approx(0.21)
    assert (PROJECTS / installer.price_book).is_file()
    assert installer.cautions
    assert installer.terms


def test_every_price_says_that_it_is_invented(book: PriceBook) -> None:
    assert all(part.price is not None and part.source.startswith("invented") for part in book.parts.values())


def test_titles_tell_parts_apart(book: PriceBook) -> None:
    titles = [part.title for part in book.parts.values()]
    assert sorted(titles) == sorted(set(titles))


def test_no_fuse_breaks_more_than_its_published_class(book: PriceBook) -> None:
    # ISO 8820-3, -5, -6, ISO 20934, UL 248-15 scopes and common listings; see parts/tables/fuse_classes.csv
    fuses = [part for part in book.parts.values() if isinstance(part, FusePart)]
    assert len(fuses) > 100
    for part in fuses:
        known = published(part)
        assert known is not None, part.title
        assert part.interrupt_a <= known.interrupt_a, part.title


def test_no_fuse_is_for_more_volts_than_its_published_class(book: PriceBook) -> None:
    # the bolted square body is listed at 48 V where 25 kA is known; it is commonly sold for more, as here
    for part in book.parts.values():
        if isinstance(part, FusePart) and part.fuse_class != "nh_bolt":
            known = published(part)
            assert known is not None
            assert part.voltage_max_v <= known.voltage_v, part.title


def test_a_class_is_judged_by_the_row_of_its_voltage() -> None:
    def fuse(fuse_class: str, rating: str, volts: str) -> FusePart:
        return FusePart.model_validate(
            {
                "kind": "fuse",
                "title": "F",
                "class": fuse_class,
                "rating": rating,
                "voltage_max": volts,
                "interrupt": "9 kA",
            }
        )

    def known_a(part: FusePart) -> float | None:
        found = published(part)
        return found.interrupt_a if found else None

    assert known_a(fuse("terminal_cube", "100 A", "14 V")) == 10_000  # vendors' class values
    assert known_a(fuse("terminal_cube", "100 A", "32 V")) == 5_000
    assert known_a(fuse("terminal_cube", "100 A", "58 V")) == 2_000  # ISO 8820-6 scope
    assert known_a(fuse("mega", "100 A", "32 V")) == 2_000  # ISO 8820-5 scope
    assert known_a(fuse("mega", "100 A", "70 V")) == 2_500  # ISO 20934 scope
    assert known_a(fuse("blade", "50 A", "32 V")) is None  # beyond the class
    assert known_a(fuse("unheard_of", "50 A", "32 V")) is None
    assert {"blade", "midi", "mega", "class_t", "anl", "nh_bolt"} <= {row.fuse_class for row in fuse_classes()}


def test_fuses_drop_about_a_tenth_of_a_volt_at_rating(book: PriceBook) -> None:
    for part in book.parts.values():
        if isinstance(part, FusePart):
            assert 0.05 <= part.rating_a * part.resistance_ohm <= 0.15, part.title


def test_batteries_state_a_fault_current_that_fits_their_resistance(book: PriceBook) -> None:
    for part in book.parts.values():
        if isinstance(part, BatteryPart) and part.resistance_ohm and part.short_circuit_a:
            assert part.short_circuit_a == pytest.approx(full_rest_v(part) / part.resistance_ohm, rel=0.1), part.title


def test_what_would_be_assumed_is_never_kinder_than_what_is_stated(book: PriceBook) -> None:
    for part in book.parts.values():
        if isinstance(part, BatteryPart) and part.short_circuit_a:
            assumed = assumed_resistance_ohm(part)
            assert full_rest_v(part) / assumed.for_fault_ohm >= part.short_circuit_a, part.title


def test_lithium_states_the_limits_that_checks_ask_for(book: PriceBook) -> None:
    lithium = [part for part in book.parts.values() if isinstance(part, BatteryPart) and part.chemistry == "lithium"]
    assert {round(part.voltage_v, 1) for part in lithium} == {12.8, 25.6, 51.2}
    for part in lithium:
        assert None not in (part.charge_max_a, part.discharge_max_a, part.peak_a, part.peak_s, part.coldest_charge_c)
        assert part.charge_max_a is not None
        assert part.charge_max_a <= 0.5 * part.capacity_ah  # a pack data sheet: 0.5 C typical


@pytest.mark.parametrize("insulation_c", [75, 90, 105])
def test_cable_in_every_gauge(catalogue: Catalogue, insulation_c: int) -> None:
    assert catalogue.cable_sizes("awg", insulation_c) == tuple(sorted(AWG_SIZES))
    for size in AWG_SIZES:
        found = catalogue.cable(size, insulation_c)
        assert found is not None
        assert found[1].insulation_c == insulation_c


@pytest.mark.parametrize("insulation_c", [70, 90, 105])
def test_cable_in_every_metric_size_from_1_to_150(catalogue: Catalogue, insulation_c: int) -> None:
    wanted = tuple(size for size in MM2_SIZES if 1 <= size.area_mm2 <= 150)
    assert set(wanted) <= set(catalogue.cable_sizes("mm2", insulation_c))
    prices = [found[1].price for size in wanted if (found := catalogue.cable(size, insulation_c))]
    assert all(small is not None and large is not None and small < large for small, large in itertools.pairwise(prices))


def test_every_cable_has_a_lug_and_weighs_more_than_its_copper(book: PriceBook) -> None:
    for part in book.parts.values():
        if isinstance(part, CablePart):
            assert part.lug_price
            assert part.mass_kg > part.size.area_mm2 * 8.96e-3  # density of copper, kg per metre and mm²


@pytest.mark.parametrize(("system_v", "highest_v"), [(12, 14.8), (24, 29.6), (48, 58.4)])
def test_something_serves_every_rating_at_every_system_voltage(
    catalogue: Catalogue, system_v: float, highest_v: float
) -> None:
    for rating_a in (1, 3, 10, 15, 20, 30, 60, 100, 150, 200, 250, 300, 400, 500):
        found = catalogue.fuse_candidates(rating_a, rating_a * 1.1, highest_v)
        assert found, rating_a
        assert max(part.interrupt_a for _, part in found) >= 20_000, rating_a
    for rating_a in (100, 300, 600):
        assert catalogue.switches(rating_a, highest_v)
        assert catalogue.buses(rating_a, 12, highest_v)
        assert catalogue.shunts(rating_a)
    coils: tuple[Literal["held", "latching"], ...] = ("held", "latching")
    for coil in coils:
        for rating_a in (100, 200, 500):
            assert catalogue.relays("contactor", rating_a, highest_v, system_v, coil)
    assert catalogue.relays("vsr", 500, highest_v, system_v)


def test_voltage_sensitive_relays_join_where_such_relays_do(book: PriceBook) -> None:
    # five seller data sheets: join at 13.3 to 13.7 V, release at 12.8 V; doubled at 24 V, as here again at 48 V
    relays = [part for part in book.parts.values() if isinstance(part, RelayPart) and part.kind == "vsr"]
    assert relays
    for part in relays:
        assert part.coil_v
        assert part.joins_v
        assert part.releases_v
        times = part.coil_v / 12
        assert 13.3 * times <= part.joins_v <= 13.7 * times + 1e-9
        assert part.releases_v == pytest.approx(12.8 * times)


def test_a_broken_price_book_is_told_line_and_column() -> None:
    text = """price_book_version: "1"
currency: EUR
parts:
  fuse_100:
    kind: fuse
    title: Fuse
    class: midi
    rating: 100
    voltage_max: 32 A
    interupt: 2 kA
    interrupt: 2 kA
    price: 4,60
  fuse_200: {kind: fuze, title: Fuse}
  cable_7: {kind: cable, title: Cable, size: 7 AWG, insulation: 105 °C}
"""
    with pytest.raises(SpecError) as caught:
        read_text(text, "prices.yaml", PriceBook)
    told = [str(problem) for problem in caught.value.problems]
    assert [line.split(": ")[0] for line in told] == [
        "prices.yaml:8:13",
        "prices.yaml:9:18",
        "prices.yaml:10:5",
        "prices.yaml:12:12",
        "prices.yaml:13:20",
        "prices.yaml:14:46",
    ]
    assert "no unit" in told[0]
    assert "interrupt" in told[2]
    assert "8 AWG or 6 AWG" in told[5]
