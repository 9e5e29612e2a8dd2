"""The chain: seals before one that are at hand are looked at as well."""

import hashlib
from pathlib import Path

import pytest

from proposal.archive.chain import chain, followers, gainsaid
from proposal.archive.examine import examine
from proposal.spec.seals import load_seals
from tests.archive.small import record_in
from tests.archive.test_place import seal


@pytest.fixture
def project(tmp_path: Path) -> Path:
    folder = tmp_path / "wren"
    folder.mkdir()
    for count, zipped in ((1, False), (2, True), (3, False)):
        record_in(folder, count)
        seal(folder, tmp_path / "out", zipped=zipped)
    return folder


def test_all_that_are_at_hand_are_whole(project: Path, tmp_path: Path) -> None:
    links = chain(load_seals(project), [tmp_path / "nowhere", tmp_path / "out"])
    assert [link.found.name if link.found is not None else None for link in links] == [
        "wren-ours-wr-1-seal-1", "wren-ours-wr-1-seal-2.zip", "wren-ours-wr-1-seal-3",
    ]  # fmt: skip
    assert all(link.whole for link in links)


def test_one_that_is_not_at_hand_is_told_and_no_fault(project: Path, tmp_path: Path) -> None:
    (tmp_path / "out" / "wren-ours-wr-1-seal-2.zip").unlink()
    links = chain(load_seals(project), [tmp_path / "out"])
    assert [link.found is None for link in links] == [False, True, False]
    assert all(link.whole for link in links)


def test_one_that_changed_or_is_another_breaks_it(project: Path, tmp_path: Path) -> None:
    first = tmp_path / "out" / "wren-ours-wr-1-seal-1"
    (first / "data/record.pdf").write_bytes(b"%PDF-9.9\n")
    (link, *_) = chain(load_seals(project), [tmp_path / "out"])
    assert [str(fault) for fault in link.faults] == ["wren-ours-wr-1-seal-1: data/record.pdf has changed"]
    other = tmp_path / "other"
    other.mkdir()
    record_in(other)
    seal(other, tmp_path / "elsewhere", revision="B")
    (link, *_) = chain(load_seals(project), [tmp_path / "elsewhere"])
    assert [str(f) for f in link.faults] == [
        "wren-ours-wr-1-seal-1 is not the seal 1 that is named: its sum is another one"
    ]


def test_what_has_its_name_and_is_no_archive_is_a_fault(project: Path, tmp_path: Path) -> None:
    (tmp_path / "odd" / "wren-ours-wr-1-seal-1").mkdir(parents=True)
    (link, *_) = chain(load_seals(project), [tmp_path / "odd"])
    assert not link.whole
    assert "is no sealed record" in str(link.faults[0])


def test_a_photo_that_is_another_now_breaks_it(project: Path, tmp_path: Path) -> None:
    """The sums of the stand-in's only photo: of the original and as sealed."""
    ledger, places = load_seals(project), [tmp_path / "out"]
    as_sealed = hashlib.sha256(b"a photo").hexdigest()
    for same in ("1" * 64, as_sealed):
        assert all(link.whole for link in chain(ledger, places, {"fuse box.jpg": same}))
    for other in ({"fuse box.jpg": "2" * 64}, {}):
        links = chain(ledger, places, other)
        assert not any(link.whole for link in links)
        assert str(links[0].faults[0]) == "wren-ours-wr-1-seal-1 holds another photo fuse box.jpg than there is now"


def test_a_later_seal_that_names_another_sum_gainsays_it(project: Path, tmp_path: Path) -> None:
    """Whoever remakes an old archive, lists and all, is caught by any later one beside it, folder or zip."""
    out = tmp_path / "out"
    (line, *_) = load_seals(project)
    facts = examine(out / "wren-ours-wr-1-seal-1").facts
    assert facts is not None
    assert gainsaid(facts, line.sha256, followers(facts, [out, tmp_path / "nowhere"])) == ()
    (out / "wren-ours-wr-1-seal-9").write_text("no archive")
    (out / "other-seal-1.zip").write_text("no archive")
    assert [str(fault) for fault in gainsaid(facts, "0" * 64, followers(facts, [out]))] == [
        f"wren-ours-wr-1-seal-{name} came after it and names another sum for seal 1" for name in ("2.zip", "3")
    ]
