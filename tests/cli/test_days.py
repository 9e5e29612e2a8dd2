"""Days on the command line: asked for unless left out, kept where the user keeps such things, and never in the way."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from proposal.book.listing import findings_listing
from proposal.cli import days as cli_days
from proposal.cli.build import Progress
from proposal.cli.project import compute
from proposal.results import simulated
from proposal.studies.behaviour.result import Behaviour
from tests.cli.conftest import Command, change
from tests.cli.test_main import console
from tests.stand_in_days import stand_in

HEAVY = ("numba", "pvlib", "scipy", "pandas")


@pytest.fixture
def cache() -> Path:
    return Path(os.environ["PROPOSAL_CACHE"])


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Options whose days were computed and not taken from the store."""
    options: list[str] = []

    def counted(spec: Any, *given: Any, **more: Any) -> Behaviour:
        options.append(spec.option_id)
        return stand_in(spec, *given, **more)

    monkeypatch.setattr(simulated, "simulated", counted)
    return options


def _listing(ended: Any) -> dict[str, Any]:
    return {option["id"]: option for option in json.loads(ended.out)["options"]}


@pytest.mark.usefixtures("bare_site")
def test_check_and_build_show_the_same_days_and_compute_them_once(
    command: Command, projects: Path, asked: list[str]
) -> None:
    checked = command("check", projects / "marram", "--json")
    assert asked == ["shared", "dedicated"]
    command("build", projects / "marram", "--quiet")
    again = command("check", projects / "marram", "--json")
    assert asked == ["shared", "dedicated"]
    built = (projects / "marram" / "output" / "results.json").read_text(encoding="utf-8")
    assert checked.out == again.out == built
    for option in _listing(checked).values():
        assert option["behaviour"]["days"]
        assert option["ten_years"]["total_usual"]


@pytest.mark.parametrize("name", ["skarn", "marram"])
def test_check_without_json_finds_with_days_what_it_finds_with_it(projects: Path, name: str) -> None:
    whole, bare = (
        compute(str(projects / name), sheets=sheets, days=cli_days.days_of()).evaluated.results
        for sheets in (True, False)
    )
    assert findings_listing(bare) == findings_listing(whole)
    assert [o.findings for o in bare.options] == [o.findings for o in whole.options]
    assert all(option.behaviour is not None for option in (*whole.options, *bare.options))


@pytest.mark.usefixtures("bare_site")
def test_without_days_nothing_is_simulated_kept_or_said(
    command: Command, projects: Path, asked: list[str], cache: Path
) -> None:
    checked = command("check", projects / "marram", "--json", "--without-days")
    built = command("build", projects / "marram", "--without-days")
    assert (checked.code, built.code, asked) == (0, 0, [])
    assert list(cache.iterdir()) == []
    published = (projects / "marram" / "output" / "results.json").read_text(encoding="utf-8")
    assert published == checked.out
    for option in _listing(checked).values():
        assert option["behaviour"] is None
        assert option["ten_years"] is None
    steps = [step for step in Progress.STEPS if step != Progress.DAYS]
    assert built.told == [f"[{n}/{len(steps)}] {step}" for n, step in enumerate(steps, 1)]


def test_what_days_do_not_depend_on_is_free_and_what_one_option_has_is_its_own(
    command: Command, projects: Path, asked: list[str]
) -> None:
    spec = projects / "marram" / "spec.yaml"
    command("check", projects / "marram")
    asked.clear()
    change(spec, "name: Ilse and Tomas Varnegg", "name: Somebody Else")
    change(projects / "installer.yaml", "hourly_rate: 64.00", "hourly_rate: 80.00")
    command("check", projects / "marram")
    assert asked == []
    change(projects / "prices.yaml", "capacity: 90 Ah", "capacity: 91 Ah")
    command("check", projects / "marram")
    assert asked == ["dedicated"]


def test_a_warm_store_needs_none_of_what_simulates(command: Command, projects: Path) -> None:
    # warmed in this process with made-up days: a hit in the other one proves that both have one key for them
    command("check", projects / "marram")
    script = (
        "import sys; from proposal.cli.main import main; code = main(); "
        f"print([name for name in {HEAVY} if name in sys.modules], code, file=sys.stderr)"
    )
    ended = console("check", projects / "marram", "--json", script=script, days=True)
    assert ended.err == "[] 0\n"
    assert all(option["behaviour"] for option in _listing(ended).values())


def test_check_says_on_a_terminal_what_it_is_about_and_leaves_the_line_clean(
    command: Command, projects: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    ended = command("check", projects / "marram")
    assert "simulating days: A starter battery of its own" in ended.err
    assert ended.err.endswith("\r\033[K")
    assert "\n" not in ended.err


@pytest.mark.parametrize("spoil", ["file", "inside"])
def test_a_cache_that_cannot_be_written_is_no_error(
    command: Command, projects: Path, cache: Path, asked: list[str], monkeypatch: pytest.MonkeyPatch, spoil: str
) -> None:
    if spoil == "file":
        (cache / "file").write_text("in the way")
        monkeypatch.setenv("PROPOSAL_CACHE", str(cache / "file"))
    else:
        (cache / "days").write_text("in the way")
    first, second = (command("check", projects / "marram", "--json") for _ in range(2))
    assert (first.code, first.err) == (0, "")
    assert first == second
    assert asked == ["shared", "dedicated"] * 2


def test_two_processes_at_once_agree(projects: Path, cache: Path) -> None:
    script = (
        "from proposal.results import simulated; from tests.stand_in_days import stand_in; "
        "simulated.simulated = stand_in; "
        "from proposal.cli.main import run; run()"
    )
    root = Path(__file__).parents[2]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(root), *filter(None, sys.path)])}
    command = [sys.executable, "-c", script, "check", projects / "marram", "--json"]
    running = [subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, cwd=projects) for _ in range(2)]
    said = [one.communicate(timeout=120)[0] for one in running]
    assert [one.returncode for one in running] == [0, 0]
    assert said[0] == said[1]
    assert len(list((cache / "days").iterdir())) == 2


# --- where things are kept ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("system", "variables", "expected"),
    [
        ("linux", {"XDG_CACHE_HOME": "/x/cache", "HOME": "/home/a"}, "/x/cache/proposal"),
        ("linux", {"HOME": "/home/a"}, "/home/a/.cache/proposal"),
        ("linux", {"XDG_CACHE_HOME": "", "HOME": "/home/a"}, "/home/a/.cache/proposal"),
        ("darwin", {"XDG_CACHE_HOME": "/x/cache", "HOME": "/Users/a"}, "/Users/a/Library/Caches/proposal"),
        ("win32", {"LOCALAPPDATA": "/local", "HOME": "/home/a"}, "/local/proposal"),
        ("win32", {"HOME": "/home/a"}, "/home/a/AppData/Local/proposal"),
        ("linux", {"PROPOSAL_CACHE": "/mine", "XDG_CACHE_HOME": "/x/cache"}, "/mine"),
    ],
)
def test_the_cache_lies_where_each_system_has_such_things(
    monkeypatch: pytest.MonkeyPatch, system: str, variables: dict[str, str], expected: str
) -> None:
    for name in ("XDG_CACHE_HOME", "LOCALAPPDATA", "PROPOSAL_CACHE"):
        monkeypatch.delenv(name, raising=False)
    for name, value in variables.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(sys, "platform", system)
    assert cli_days.cache_folder() == Path(expected)


def test_compiled_code_is_kept_in_the_cache_or_where_only_this_user_can_write(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("NUMBA_CACHE_DIR", "chosen by the user")
    cli_days.keep_compiled(tmp_path / "a")
    assert os.environ["NUMBA_CACHE_DIR"] == "chosen by the user"
    monkeypatch.delenv("NUMBA_CACHE_DIR")
    cli_days.keep_compiled(tmp_path / "a")
    assert os.environ["NUMBA_CACHE_DIR"] == str(tmp_path / "a")
    monkeypatch.delenv("NUMBA_CACHE_DIR")
    (tmp_path / "file").write_text("in the way")
    cli_days.keep_compiled(tmp_path / "file" / "deeper")
    alone = Path(os.environ["NUMBA_CACHE_DIR"])
    assert alone.is_dir()
    assert alone.stat().st_mode & 0o077 == 0


def test_code_compiled_of_older_sources_goes(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("NUMBA_CACHE_DIR", raising=False)
    for n in range(7):
        (tmp_path / f"{n}").mkdir()
        (tmp_path / f"{n}" / "kernel.nbc").write_bytes(b"x")
        os.utime(tmp_path / f"{n}", (1000 + n, 1000 + n))
    cli_days.keep_compiled(tmp_path)
    monkeypatch.delenv("NUMBA_CACHE_DIR", raising=False)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["3", "4", "5", "6"]


@pytest.mark.parametrize(("said", "expected"), [("1", 1), ("2", 2), ("99", 8), ("0", None), ("many", None), ("", None)])
def test_as_many_threads_as_are_asked_for(monkeypatch: pytest.MonkeyPatch, said: str, expected: int | None) -> None:
    monkeypatch.setenv("PROPOSAL_THREADS", said)
    assert cli_days.threads() == expected or (expected is None and 1 <= cli_days.threads() <= 8)


def test_the_number_of_threads_reaches_the_simulation_and_not_the_key(
    command: Command, projects: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[int] = []

    def counted(*given: Any, threads: int) -> Behaviour:
        seen.append(threads)
        return replace(stand_in(*given), step_s=60.0)

    monkeypatch.setattr(simulated, "simulated", counted)
    for threads in ("2", "1"):
        monkeypatch.setenv("PROPOSAL_THREADS", threads)
        command("check", projects / "marram")
    assert seen == [2, 2]
