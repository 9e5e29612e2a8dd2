"""`proposal seal` and `proposal verify` on a vessel fitted as designed, its days made up."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import bagit
import pytest
from PIL import Image

import proposal.publish.pdf_archive
from proposal.archive import bag
from proposal.cli.main import main
from proposal.spec.seals import load_seals
from tests.cli.conftest import Command, tree
from tests.recorded_project import PROJECTS, hand_over, later, project_with, write_entry

VESSEL, OPTION = "frostbit", "indoors"
PLAIN = ("--without-pages", "--without-days", "--quiet")
DANGER = {"defects": {"vent_taped": {"what": "The vent is taped over", "severity": "danger"}}}


@pytest.fixture(scope="module")
def first() -> dict[str, Any]:
    return hand_over(PROJECTS / VESSEL, OPTION)


@pytest.fixture
def project(tmp_path: Path, first: dict[str, Any]) -> Path:
    return project_with(tmp_path, VESSEL, [first])


@pytest.fixture(scope="module")
def sealed_once(tmp_path_factory: pytest.TempPathFactory, first: dict[str, Any]) -> Path:
    home = tmp_path_factory.mktemp("once")
    folder = project_with(home, VESSEL, [first])
    assert main(["seal", str(folder), *PLAIN]) == 0
    return home


@pytest.fixture
def target(tmp_path: Path, sealed_once: Path) -> Path:
    """An archive of a project's own, at its usual place."""
    shutil.copytree(sealed_once, tmp_path, dirs_exist_ok=True)
    return tmp_path / "projects" / VESSEL / "sealed" / "frostbit-fr-2026-11-seal-1"


@pytest.fixture
def key(tmp_path: Path) -> Path:
    if not shutil.which("ssh-keygen"):
        pytest.skip("needs ssh-keygen")
    ask = ["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", "", "-f", str(tmp_path / "key")]
    subprocess.run(ask, check=True, capture_output=True)
    return tmp_path / "key"


def sealed(command: Command, project: Path, *more: str | Path) -> Path:
    """Seal without pages and return where the archive lies."""
    done = command("seal", project, *PLAIN, *more)
    assert done.code == 0, done.err
    (line,) = [line for line in done.out.splitlines() if line.startswith("seal ")]
    return Path(line.rpartition(": ")[2])


def test_a_record_is_sealed_verified_and_computed_anew(command: Command, project: Path) -> None:
    done = command("seal", project, "--without-pages", "--quiet")
    assert done.code == 0, done.err
    (target,) = (project / "sealed").iterdir()
    assert target.resolve() == project.resolve() / "sealed" / "frostbit-fr-2026-11-seal-1"
    assert bagit.Bag(str(target)).validate()
    assert {n for n in tree(target) if n.startswith("data/")} == {
        "data/READ-ME-FIRST.txt", "data/results.json", "data/seal.json", "data/project/designations.txt",
        "data/project/installer.yaml", "data/project/prices.yaml", "data/project/spec.yaml",
        "data/project/record/01-entry.yaml",
    }  # fmt: skip
    done = command("verify", target, "--recompute")
    assert done.code == 0, done.out
    assert done.out.startswith("intact, author unproven: ")
    assert "the first seal of this record" in done.out
    assert "computed anew: the same to nine digits in every one of" in done.out
    results = json.loads((target / "data/results.json").read_text(encoding="utf-8"))
    assert [entry["seal"] for entry in results["record"]["entries"]] == [1]
    assert [(seal["number"], seal["sha256"]) for seal in results["record"]["seals"]] == [(1, "")]


@pytest.mark.slow
def test_what_lies_in_an_archive_is_a_project_again(command: Command, project: Path, tmp_path: Path) -> None:
    target = sealed(command, project)
    again = tmp_path / "again"
    shutil.copytree(target / "data/project", again)
    assert command("check", again, "--without-days").code in (0, 1)
    other = sealed(command, again)
    assert tree(other) == tree(target)


@pytest.mark.slow
def test_the_same_state_makes_no_new_seal_and_a_lost_archive_anew(command: Command, project: Path) -> None:
    target = sealed(command, project)
    before, ledger = tree(target), (project / "record/seals.txt").read_bytes()
    done = command("seal", project, *PLAIN)
    assert done.code == 0
    assert "nothing changed since seal 1 of 2026-12-04: no new seal is made" in done.out
    shutil.rmtree(target)
    assert sealed(command, project) == target
    assert tree(target) == before
    packed = sealed(command, project, "--zip")
    assert packed.name == "frostbit-fr-2026-11-seal-1.zip"
    assert command("verify", packed).code == 0
    assert (project / "record/seals.txt").read_bytes() == ledger
    (target / "data/results.json").write_text("{}")
    done = command("seal", project, *PLAIN)
    assert done.code == 5
    assert "not intact: data/results.json has changed" in done.err


@pytest.mark.slow
def test_a_new_entry_makes_a_seal_that_names_the_one_before(command: Command, project: Path, tmp_path: Path) -> None:
    one = sealed(command, project)
    write_entry(project, 2, later("visit", notes=["All well"]))
    two = sealed(command, project)
    lines = load_seals(project)
    assert [line.name for line in lines] == [one.name, two.name]
    facts = json.loads((two / "data/seal.json").read_text(encoding="utf-8"))
    assert facts["previous"] == lines[0].sha256 == bag.sum_of((one / bag.TAG_MANIFEST).read_bytes())
    done = command("verify", two, "--recompute")
    assert done.code == 0, done.out
    assert f"seal 1 of 2026-12-04 before it: intact: {one}" in done.out
    assert "chain whole\n" in done.out
    assert "NOT THE LATEST" not in done.out
    done = command("verify", one)
    assert (done.code, f"NOT THE LATEST: after it came {two.name}" in done.out) == (0, True)
    assert json.loads(command("verify", one, "--json").out)["followed_by"] == [two.name]
    remade(one, "data/project/spec.yaml", "# ", "#  ")
    done = command("verify", one)
    assert done.code == 5
    assert done.out.startswith("intact")
    assert f"CHAIN NOT WHOLE: {two.name} came after it and names another sum for seal 1" in done.out
    remade(one, "data/project/spec.yaml", "#  ", "# ")
    one.rename(tmp_path / "kept elsewhere" if not (tmp_path / "elsewhere").mkdir() else one)
    (tmp_path / "kept elsewhere").rename(tmp_path / "elsewhere" / one.name)
    assert "1 of 1 not looked at" in command("verify", two).out
    assert "not looked at" not in command("verify", two, "--previous", tmp_path / "elsewhere").out
    (tmp_path / "elsewhere" / one.name / "data/seal.json").write_text("{}")
    done = command("verify", two, "--previous", tmp_path / "elsewhere")
    assert done.code == 5
    assert "CHAIN NOT WHOLE" in done.out


def test_a_sealed_entry_that_changed_is_a_mistake_everywhere(command: Command, target: Path) -> None:
    project = target.parents[1]
    path = project / "record/01-entry.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("A Fitter", "B Fitter"), encoding="utf-8")
    for verb in ("seal", "check", "build"):
        done = command(verb, project)
        assert done.code == 2
        assert "01-entry.yaml:1:1: this entry has changed since seal 1 closed it on 2026-12-04" in done.err


def photo(path: Path, colour: str) -> None:
    path.parent.mkdir(exist_ok=True)
    Image.new("RGB", (40, 30), colour).save(path)


@pytest.mark.slow
def test_a_photo_that_a_seal_holds_never_changes(command: Command, project: Path, first: dict[str, Any]) -> None:
    path = project / "record/photos/box.png"
    photo(path, "teal")
    write_entry(project, 1, {**first, "photos": [{"file": "box.png", "title": "The box", "invented": "yes"}]})
    one = sealed(command, project)
    facts = json.loads((one / "data/seal.json").read_text(encoding="utf-8"))
    kept = (one / "data/project/record/photos/box.png").read_bytes()
    original = bag.sum_of(path.read_bytes())
    assert facts["photos"] == [{"file": "box.png", "original_sha256": original, "sha256": bag.sum_of(kept)}]
    assert path.read_bytes().startswith(b"\x89PNG")
    assert kept.startswith(b"\xff\xd8\xff")
    write_entry(project, 2, later("visit"))
    photo(path, "red")
    done = command("seal", project, *PLAIN)
    assert done.code == 2
    assert "box.png:1:1: this photo has changed since seal 1 closed its entry on 2026-12-04" in done.err
    path.write_bytes(kept)  # the project was lost and taken out of the archive
    two = sealed(command, project)
    assert command("verify", two, "--recompute").code == 0
    two.rename(two.with_name("renamed"))
    assert f"it was sealed under the name {two.name}" in command("verify", two.with_name("renamed")).out


def test_dangers_are_sealed_only_as_do_not_energise(command: Command, project: Path, first: dict[str, Any]) -> None:
    write_entry(project, 1, {**first, **DANGER})
    done = command("seal", project, *PLAIN)
    assert done.code == 1
    assert "The vent is taped over" in done.err
    assert "nothing was sealed" in done.err
    assert not (project / "sealed").exists()
    assert not (project / "record/seals.txt").exists()
    target = sealed(command, project, "--do-not-energise")
    assert target.name == "frostbit-fr-2026-11-seal-1-DO-NOT-ENERGISE"
    assert "Seal-State: DO NOT ENERGISE\n" in (target / "bag-info.txt").read_text(encoding="utf-8")
    assert (target / "data/READ-ME-FIRST.txt").read_text(encoding="utf-8").startswith("DO NOT ENERGISE\n")
    done = command("verify", target, "--recompute")
    assert done.code == 0, done.out
    assert done.out.startswith("DO NOT ENERGISE: ")


@pytest.mark.slow
def test_a_vessel_can_be_condemned_where_nothing_else_speaks_against_it(command: Command, project: Path) -> None:
    one = sealed(command, project)
    two = sealed(command, project, "--do-not-energise")
    assert two.name == "frostbit-fr-2026-11-seal-2-DO-NOT-ENERGISE"
    kinds = [
        [h["kind"] for h in json.loads((t / "data/results.json").read_text(encoding="utf-8"))["record"]["hindrances"]]
        for t in (one, two)
    ]
    assert kinds == [[], ["condemned"]]
    assert command("verify", two, "--recompute").code == 0


@pytest.mark.slow
def test_a_signature_tells_its_author(command: Command, project: Path, key: Path, tmp_path: Path) -> None:
    target = sealed(command, project, "--key", key)
    public = key.with_suffix(".pub").read_text().strip()
    (tmp_path / "signers").write_text(f"the-yard {public}\n")
    done = command("verify", target)
    assert done.code == 0
    assert done.out.startswith("intact, author unproven")
    assert "signed with the key SHA256:" in done.out
    done = command("verify", target, "--signers", tmp_path / "signers")
    assert done.code == 0
    assert done.out.startswith("intact, signed by the-yard")
    (tmp_path / "signers").write_text(f'the-yard namespaces="other" {public}\nnonsense\n')
    done = command("verify", target, "--signers", tmp_path / "signers")
    assert done.code == 5
    assert "signers:2: is not names" in done.err
    ask = ["ssh-keygen", "-Y", "check-novalidate", "-n", "proposal-record", "-s", str(target / bag.SIGNATURE)]
    with (target / bag.TAG_MANIFEST).open("rb") as message:
        assert subprocess.run(ask, stdin=message, check=False, capture_output=True).returncode == 0
    unsigned = sealed(command, project, "--out", tmp_path / "unsigned")
    done = command("verify", unsigned, "--signers", tmp_path / "signers")
    assert done.code == 5
    assert done.out.startswith("intact, author unproven")


def test_a_key_that_cannot_be_used_is_a_mistake_of_the_command(command: Command, project: Path, tmp_path: Path) -> None:
    (tmp_path / "key").write_text("nonsense")
    for name, says in ((tmp_path / "key", "no private key"), (tmp_path / "none", "cannot be read")):
        done = command("seal", project, "--key", name)
        assert done.code == 3
        assert says in done.err
    assert not (project / "record/seals.txt").exists()


def test_a_project_without_a_record_is_told_how_to_begin_one(command: Command, project: Path) -> None:
    shutil.rmtree(project / "record")
    done = command("seal", project)
    assert done.code == 3
    assert "has no record" in done.err
    assert f"`proposal record {project}` begins one" in done.err


def test_an_archive_that_changed_is_not_intact(command: Command, target: Path) -> None:
    path = target / "data/project/prices.yaml"
    path.write_bytes(path.read_bytes().replace(b"1", b"2", 1))
    done = command("verify", target, "--recompute")
    assert done.code == 5
    assert done.out.splitlines()[1:] == ["  data/project/prices.yaml has changed"]
    told = json.loads(command("verify", target, "--json").out)
    assert (told["intact"], told["proven"], told["sum"]) == (False, False, None)


def remade(target: Path, name: str, old: str, new: str) -> None:
    """Change a file of an archive and remake all its lists, as somebody would who covers a trace."""
    path = target / name
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    payload = {n.removeprefix("data/"): d for n, d in tree(target).items() if n.startswith("data/")}
    info = bag.parse_info((target / bag.INFO).read_bytes())
    assert info is not None
    for file, data in bag.bag(payload, info).items():
        (target / file).write_bytes(data)


def test_figures_that_do_not_follow_from_the_project_are_told(command: Command, target: Path) -> None:
    remade(target, "data/results.json", '"area_mm2": ', '"area_mm2": 1')
    assert command("verify", target).code == 0
    done = command("verify", target, "--recompute")
    assert done.code == 5
    assert "option indoors: conductors: 1" in done.out
    assert ".area_mm2: 1" in done.out
    assert "the same versions: this is a fault of the tool, or of another kind of machine" in done.out


def test_a_version_that_differs_is_the_cause(command: Command, target: Path) -> None:
    remade(target, "data/results.json", '"area_mm2": ', '"area_mm2": 1')
    remade(target, "data/seal.json", '"numpy": "', '"numpy": "1.')
    done = command("verify", target, "--recompute")
    assert done.code == 0
    assert "1 of " in done.out
    assert "because of: numpy 1." in done.out


@pytest.mark.slow
def test_days_are_left_out_where_they_were_or_where_asked(command: Command, project: Path) -> None:
    target = sealed(command, project)
    done = command("verify", target, "--recompute")
    assert done.code == 0
    assert "rests on the days" not in done.out
    write_entry(project, 2, later("visit"))
    done = command("seal", project, "--without-pages", "--quiet")
    target = project / "sealed" / "frostbit-fr-2026-11-seal-2"
    done = command("verify", target, "--recompute", "--without-days")
    assert done.code == 0, done.out
    assert "not compared, for it rests on the days: acceptances, behaviour" in done.out


def test_results_of_a_form_that_is_not_known_cannot_be_compared(command: Command, target: Path) -> None:
    remade(target, "data/results.json", '"results_version": ', '"results_version": 9')
    done = command("verify", target, "--recompute")
    assert done.code == 5
    assert "computed anew: NOT POSSIBLE: results_version 9" in done.out


@pytest.mark.slow
@pytest.mark.usefixtures("bare_site")
def test_pages_and_pdf_are_sealed_with_it(command: Command, project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    given: list[Any] = []

    def render(book: Any, _drawings: Any, _images: Any, attached: Any) -> bytes:
        given.append((book, attached))
        return b"%PDF-1.7\n"

    monkeypatch.setattr(proposal.publish.pdf_archive, "render_archive_pdf", render)
    monkeypatch.setattr("proposal.archive.pages.render_archive_pdf", render)
    monkeypatch.setattr("proposal.archive.pages.aboard_files", lambda *_, **__: {"aboard/card.pdf": b"%PDF-1.7\n"})
    monkeypatch.setattr("proposal.archive.pages.render_site", proposal.publish.site.render_site)
    done = command("seal", project, "--do-not-energise", "--without-days", "--quiet")
    assert done.code == 0, done.err
    (target,) = (project / "sealed").iterdir()
    files = tree(target)
    assert files["data/record.pdf"] == b"%PDF-1.7\n"
    assert {"data/site/index.html", "data/site/aboard/card.pdf"} < set(files)
    assert files["data/site/results.json"] == files["data/results.json"]
    (book, attached) = given[0]
    assert book.cover.warning.startswith("DO NOT ENERGISE")
    assert {one.name for one in attached} == {"spec.yaml", "designations.txt", "results.json", "01-entry.yaml"}
    shutil.rmtree(target)
    done = command("seal", project, "--do-not-energise", "--without-days", "--quiet")
    assert done.code == 0
    assert tree(target) == files


def test_a_disk_that_is_full_is_told_and_nothing_is_left(
    command: Command, project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = tree(project)

    def full(*_: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("proposal.files._fill", full)
    done = command("seal", project, *PLAIN)
    assert done.code == 4
    assert "the disk is full" in done.err
    assert tree(project) == before


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes there")
@pytest.mark.parametrize("name", ["record/seals.txt", "designations.txt", "../installer.yaml", "../prices.yaml"])
def test_a_pipe_in_place_of_a_file_is_not_waited_for(command: Command, project: Path, name: str) -> None:
    path = project / name
    path.unlink(missing_ok=True)
    os.mkfifo(path)
    done = command("seal", project, *PLAIN)
    assert done.code == 4
    assert "it is no plain file" in done.err
    assert not (project / "sealed").exists()


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no such device there")
def test_a_key_or_signers_without_end_are_refused(command: Command, target: Path) -> None:
    done = command("seal", target.parents[1], *PLAIN, "--key", "/dev/zero")
    assert (done.code, "is too large" in done.err) == (3, True)
    done = command("verify", target, "--signers", "/dev/zero")
    assert (done.code, "is too large" in done.err) == (3, True)
