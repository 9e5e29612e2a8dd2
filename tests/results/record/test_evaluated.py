"""A vessel as fitted: pins, deviations, history, defects, hindrances."""

from pathlib import Path
from typing import Any

import pytest

from proposal.errors import SpecError
from proposal.results.computed import read_ledger
from proposal.results.evaluate import evaluate
from proposal.results.record_model import FindingName, SealRow
from proposal.results.recorded.evaluated import evaluate_recorded
from proposal.spec.loading import load_project
from proposal.spec.recorded import load_record, load_recorded
from tests.recorded_project import PROJECTS, evaluated, hand_over, later, project_with

OPTION = "dedicated"


@pytest.fixture(scope="module")
def first() -> dict[str, Any]:
    return hand_over(PROJECTS / "marram", OPTION)


def test_an_option_fitted_as_designed_gives_the_results_that_were_proposed(
    tmp_path: Path, first: dict[str, Any]
) -> None:
    folder = project_with(tmp_path, "marram", [first])
    proposed = evaluate(load_project(folder), read_ledger(folder), "a test", sheets=False).results
    fitted = evaluated(folder).results
    (option,) = fitted.options
    before = proposed.options[1]
    assert option.cases == before.cases
    assert [(c.key, c.size, c.designation) for c in option.conductors] == [
        (c.key, c.size, c.designation) for c in before.conductors
    ]
    assert [(d.key, d.part_id) for d in option.devices] == [(d.key, d.part_id) for d in before.devices]
    assert all(c.pinned for c in option.conductors)
    assert fitted.record is not None
    assert fitted.record.letter == "B"
    assert fitted.record.deviations == ()
    assert fitted.record.entries[0].new == fitted.record.entries[0].gone == ()
    assert [(t.option, t.letter) for t in fitted.record.turned_down] == [("shared", "A")]


def test_a_longer_route_is_judged_and_sizes_stay_as_fitted(tmp_path: Path, first: dict[str, Any]) -> None:
    """R = ρ·l/A: at a size that stays, resistance grows as the length does."""
    change = {"at": "routes.windlass.length", "now": "22 m", "because": "Round the anchor locker"}
    fitted = evaluated(project_with(tmp_path / "a", "marram", [{**first, "changes": [change]}])).results
    as_it_was = evaluated(project_with(tmp_path / "b", "marram", [first])).results
    key = "loads.windlass.positive"
    long, short = (next(c for c in r.options[0].conductors if c.key == key) for r in (fitted, as_it_was))
    assert long.size == short.size
    assert long.resistance_20c_ohm == pytest.approx(2.0 * short.resistance_20c_ohm, rel=1e-12)
    assert fitted.record is not None
    (row,) = fitted.record.deviations
    assert (row.kind, row.at, row.proposed, row.fitted) == ("value", "routes.windlass.length", "11 m", "22 m")
    assert row.because == "Round the anchor locker"
    assert FindingName("voltage_drop_high", key.rpartition(".")[0], "fault") in fitted.record.entries[0].new


def test_a_part_that_was_substituted_is_told_with_its_reason(tmp_path: Path, first: dict[str, Any]) -> None:
    other = {"is": "4/0 AWG", "because": "In stock"}
    fitted = {**first["fitted"], "loads.windlass.positive": other}
    record = evaluated(project_with(tmp_path, "marram", [{**first, "fitted": fitted}])).results.record
    assert record is not None
    (row,) = record.deviations
    assert (row.kind, row.at, row.fitted, row.because) == ("part", "loads.windlass.positive", other["is"], "In stock")
    assert row.proposed != row.fitted
    assert row.designation.startswith("W")


def test_each_entry_is_checked_as_the_vessel_stood_after_it(tmp_path: Path, first: dict[str, Any]) -> None:
    spoils = later(fitted={"loads.windlass.positive": {"is": "10 AWG"}}, date="2027-03-01")
    mends = later(fitted={"loads.windlass.positive": first["fitted"]["loads.windlass.positive"]}, date="2027-04-01")
    record = evaluated(project_with(tmp_path, "marram", [first, spoils, mends])).results.record
    assert record is not None
    one, two, three = record.entries
    assert one.dangers_count == three.dangers_count == 0
    assert two.dangers_count > 0
    assert two.new
    assert set(two.new) == set(three.gone)
    assert set(two.gone) == set(three.new)
    assert two.changes == ("loads.windlass.positive",)
    assert record.hindrances == ()


def test_an_open_danger_hinders_and_an_accepted_one_does_not(tmp_path: Path, first: dict[str, Any]) -> None:
    thin = {**first["fitted"], "loads.windlass.positive": {"is": "10 AWG"}, "loads.windlass.negative": {"is": "10 AWG"}}
    bad = evaluated(project_with(tmp_path / "a", "marram", [{**first, "fitted": thin}])).results
    assert bad.record is not None
    ids = sorted({h.id for h in bad.record.hindrances})
    assert ids
    assert {h.kind for h in bad.record.hindrances} == {"finding"}
    accepted = [{"finding": name, "reason": "Until the yard opens", "name": "I Varnegg"} for name in ids]
    taken = evaluated(project_with(tmp_path / "b", "marram", [{**first, "fitted": thin, "accepted": accepted}])).results
    assert taken.record is not None
    assert taken.record.hindrances == ()
    assert {f.accepted_by for f in taken.options[0].findings if f.id in ids and f.outcome == "fires"} == {"I Varnegg"}


def test_a_defect_stays_open_until_a_later_entry_mends_it(tmp_path: Path, first: dict[str, Any]) -> None:
    found = {"vent_taped": {"what": "Vent is taped over", "severity": "danger", "item": "banks.lead.s1"}}
    folder = project_with(tmp_path, "marram", [{**first, "defects": found}])
    record = evaluated(folder).results.record
    assert record is not None
    assert [(h.kind, h.id) for h in record.hindrances] == [("defect", "vent_taped")]
    mended = project_with(
        tmp_path / "later", "marram",
        [{**first, "defects": found}, later(mended=[{"defect": "vent_taped", "how": "Tape taken off"}])],
    )  # fmt: skip
    record = evaluated(mended).results.record
    assert record is not None
    assert record.hindrances == ()
    (row,) = record.defects
    assert (row.found_on, row.mended_on, row.mended_entry) == ("2026-12-04", "2027-06-01", 2)


def test_what_was_removed_takes_its_pins_with_it(tmp_path: Path, first: dict[str, Any]) -> None:
    without = later(changes=[{"at": "loads.watermaker", "removed": "yes", "because": "Sold"}])
    results = evaluated(project_with(tmp_path, "marram", [first, without])).results
    assert not [c.key for c in results.options[0].conductors if c.key.startswith("loads.watermaker")]
    assert results.record is not None
    assert not [f.item for f in results.record.fitted if f.item.startswith("loads.watermaker")]


def test_names_that_the_vessel_does_not_have_are_told_at_their_places(tmp_path: Path, first: dict[str, Any]) -> None:
    fitted = {**first["fitted"], "banks.lithium.s9": {"serial": "1"}}
    defects = {"loose": {"what": "Loose", "item": "loads.nothing"}}
    folder = project_with(tmp_path, "marram", [{**first, "fitted": fitted, "defects": defects}])
    with pytest.raises(SpecError) as error:
        evaluated(folder)
    said = [str(problem) for problem in error.value.problems]
    assert any("banks.lithium.s9" in line and "01-entry.yaml" in line for line in said)
    assert any("loads.nothing" in line and "01-entry.yaml" in line for line in said)


def test_entries_are_closed_by_the_first_seal_that_counts_them(tmp_path: Path, first: dict[str, Any]) -> None:
    folder = project_with(tmp_path, "marram", [first, later(), later(date="2027-07-01")])
    record = load_record(folder)
    seals = (SealRow(1, "2026-12-05", "one", "0" * 64, 1), SealRow(2, "2027-06-02", "two", "1" * 64, 2))
    made = evaluate_recorded(
        load_project(folder), record, lambda n: load_recorded(folder, record.until(n)), {}, "a test",
        sheets=False, seals=seals,
    )  # fmt: skip
    assert made.results.record is not None
    assert [entry.seal for entry in made.results.record.entries] == [1, 2, None]
    assert made.results.record.seals == seals
