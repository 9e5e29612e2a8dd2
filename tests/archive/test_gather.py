"""What is gathered for an archive: names that every system takes, and entries as they were read."""

from pathlib import Path
from typing import Any

import pytest
import yaml
from PIL import Image

from proposal.archive.gather import gather
from proposal.errors import MachineError
from proposal.results.computed import Computed, computed
from tests.recorded_project import PROJECTS, hand_over, project_with


@pytest.fixture(scope="module")
def first() -> dict[str, Any]:
    return hand_over(PROJECTS / "frostbit", "indoors")


def made(folder: Path) -> Computed:
    return computed(folder, sheets=False, history=False)


def test_the_files_are_those_of_the_project_and_nothing_besides(tmp_path: Path, first: dict[str, Any]) -> None:
    folder = project_with(tmp_path, "frostbit", [first])
    (folder / "notes.txt").write_text("mine")
    (folder / "record" / "draft.txt").write_text("mine")
    gathered = gather(made(folder))
    assert sorted(gathered.files) == [
        "designations.txt", "installer.yaml", "prices.yaml", "record/01-entry.yaml", "spec.yaml",
    ]  # fmt: skip
    for name in ("spec.yaml", "designations.txt", "record/01-entry.yaml"):
        assert gathered.files[name] == (folder / name).read_bytes()
    (folder / "designations.txt").unlink()
    assert gather(made(folder)).files["designations.txt"].count(b"\n") > 20


def test_photos_that_differ_only_in_capitals_are_refused(tmp_path: Path, first: dict[str, Any]) -> None:
    photos = [{"file": name, "title": "A box", "invented": "yes"} for name in ("box.png", "Box.png")]
    folder = project_with(tmp_path, "frostbit", [{**first, "photos": photos}])
    (folder / "record/photos").mkdir()
    for photo in photos:
        Image.new("RGB", (8, 6), "teal").save(folder / "record/photos" / str(photo["file"]))
    with pytest.raises(MachineError, match="only in capitals"):
        gather(made(folder))


def test_a_price_book_of_a_name_that_not_every_system_takes_is_refused(tmp_path: Path, first: dict[str, Any]) -> None:
    folder = project_with(tmp_path, "frostbit", [first])
    home = folder.parent
    (home / "prices.yaml").rename(home / "prices: new.yaml")
    tree = yaml.safe_load((home / "installer.yaml").read_text(encoding="utf-8")) | {"price_book": "prices: new.yaml"}
    (home / "installer.yaml").write_text(yaml.safe_dump(tree), encoding="utf-8")
    with pytest.raises(MachineError, match="has characters that not every system takes"):
        gather(made(folder))


def test_an_entry_that_changed_while_it_was_read_is_not_sealed(tmp_path: Path, first: dict[str, Any]) -> None:
    folder = project_with(tmp_path, "frostbit", [first])
    project = made(folder)
    path = folder / "record/01-entry.yaml"
    path.write_text(path.read_text(encoding="utf-8") + "# more\n", encoding="utf-8")
    with pytest.raises(MachineError, match="changed while it was read"):
        gather(project)
