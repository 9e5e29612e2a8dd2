"""The ledger of seals: what it takes, and what it says of entries that changed after they were closed."""

import datetime
import hashlib
import subprocess
from pathlib import Path

import pytest

from proposal.errors import SpecError
from proposal.spec.recorded import Record, load_record
from proposal.spec.seals import SealLine, closed_complaints, entries_sum, load_seals, parse_seals
from tests.recorded_project import later, write_entry

SUMS = ["1" * 64, "2" * 64, "3" * 64]
FIRST = f"1 2026-11-20 {SUMS[0]} 1 {SUMS[1]} {SUMS[2]} marram-mm-2026-01-seal-1"
SECOND = f"2 2027-06-01 {SUMS[1]} 2 {SUMS[2]} {SUMS[0]} marram-mm-2026-01-seal-2-DO-NOT-ENERGISE"


def test_lines_are_read_and_written_alike() -> None:
    seals, wrong = parse_seals(f"# seals\n\n{FIRST}\n{SECOND}\n")
    assert wrong == []
    assert [str(seal) for seal in seals] == [FIRST, SECOND]
    assert [seal.do_not_energise for seal in seals] == [False, True]
    assert seals[0].date == datetime.date(2026, 11, 20)


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        (FIRST.replace("1 2026", "2 2026"), 1, "in the place of seal 1"),
        (f"{FIRST}\n{FIRST}", 2, "in the place of seal 2"),
        (FIRST[:-1].rsplit(" ", 1)[0], 1, "6 words in place of 7"),
        (f"{FIRST} more", 1, "8 words"),
        (FIRST.replace("1 2026", "01 2026"), 1, "whole numbers"),
        (FIRST.replace("1 2026", "one 2026"), 1, "whole numbers"),
        (FIRST.replace(f" 1 {SUMS[1]}", f" 0 {SUMS[1]}"), 1, "whole numbers"),
        (FIRST.replace(SUMS[0], SUMS[0][1:]), 1, "64 of the digits"),
        (FIRST.replace(SUMS[0], "A" + SUMS[0][1:]), 1, "64 of the digits"),
        (FIRST.replace("2026-11-20", "2026-02-30"), 1, "its day"),
        (FIRST.replace("2026-11-20", "20261120"), 1, "its day"),
        (FIRST.replace("marram-mm", "../marram"), 1, "name of an archive"),
        (f"{FIRST}\n\n{SECOND.replace('2027', '2025')}", 3, "before that of the seal"),
        (f"{FIRST.replace(f' 1 {SUMS[1]}', f' 3 {SUMS[1]}')}\n{SECOND}", 2, "closes fewer"),
        (f"{FIRST}\n{SECOND.replace('seal-2-DO-NOT-ENERGISE', 'seal-1')}", 2, "has this name"),
    ],
)
def test_what_is_wrong_is_told_with_its_line(text: str, line: int, says: str) -> None:
    _, ((number, what),) = parse_seals(text + "\n")
    assert number == line
    assert says in what


def test_no_ledger_is_no_seal_and_a_broken_one_is_a_mistake_at_its_place(tmp_path: Path) -> None:
    assert load_seals(tmp_path) == ()
    (tmp_path / "record").mkdir()
    path = tmp_path / "record" / "seals.txt"
    path.write_text(f"{FIRST}\nnonsense\n")
    with pytest.raises(SpecError, match=r"seals\.txt:2:1: has 1 words"):
        load_seals(tmp_path)
    path.write_bytes(b"\xff")
    with pytest.raises(SpecError, match="is not UTF-8"):
        load_seals(tmp_path)
    path.write_bytes(b" " * 500_001)
    with pytest.raises(SpecError, match="is too large"):
        load_seals(tmp_path)


@pytest.fixture
def three(tmp_path: Path) -> Path:
    first = later("hand_over", "2026-12-04", option="one")
    for number, entry in enumerate([first, later(), later(date="2028-01-01")], 1):
        write_entry(tmp_path, number, entry)
    return tmp_path


def sealed(record: Record, *counts: int) -> list[SealLine]:
    day = datetime.date(2028, 1, 1)
    return [
        SealLine(n, day, SUMS[0], count, entries_sum(record.entries[:count]), SUMS[1], f"v-seal-{n}")
        for n, count in enumerate(counts, 1)
    ]


def test_the_sum_over_entries_can_be_made_by_hand(three: Path) -> None:
    record = load_record(three)
    listed = subprocess.run(
        ["sha256sum", *(e.file for e in record.entries)], cwd=three / "record", capture_output=True, check=True
    )
    assert entries_sum(record.entries) == hashlib.sha256(listed.stdout).hexdigest()


def test_entries_that_stay_draw_no_complaint_and_new_ones_are_free(three: Path) -> None:
    record = load_record(three)
    assert closed_complaints(record, sealed(record, 1, 2)) == []
    write_entry(three, 3, later(date="2029-01-01"))
    assert closed_complaints(load_record(three), sealed(record, 1, 2)) == []


def test_a_closed_entry_that_changed_is_named(three: Path) -> None:
    seals = sealed(load_record(three), 1, 2)
    write_entry(three, 2, later(title="Another word"))
    (problem,) = closed_complaints(load_record(three), seals)
    assert problem.file.endswith("02-entry.yaml")
    assert problem.what == "this entry has changed since seal 2 closed it on 2028-01-01"


def test_one_of_several_closed_by_one_seal_is_told_as_such(three: Path) -> None:
    seals = sealed(load_record(three), 1, 3)
    write_entry(three, 3, later(date="2028-01-02"))
    (problem,) = closed_complaints(load_record(three), seals)
    assert problem.what.startswith("one of entries 2 to 3 has changed since seal 2")


def test_a_closed_entry_that_is_gone_or_renamed_is_missed(three: Path) -> None:
    seals = sealed(load_record(three), 3)
    (three / "record" / "03-entry.yaml").rename(three / "record" / "03-other.yaml")
    assert "has changed since seal 1" in closed_complaints(load_record(three), seals)[0].what
    (three / "record" / "03-other.yaml").unlink()
    assert "seal 1 closed 3 entries, and only 2" in closed_complaints(load_record(three), seals)[0].what
