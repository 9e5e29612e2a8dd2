"""The standard of the cable decides its area: AWG of ASTM, or automotive gauges by SAE with 3 to 11 % less copper."""

from __future__ import annotations

import csv
import random
from dataclasses import replace
from pathlib import Path

import pytest

from proposal.circuit.misfit import MisfitError
from proposal.codes import FAMILIES, family
from proposal.design.pins import apply_pins
from proposal.design.step import design
from proposal.parts.catalogue import Catalogue
from proposal.parts.references import cable_complaints
from proposal.reading import read_text
from proposal.spec.overlay import Pin
from proposal.spec.pricebook import CablePart, PriceBook
from proposal.studies.network.equations import conductor_ohm
from proposal.units import SAE_SIZES, parse_size
from tests.generate import Built, build, cell, price_book, spec_of, spec_text

TRUTH = Path(__file__).parents[1] / "truth"
US = family("us_boats")

with (TRUTH / "awg.csv").open(encoding="utf-8", newline="") as _file:
    AREAS = {row["awg"]: row for row in csv.DictReader(_file)}
with (TRUTH / "worked_examples.csv").open(encoding="utf-8", newline="") as _file:
    W11 = next(row for row in csv.DictReader(_file) if row["id"] == "W11")


def by_sae(book: PriceBook) -> PriceBook:
    """The same book with its gauge cables to SAE; 3 AWG, which SAE has not, is sold no more."""
    parts = {
        name: part.model_copy(update={"standard": "sae"})
        if isinstance(part, CablePart) and part.size.system == "awg"
        else part
        for name, part in book.parts.items()
        if not (isinstance(part, CablePart) and part.size.label == "3 AWG")
    }
    return book.model_copy(update={"parts": parts})


@pytest.mark.parametrize("size", SAE_SIZES, ids=str)
def test_sae_areas(size):
    # SAE J1127 and J1128, corroborated: least area in circular mils, and how far below AWG that is
    row = AREAS[size.nominal.removesuffix(" AWG")]
    assert row["status"] == "corroborated"
    assert size.area_mm2 == pytest.approx(float(row["sae_min_cmil"]) * 5.067075e-4, rel=1e-9)
    share = size.area_mm2 / 5.067075e-4 / float(row["area_cmil_nominal"])
    assert 100 * (1 - share) == pytest.approx(float(row["sae_below_awg_pct"]), abs=0.06)
    assert size < parse_size(size.nominal)


def test_sae_has_no_3_awg():
    assert {size.nominal for size in SAE_SIZES} == {f"{n} AWG" for n, row in AREAS.items() if row["sae_min_cmil"]}


def test_the_trap_of_the_worked_example():
    """W11, ABYC E-11's formula: 6271 circular mils for 3 % of 12 V. 12 AWG has 6530, automotive 12 gauge only 5833."""
    assert "12 AWG if AWG area (6530), 10 if SAE area (12=5833)" in W11["printed_in_source"]
    chosen = {}
    for name, book in (("awg", price_book()), ("sae", by_sae(price_book()))):
        for size in Catalogue.of(book).cable_sizes("awg", 105):
            ohm = conductor_ohm(US.resistance_20c_ohm_per_m(size).value, 21 * 0.3048, 29.3)
            if 10.0 * ohm <= 0.03 * 12.0:
                chosen[name] = size.label
                break
    assert chosen == {"awg": "12 AWG", "sae": "10 AWG SAE"}


@pytest.mark.parametrize("known", FAMILIES.values(), ids=list(FAMILIES))
@pytest.mark.parametrize("size", SAE_SIZES, ids=str)
def test_less_copper_carries_less_and_resists_more(known, size):
    awg = parse_size(size.nominal)
    ours, whole = (known.resistance_20c_ohm_per_m(s) for s in (size, awg))
    assert ours.citation.source == "sae_j1128"
    assert ours.value * size.area_mm2 == pytest.approx(1.02 * 0.017241, rel=1e-9)
    assert ours.value > whole.value
    less = known.ampacity(size, 75, 30, False, 2).ampacity_a
    assert less < known.ampacity(awg, 75, 30, False, 2).ampacity_a or known.size_system == "mm2"


def test_a_gauge_by_sae_has_its_own_row_in_proportion_to_its_copper():
    found = US.ampacity(parse_size("12 AWG SAE"), 105, 30, False, 1)
    assert found.ampacity_a == pytest.approx(45 * 5833 / (parse_size("12 AWG").area_mm2 / 5.067075e-4), rel=1e-6)
    assert "12 AWG SAE is not in the table: 12 AWG taken, 0.89 of its current by area" in found.citations[1].clause


def test_what_is_chosen_has_the_area_of_the_cable_that_is_sold():
    rng = random.Random(5)  # noqa: S311 - test data
    text = spec_text(rng, voltage_v=12, arrangements=("one_bank",), rules="us_boats",
                     most_loads=6)  # fmt: skip
    built = build(spec_of(text), next(iter(spec_of(text).options)))
    by_gauge = design(built.circuit, {}, built.catalogue, built.family)
    automotive = Catalogue.of(by_sae(price_book()))
    made = design(built.circuit, {}, automotive, built.family)
    for conductor, other in zip(made.circuit.conductors, by_gauge.circuit.conductors, strict=True):
        assert conductor.size in SAE_SIZES
        assert automotive.parts[conductor.part_id].size.label == conductor.size.nominal
        assert other.size.label.endswith(" AWG")
        found = made.ampacities[conductor.key]
        assert found.ampacity_a >= made.flow.demands[conductor.key].current_a * (1 - 1e-9)
    areas = [sum(c.size.area_mm2 for c in d.circuit.conductors) for d in (made, by_gauge)]
    assert areas[0] > 0.9 * areas[1]  # less copper a metre is answered by larger gauges, not passed over


def with_cable(built: Built, **update: object) -> Catalogue:
    parts = {"soft_12": CablePart.model_validate({"kind": "cable", "title": "Soft", "size": "12 AWG",
                                                  "insulation": "105 °C", "price": "2", **update})}  # fmt: skip
    return replace(built.catalogue, parts={**built.catalogue.parts, **parts})


def test_a_conductor_pinned_by_its_cable_has_the_area_of_that_cable():
    built = cell("one_bank", 12)
    load = built.circuit.loads[0].key
    pins = {load: Pin(load, "soft_12", False, ("options", "a", "pins", load))}
    for standard, label in (("sae", "12 AWG SAE"), ("astm_awg", "12 AWG")):
        circuit = apply_pins(built.circuit, pins, with_cable(built, standard=standard))
        fitted = {(c.size.label, c.part_id, c.pinned) for c in circuit.conductors if c.circuit == load}
        assert fitted == {(label, "soft_12", True)}
    by_text = {load: Pin(load, "12 AWG SAE", False, ())}
    circuit = apply_pins(built.circuit, by_text, built.catalogue)
    assert {c.size.label for c in circuit.conductors if c.circuit == load} == {"12 AWG SAE"}
    with pytest.raises(MisfitError):
        apply_pins(built.circuit, {load: Pin(load, "blade_10", False, ())}, built.catalogue)


def test_a_standard_without_such_a_size_is_told_with_its_place():
    text = """price_book_version: "1"
currency: EUR
parts:
  good: {kind: cable, title: C, size: 12 AWG, standard: sae, insulation: 105 °C}
  plain: {kind: cable, title: C, size: 70 mm2, standard: iec_60228, insulation: 105 °C}
  three: {kind: cable, title: C, size: 3 AWG, standard: sae, insulation: 105 °C}
  metric: {kind: cable, title: C, size: 70 mm2, standard: sae, insulation: 105 °C}
  gauge: {kind: cable, title: C, size: 2 AWG, standard: iec_60228, insulation: 105 °C}
  both: {kind: cable, title: C, size: 12 AWG SAE, standard: astm_awg, insulation: 105 °C}
"""
    book = read_text(text, "prices.yaml", PriceBook).value
    found = {loc[1]: (loc, what) for loc, what, allowed in cable_complaints(book.parts) if allowed}
    assert set(found) == {"three", "metric", "gauge", "both"}
    assert found["three"] == (("parts", "three", "standard"), "sae has no cable of 3 AWG")
