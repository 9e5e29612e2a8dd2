"""What projects share is parsed once, and anew as soon as its text is another."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

import proposal.spec.loading
from proposal.errors import SpecError, UsageError
from proposal.spec.loading import load_project, price_book_of

PROJECTS = Path(__file__).parents[2] / "projects"


@pytest.fixture
def home(tmp_path: Path) -> Path:
    for name in ("installer.yaml", "prices.yaml"):
        shutil.copy(PROJECTS / name, tmp_path)
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        shutil.copy(PROJECTS / "skarn" / "spec.yaml", tmp_path / name)
    return tmp_path


def test_two_projects_share_one_parsed_price_book(home: Path) -> None:
    one, two = (load_project(home / name) for name in ("one", "two"))
    assert one.prices is two.prices
    assert one.installer is two.installer
    assert one.spec is not two.spec


def test_another_text_is_parsed_anew(home: Path) -> None:
    before = load_project(home / "one").prices
    path = home / "prices.yaml"
    path.write_bytes(path.read_bytes() + b"# more\n")
    after = load_project(home / "one").prices
    assert after is not before
    assert after.value == before.value


def test_the_same_text_elsewhere_keeps_its_own_place(home: Path) -> None:
    for name in ("installer.yaml", "prices.yaml"):
        shutil.copy(home / name, home / "two")
    assert load_project(home / "one").prices.path == home / "prices.yaml"
    assert load_project(home / "two").prices.path == home / "two" / "prices.yaml"


def test_a_wrong_price_book_is_told_each_time(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (home / "prices.yaml").write_text("nothing: right\n", encoding="utf-8")
    parsed: list[Any] = []
    known = proposal.spec.loading.read_text

    def counted(*arguments: Any, **more: Any) -> Any:
        parsed.append(arguments)
        return known(*arguments, **more)

    monkeypatch.setattr(proposal.spec.loading, "read_text", counted)
    for _ in range(2):
        with pytest.raises(SpecError, match=r"prices\.yaml"):
            load_project(home / "one")
    assert sum(file.endswith("prices.yaml") for _, file, _ in parsed) == 2


def test_the_price_book_lies_beside_the_installer(home: Path) -> None:
    path = home / "installer.yaml"
    assert price_book_of(path) == home / "prices.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("price_book: prices.yaml", "price_book: ../../etc/passwd"), encoding="utf-8")
    with pytest.raises(SpecError, match="not a plain file name"):
        price_book_of(path)
    with pytest.raises(UsageError):
        price_book_of(home / "none.yaml")
