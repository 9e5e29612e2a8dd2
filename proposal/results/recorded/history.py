"""The change log: each entry with what it changed, and what the whole system was found to be after it."""

from collections.abc import Sequence
from dataclasses import replace

from proposal.results.finding_model import Finding, is_open_danger
from proposal.results.model import OptionResult, Results
from proposal.results.record_model import EntryRow, FindingName, SealRow
from proposal.spec.record import Entry
from proposal.spec.recorded import Record


def entry_rows(record: Record, options: Sequence[OptionResult], seals: Sequence[SealRow]) -> tuple[EntryRow, ...]:
    """One row for each entry.

    Parameters: options, the chosen one as proposed and then as it stood after each entry, all evaluated alike; seals,
    in their order: an entry is closed by the first seal that counts as many entries.
    """
    rows = []
    for number, entry in enumerate(record.entries, 1):
        made = entry.value
        before, after = _fired(options[number - 1]), _fired(options[number])
        rows.append(
            EntryRow(
                number=number,
                file=entry.file,
                sha256=entry.sha256,
                seal=next((seal.number for seal in seals if seal.entries_count >= number), None),
                kind=made.kind,
                title=made.title,
                date=made.date.isoformat(),
                by=made.by,
                licence=made.licence,
                notes=made.notes,
                changes=_changes(made),
                new=tuple(name for name in after if name not in before),
                gone=tuple(name for name in before if name not in after),
                dangers_count=sum(is_open_danger(f) for f in options[number].findings),
                readings_count=len(made.measured),
            )
        )
    return tuple(rows)


def _fired(option: OptionResult) -> tuple[FindingName, ...]:
    fired: tuple[Finding, ...] = tuple(f for f in option.findings if f.outcome == "fires")
    return tuple(dict.fromkeys(FindingName(f.id, f.item, f.severity) for f in fired))


def _changes(entry: Entry) -> tuple[str, ...]:
    """Paths and items that an entry touches; the hand-over names all of them, so only what came out otherwise."""
    fitted = (key for key, item in entry.fitted.items() if entry.kind != "hand_over" or item.because)
    return tuple(dict.fromkeys([*(change.at for change in entry.changes), *fitted]))


def closed_by(results: Results, seal: SealRow) -> Results:
    """The same results as the seal that closes all of their entries carries them."""
    record = results.record
    if record is None:
        raise ValueError("results without a record are not sealed")
    entries = tuple(e if e.seal is not None else replace(e, seal=seal.number) for e in record.entries)
    return replace(results, record=replace(record, entries=entries, seals=(*record.seals, seal)))
