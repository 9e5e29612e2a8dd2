"""Fingerprints of whole results, one for each section of each option: what a change moved, and what it left alone.

`python -m tests.results.recorded` writes `recorded.txt` anew. A fingerprint says that something changed, never that it
was right: that is the business of the tests against tables, pencil, tableau and ngspice.
"""

from __future__ import annotations

import hashlib
import json
import random
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from proposal.results.codec import plain
from proposal.results.evaluate import evaluate
from proposal.spec.loading import load_project
from tests.generate import CELLS, PROJECTS, spec_text

RECORD = Path(__file__).parent / "recorded.txt"
VESSELS = ("marram", "skarn", "frostbit", "dunlin", *(f"{a}_{v}" for n, (a, v) in enumerate(CELLS) if n % 2 == 0))
NOISE = 1e-6
"""Currents, volts and ohms below this are the rounding of a solution; other machines round otherwise."""


def fingerprints(name: str) -> Iterator[tuple[str, str]]:
    """(section, digest) of each option of a demonstration project or of a generated one."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        for file in ("installer.yaml", "prices.yaml"):
            shutil.copy(PROJECTS / file, home / file)
        spec = home / "vessel" / "spec.yaml"
        spec.parent.mkdir()
        spec.write_text(_spec(name), encoding="utf-8")
        results = plain(evaluate(load_project(spec.parent), {}, "a test").results)
    for option in results["options"]:
        for section, value in option.items():
            yield f"{option['id']}.{section}", _digest(value)


def _spec(name: str) -> str:
    if (PROJECTS / name).is_dir():
        return (PROJECTS / name / "spec.yaml").read_text(encoding="utf-8")
    arrangement, _, volts = name.rpartition("_")
    rng = random.Random(f"recorded {name}")  # noqa: S311 - test data
    return spec_text(rng, voltage_v=int(volts), arrangements=(arrangement,), most_loads=8)


def _digest(value: Any) -> str:
    text = json.dumps(_coarse(value), ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def _coarse(value: Any) -> Any:
    """Numbers at five significant digits, noise as zero."""
    if isinstance(value, dict):
        return {key: _coarse(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_coarse(item) for item in value]
    if isinstance(value, float):
        return float(f"{value:.5g}") + 0.0 if abs(value) > NOISE else 0.0
    return value


def recorded() -> dict[str, dict[str, str]]:
    """What the record holds: by vessel, the digest of each section."""
    found: dict[str, dict[str, str]] = {}
    for line in RECORD.read_text(encoding="utf-8").splitlines():
        vessel, section, digest = line.split()
        found.setdefault(vessel, {})[section] = digest
    return found


if __name__ == "__main__":
    lines = [f"{name} {section} {digest}" for name in VESSELS for section, digest in fingerprints(name)]
    RECORD.write_text("\n".join(lines) + "\n", encoding="utf-8")
