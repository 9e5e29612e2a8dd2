from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from pathlib import Path

import pytest

from proposal.results.store import FolderShelf
from proposal.results.yard_model import Moored, Yard, YardUpkeep
from proposal.results.yard_row import row_text
from proposal.yard.tables import defused, files_of
from tests.yard.conftest import TODAY, gathered

TABLES = ("vessels.csv", "parts.csv", "findings.csv", "upkeep.csv")


def yard_of(home: Path, shelf: FolderShelf) -> Yard:
    return gathered(home, shelf).yard


def files(yard: Yard) -> dict[str, bytes]:
    return files_of(yard, [row_text(vessel.row) for vessel in yard.vessels], "a key")


def read(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8"), newline=""), strict=True))


def test_the_tables_are_rfc_4180(home: Path, shelf: FolderShelf) -> None:
    made = files(yard_of(home, shelf))
    for name in TABLES:
        data = made[name]
        assert data.endswith(b"\r\n")
        assert b"\n" not in data.replace(b"\r\n", b"")
        widths = {len(row) for row in csv.reader(io.StringIO(data.decode(), newline=""), strict=True)}
        assert len(widths) == 1, name


def test_the_tables_say_what_the_rows_say(home: Path, shelf: FolderShelf) -> None:
    yard = yard_of(home, shelf)
    made = {name: read(files(yard)[name]) for name in TABLES}
    by_folder = {line["folder"]: line for line in made["vessels.csv"]}
    bravo = next(v.row for v in yard.vessels if v.path == "bravo")
    assert by_folder["alpha"]["status"] == "proposal"
    assert by_folder["bravo"]["missing_tests"] == str(len(bravo.tests))
    assert by_folder["wrong"]["first_problem"].startswith("spec.yaml:")
    assert len(made["parts.csv"]) == sum(len(v.row.parts) for v in yard.vessels)
    assert len(made["findings.csv"]) == sum(len(v.row.findings) for v in yard.vessels)
    assert [line["due_on"] for line in made["upkeep.csv"]] == [t.due_on for t in bravo.upkeep]


def test_upkeep_is_overdue_on_the_day_after_it_was_due(home: Path, shelf: FolderShelf) -> None:
    yard = yard_of(home, shelf)
    tasks = tuple(YardUpkeep("alarms", (), "", due) for due in ("2026-11-25", "2026-11-26", ""))
    row = replace(yard.vessels[0].row, upkeep=tasks)
    made = files(replace(yard, vessels=(Moored("a", row),)))
    assert [line["overdue"] for line in read(made["upkeep.csv"])] == ["yes", "no", "no"]
    (line,) = read(made["vessels.csv"])
    assert (line["upkeep_overdue"], line["upkeep_next"]) == ("1", "2026-11-26")


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_no_text_is_a_formula(home: Path, shelf: FolderShelf, sign: str) -> None:
    yard = yard_of(home, shelf)
    evil = f"{sign}HYPERLINK(0)"
    row = replace(yard.vessels[0].row, name=evil, number=evil)
    made = files(replace(yard, vessels=(Moored(evil, row),)))
    for name in ("vessels.csv", "parts.csv", "findings.csv"):
        for line in read(made[name]):
            assert (line["folder"], line["name"], line["number"]) == (f"'{evil}",) * 3


def test_numbers_and_plain_texts_stay_as_they_are() -> None:
    assert [defused(cell) for cell in (-1, "a=b", "", "'x")] == [-1, "a=b", "", "'x"]


@pytest.mark.parametrize("name", ['a "quoted", name', "two\r\nlines", "ünï ☂", "a,b"])
def test_texts_come_back_as_they_were(home: Path, shelf: FolderShelf, name: str) -> None:
    yard = yard_of(home, shelf)
    made = files(replace(yard, vessels=(Moored(name, yard.vessels[0].row),)))
    assert {line["folder"] for line in read(made["parts.csv"])} == {name}
    assert json.loads(made["yard.json"])["vessels"][0]["path"] == name


def test_the_json_is_one_object_with_every_row(home: Path, shelf: FolderShelf) -> None:
    yard = replace(yard_of(home, shelf), unread=(("shut", "Permission denied"),))
    made = json.loads(files(yard)["yard.json"])
    assert made["yard_version"] == 1
    assert (made["today"], made["key"], made["unread"]) == (TODAY, "a key", [["shut", "Permission denied"]])
    assert [json.dumps(v["row"]) for v in made["vessels"]] == [
        json.dumps(json.loads(row_text(v.row))) for v in yard.vessels
    ]
    assert json.loads(files(replace(yard, vessels=()))["yard.json"])["vessels"] == []
