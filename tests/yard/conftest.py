"""A small yard on the disk: three demonstration projects, one of them with a record, and one that is wrong."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from proposal.results.store import FolderShelf
from proposal.results.yard_model import YardRow
from proposal.spec.loading import load_project
from proposal.yard.gather import Gathered, gather
from proposal.yard.look import Looked
from proposal.yard.work import here

PROJECTS = Path(__file__).parents[2] / "projects"
TODAY = "2026-11-26"
HAND_OVER = """\
entry_version: "1"
kind: hand_over
title: Handed over
date: 2026-06-01
by: Somebody
option: {option}
"""


def add_project(home: Path, name: str, of: str = "skarn") -> Path:
    """A copy of a demonstration project under a name."""
    home.mkdir(parents=True, exist_ok=True)
    for shared in ("installer.yaml", "prices.yaml"):
        if not (home / shared).exists():
            shutil.copy(PROJECTS / shared, home)
    shutil.copytree(PROJECTS / of, home / name, ignore=shutil.ignore_patterns("output", "record", "sealed"))
    return home / name


def add_record(project: Path, option: str) -> Path:
    """A hand-over with nothing but the chosen option."""
    (project / "record").mkdir(exist_ok=True)
    entry = project / "record" / "01-hand-over.yaml"
    entry.write_text(HAND_OVER.format(option=option), encoding="utf-8")
    return entry


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """The yard: alpha as proposed, bravo with a record, wrong with a mistake."""
    home = tmp_path / "vessels"
    add_project(home, "alpha")
    bravo = add_project(home, "bravo")
    add_record(bravo, options_of(bravo)[0])
    wrong = add_project(home, "wrong")
    (wrong / "spec.yaml").write_text("spec_version: '1'\nvessel: [\n", encoding="utf-8")
    return home


def options_of(project: Path) -> list[str]:
    """Ids of a project's options."""
    return list(load_project(project).spec.value.options)


@pytest.fixture(scope="session")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> FolderShelf:
    """Rows that tests share: what one made, no other makes anew."""
    return FolderShelf(tmp_path_factory.mktemp("rows"))


Rows = Callable[[Path], dict[str, YardRow]]


@pytest.fixture
def rows(shelf: FolderShelf) -> Rows:
    """The rows of a folder by path."""

    def of(home: Path) -> dict[str, YardRow]:
        return {vessel.path: vessel.row for vessel in gathered(home, shelf).yard.vessels}

    return of


def gathered(home: Path, shelf: FolderShelf) -> Gathered:
    """A folder's yard, made in this process."""
    return gather(Looked(home, {}), lambda _: here, shelf, TODAY)
