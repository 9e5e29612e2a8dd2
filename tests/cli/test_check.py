from __future__ import annotations

import json
import os
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from proposal.book.listing import findings_listing
from proposal.cli.project import compute
from tests.cli.conftest import Command, change, tree
from tests.cli.schema_check import violations

DANGERLESS, DANGEROUS = "marram", "skarn"


def test_a_project_without_open_dangers_ends_in_0(command: Command, projects: Path) -> None:
    ended = command("check", projects / DANGERLESS)
    assert (ended.code, ended.err) == (0, "")
    assert "spec.yaml:" in ended.out


def test_a_danger_that_nobody_has_accepted_ends_in_1_and_an_accepted_one_in_0(command: Command, projects: Path) -> None:
    ended = command("check", projects / DANGEROUS, "--json")
    assert ended.code == 1
    fired = [
        (option["id"], finding["id"], finding["item"])
        for option in json.loads(ended.out)["options"]
        for finding in option["findings"]
        if finding["severity"] == "danger" and finding["outcome"] == "fires"
    ]
    assert fired
    spec = projects / DANGEROUS / "spec.yaml"
    lines = spec.read_text(encoding="utf-8").splitlines()
    for option in dict.fromkeys(option for option, _, _ in fired):
        accepted = [
            f"      - {{finding: {finding}, item: {item}, name: A. Boss, reason: seen and accepted}}"
            for owner, finding, item in fired
            if owner == option
        ]
        at = lines.index(f"  {option}:") + 1
        lines[at:at] = ["    accepted:", *accepted]
    spec.write_text("\n".join(lines) + "\n", encoding="utf-8")
    ended = command("check", projects / DANGEROUS)
    assert ended.code == 0, ended.err + ended.out


@pytest.mark.parametrize("name", ["marram", "skarn", "frostbit", "dunlin"])
def test_the_json_is_as_the_schema_says(command: Command, projects: Path, name: str) -> None:
    schema = json.loads(command("schema", "--kind", "results").out)
    results = json.loads(command("check", projects / name, "--json").out)
    assert list(violations(results, schema)) == []
    assert isinstance(results["options"], list)
    wanted = {"id", "title", "conductors", "devices", "cases", "faults", "energy", "price_lines", "findings", "network"}
    for option in results["options"]:
        assert wanted <= option.keys()


def test_a_wrong_result_would_be_seen(command: Command, projects: Path) -> None:
    schema = json.loads(command("schema", "--kind", "results").out)
    results = json.loads(command("check", projects / "skarn", "--json").out)
    conductor = results["options"][0]["conductors"][0]
    for name, wrong in (("length_m", "4.2 m"), ("pole", "north"), ("unheard_of", 1), ("fuses", None)):
        kept = dict(conductor)
        conductor[name] = wrong
        assert [where for where, _ in violations(results, schema)] == [f"options.0.conductors.0.{name}"], name
        conductor.clear()
        conductor.update(kept)
    del conductor["size"]
    assert [where for where, _ in violations(results, schema)] == ["options.0.conductors.0"]


@pytest.mark.parametrize("name", ["skarn", "marram"])
def test_what_the_listing_leaves_out_changes_no_word_of_it(projects: Path, name: str) -> None:
    whole, bare = (compute(str(projects / name), sheets=sheets).evaluated.results for sheets in (True, False))
    assert findings_listing(bare) == findings_listing(whole)
    for full, option in zip(whole.options, bare.options, strict=True):
        assert full.failures
        assert full.faults
        assert option.failures == option.faults == ()
        assert option.findings == full.findings
        assert option.checks == full.checks


def test_check_writes_nothing(command: Command, projects: Path) -> None:
    before = tree(projects)
    command("check", projects / "skarn")
    command("check", projects / "skarn", "--json")
    assert tree(projects) == before


def test_the_folder_may_be_named_as_people_name_it(
    command: Command, projects: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    expected = command("check", projects / "skarn", "--json").out
    (projects / "skarn" / "deeper").mkdir()
    for place, name in (
        (projects, "skarn/"), (projects, "skarn/spec.yaml"), (projects / "skarn", "."),
        (projects / "skarn", "spec.yaml"), (projects / "skarn" / "deeper", ".."),
    ):  # fmt: skip
        monkeypatch.chdir(place)
        ended = command("check", name, "--json")
        assert ended.code == 1, (place, name, ended.err)
        assert ended.out == expected


# --- bad specs -------------------------------------------------------------------------------------------------------


def test_every_mistake_is_told_at_once_with_its_place(command: Command, projects: Path) -> None:
    spec = projects / "marram" / "spec.yaml"
    wrong = {
        "wanted_without_charge: 2 days": "wanted_without_charge: 2",
        "starter_current: 280 A": "starter_current: 280 V",
        "hull: plastic": "hul: plastic",
        "current: 120 A, hours": "current: 1,5 A, hours",
        "place: foredeck": "place: fordeck",
        "away: yes, route: bilge, maker_fuse: 3 A, serves: high_water_alarm}": "away: maybe, route: bilge}",
    }
    for old, new in wrong.items():
        change(spec, old, new)
    lines = spec.read_text(encoding="utf-8").splitlines()
    ended = command("check", projects / "marram")
    assert ended.code == 2
    assert ended.out == ""
    *problems, last = ended.told
    assert last == f"{len(problems)} problems; nothing was written"
    places = {}
    for problem in problems:
        found = re.match(r"^(.*?):(\d+):(\d+): (.+)$", problem)
        assert found is not None, problem
        assert found[1] == str(spec)
        places[int(found[2])] = (int(found[3]), found[4])
    assert len(problems) == len(wrong)
    for new, column_at, says in (
        ("wanted_without_charge: 2", "2", "days"),
        ("starter_current: 280 V", "280 V", "current"),
        ("hul: plastic", "hul", "did you mean `hull`"),
        ("current: 1,5 A", "1,5 A", "1.5"),
        ("place: fordeck", "fordeck", "foredeck"),
        ("away: maybe", "maybe", "yes or no"),
    ):
        (number,) = [n for n, line in enumerate(lines, 1) if new in line]
        column, text = places[number]
        assert lines[number - 1][column - 1 :].startswith(column_at), (new, column, text)
        assert says in text


def test_problems_of_several_files_come_together(command: Command, projects: Path) -> None:
    # The installer's file names the price book, so a mistake in it hides those of the price book.
    change(projects / "skarn" / "spec.yaml", "voltage: 24 V", "voltage: 24")
    for other, old, new in (("installer.yaml", "tax: 21 %", "tax: 21"), ("prices.yaml", "mass: 27 kg", "mass: 27")):
        good = (projects / other).read_text(encoding="utf-8")
        (projects / other).write_text(good.replace(old, new, 1), encoding="utf-8")
        ended = command("check", projects / "skarn")
        (projects / other).write_text(good, encoding="utf-8")
        assert ended.code == 2
        files = [re.sub(r":\d+:\d+: .*", "", line) for line in ended.told[:-1]]
        assert files == [str(projects / "skarn" / "spec.yaml"), str(projects / other)]


def test_a_price_book_that_is_not_there_is_told_where_it_is_named(command: Command, projects: Path) -> None:
    (projects / "prices.yaml").unlink()
    line = (projects / "installer.yaml").read_text(encoding="utf-8").splitlines().index("price_book: prices.yaml") + 1
    ended = command("check", projects / "skarn")
    assert ended.code == 2
    assert ended.told[0].startswith(f"{projects / 'installer.yaml'}:{line}:13: price_book: there is no such file")


def test_an_installer_file_that_is_not_there_is_a_word(command: Command, projects: Path) -> None:
    (projects / "installer.yaml").unlink()
    ended = command("check", projects / "skarn")
    assert ended.code == 3
    assert "installer.yaml" in ended.err


@pytest.mark.parametrize(
    "raw",
    [
        b"", b"\n\n", b"# nothing\n", b"\x00\x01\x02\xff\xfe" * 999, b"\xff\xfe\x00s\x00p", b"\x89PNG\r\n\x1a\n" * 50,
        b"%PDF-1.7\n1 0 obj", b"PK\x03\x04" * 9, b"- a\n- b\n", b"just a text", b"42", b"null", b"{}", b"---\n---\n",
        b"a: &a [*a, *a]\n", b"x" * 400_000, b"[" * 5000, b"{a: " * 300, b"a: " * 2000, b"\xef\xbb\xbf",
        b"a:\n\tb: 1\n", "\ud800".encode("utf-8", "surrogatepass"), b"a: b\r\nc: d\r",
        b"? !!python/object/apply:os.system ['echo x']\n",
    ],
    ids=lambda raw: repr(raw[:18]),
)  # fmt: skip
def test_whatever_is_in_the_file_ends_in_2_with_a_place(command: Command, projects: Path, raw: bytes) -> None:
    spec = projects / "skarn" / "spec.yaml"
    for file in (spec, projects / "installer.yaml", projects / "prices.yaml"):
        good = file.read_bytes()
        file.write_bytes(raw)
        ended = command("check", projects / "skarn")
        file.write_bytes(good)
        assert ended.code == 2, (file, ended.err)
        assert re.match(rf"{re.escape(str(file))}:[1-9]\d*:[1-9]\d*: \w?", ended.told[0]), ended.err
        assert len(ended.told[0]) < 2000


@pytest.mark.parametrize(
    "raw",
    [b"\xff\n", b"F1 a b\n", b"f1 a\n", b"\x00", b"F1 a\nF1 b\n", b"F1 a\nF2 a\n", b"x" * 3_000_000],
    ids=lambda raw: repr(raw[:18]),
)
def test_a_ledger_that_cannot_be_taken_ends_in_2_with_its_line(command: Command, projects: Path, raw: bytes) -> None:
    ledger = projects / "skarn" / "designations.txt"
    ledger.write_bytes(raw)
    ended = command("check", projects / "skarn")
    assert ended.code == 2
    line = 2 if raw.count(b"\n") == 2 else 1
    assert ended.told[0].startswith(f"{ledger}:{line}:1: ")


# --- folders that are none -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("verb", ["check", "build", "serve"])
@pytest.mark.parametrize(
    "name", ["nowhere", "x" * 5000, "a\0b", "empty", "odd", "installer.yaml", "skarn/spec.yml", "/dev/null", "🛥️"]
)
def test_a_project_that_is_none_ends_in_3(command: Command, projects: Path, verb: str, name: str) -> None:
    (projects / "empty").mkdir()
    (projects / "odd" / "spec.yaml").mkdir(parents=True)
    before = tree(projects)
    ended = command(verb, projects / name)
    assert ended.code == 3, ended.err
    assert ended.told[-1].startswith("proposal: ")
    assert [line for line in ended.told[:-1] if not line.startswith("[1/6] ")] == []
    assert tree(projects) == before


def test_a_link_that_goes_round_in_circles_ends_in_3(command: Command, projects: Path) -> None:
    (projects / "round").symlink_to("round")
    assert command("check", projects / "round").code == 3


@pytest.mark.parametrize("file", ["skarn/spec.yaml", "installer.yaml", "prices.yaml", "skarn/designations.txt"])
def test_a_file_that_may_not_be_read_ends_in_4(
    command: Command, projects: Path, file: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The superuser may read everything, so the machine's no is made here.
    locked = projects / file
    locked.touch()
    real = os.open

    def refusing(path: str, *args: Any, **kwargs: Any) -> int:
        if Path(path) == locked:
            raise PermissionError(13, "Permission denied")
        return real(path, *args, **kwargs)

    monkeypatch.setattr(os, "open", refusing)
    ended = command("check", projects / "skarn")
    assert ended.code == 4
    assert len(ended.told) == 1
    assert ended.err.startswith(f"proposal: cannot read {locked}: Permission denied · check the ")


@pytest.mark.usefixtures("bare_site")
def test_nothing_of_the_users_is_touched_by_a_bad_spec(command: Command, projects: Path) -> None:
    assert command("build", projects / "skarn", "--quiet").code == 0
    before = tree(projects)
    good = (projects / "skarn" / "spec.yaml").read_bytes()
    for bad in (good.replace(b"voltage: 24 V", b"voltage: 24"), good[: len(good) // 2], b"", b"\xff\xff"):
        (projects / "skarn" / "spec.yaml").write_bytes(bad)
        for arguments in (["build", projects / "skarn"], ["check", projects / "skarn"], ["serve", projects / "skarn"]):
            ended = command(*arguments)
            assert ended.code == 2
            assert ended.told[-1].endswith("; nothing was written")
            after = tree(projects)
            assert after.pop("skarn/spec.yaml") == bad
            assert after == {name: data for name, data in before.items() if name != "skarn/spec.yaml"}
    out = projects.parent / "elsewhere"
    assert command("build", projects / "skarn", "--out", out).code == 2
    assert not out.exists()
    assert sorted(path.name for path in projects.parent.iterdir()) == ["projects"]


def test_a_copied_project_gives_the_same_answer(command: Command, projects: Path, tmp_path: Path) -> None:
    shutil.copytree(projects, tmp_path / "copy")
    one, other = (command("check", home / "skarn", "--json").out for home in (projects, tmp_path / "copy"))
    assert one == other
