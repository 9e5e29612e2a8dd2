"""`proposal record`: the next entry's draft, never over something that is there."""

from __future__ import annotations

import datetime
import json
import shutil
from pathlib import Path
from typing import Any

import pytest
import yaml

from proposal.cli.schema import schema_of
from proposal.errors import SpecError, UsageError
from proposal.files import write_new_file
from proposal.reading import read_text
from proposal.spec.record import Entry
from tests.cli.conftest import PROJECTS, Command, tree
from tests.cli.schema_check import violations


@pytest.fixture
def skarn(projects: Path) -> Path:
    return projects / "skarn"


def test_the_first_draft_is_the_hand_over_of_an_option(command: Command, skarn: Path) -> None:
    ended = command("record", skarn, "--option", "heated_lithium", "--by", "Oda Brennig", "--date", "2027-02-03")
    assert ended.code == 0, ended.err
    path = skarn / "record" / "01-hand-over.yaml"
    assert ended.out.splitlines() == [str(path), f"next: fill it in, then proposal check {skarn}"]
    text = path.read_text(encoding="utf-8")
    assert "option: heated_lithium" in text
    assert "date: 2027-02-03" in text
    assert 'by: "Oda Brennig"' in text
    assert command("check", skarn, "--without-days").code in (0, 1)


def test_later_drafts_count_on(command: Command, skarn: Path) -> None:
    assert command("record", skarn, "--option", "vented_lead", "--date", "2027-02-03").code == 0
    before = tree(skarn)
    for arguments, name in (
        (("--date", "2027-02-03"), "02-change.yaml"),
        (("--kind", "visit", "--date", "2028-01-01"), "03-visit.yaml"),
    ):
        ended = command("record", skarn, *arguments)
        assert ended.code == 0, ended.err
        assert set(tree(skarn)) - set(before) == {f"record/{name}"}
        before = tree(skarn)
    ended = command("record", skarn, "--date", "2027-12-31")
    assert ended.code == 3
    assert "before the entry in front of it" in ended.err
    assert tree(skarn) == before
    assert command("record", skarn).code == 0
    text = (skarn / "record" / "04-change.yaml").read_text(encoding="utf-8")
    assert f"date: {max(datetime.date(2028, 1, 1), datetime.date.today())}" in text


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ((), "--option vented_lead or --option heated_lithium"),
        (("--option", "other"), "no option 'other'"),
        (("--option", "vented_lead", "--kind", "visit"), "the first entry is the hand-over"),
        (("--option", "vented_lead", "--date", "2027-02-30"), "not a day of the calendar"),
        (("--option", "vented_lead", "--by", " "), "--by is empty"),
        (("--option", "vented_lead", "--by", "a\u202eb"), "invisible"),
    ],
)
def test_what_cannot_be_drafted_is_said_and_nothing_written(
    command: Command, skarn: Path, arguments: tuple[str, ...], says: str
) -> None:
    before = tree(skarn)
    ended = command("record", skarn, *arguments)
    assert ended.code == 3
    assert says in ended.err
    assert tree(skarn) == before


def test_an_option_is_chosen_once(command: Command, skarn: Path) -> None:
    assert command("record", skarn, "--option", "vented_lead", "--date", "2027-02-03").code == 0
    ended = command("record", skarn, "--option", "heated_lithium")
    assert ended.code == 3
    assert "vented_lead" in ended.err


def test_a_broken_record_is_mended_first(command: Command, skarn: Path) -> None:
    assert command("record", skarn, "--option", "vented_lead", "--date", "2027-02-03").code == 0
    path = skarn / "record" / "01-hand-over.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("kind: hand_over", "kind: handover"), encoding="utf-8")
    ended = command("record", skarn)
    assert ended.code == 2
    assert f"{path}:" in ended.err
    assert not (skarn / "record" / "02-change.yaml").exists()


def test_a_new_file_is_never_written_over_another(tmp_path: Path) -> None:
    path = tmp_path / "record" / "01.yaml"
    write_new_file(path, b"mine")
    link = tmp_path / "record" / "02.yaml"
    link.symlink_to("nowhere")
    for taken in (path, link):
        with pytest.raises(UsageError, match="there already"):
            write_new_file(taken, b"other")
    assert path.read_bytes() == b"mine"
    assert sorted(p.name for p in path.parent.iterdir()) == ["01.yaml", "02.yaml"]


def test_a_later_draft_lists_what_was_not_passed(command: Command, projects: Path) -> None:
    shutil.copytree(PROJECTS / "marram" / "record", projects / "marram" / "record")
    ended = command("record", projects / "marram", "--kind", "visit")
    assert ended.code == 0, ended.err
    lines = (projects / "marram" / "record" / "04-visit.yaml").read_text(encoding="utf-8").splitlines()
    (test,) = [line for line in lines if "test: " in line and "standing_drain" not in line]
    assert test.startswith('#   - {test: load_drop, item: loads.windlass, value: "", at: "118 A"}')
    assert any("defect: windlass_lug" in line for line in lines)


def entries() -> list[Path]:
    return sorted((PROJECTS / "marram" / "record").glob("*.yaml"))


def test_what_editors_check_by_takes_the_entries_of_the_demonstration() -> None:
    schema = schema_of("record")
    assert len(entries()) == 3
    for path in entries():
        entry: Any = yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader)  # noqa: S506 - makes text alone
        assert list(violations(entry, schema)) == []
        assert path.read_text(encoding="utf-8").splitlines()[0].endswith("$schema=../../record.schema.json")
    assert json.loads((PROJECTS / "record.schema.json").read_text(encoding="utf-8")) == schema


def test_what_editors_check_by_refuses_what_the_reader_refuses() -> None:
    schema = schema_of("record")
    entry: Any = yaml.load(entries()[1].read_text(encoding="utf-8"), yaml.BaseLoader)  # noqa: S506
    for name, value in (("kind", "handover"), ("date", "14 June"), ("colour", "red"), ("measured", [{"test": "x"}])):
        assert list(violations({**entry, name: value}, schema))
        with pytest.raises(SpecError):
            read_text(yaml.safe_dump({**entry, name: value}), "02-change.yaml", Entry)
