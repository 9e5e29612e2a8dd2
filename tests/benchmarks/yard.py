"""What a yard costs: from scratch, with nothing changed, with one vessel changed. Run by hand:

`python -m tests.benchmarks.yard --vessels 1000` makes that many generated vessels, every fifth with a record, in a
folder of its own, and prints each step in seconds of the clock and of the processors of all processes.
"""

from __future__ import annotations

import argparse
import contextlib
import ctypes
import json
import os
import random
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from tests.generate import PROJECTS, spec_text

TODAY = "2026-11-26"
HAND_OVER = """\
entry_version: "1"
kind: hand_over
title: Handed over
date: 2026-06-01
by: Somebody
option: way_a
"""


@dataclass(frozen=True)
class Step:
    """What one run cost."""

    clock_s: float
    processor_s: float
    said: str


def make_yard(home: Path, count: int, *, distinct: int | None = None) -> None:
    """That many vessels in folders, with one installer and one price book above them; `distinct`: so many differ."""
    home.mkdir(parents=True, exist_ok=True)
    for name in ("installer.yaml", "prices.yaml"):
        shutil.copy(PROJECTS / name, home)
    for number in range(count):
        folder = home / f"vessel-{number:04d}"
        folder.mkdir()
        seed = number % (distinct or count)
        drawn = random.Random(seed)  # noqa: S311 - no secret
        text = spec_text(drawn).replace("name: Something", f"name: Vessel {seed:04d}")
        (folder / "spec.yaml").write_text(text, encoding="utf-8")
        if seed % 5 == 0:
            (folder / "record").mkdir()
            (folder / "record" / "01-hand-over.yaml").write_text(HAND_OVER, encoding="utf-8")


def run(cache: Path, *arguments: str) -> Step:
    """One run of the command in a process of its own, with the processor time of all that it started."""
    environment = {**os.environ, "PROPOSAL_CACHE": str(cache)}
    command = [sys.executable, "-c", "from proposal.cli.main import run; run()"]
    before = _spent_s()
    begun = time.perf_counter()
    ended = subprocess.run([*command, *arguments], env=environment, check=True, capture_output=True, text=True)
    clock_s = time.perf_counter() - begun
    with contextlib.suppress(ChildProcessError):
        while True:  # the server of processes outlives the run by a moment
            os.wait()
    return Step(clock_s, _spent_s() - before, ended.stdout.strip())


def _spent_s() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def adopt_orphans() -> None:
    """Let this process wait for what its children leave behind, so that its processor time counts (Linux)."""
    set_child_subreaper = 36
    ctypes.CDLL(None).prctl(set_child_subreaper, 1, 0, 0, 0)


def change_one(home: Path, number: int) -> None:
    """Another length in one vessel."""
    spec = home / f"vessel-{number:04d}" / "spec.yaml"
    text = spec.read_text(encoding="utf-8")
    spec.write_text(text.replace("name: Vessel", "name: Changed vessel", 1), encoding="utf-8")


def measured(home: Path, cache: Path, *extra: str) -> dict[str, Step]:
    """The steps of a yard, and one full build to hold them against."""
    yard = ("yard", str(home), "--today", TODAY, "--quiet", *extra)
    steps = {"from scratch": run(cache, *yard)}
    time.sleep(2.5)
    run(cache, *yard)  # whatever was too young to be trusted is looked at once more
    steps["nothing changed"] = run(cache, *yard)
    change_one(home, 1)
    steps["one changed"] = run(cache, *yard)
    shutil.rmtree(home / "yard")
    steps["only the pages anew"] = run(cache, *yard)
    steps["one build, no days"] = run(cache, "build", str(home / "vessel-0001"), "--without-days", "--quiet")
    return steps


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--vessels", type=int, default=1000)
    parser.add_argument("--half", action="store_true", help="half as many first, to see how the cost grows")
    parser.add_argument("--distinct", type=int, default=None, help="so many differ: what all cost but computing them")
    parser.add_argument("--jobs", default=None)
    chosen = parser.parse_args()
    adopt_orphans()
    counts = [chosen.vessels // 2, chosen.vessels] if chosen.half else [chosen.vessels]
    extra = ["--jobs", chosen.jobs] if chosen.jobs else []
    for count in counts:
        with tempfile.TemporaryDirectory(prefix="yard-") as scratch:
            home, cache = Path(scratch) / "vessels", Path(scratch) / "cache"
            make_yard(home, count, distinct=chosen.distinct)
            steps = measured(home, cache, *extra)
            size = sum(path.stat().st_size for path in (home / "yard").rglob("*") if path.is_file())
            statuses: dict[str, int] = {}
            for vessel in json.loads((home / "yard" / "yard.json").read_text(encoding="utf-8"))["vessels"]:
                status = vessel["row"]["status"]
                statuses[status] = statuses.get(status, 0) + 1
        print(f"{count} vessels {statuses}, {size / 1e6:.1f} MB published")
        for name, step in steps.items():
            said = step.said.splitlines()[0].rpartition("(")[2]
            print(f"  {name:20} {step.clock_s:8.2f} s, {step.processor_s:.2f} s of processors; {said}", flush=True)
        most_s = 0.1 * steps["one build, no days"].clock_s + 0.003 * count
        print(f"  promised for nothing changed: {most_s:.2f} s")


if __name__ == "__main__":
    main()
