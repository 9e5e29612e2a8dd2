"""Seals of earlier releases: opened, verified and computed anew by this one."""

import json
from pathlib import Path

import pytest

import proposal
from proposal.archive.examine import examine, opened
from proposal.cli.main import main
from proposal.spec.seals import DO_NOT_ENERGISE
from tests.archive.keep import KEPT, SIGNER
from tests.archive.small import tree
from tests.archive.test_examine import flips

SEALS = sorted(KEPT.glob("*/*.zip"))


def test_there_are_some_and_none_is_large() -> None:
    assert len(SEALS) >= 2
    assert all(path.stat().st_size < 250_000 for path in SEALS)


@pytest.mark.parametrize("path", SEALS, ids=lambda path: f"{path.parent.name} {path.stem[-30:]}")
def test_a_kept_seal_is_intact_and_gives_the_same_results(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Where figures moved, a version must say why; within one release none moves: else keep it anew."""
    code = main(["verify", str(path), "--signers", str(path.parent / "signers"), "--recompute", "--json"])
    told = json.loads(capsys.readouterr().out)
    assert told["faults"] == []
    assert told["signed_by"] == SIGNER
    assert told["do_not_energise"] == path.stem.endswith(DO_NOT_ENERGISE)
    assert told["chain_whole"]
    assert all(link["found"] for link in told["chain"])
    assert told["recomputed"]["problem"] is None
    if told["seal"]["made_with"]["proposal"] == proposal.__version__:
        assert [m["path"] for m in told["recomputed"]["moved"]] == []
    assert code == 0


@pytest.mark.parametrize("path", SEALS, ids=lambda path: f"{path.parent.name} {path.stem[-30:]}")
def test_no_other_peoples_files_are_kept(path: Path) -> None:
    with opened(path) as (root, faults):
        assert root is not None
        assert faults == ()
        assert not [name for name in tree(root) if "site" in name or name.endswith((".js", ".css", ".ttf", ".woff2"))]


@pytest.mark.slow
def test_no_flipped_bit_of_a_kept_seal_goes_unseen() -> None:
    """A real seal, unpacked: a thousand single bits, by the byte and in the bag's own texts and names."""
    with opened(SEALS[-1]) as (root, _):
        assert root is not None
        assert examine(root).intact
        assert flips(root, 1000, seed=11) == []
