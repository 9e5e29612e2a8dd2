"""The web address of records in the installer's file."""

from __future__ import annotations

from pathlib import Path

import pytest

from proposal.errors import SpecError
from proposal.spec.loading import load_project
from tests import recorded_project as recorded


def project(folder: Path, address: str) -> Path:
    made = recorded.out_of_reach(folder, recorded.HAND_OVER)
    with (made.parent / "installer.yaml").open("a", encoding="utf-8") as file:
        file.write(f"record_address: {address}\n")
    return made


@pytest.mark.parametrize(
    "address", ["https://records.example/{number}", "http://a.example", '"https://a.example/?q=1&r=2"']
)
def test_an_address_of_the_web_is_taken(tmp_path: Path, address: str) -> None:
    read = load_project(project(tmp_path, address))
    assert read.installer.value.record_address == address.strip('"')


@pytest.mark.parametrize(
    "address",
    [
        "javascript:alert(1)",
        "ftp://a.example",
        "https:/a.example",
        '"https://a b.example"',
        "https://" + "a" * 400,
        "https://ö.example",
    ],
)
def test_anything_else_is_told_at_its_place(tmp_path: Path, address: str) -> None:
    with pytest.raises(SpecError) as caught:
        load_project(project(tmp_path, address))
    (problem,) = caught.value.problems
    last = len((tmp_path / "projects" / "installer.yaml").read_text(encoding="utf-8").splitlines())
    assert (Path(problem.file).name, problem.line) == ("installer.yaml", last)
    assert "web address" in problem.what
