"""Whole proposals, published once for all tests of this folder, whichever worker asks first."""

from __future__ import annotations

import os
import random
import shutil
import time
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path

import pytest

from proposal.cli.main import main
from tests.e2e.hostile import HARMLESS, PAYLOADS, lay_out
from tests.e2e.published import Published
from tests.generate import PROJECTS, spec_text
from tests.stand_in_days import made_up_days

PAIRS = {
    "one_bank+house_and_starter": 12,
    "lead_and_lithium+lead_and_lithium_with_starter": 24,
    "lithium_with_dc_dc+composed": 48,
}
"""Two arrangements in one proposal, and the system voltage: all six arrangements and all three voltages."""
SIMULATED = "marram with its days"
"""All others have days that are made up, with everything in them that there can be, at once."""
PROPOSALS = ("marram", SIMULATED, "skarn", *PAIRS)
SPOILT = {"hostile": PAYLOADS, "harmless": (HARMLESS,)}
"""Texts that stand in every field of free text."""
LONGEST_WAIT_S = 900.0


def project(folder: Path, name: str) -> Path:
    """Lay out a project in `folder`, installer and price book beside it; returns the project's folder."""
    if name in SPOILT:
        return lay_out(folder, SPOILT[name])[0]
    folder.mkdir(parents=True, exist_ok=True)
    for shared in ("installer.yaml", "prices.yaml"):
        shutil.copy(PROJECTS / shared, folder)
    own = folder / "vessel"
    own.mkdir()
    if name in PAIRS:
        draws = random.Random(f"e2e {name}")  # noqa: S311 - test data
        text = spec_text(draws, arrangements=tuple(name.split("+")), voltage_v=PAIRS[name], most_loads=3)
        (own / "spec.yaml").write_text(text, encoding="utf-8")
    else:
        shutil.copy(PROJECTS / ("marram" if name == SIMULATED else name) / "spec.yaml", own)
    return own


@pytest.fixture(scope="session")
def published(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Published]:
    """The published proposal of a name; built once per test run, also when several workers want it."""
    here = tmp_path_factory.getbasetemp()
    home = (here.parent if "PYTEST_XDIST_WORKER" in os.environ else here) / "published"
    home.mkdir(exist_ok=True)
    known: dict[str, Published] = {}

    def get(name: str) -> Published:
        if name not in known:
            known[name] = Published(_built_once(home / name, name))
        return known[name]

    return get


def days_for(name: str, place: Path) -> AbstractContextManager[None]:
    """Which days a proposal gets while it is built."""
    return nullcontext() if name == SIMULATED else made_up_days(place / "cache")


def _built_once(place: Path, name: str) -> Path:
    """Build, or wait for the worker that is building; returns the output folder."""
    done, failed, out = place.with_suffix(".done"), place.with_suffix(".failed"), place / "out"
    try:
        place.mkdir()
    except FileExistsError:
        end = time.monotonic() + LONGEST_WAIT_S
        while not done.exists():
            assert not failed.exists(), f"another worker could not build {name}"
            assert time.monotonic() < end, f"nobody finished {name}"
            time.sleep(0.2)
        return out
    try:
        with pytest.MonkeyPatch.context() as patch, days_for(name, place):
            if name == "harmless":  # a pattern for the pages of the hostile one
                patch.setattr("proposal.publish.pdf.render_pdf", lambda *_: b"%PDF-1.7\n")
            assert main(["build", str(project(place, name)), "--out", str(out), "--quiet"]) == 0
        done.touch()
    finally:
        if not done.exists():
            failed.touch()
    return out
