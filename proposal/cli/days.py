"""What happens over days: simulated once for each option, kept in the user's cache, and left out where asked."""

import os
import sys
from collections.abc import Callable
from pathlib import Path

from proposal.codes.family import RuleFamily
from proposal.design.result import Design
from proposal.files import may_write, private_folder, remove_oldest
from proposal.parts.catalogue import Catalogue
from proposal.results import simulated
from proposal.results.computed import LIBRARIES
from proposal.results.store import DaysOf, FolderShelf, remembered, stamp_of
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.behaviour.result import Behaviour

CACHE, THREADS, COMPILED = "PROPOSAL_CACHE", "PROPOSAL_THREADS", "NUMBA_CACHE_DIR"
MOST_COMPILED, MOST_COMPILED_BYTES = 4, 200_000_000
MOST_THREADS = 8


def days_of(begin: Callable[[str], None] = lambda _: None, option_id: str | None = None) -> DaysOf:
    """What gives the days of an option, from the user's cache or computed.

    `begin` is called with each option's title before its days; `option_id`: of this option alone.
    """
    import importlib.metadata

    import proposal

    folder = cache_folder()
    versions = [f"{name} {importlib.metadata.version(name)}" for name in LIBRARIES]
    stamp = stamp_of(Path(proposal.__file__).parent, [proposal.__version__, *versions], seed=simulated.SEED)

    def compute(spec: EffectiveSpec, design: Design, family: RuleFamily, catalogue: Catalogue) -> Behaviour:
        keep_compiled(folder / "compiled")
        return simulated.simulated(spec, design, family, catalogue, threads=threads())

    kept = remembered(compute, FolderShelf(folder / "days"), stamp)

    def days(spec: EffectiveSpec, design: Design, family: RuleFamily, catalogue: Catalogue) -> Behaviour | None:
        if option_id not in (None, spec.option_id):
            return None
        begin(spec.option.title)
        return kept(spec, design, family, catalogue)

    return days


def cache_folder() -> Path:
    """Where a user keeps what can be computed anew: as PROPOSAL_CACHE says, else where the system has such things."""
    own = os.environ.get(CACHE)
    if own:
        return Path(own)
    home = Path(os.path.expanduser("~"))
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local"
    elif sys.platform == "darwin":
        base = home / "Library" / "Caches"
    else:
        base = os.environ.get("XDG_CACHE_HOME") or home / ".cache"
    return Path(base) / "proposal"


def keep_compiled(folder: Path) -> None:
    """Let compiled code be kept in a folder, or for this run alone where nothing can be written there.

    Never in a folder that other people may write to: what lies there is run.
    """
    if os.environ.get(COMPILED):
        return
    remove_oldest(folder, "*", MOST_COMPILED, MOST_COMPILED_BYTES)
    os.environ[COMPILED] = str(folder if may_write(folder) else private_folder())


def threads() -> int:
    """How many to simulate with: as PROPOSAL_THREADS says, else as many as there are processors, up to eight."""
    said = os.environ.get(THREADS, "")
    if said.isdecimal() and int(said) > 0:
        return min(int(said), MOST_THREADS)
    usable = len(os.sched_getaffinity(0)) if sys.platform == "linux" else os.cpu_count() or 1
    return min(usable, MOST_THREADS)
