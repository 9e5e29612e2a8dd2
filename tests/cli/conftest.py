"""The command line called in this process, on copies of the demonstration projects."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

import proposal.publish.pdf
import proposal.publish.site
from proposal.cli.main import main
from tests.stand_in_days import made_up_days

PROJECTS = Path(__file__).parents[2] / "projects"


@dataclass(frozen=True)
class Ended:
    """How a command ended: exit code, what it printed, what it said on the error stream."""

    code: int
    out: str
    err: str

    @property
    def told(self) -> list[str]:
        """The lines of the error stream."""
        return self.err.splitlines()


Command = Callable[..., Ended]


@pytest.fixture
def command(capsys: pytest.CaptureFixture[str]) -> Command:
    """Runs `proposal` with arguments; any exception but a usage error's exit fails the test."""

    def run(*arguments: str | Path) -> Ended:
        capsys.readouterr()
        code: Any
        try:
            code = main([str(argument) for argument in arguments])
        except SystemExit as ended:  # argparse ends so
            code = ended.code
        said = capsys.readouterr()
        assert "Traceback" not in said.err
        return Ended(code, said.out, said.err)

    return run


@pytest.fixture
def projects(tmp_path: Path) -> Path:
    """A copy of the demonstration projects as proposed: no output, no ledger, no record."""
    home = tmp_path / "projects"
    shutil.copytree(PROJECTS, home, ignore=shutil.ignore_patterns("output", "designations.txt", "record", ".*"))
    return home


@pytest.fixture(autouse=True)
def days_at_once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """The simulation has its own tests: here days that are there at once, none kept from one test to another."""
    with made_up_days(tmp_path_factory.mktemp("cache")):
        yield


@pytest.fixture
def quick_pdf(monkeypatch: pytest.MonkeyPatch) -> None:
    """Type-setting takes most of a build's time, and has its own tests: here a PDF in name only."""

    def render(*_: Any, **__: Any) -> bytes:
        return b"%PDF-1.7\n"

    monkeypatch.setattr(proposal.publish.pdf, "render_pdf", render)
    monkeypatch.setattr("proposal.publish.card.set_html", render)
    monkeypatch.setattr("proposal.publish.labels_sheet.set_html", render)


@pytest.fixture
def bare_site(quick_pdf: None, monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: ARG001 - it comes first
    """A few files in place of pages, for tests of what happens around them."""

    def render(_: Any, drawings: dict[str, bytes], extra: dict[str, bytes], **__: Any) -> dict[str, bytes]:
        files = {"index.html": b"<h1>pages</h1>\n"} | {f"assets/{n}.css": b"p {}\n" * n for n in range(20)}
        return files | {f"drawings/{name}": data for name, data in drawings.items()} | extra

    monkeypatch.setattr(proposal.publish.site, "render_site", render)


def tree(folder: Path) -> dict[str, bytes]:
    """Every file under a folder by its relative path."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def change(spec: Path, old: str, new: str) -> None:
    """Replace the one place of a text in a file."""
    text = spec.read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{text.count(old)} × {old!r}"
    spec.write_text(text.replace(old, new), encoding="utf-8")
