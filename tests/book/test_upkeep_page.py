"""The page of upkeep: by date, with words for each task."""

from __future__ import annotations

from proposal.book.blocks import Table
from proposal.book.language import fields_of
from proposal.book.opening import context_of
from proposal.book.pages import upkeep
from proposal.book.pages.charts import read_out
from proposal.book.sentences import upkeep as words
from proposal.studies.upkeep.study import VALUES, task_names
from tests import recorded_project as recorded


def rows() -> list[list[str]]:
    table = next(b for b in upkeep.page(context_of(recorded.marram().results)).blocks if isinstance(b, Table))
    return [[read_out(cell) for cell in row.cells] for row in table.rows]


def test_every_task_has_words_and_only_its_own_figures() -> None:
    assert tuple(words.TASKS) == task_names()
    assert all(set(fields_of(text.do)) <= set(VALUES) for text in words.TASKS.values())


def test_the_next_date_comes_first_and_what_is_done_with_last() -> None:
    found = rows()
    assert found[0][1] == "3 January 2027"
    assert found[-1][1] == "done, not due again"
    assert len(found) == 13


def test_a_row_says_how_often_what_was_done_and_by_whom() -> None:
    alarms = next(row for row in rows() if row[0] == "Try every alarm")
    assert alarms[4].replace("\u00a0", " ") == "every 30 days"
    assert alarms[5] == "9 December 2027, Ilse Varnegg"
    assert alarms[6].startswith("common practice")
    thermal = next(row for row in rows() if row[0] == "Look for warm joints")
    assert "more than 10\u00a0°C warmer than its own conductor 0.3\u00a0m away" in thermal[2]
    assert "not yet" in thermal[5]
    assert "and " in thermal[3]
