"""`proposal diff`: which states it takes, what it says, and what it refuses."""

from __future__ import annotations

import contextlib
import json
import random
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from proposal.results import simulated
from proposal.results.codec import from_json, to_json
from proposal.results.evaluate import evaluate
from proposal.spec.loading import load_project
from tests.cli.conftest import Command
from tests.recorded_project import PROJECTS, hand_over, later, project_with

OPTION = "dedicated"
SIDES = ("before", "after")
LONGER = {"at": "routes.windlass.length", "now": "13 m", "because": "Round the anchor locker"}
GONE = {"at": "loads.watermaker", "removed": True, "because": "Taken out"}


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Marram handed over with a longer route, and without its watermaker since."""
    first = hand_over(PROJECTS / "marram", OPTION, changes=[LONGER])
    return project_with(tmp_path_factory.mktemp("diff"), "marram", [first, later(changes=[GONE])])


def diff(command: Command, *arguments: str | Path) -> tuple[int, str, str]:
    ended = command("diff", "--without-days", *arguments)
    return ended.code, ended.out, ended.err


def causes(text: str) -> dict[str, list[str]]:
    return {i["key"]: [c["name"] for c in i["causes"]] for i in json.loads(text)["items"] if i["causes"]}


def test_one_project_is_its_proposal_against_its_record(command: Command, recorded: Path) -> None:
    code, out, err = diff(command, recorded)
    assert (code, err) == (0, "")
    assert "revision B as proposed to revision B as its record says now" in " ".join(out.split())
    assert "Watermaker" in out
    assert "length: 11\u00a0m → 13\u00a0m" in out
    assert out == diff(command, f"{recorded}@proposal", recorded)[1]
    by_number = diff(command, f"{recorded}@proposal", f"{recorded}@2")[1]
    assert "as it stood after entry 2 of its record" in " ".join(by_number.split())
    assert by_number.splitlines()[4:] == out.splitlines()[4:]


def test_the_state_after_an_entry(command: Command, recorded: Path) -> None:
    code, out, _ = diff(command, "--json", f"{recorded}@proposal", f"{recorded}@1")
    assert code == 0
    assert causes(out) == {"loads.windlass.negative": ["length_m"], "loads.windlass.positive": ["length_m"]}
    code, out, _ = diff(command, "--json", f"{recorded}@1", recorded)
    removed = {i["key"] for i in json.loads(out)["items"] if i["change"] == "removed"}
    assert "loads.watermaker" in removed
    assert "loads.windlass.positive" not in causes(out)


def test_the_same_twice_is_said_to_be_the_same(command: Command, recorded: Path) -> None:
    code, out, _ = diff(command, recorded, recorded)
    assert code == 0
    assert "Nothing is otherwise" in out
    assert json.loads(diff(command, "--json", recorded, recorded)[1])["items"] == []


def test_a_file_of_results_is_a_state(command: Command, recorded: Path, tmp_path: Path) -> None:
    file = tmp_path / "results.json"
    file.write_text(command("check", "--json", "--without-days", recorded).out, encoding="utf-8")
    code, out, _ = diff(command, file, recorded)
    assert code == 0
    assert "of the results in results.json" in " ".join(out.split())
    assert "Nothing is otherwise" in out
    # without days in the file, those of the project would only look like differences: they are not asked for
    ended = command("diff", file, f"{recorded}@1")
    assert ended.code == 0
    assert "simulated" not in ended.out


def test_an_option_is_asked_for_where_several_could_be_meant(command: Command) -> None:
    marram = PROJECTS / "marram"
    code, _, err = diff(command, f"{marram}@proposal", f"{marram}@proposal")
    assert code == 3
    assert "--option" in err
    assert "dedicated" in err
    assert diff(command, "--option", "shared", f"{marram}@proposal", f"{marram}@proposal")[0] == 0
    code, _, err = diff(command, "--option", "neither", f"{marram}@proposal", f"{marram}@proposal")
    assert (code, "neither" in err) == (3, True)


def test_two_vessels_are_refused(command: Command, recorded: Path) -> None:
    code, out, err = diff(command, PROJECTS / "skarn", recorded)
    assert (code, out) == (3, "")
    assert "two vessels" in err
    assert "Skarn" in err


def test_what_is_no_state_is_refused(command: Command, recorded: Path, tmp_path: Path) -> None:
    broken = tmp_path / "broken.json"
    broken.write_text("[" * 100_000, encoding="utf-8")
    other = tmp_path / "other.json"
    other.write_text('{"results_version": 1, "vessel": 3}', encoding="utf-8")
    latin = tmp_path / "latin.json"
    latin.write_bytes(b"\xe9")
    refused = [
        (PROJECTS / "skarn",), (f"{recorded}@proposal",), (broken, recorded), (other, recorded), (latin, recorded),
        (tmp_path, recorded), (f"{recorded}@0", recorded), (f"{recorded}@3", recorded),
        (f"{PROJECTS / 'skarn'}@1", recorded),
        (f"{recorded}@x", recorded), (tmp_path / "nowhere", recorded), ("\0", recorded),
    ]  # fmt: skip
    for states in refused:
        code, out, err = diff(command, *states)
        assert (code, out) == (3, ""), states
        assert err.startswith("proposal: "), states
        assert len(err) < 700, states
    assert command("diff").code == 3


@pytest.mark.slow
def test_a_site_with_the_marked_drawings_of_both(command: Command, recorded: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    code, said, _ = diff(command, recorded, "--out", out)
    assert (code, said) == (0, f"site: {out / 'index.html'}\n")
    assert (out / "difference.json").read_text(encoding="utf-8") == diff(command, "--json", recorded)[1]
    for name in ("before.json", "after.json"):
        assert len(from_json((out / name).read_text(encoding="utf-8")).options) in (1, 2)
    before, after = (b"".join(p.read_bytes() for p in sorted((out / "drawings").glob(f"{n}-*"))) for n in SIDES)
    assert marks(before) == {
        ("loads.watermaker", "removed"), ("loads.watermaker.positive", "removed"), ("loads.watermaker.fuse", "removed"),
        ("loads.windlass.positive", "changed"),
    }  # fmt: skip
    assert marks(after) == {("loads.windlass.positive", "changed")}
    pages = [p.read_text(encoding="utf-8") for p in sorted(out.glob("*.html"))]
    assert len(pages) == 2
    assert "after-single-line.svg" in "".join(pages)


def marks(svg: bytes) -> set[tuple[str, str]]:
    return {(key, mark) for mark, key in re.findall(r'data-mark="(\w+)" data-of="([\w.]+)"', svg.decode())}


def test_a_file_of_results_cannot_be_drawn(command: Command, recorded: Path, tmp_path: Path) -> None:
    file, out = tmp_path / "results.json", tmp_path / "site"
    file.write_text(command("check", "--json", "--without-days", recorded).out, encoding="utf-8")
    assert diff(command, file, recorded, "--out", out)[0] == 0
    assert not list((out / "drawings").glob("before-*"))
    assert list((out / "drawings").glob("after-*"))
    assert "cannot be drawn here" in (out / "sheets.html").read_text(encoding="utf-8")


@pytest.mark.slow
def test_a_sealed_record_is_a_state_and_a_changed_one_is_refused(
    command: Command, recorded: Path, tmp_path: Path
) -> None:
    project = tmp_path / "projects" / "marram"
    shutil.copytree(recorded.parent, project.parent)
    sealing = ("seal", project, "--without-days", "--without-pages", "--do-not-energise", "--out", tmp_path / "to")
    assert command(*sealing).code == 0
    (archive,) = (tmp_path / "to").iterdir()
    code, out, _ = diff(command, archive, project)
    assert code == 0
    assert f"as sealed in {archive.name}" in " ".join(out.split())
    assert "Nothing is otherwise" in out
    assert diff(command, archive)[1] == diff(command, f"{archive}@proposal", archive)[1]
    assert "loads.watermaker" in diff(command, "--json", f"{archive}@1", archive)[1]
    spec = archive / "data" / "project" / "spec.yaml"
    spec.write_bytes(spec.read_bytes() + b"\n")
    code, out, err = diff(command, archive, project)
    assert (code, out) == (5, "")
    assert "not intact" in err


def test_no_zip_is_no_archive(command: Command, recorded: Path, tmp_path: Path) -> None:
    fake = tmp_path / "fake.zip"
    fake.write_bytes(b"PK no zip")
    code, out, err = diff(command, fake, recorded)
    assert (code, out) == (5, "")
    assert "not intact" in err


@pytest.fixture(scope="module")
def skarn() -> str:
    return to_json(evaluate(load_project(PROJECTS / "skarn"), {}, "proposal 0").results)


def leaves(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    yield path
    for key, entry in inner:
        yield from leaves(entry, (*path, key))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_a_spoilt_file_of_results_never_ends_in_a_traceback(
    command: Command, skarn: str, tmp_path: Path, seed: int
) -> None:
    rng = random.Random(f"spoilt {seed}")  # noqa: S311 - test data
    whole = json.loads(skarn)
    places = list(leaves(whole))
    good, bad = tmp_path / "good.json", tmp_path / "bad.json"
    good.write_text(skarn, encoding="utf-8")
    for _ in range(6):
        made = json.loads(skarn)
        for _ in range(rng.choice((1, 3))):
            *way, last = rng.choice(places[1:])
            here = made
            with contextlib.suppress(KeyError, IndexError, TypeError):
                for step in way:
                    here = here[step]
                here[last] = rng.choice((None, -1, 1e300, float("nan"), "", "\x1b[31mred\u202e", [], {}, True, "1.5"))
        bad.write_text(json.dumps(made), encoding="utf-8")
        for states in ((good, bad), (bad, good)):
            code, out, _ = diff(command, "--option", "vented_lead", *states)
            assert code in (0, 3)
            assert "\x1b" not in out
            assert "\u202e" not in out


def test_results_without_an_option_are_refused(command: Command, skarn: str, tmp_path: Path) -> None:
    empty = tmp_path / "empty.json"
    empty.write_text(json.dumps({**json.loads(skarn), "options": []}), encoding="utf-8")
    for option in ((), ("--option", "vented_lead")):
        assert diff(command, *option, empty, empty)[0] == 3


def test_days_are_asked_for_the_compared_option_alone(
    command: Command, recorded: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    made_up = simulated.simulated

    def counted(spec: Any, *others: Any, **named: Any) -> Any:
        asked.append(spec.option_id)
        return made_up(spec, *others, **named)

    monkeypatch.setattr(simulated, "simulated", counted)
    ended = command("diff", recorded)
    assert ended.code == 0
    assert set(asked) <= {OPTION}
    assert "as simulated" in ended.out
    assert "Engine running to charge, in a year" in ended.out
