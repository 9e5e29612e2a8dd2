"""A project given as its files is evaluated, and made into all files of an archive; `--recompute` begins here too."""

import importlib.metadata
import platform
import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import proposal
from proposal.archive.facts import SealFacts, State
from proposal.archive.gather import Gathered, facts_of, sealed_files
from proposal.errors import MachineError
from proposal.files import place_tree
from proposal.frozen import frozen
from proposal.results.codec import to_json
from proposal.results.computed import LIBRARIES, computed
from proposal.results.evaluate import Evaluated
from proposal.results.model import RESULTS_VERSION, Results
from proposal.results.record_model import SealRow
from proposal.results.recorded.hindrances import condemned
from proposal.results.recorded.history import closed_by
from proposal.results.store import DaysOf
from proposal.spec.project import SPEC_VERSION
from proposal.spec.record import ENTRY_VERSION
from proposal.spec.seals import SealLine


@frozen
class Made:
    """What an archive is made of, besides its results and its place in the chain."""

    gathered: Gathered
    state: State
    versions: Mapping[str, str]
    content_sha256: str
    days: bool
    pages: bool
    signer: str | None
    key: Any


def made_with(results: Results | None) -> dict[str, str]:
    """Versions of all that results depend on: the tool, its formats, what computes, and the rules of the results."""
    vessel = results.vessel if results is not None else None
    return {
        "proposal": proposal.__version__,
        "results_version": str(RESULTS_VERSION),
        "spec_version": SPEC_VERSION,
        "entry_version": ENTRY_VERSION,
        **({"rule_family": vessel.rule_family, "rule_edition": vessel.rule_edition} if vessel is not None else {}),
        "python": platform.python_version(),
        **{name: importlib.metadata.version(name) for name in LIBRARIES},
    }


def recomputed(project: Mapping[str, bytes], days: DaysOf | None) -> Evaluated:
    """Evaluate a project given as its files, as it would be read from an archive. Raises SpecError, MachineError."""
    try:
        with tempfile.TemporaryDirectory(prefix="proposal-seal-") as home:
            folder = Path(home) / "project"
            place_tree(folder, project)
            return computed(folder, days=days).evaluated
    except OSError as error:
        raise MachineError(
            f"cannot work in the folder of temporary files: {error.strerror}", "free some space"
        ) from error


def as_sealed(evaluated: Evaluated, seal: SealRow, state: State) -> Evaluated:
    """What was evaluated, as the seal that closes it carries it."""
    results = closed_by(evaluated.results, seal)
    return replace(evaluated, results=condemned(results) if state == "do_not_energise" else results)


def row_of(facts: SealFacts) -> SealRow:
    """The seal as a row of its own results, which cannot hold its sum."""
    return SealRow(facts.number, facts.date, facts.name, "", len(facts.entries))


def make(
    made: Made, evaluated: Evaluated, seals: Sequence[SealLine], step: Callable[[], None] = lambda: None
) -> tuple[SealFacts, dict[str, bytes]]:
    """What the seal after ``seals`` says of itself, and all files of its archive. Raises MachineError."""
    facts = facts_of(
        evaluated.results,
        made.gathered,
        seals,
        made.state,
        made.versions,
        made.content_sha256,
        pages=made.pages,
        days=made.days,
        signed_with=made.signer,
    )
    sealed = as_sealed(evaluated, row_of(facts), made.state)
    results_json = to_json(sealed.results).encode()
    pages: dict[str, bytes] = {}
    if made.pages:
        from proposal.archive.pages import record_pages  # noqa: PLC0415 - heavy

        pages = record_pages(sealed, made.gathered, results_json, step)
    return facts, sealed_files(facts, made.gathered.project(seals), results_json, pages, made.key)
