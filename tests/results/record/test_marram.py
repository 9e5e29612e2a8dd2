"""The record of the demonstration vessel: complete, checked again with each entry, one test failed, nothing hidden."""

from __future__ import annotations

from functools import cache

from proposal.cli.project import compute
from proposal.results.evaluate import Evaluated
from proposal.results.record_model import RecordResult
from proposal.spec.recorded import load_record
from tests.recorded_project import PROJECTS

MARRAM = PROJECTS / "marram"


@cache
def evaluated() -> Evaluated:
    return compute(str(MARRAM), sheets=False).evaluated


def record() -> RecordResult:
    found = evaluated().results.record
    assert found is not None
    return found


def test_it_is_a_hand_over_a_change_and_a_visit_a_year_later() -> None:
    assert [e.kind for e in record().entries] == ["hand_over", "change", "visit"]
    assert (record().option, record().letter, record().date) == ("dedicated", "B", "2026-12-18")
    assert [t.option for t in record().turned_down] == ["shared"]
    assert record().agreed is not None


def test_every_pinned_item_is_named_and_every_device_that_has_one_has_its_serial() -> None:
    option = evaluated().results.options[0]
    assert all(item.pinned for item in (*option.conductors, *option.devices))
    rows = {row.item: row for row in record().fitted}
    assert {item.key for item in (*option.conductors, *option.devices)} <= set(rows)
    kinds = ("battery", "source", "controller")
    assert all(row.serial for row in record().fitted if row.kind in kinds)
    assert {row.kind for row in record().fitted} >= set(kinds)
    assert sum(bool(row.settings) for row in record().fitted) >= 8
    assert sum(bool(row.route_as_run) for row in record().fitted) >= 8


def test_every_test_was_made_and_one_failed() -> None:
    tests = record().tests
    assert len(tests) > 55
    assert [(t.test, t.item, t.entry) for t in tests if t.outcome != "pass"] == [("load_drop", "loads.windlass", 3)]
    (failed,) = [t for t in tests if t.outcome == "fail"]
    assert [(e.entry, e.outcome) for e in failed.earlier] == [(1, "pass")]
    mended = next(t for t in tests if (t.test, t.end) == ("cranking_drop", "positive"))
    assert [(e.entry, e.outcome) for e in mended.earlier] == [(1, "fail")]
    assert (mended.outcome, mended.entry) == ("pass", 2)


def test_nothing_speaks_against_energising_and_one_defect_is_open() -> None:
    assert record().hindrances == ()
    assert [d.id for d in record().defects if not d.mended_on] == ["windlass_lug"]
    assert len(record().defects) == 5


def test_each_entry_was_checked_again() -> None:
    first, second, third = record().entries
    assert [(f.id, f.item) for f in first.new] == [("fuses_not_selective", "links.vsr.to_fuse")]
    assert second.gone == third.new == ()
    assert [(f.id, f.item) for f in second.new] == [("standing_drain_high", "banks.lead")]
    assert [(f.id, f.item) for f in third.gone] == [("standing_drain_high", "banks.lead")]
    assert [e.dangers_count for e in record().entries] == [0, 0, 0]
    assert [e.readings_count for e in record().entries] == [
        len(entry.value.measured) for entry in load_record(MARRAM).entries
    ]


def test_deviations_are_a_route_a_rating_and_parts() -> None:
    found = {row.at: (row.proposed, row.fitted, row.entry) for row in record().deviations}
    assert found["routes.windlass.length"] == ("11 m", "11.8 m", 1)
    assert found["loads.watermaker.current"] == ("18 A", "20 A", 1)
    assert found["banks.lithium.switch"] == ("switch_150", "switch_300", 1)
    assert found["engine.positive"] == ("cable_awg_1_105c", "cable_awg_1_0_105c", 2)
    assert all(row.because for row in record().deviations)


def test_what_was_accepted_is_what_was_found() -> None:
    option = evaluated().results.options[0]
    assert {(a.finding, a.outcome) for a in option.acceptances} == {
        ("fuses_not_selective", "accepted"),
        ("lead_never_full", "accepted"),
        ("relay_thresholds_fooled", "accepted"),
    }


def test_photos_are_all_shown_all_invented_and_one_is_of_what_is_hidden() -> None:
    photos = record().photos
    assert all(p.invented for p in photos)
    assert {p.file for p in photos} == {path.name for path in (MARRAM / "record" / "photos").iterdir()}
    assert [p.item for p in photos if p.hidden] == ["loads.windlass.positive"]
    assert all(p.item and p.place for p in photos)


def test_its_ledger_names_every_item() -> None:
    lines = (MARRAM / "designations.txt").read_text(encoding="utf-8").splitlines()
    assert set(evaluated().designations) == {line.split()[1] for line in lines}


def test_whoever_is_named_is_invented_and_no_entry_is_too_long() -> None:
    for entry in load_record(MARRAM).entries:
        assert entry.value.by == "Oda Brennig"
        text = (MARRAM / "record" / entry.file).read_text(encoding="utf-8")
        assert "made up for demonstration" in text
        assert max(map(len, text.splitlines())) < 220
