"""The chain of seals: each names the sum of the one before it, and those that are at hand are looked at as well."""

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from proposal.archive.examine import Examined, Fault, examine, opened
from proposal.archive.facts import changed_photos
from proposal.errors import ProposalError
from proposal.frozen import frozen
from proposal.spec.seals import SealLine


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
                made = examine(root, outer) if root is not None else Examined(outer, "", None, (), None)
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
