"""What stays aboard of every demonstration vessel and each of its options: nothing is missing, nothing too long."""

from __future__ import annotations

from pathlib import Path

import icalendar
import pytest

from proposal.book.labels import label_book
from proposal.book.opening import context_of
from proposal.book.packs import make_packs
from proposal.book.pages.emergency_steps import MOST_BYTES, emergency_text
from proposal.book.record import make_record_book
from proposal.book.sheets import draw_all
from proposal.publish.calendar import calendar_file
from proposal.publish.label_layout import height_mm, sheets
from proposal.publish.proof import proof
from proposal.spec.loading import load_project
from tests import recorded_project as recorded
from tests.decoding import decoded

HAND_OVER = """
entry_version: "1"
kind: hand_over
title: Hand-over
date: 2026-12-04
by: Somebody
option: {option}
"""
OPTIONS = [
    (path.parent.name, option)
    for path in sorted(recorded.PROJECTS.glob("*/spec.yaml"))
    for option in load_project(path.parent).option_ids
]


@pytest.mark.parametrize(("name", "option"), OPTIONS)
def test_every_vessel_can_be_left_with_what_it_needs(tmp_path: Path, name: str, option: str) -> None:
    made = recorded.evaluated(recorded.out_of_reach(tmp_path, HAND_OVER.format(option=option), name=name), sheets=True)
    results, (fitted,) = made.results, made.results.options
    drawings = draw_all(results, made.circuits, made.designations)
    book = make_record_book(results, sorted(drawings), {})
    for pack in make_packs(results, book).values():
        proof(pack, drawings)
    text = emergency_text(context_of(results))
    assert len(text.encode()) <= MOST_BYTES
    assert decoded(drawings["emergency-code.svg"]) == text
    switches = [d for d in fitted.devices if d.kind == "switch" and not d.key.endswith(".emergency")]
    assert all(d.designation in text for d in switches)
    assert all(source.designation in text for source in fitted.sources if source.kind not in ("alternator", "wind"))
    assert results.record is not None
    assert len(icalendar.Calendar.from_ical(calendar_file(results)).walk("VEVENT")) == len(results.record.upkeep)
    labels = label_book(results).labels
    placed = [place for sheet in sheets(labels) for place in sheet.placed]
    assert [place.label for place in placed] == sorted(
        labels, key=lambda x: ("wire", "device", "battery").index(x.kind)
    )
    assert all(height_mm(place.lines) < place.height_mm for place in placed)
    assert sum(1 for x in labels if x.kind == "wire") == 2 * len(fitted.conductors)
    strings = sum(bank.parallel_count for bank in fitted.banks)
    assert sum(1 for x in labels if x.kind == "battery" and not x.drawing) == strings
