from __future__ import annotations

import builtins
import errno
import json
import os
import re
import resource
import sys
from pathlib import Path
from typing import Any

import pytest

import proposal.cli.build
import proposal.files
from proposal.errors import MachineError
from proposal.files import MARKER
from tests import recorded_project as recorded
from tests.cli.conftest import Command, change, tree
from tests.cli.test_main import CONSOLE, console

QUICK = "import proposal.publish.pdf as p; p.render_pdf = lambda *_: b'%PDF-1.7'; "
"""Before CONSOLE in a process of its own: what the fixture `quick_pdf` does in this one."""

pytestmark = pytest.mark.usefixtures("quick_pdf")


def test_build_publishes_says_where_and_ends_in_0_despite_dangers(command: Command, projects: Path) -> None:
    assert command("check", projects / "skarn").code == 1
    ended = command("build", projects / "skarn")
    out = projects / "skarn" / "output"
    assert (ended.code, ended.out) == (0, f"site: {out / 'index.html'}\nPDF:  {out / 'proposal.pdf'}\n")
    steps = proposal.cli.build.Progress.STEPS
    assert ended.told == [f"[{n}/{len(steps)}] {step}" for n, step in enumerate(steps, 1)]
    names = set(tree(out))
    assert {"index.html", "proposal.pdf", "results.json", MARKER} <= names
    assert any(re.fullmatch(r"drawings/[\w-]+\.svg", name) for name in names)
    results = json.loads((out / "results.json").read_text(encoding="utf-8"))
    fired = [f for o in results["options"] for f in o["findings"] if f["severity"] == "danger"]
    assert fired


@pytest.mark.usefixtures("bare_site")
def test_the_published_json_is_what_check_prints_after_the_build(command: Command, projects: Path) -> None:
    command("build", projects / "marram", "--quiet")
    printed = command("check", projects / "marram", "--json").out
    assert (projects / "marram" / "output" / "results.json").read_text(encoding="utf-8") == printed


@pytest.mark.usefixtures("bare_site")
def test_quiet_shows_no_progress_and_out_is_another_folder(command: Command, projects: Path, tmp_path: Path) -> None:
    out = tmp_path / "some" / "where else"
    ended = command("build", projects / "skarn", "--quiet", "--out", out)
    assert (ended.code, ended.err) == (0, "")
    assert ended.out.splitlines()[0] == f"site: {out / 'index.html'}"
    assert (out / "index.html").is_file()
    assert not (projects / "skarn" / "output").exists()
    assert (projects / "skarn" / "designations.txt").is_file()


def test_on_a_terminal_the_progress_stays_on_one_line_and_leaves_it_clean(
    command: Command, projects: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    good = command("build", projects / "skarn")
    assert "\n" not in good.err
    assert "writing the pages: Cables and protection" in good.err
    assert good.err.endswith("\r\033[K")
    change(projects / "skarn" / "spec.yaml", "voltage: 24 V", "voltage: 24")
    bad = command("build", projects / "skarn")
    assert bad.code == 2
    assert bad.err.split("\n")[0].rpartition("\r\033[K")[2].startswith(f"{projects / 'skarn' / 'spec.yaml'}:")


@pytest.mark.usefixtures("bare_site")
def test_the_output_is_replaced_whole(command: Command, projects: Path) -> None:
    command("build", projects / "skarn", "--quiet")
    out = projects / "skarn" / "output"
    (out / "stale.html").write_text("old")
    command("build", projects / "skarn", "--quiet")
    assert not (out / "stale.html").exists()
    beside = {path.name for path in (projects / "skarn").iterdir()}
    assert beside == {"spec.yaml", "output", "designations.txt"}


@pytest.mark.usefixtures("bare_site")
def test_a_folder_of_somebody_else_is_not_touched(command: Command, projects: Path, tmp_path: Path) -> None:
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "letter.txt").write_text("dear")
    (tmp_path / "file").write_text("a file")
    before = tree(tmp_path)
    for out in (mine, tmp_path / "file", tmp_path / "file" / "deeper"):
        ended = command("build", projects / "skarn", "--quiet", "--out", out)
        assert ended.code == 4
        assert len(ended.told) == 1, ended.err
        assert tree(tmp_path) == before
    monkey = tmp_path / "empty"
    monkey.mkdir()
    assert command("build", projects / "skarn", "--quiet", "--out", monkey).code == 0


# --- the machine says no ---------------------------------------------------------------------------------------------


def test_without_pango_the_site_is_published_and_one_line_names_the_packages(
    command: Command, projects: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.undo()  # the real type-setting, whose libraries are missing
    real = builtins.__import__

    def without_pango(name: str, *args: Any, **kwargs: Any) -> Any:
        if name.startswith("weasyprint"):
            raise OSError("cannot load library 'libpango-1.0-0'")
        return real(name, *args, **kwargs)

    monkeypatch.setattr(builtins, "__import__", without_pango)
    out = projects / "skarn" / "output"
    ended = command("build", projects / "skarn", "--quiet")
    assert ended.code == 4
    assert ended.out == f"site: {out / 'index.html'}\n"
    assert len(ended.told) == 1
    assert "apt-get install libpangoft2-1.0-0 libharfbuzz-subset0" in ended.err
    assert (out / "index.html").is_file()
    assert (out / "results.json").is_file()
    assert not (out / "proposal.pdf").exists()


def _full(monkeypatch: pytest.MonkeyPatch, after: int) -> None:
    """The disk is full after so many files."""
    real, written = proposal.files._put, [0]

    def put(path: Path, data: bytes) -> None:
        written[0] += 1
        if written[0] > after:
            path.write_bytes(data[: len(data) // 2])
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(path))
        real(path, data)

    monkeypatch.setattr(proposal.files, "_put", put)


@pytest.mark.usefixtures("bare_site")
@pytest.mark.parametrize("after", [0, 20])
def test_a_disk_that_fills_up_leaves_the_last_good_output(
    command: Command, projects: Path, monkeypatch: pytest.MonkeyPatch, after: int
) -> None:
    assert command("build", projects / "skarn", "--quiet").code == 0
    before = tree(projects)
    change(projects / "skarn" / "spec.yaml", "title: Vented lead batteries", "title: Another title")
    _full(monkeypatch, after)
    ended = command("build", projects / "skarn", "--quiet")
    assert ended.code == 4
    assert len(ended.told) == 1
    assert "the disk is full: free some space" in ended.err
    after_it = tree(projects)
    assert after_it.pop("skarn/spec.yaml") != before.pop("skarn/spec.yaml")
    assert after_it == before


@pytest.mark.usefixtures("bare_site")
def test_a_disk_that_fills_up_at_the_first_build_leaves_nothing(
    command: Command, projects: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = tree(projects)
    _full(monkeypatch, 5)
    assert command("build", projects / "skarn", "--quiet").code == 4
    assert tree(projects) == before
    assert {path.name for path in (projects / "skarn").iterdir()} == {"spec.yaml"}


@pytest.mark.parametrize("kilobytes", [0, 30])
def test_the_kernel_refusing_to_write_ends_in_4_without_a_traceback(projects: Path, kilobytes: int) -> None:
    # A limit on the size of files refuses writes as a full disk does, also where a library writes its own files.
    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (kilobytes * 1024, kilobytes * 1024))

    before = tree(projects)
    ended = console("build", projects / "skarn", "--quiet", script=QUICK + CONSOLE, preexec_fn=limit)
    assert ended.code == 4, ended.err
    assert len(ended.told) == 1, ended.err
    assert ended.err.startswith("proposal: ")
    assert tree(projects) == before


@pytest.mark.usefixtures("bare_site")
def test_an_output_that_may_not_be_written_ends_in_4(
    command: Command, projects: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = Path.mkdir

    def refuse(path: Path, *args: Any, **kwargs: Any) -> None:
        if path.parent == projects / "skarn":
            raise PermissionError(errno.EACCES, "Permission denied")
        real(path, *args, **kwargs)

    before = tree(projects)
    monkeypatch.setattr(Path, "mkdir", refuse)
    ended = command("build", projects / "skarn", "--quiet")
    monkeypatch.undo()
    assert ended.code == 4
    assert "you may not write there" in ended.err
    assert tree(projects) == before


# --- designations ----------------------------------------------------------------------------------------------------


def ledger(projects: Path, name: str) -> dict[str, str]:
    """Designation by key, as the file has them."""
    lines = (projects / name / "designations.txt").read_text(encoding="utf-8").splitlines()
    pairs = [line.split() for line in lines if line and not line.startswith("#")]
    assert len({designation for designation, _ in pairs}) == len({key for _, key in pairs}) == len(pairs)
    return {key: designation for designation, key in pairs}


def designations(command: Command, projects: Path, name: str) -> dict[str, str]:
    """Designation by key, as the results have them."""
    results = json.loads(command("check", projects / name, "--json").out)
    kinds = ("conductors", "devices", "loads", "sources")
    return {x["key"]: x["designation"] for o in results["options"] for kind in kinds for x in o[kind]}


@pytest.mark.usefixtures("bare_site")
def test_a_load_in_the_middle_renames_nothing_and_a_number_is_given_once(command: Command, projects: Path) -> None:
    spec = projects / "skarn" / "spec.yaml"
    command("build", projects / "skarn", "--quiet")
    first = ledger(projects, "skarn")
    said = designations(command, projects, "skarn")
    assert {key: first[key] for key in said} == said
    assert first["loads.fridge"] == "E3"

    new = "  radio: {title: Radio, power: 8 W, hours: 2 h, panel: cabin_panel, route: kitchen}\n"
    change(spec, "  fridge: {", f"{new}  fridge: {{")
    command("build", projects / "skarn", "--quiet")
    second = ledger(projects, "skarn")
    assert {key: second[key] for key in first} == first
    added = {key: name for key, name in second.items() if key not in first}
    assert {key.removeprefix("loads.radio") for key in added} == {"", ".fuse", ".positive", ".negative"}
    assert not set(added.values()) & set(first.values())
    lines = (projects / "skarn" / "designations.txt").read_text(encoding="utf-8").splitlines()
    assert [line.split()[1] for line in lines[-len(added) :]] == list(added)

    change(spec, new, "")
    command("build", projects / "skarn", "--quiet")
    assert ledger(projects, "skarn") == second
    change(spec, "  fridge: {", "  kettle: {title: Kettle, power: 90 W, hours: 1 h, route: kitchen}\n  fridge: {")
    command("build", projects / "skarn", "--quiet")
    third = ledger(projects, "skarn")
    assert {key: third[key] for key in second} == second
    assert third["loads.kettle"] not in second.values()
    said = designations(command, projects, "skarn")
    assert {key: third[key] for key in said} == said
    assert "loads.radio" not in said


@pytest.mark.usefixtures("bare_site")
def test_a_ledger_is_only_added_to_what_a_person_wrote_in_it_stays(command: Command, projects: Path) -> None:
    path = projects / "skarn" / "designations.txt"
    path.write_bytes(b"# agreed with the yard\n\nE77 loads.fridge\nW5 loads.gone.positive")
    command("build", projects / "skarn", "--quiet")
    text = path.read_text(encoding="utf-8")
    assert text.startswith("# agreed with the yard\n\nE77 loads.fridge\nW5 loads.gone.positive\n")
    known = ledger(projects, "skarn")
    assert known["loads.fridge"] == "E77"
    assert int(known["loads.sockets"][1:]) > 0
    assert known["banks.lead.tail"] == "W6"
    unchanged = path.read_bytes()
    command("build", projects / "skarn", "--quiet")
    assert path.read_bytes() == unchanged


@pytest.mark.usefixtures("bare_site")
def test_check_gives_the_designations_that_build_will_write(command: Command, projects: Path) -> None:
    said = designations(command, projects, "skarn")
    assert not (projects / "skarn" / "designations.txt").exists()
    command("build", projects / "skarn", "--quiet")
    known = ledger(projects, "skarn")
    assert {key: known[key] for key in said} == said


@pytest.mark.usefixtures("bare_site")
@pytest.mark.parametrize("switch", [(), ("--without-packs",)])
def test_a_record_leaves_its_files_aboard(command: Command, tmp_path: Path, switch: tuple[str, ...]) -> None:
    project = recorded.out_of_reach(tmp_path, recorded.HAND_OVER)
    ended = command("build", project, "--quiet", "--without-days", *switch)
    out = project / "output"
    assert ended.out.splitlines()[-1] == f"to print and keep aboard: {out / 'aboard'}"
    packs = {"insurer.pdf", "sale.pdf", "warranty.pdf"} if not switch else set()
    always = {"emergency-card.pdf", "emergency-code.svg", "labels.pdf", "maintenance.ics"}
    assert set(os.listdir(out / "aboard")) == always | packs


@pytest.mark.usefixtures("bare_site")
def test_without_the_libraries_of_paper_codes_and_calendar_are_left_all_the_same(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing(*_: Any) -> bytes:
        raise MachineError("the PDF could not be made", "install them")

    monkeypatch.setattr("proposal.publish.pdf.render_pdf", missing)
    project = recorded.out_of_reach(tmp_path, recorded.HAND_OVER)
    ended = command("build", project, "--quiet", "--without-days")
    assert ended.code == 4
    assert set(os.listdir(project / "output" / "aboard")) == {"emergency-code.svg", "maintenance.ics"}
