"""Every row of worked_examples.csv is asserted somewhere in these tests, or named here with what it waits for."""

import ast
import functools
import re
from pathlib import Path

import pytest

from tests.truth.reference import HERE, printed

ROWS = {row["id"]: row for row in printed("worked_examples")}
NO_STUDY_YET = {
    "W49": "reserve capacity: no part states it and no study takes it yet",
    "W68": "temperature of a module by another model than the one taken, which test_sky holds against its own figure",
}
"""Not covered by any study yet, and why."""
IN_A_NAME = re.compile(r"(?<![a-z0-9])w(\d\d)(?![a-z0-9])")
MEMORY = "from memory"


@functools.cache
def asserting() -> dict[str, tuple[tuple[str, str], ...]]:
    """By row id, the file and name of each test function that takes it: by its name, or as a string in its code."""
    found: dict[str, list[tuple[str, str]]] = {}
    for path in sorted(HERE.parent.rglob("test_*.py")):
        if path == Path(__file__):
            continue
        text = path.read_text(encoding="utf-8")
        if not re.search(r"[Ww]\d\d", text):
            continue
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
                for row_id in sorted(_ids(node)):
                    found.setdefault(row_id, []).append((path.name, node.name))
    return {row_id: tuple(places) for row_id, places in found.items()}


def _ids(function: ast.FunctionDef) -> set[str]:
    """Ids of rows in a function; a docstring that tells of one is no string equal to it."""
    named = {f"W{digits}" for digits in IN_A_NAME.findall(function.name.replace("_", " "))}
    strings = {node.value for node in ast.walk(function) if isinstance(node, ast.Constant) and node.value in ROWS}
    return (named & set(ROWS)) | strings


@pytest.mark.parametrize("row_id", ROWS)
def test_every_worked_example_is_asserted_or_waits_for_its_study(row_id):
    assert (row_id in asserting()) is not (row_id in NO_STUDY_YET)


def test_only_rows_of_the_reference_wait():
    assert set(NO_STUDY_YET) <= set(ROWS)


@pytest.mark.parametrize("row_id", [i for i, row in ROWS.items() if row["status"] == MEMORY and i not in NO_STUDY_YET])
def test_a_row_from_memory_is_asserted_apart_and_marked(row_id):
    for file, name in asserting()[row_id]:
        assert "from_memory" in name, (file, name)
        together = {other for other, places in asserting().items() if (file, name) in places}
        assert {ROWS[other]["status"] for other in together} == {MEMORY}


@pytest.mark.parametrize("path", sorted(HERE.glob("*.csv")), ids=lambda path: path.stem)
def test_every_row_has_its_source_and_status(path):
    rows = printed(path.stem)
    assert rows
    for row in rows:
        assert row["source"]
        assert row["status"] in ("corroborated", "from memory", "common practice", "definition")
        assert None not in row  # no cell too many
        assert None not in row.values()  # none too few


@pytest.mark.parametrize("path", sorted(HERE.glob("*.csv")), ids=lambda path: path.stem)
def test_every_table_is_read_by_a_test(path):
    this = Path(__file__)
    texts = (p.read_text(encoding="utf-8") for p in sorted(HERE.parent.rglob("test_*.py")) if p != this)
    assert any(re.search(rf'"{path.stem}(\.csv)?"', text) for text in texts)
