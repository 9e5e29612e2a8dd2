"""The chain of seals: each names the sum of the one before it, and those that are at hand are looked at as well."""

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from proposal.archive.examine import RECORD, Fault, examine, opened
from proposal.archive.facts import SealFacts, changed_photos
from proposal.archive.zipped import peek
from proposal.errors import ProposalError
from proposal.frozen import frozen
from proposal.spec.seals import LARGEST_SEALS_BYTES, SEALS_FILE, SealLine, parse_seals

MOST_BESIDE = 2000


@frozen
class Link:
    """A seal before the one that is verified, by its line in that one's ledger, and what was found of it.

    `found`: where it lies, None: it is not at hand. It is `whole` where it is intact and the very one that is named.
    """

    line: SealLine
    found: Path | None
    faults: tuple[Fault, ...]

    @property
    def whole(self) -> bool:
        """Whether nothing speaks against it."""
        return not self.faults


def chain(
    ledger: Sequence[SealLine], places: Iterable[Path], photos: Mapping[str, str] | None = None
) -> tuple[Link, ...]:
    """Look for every seal of a ledger in some folders, whose photos must be those of today.

    Parameters: photos, sums of the originals by name, None: they are not compared. Raises nothing: what cannot be read
    is a fault.
    """
    folders = list(places)
    return tuple(_link(line, folders, ledger[: number - 1], photos) for number, line in enumerate(ledger, 1))


def _link(
    line: SealLine, folders: Sequence[Path], before: Sequence[SealLine], photos: Mapping[str, str] | None
) -> Link:
    candidates = [folder / name for folder in folders for name in (line.name, f"{line.name}.zip")]
    found = [path for path in candidates if path.exists()]
    faults: list[Fault] = []
    for path in found:
        try:
            with opened(path) as (root, outer):
                made = examine(root, outer)
        except ProposalError as error:
            faults.append(Fault(path.name, str(error)))
            continue
        faults += [Fault(f"{path.name}: {fault.path}", fault.what) for fault in made.faults]
        if made.intact and made.tag_sum != line.sha256:
            faults.append(Fault(path.name, f"is not the seal {line.number} that is named: its sum is another one"))
        elif made.intact and made.ledger != tuple(before):
            faults.append(Fault(path.name, "names other seals before it"))
        elif made.intact and made.facts is not None and photos is not None:
            changed = changed_photos(made.facts, photos)
            faults += [Fault(path.name, f"holds another photo {file} than there is now") for file in changed]
    return Link(line, found[0] if found else None, tuple(faults))


def followers(facts: SealFacts, places: Iterable[Path]) -> tuple[tuple[str, str], ...]:
    """Archives beside one that say that they came after it, and the sum that each names for it; nothing is proven."""
    found = []
    for path in (path for folder in places for path in sorted(folder.glob("*-seal-*"))[:MOST_BESIDE]):
        text = _ledger_of(path)
        seals, _ = parse_seals(text.decode("utf-8", "replace")) if text is not None else ((), [])
        found += [(path.name, s.sha256) for s in seals if (s.number, s.name) == (facts.number, facts.name)]
    return tuple(found)


def gainsaid(facts: SealFacts, tag_sum: str, later: Iterable[tuple[str, str]]) -> tuple[Fault, ...]:
    """What speaks against an archive: `followers` that name another sum for it."""
    what = f"came after it and names another sum for seal {facts.number}"
    return tuple(Fault(name, what) for name, named in later if named != tag_sum)


def _ledger_of(path: Path) -> bytes | None:
    """The ledger that an archive carries; None: it has none, or is no archive."""
    name = RECORD + SEALS_FILE
    try:
        if path.is_dir():
            inside = path / name
            return inside.read_bytes() if inside.is_file() and inside.stat().st_size <= LARGEST_SEALS_BYTES else None
    except OSError:
        return None
    return peek(path, name, LARGEST_SEALS_BYTES) if path.suffix == ".zip" and path.is_file() else None
