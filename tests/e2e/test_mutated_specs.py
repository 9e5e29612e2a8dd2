"""500 spoilt specs: each ends in a clear error or a result, never in a traceback, never in half an output."""

from __future__ import annotations

import datetime
import json
import random
import re
import shutil
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import lxml.etree
import pytest

import proposal.publish.pdf
from proposal.book.blocks import Book
from proposal.cli.main import main
from proposal.cli.new import spec_text
from proposal.files import MARKER
from tests.e2e.mutate import mutate
from tests.generate import PROJECTS
from tests.stand_in_days import made_up_days

pytestmark = pytest.mark.slow

SPECS = 500
BATCHES = 10
PROBLEM = re.compile(r"^\S*?(?:spec|installer|prices)\.yaml:[1-9]\d*:[1-9]\d*: \S", re.M)
SUMMARY = re.compile(r"^(\d+) problems?; nothing was written$", re.M)


def originals() -> tuple[str, ...]:
    """The two demonstration specs, and what `proposal new` writes."""
    marram, skarn = ((PROJECTS / name / "spec.yaml").read_text(encoding="utf-8") for name in ("marram", "skarn"))
    return marram, skarn, spec_text("sea-otter", datetime.date(2026, 11, 20))


def spoilt(seed: int) -> str:
    """The spec of a seed: one of the originals, spoilt."""
    texts = originals()
    return mutate(random.Random(seed), texts[seed % len(texts)])  # noqa: S311 - test data


@pytest.fixture(autouse=True)
def days_at_once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with made_up_days(tmp_path_factory.mktemp("cache")):
        yield


@pytest.fixture
def project(tmp_path: Path) -> Path:
    for shared in ("installer.yaml", "prices.yaml"):
        shutil.copy(PROJECTS / shared, tmp_path)
    folder = tmp_path / "vessel"
    folder.mkdir()
    return folder


@pytest.mark.parametrize("batch", range(BATCHES))
def test_a_spoilt_spec_gives_an_error_or_a_result(
    batch: int, project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ends: Counter[int] = Counter()
    for seed in range(batch, SPECS, BATCHES):
        text = spoilt(seed)
        (project / "spec.yaml").write_bytes(text.encode("utf-8", "surrogatepass"))
        as_json = seed % 4 < 2
        try:
            code = main(["check", str(project), *(["--json"] if as_json else [])])
        except Exception as error:
            raise AssertionError(f"seed {seed}: {type(error).__name__}: {error}") from error
        said = capsys.readouterr()
        ends[code] += 1
        assert code in (0, 1, 2), f"seed {seed} ended with {code}: {said.err}"
        assert "Traceback" not in said.err, f"seed {seed}"
        if code == 2:
            problems = PROBLEM.findall(said.err)
            summary = SUMMARY.search(said.err)
            assert problems, f"seed {seed}: {said.err}"
            assert summary is not None
            assert int(summary[1]) == len(said.err.splitlines()) - 1 == len(problems), f"seed {seed}: {said.err}"
            assert said.out == "", f"seed {seed}"
        elif as_json:
            assert len(json.loads(said.out)["options"]) >= 2, f"seed {seed}"
        else:
            assert "items looked at" in said.out, f"seed {seed}"
        assert [path.name for path in project.iterdir()] == ["spec.yaml"], f"seed {seed}"
    # A test of nothing but errors, or of nothing but results, would be none.
    assert min(ends[2], ends[0] + ends[1]) >= 8, ends


BUILT = 15
LOOSE = re.compile(rb"\{\{|\{%|%\}|Undefined|object at 0x")
"""What a page shows where a template was not filled."""


def test_what_a_spoilt_spec_builds_is_whole_or_nothing(
    project: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    good = originals()[1]
    out = tmp_path / "out"
    # Type-setting takes most of the time: three of the outputs have a real PDF, the others a name for one.
    real, built = proposal.publish.pdf.render_pdf, [0]

    def render(book: Book, drawings: dict[str, bytes], images: dict[str, bytes]) -> bytes:
        built[0] += 1
        return real(book, drawings, images) if built[0] % 4 == 1 else b"%PDF-1.7\n"

    monkeypatch.setattr(proposal.publish.pdf, "render_pdf", render)
    (project / "spec.yaml").write_text(good, encoding="utf-8")
    assert main(["build", str(project), "--out", str(out), "--quiet"]) == 0
    capsys.readouterr()
    ends: Counter[int] = Counter()
    seed = SPECS
    while sum(ends.values()) < BUILT:  # a third of them errors, the others outputs
        seed += 1
        text = spoilt(seed)
        (project / "spec.yaml").write_bytes(text.encode("utf-8", "surrogatepass"))
        before = _files(out)
        code = main(["build", str(project), "--out", str(out), "--quiet"])
        said = capsys.readouterr()
        assert code in (0, 2), f"seed {seed}: {said.err}"
        after = _files(out)
        if code == 2:
            assert after == before, f"seed {seed}"
            assert PROBLEM.search(said.err), f"seed {seed}"
            ends[2] += ends[2] < BUILT // 3
            continue
        ends[0] += 1
        _is_whole(after, seed)
        assert {path.name for path in tmp_path.iterdir()} == {"out", "vessel", "installer.yaml", "prices.yaml"}
    assert ends == {0: BUILT - BUILT // 3, 2: BUILT // 3}


def _files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def _is_whole(files: dict[str, bytes], seed: int) -> None:
    """All pages, each closed and linked; drawings that are well-formed; results that say what was asked."""
    results = json.loads(files["results.json"])
    wanted = {"index.html", "compare.html", "price.html", "cables.html", "findings.html", "cautions.html", "codes.html"}
    wanted |= {"numbers.html", "proposal.pdf", "results.json", MARKER}
    wanted |= {f"option-{'abcdef'[n]}.html" for n in range(len(results["options"]))}
    assert wanted <= files.keys(), f"seed {seed}: {wanted - files.keys()}"
    assert files["proposal.pdf"].startswith(b"%PDF")
    for name, data in files.items():
        if name.endswith(".svg"):
            lxml.etree.fromstring(data)
        if name.endswith(".html"):
            assert data.rstrip().endswith(b"</html>"), f"seed {seed}: {name}"
            assert LOOSE.search(data) is None, f"seed {seed}: {name}"
            for link in re.findall(rb'(?:href|src)="([^"#:]+)(?=["#])', data):
                assert link.decode() in files, f"seed {seed}: {name} leads to {link.decode()}"
