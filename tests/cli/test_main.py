from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from proposal import __version__
from tests.cli.conftest import Command, Ended

CONSOLE = "from proposal.cli.main import run; run()"


def console(*arguments: str | Path, script: str = CONSOLE, days: bool = False, **how: object) -> Ended:
    """`proposal` as a process of its own; the simulation would take longer than all else that is tested so."""
    if not days and arguments[0] in ("check", "build", "serve"):
        arguments = (*arguments, "--without-days")
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    command = [sys.executable, "-c", script, *map(str, arguments)]
    streams = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE} | how
    done = subprocess.run(command, env=environment, check=False, timeout=300, **streams)  # type: ignore[call-overload]
    return Ended(done.returncode, (done.stdout or b"").decode(), (done.stderr or b"").decode())


@pytest.mark.parametrize(
    "arguments",
    [
        ["nonsense"], ["Check", "x"], ["check"], ["check", "a", "b"], ["build"], ["build", "x", "--out"], ["serve"],
        ["serve", "x", "--port", "many"], ["new"], ["schema", "--kind", "odd"],
        ["rules", "--json", "--page"], ["check", "x", "--yaml"], ["--bad"], [],
    ],
    ids=" ".join,
)  # fmt: skip
def test_a_wrong_command_line_ends_in_3_and_says_how_it_is_called(command: Command, arguments: list[str]) -> None:
    ended = command(*arguments)
    assert ended.code == 3
    assert ended.err.startswith("usage: proposal")
    assert ended.out == ""


def test_help_and_version_end_in_0(command: Command) -> None:
    assert command("--version") == Ended(0, f"{__version__}\n", "")
    ended = command("--help")
    assert ended.code == 0
    for verb in ("new", "check", "build", "serve", "rules", "schema"):
        assert verb in ended.out
        assert command(verb, "--help").code == 0


def test_what_people_type_is_not_taken_for_a_format(command: Command) -> None:
    for name in ("%s", "{0}", "%(prog)s", "$HOME"):
        assert name in command("check", name).err


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a Linux device")
def test_a_full_disk_behind_the_output_ends_in_4_without_a_traceback(projects: Path) -> None:
    marram = projects / "marram"
    for arguments in (("check", marram, "--json"), ("check", marram), ("schema",)):
        with Path("/dev/full").open("w") as full:
            ended = console(*arguments, stdout=full)
        assert ended.code == 4, arguments
        assert ended.told == ["proposal: [Errno 28] No space left on device"], arguments


def test_a_reader_who_has_seen_enough_makes_no_noise(projects: Path) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    ended = console("check", projects / "marram", "--json", stdout=writing)
    os.close(writing)
    assert (ended.code, ended.err) == (4, "")


def test_text_in_any_script_can_be_printed_on_a_poor_terminal(projects: Path) -> None:
    spec = projects / "marram" / "spec.yaml"
    spec.write_text(spec.read_text(encoding="utf-8").replace("hull: plastic", "hull: 日本語"), encoding="utf-8")
    ended = console("check", projects / "marram", script="import os; os.environ['LC_ALL'] = 'C'; " + CONSOLE)
    assert ended.code == 2
    assert "日本語" in ended.err
