"""What the days cost: a build with them against one without, when the store has them and when it has not.

"cold" is what a changed option costs: nothing kept of it, the simulation's code compiled by an earlier run. "first" is
the first run after an installation, the compilation of that code included.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path

from tests.benchmarks.timing import Pair

LARGEST_RATIO = 2.5
"""Promised of a build whose days are kept, against one without them."""
COLD = (
    "import os, sys, tempfile\n"
    "with tempfile.TemporaryDirectory() as empty:\n"
    "    os.environ['PROPOSAL_CACHE'] = empty\n"
    "    from proposal.cli.main import main\n"
    "    code = main(sys.argv[1:])\n"
    "sys.exit(code)\n"
)
"""The program with a store that has nothing."""
FIRST = f"import os; os.environ.pop('NUMBA_CACHE_DIR', None)\n{COLD}"
"""The same, and with no compiled code either."""


def keep_in(folder: Path) -> None:
    """Let everything that is timed keep days and compiled code here, and not with the user."""
    os.environ["PROPOSAL_CACHE"] = str(folder)
    os.environ["NUMBA_CACHE_DIR"] = str(folder / "compiled")


def pairs(program: Sequence[str], project: Path, out: Path, checked: frozenset[int]) -> list[Pair]:
    """With days against without: `check` and `build`, each with a warm store and a cold one."""
    check, build = ("check", str(project)), ("build", str(project), "--out", str(out), "--quiet")
    cold, first = (sys.executable, "-c", COLD), (sys.executable, "-c", FIRST)
    checked_bare, built_bare = (*program, *check, "--without-days"), (*program, *build, "--without-days")
    return [
        Pair("`check`, days kept, against `--without-days`", (*program, *check), checked_bare, None, checked, checked),
        Pair("`check`, days cold, against the same", (*cold, *check), checked_bare, None, checked, checked),
        Pair("`build`, days kept, against `--without-days`", (*program, *build), built_bare, LARGEST_RATIO),
        Pair("`build`, days cold, against the same", (*cold, *build), built_bare, None),
        Pair("`build`, first run of all, against the same", (*first, *build), built_bare, None),
    ]
