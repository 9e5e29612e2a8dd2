"""Prints ratios and growth, from the repository's top: `python -m tests.benchmarks [--rounds N] [--kernel-only]`."""

from __future__ import annotations

import argparse
import platform
import shutil
import sys
import tempfile
from pathlib import Path

from tests.benchmarks import days, floor, growth, kernel
from tests.benchmarks.timing import Measured, Pair, measure, run, table

ROOT = Path(__file__).parents[2]
PROGRAM = (sys.executable, "-c", "from proposal.cli.main import run; run()")
BARE = (sys.executable, "-c", "import numpy; from pydantic import BaseModel, BeforeValidator, Field")
"""What `check` imports of the two; `import pydantic` alone loads nearly nothing of it."""
# A danger that the demonstration shows is a result, not a failure.
CHECKED = frozenset({0, 1})


def main() -> int:
    """Measure, print the table, and return 1 if a promise does not hold."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--rounds", type=int, default=15, help="rounds that count, a third of them for the build")
    parser.add_argument("--project", type=Path, default=ROOT / "projects" / "marram")
    parser.add_argument("--kernel-only", action="store_true", help="only how fast days are stepped")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="proposal-benchmark-") as scratch:
        print("measuring how fast days are stepped", file=sys.stderr, flush=True)
        days.keep_in(Path(scratch) / "kernel")
        stepped = kernel.measure_kernel(Path(scratch) / "stepped", rounds=max(3, given.rounds // 3))
        if given.kernel_only:
            print(kernel.table(stepped))
            return 0 if stepped.holds else 1
        measured = measure_all(given.project.resolve(), given.rounds, Path(scratch))
        print("measuring growth", file=sys.stderr, flush=True)
        grown = growth.measure_growth(Path(scratch) / "grown", rounds=max(3, given.rounds // 3))
    machine = f"{platform.python_implementation()} {platform.python_version()}, {platform.machine()}"
    print(f"\n{machine}, {given.rounds} rounds\n")
    print(table(measured))
    print(f"\n{growth.table(grown)}")
    print(f"\n{kernel.table(stepped)}")
    return (
        0 if all(one.holds for one in measured) and stepped.holds and grown.exponent <= growth.LARGEST_EXPONENT else 1
    )


def measure_all(project: Path, rounds: int, scratch: Path) -> list[Measured]:
    """Measure on a copy of the projects, as proposed, so that nothing in the repository changes."""
    shutil.copytree(project.parent, scratch / "projects", ignore=shutil.ignore_patterns("output", "record"))
    copy = scratch / "projects" / project.name
    kept, built, again = (scratch / name for name in ("record", "built", "again"))
    days.keep_in(scratch / "cache")  # warm from the record on
    kept.mkdir()
    floor.record(copy, built, kept)
    alone = (sys.executable, str(Path(floor.__file__)), str(kept), str(again))
    run(alone, frozenset({0}), ROOT)
    if wrong := floor.differences(built, again):
        raise RuntimeError(f"the floor does not make the same pages: {', '.join(wrong)}")
    check, build = (*PROGRAM, "check", str(copy)), (*PROGRAM, "build", str(copy), "--out", str(built), "--quiet")
    pairs = [
        Pair("`check` against Python with pydantic and numpy", check, BARE, 3.0, CHECKED),
        Pair("`check --json` against the same", (*check, "--json"), BARE, None, CHECKED),
        Pair("`build` against mkdocs and WeasyPrint on its pages", build, alone, 1.5),
        *days.pairs(PROGRAM, copy, built, CHECKED),
    ]
    measured = []
    for pair in pairs:
        print(f"measuring {pair.name}", file=sys.stderr, flush=True)
        # A build takes seconds where a check takes tenths: fewer rounds say as much.
        measured.append(measure(pair, max(3, rounds // 3) if "build" in pair.ours else rounds, ROOT))
    return measured


if __name__ == "__main__":
    sys.exit(main())
