"""Rows of photos and defects."""

from proposal.results.evaluate import Evaluated
from proposal.results.record_model import DefectRow, PhotoRow
from proposal.results.recorded.fitted import known_items
from proposal.spec.record import Mended
from proposal.spec.recorded import Record, RecordEntry


def photo_rows(record: Record, made: Evaluated) -> tuple[PhotoRow, ...]:
    """The photos of all entries in their order; one that is named twice is shown where it was named last."""
    known = known_items(made)
    (circuit,) = made.circuits.values()
    rows: dict[str, PhotoRow] = {}
    for entry in record.entries:
        for photo in entry.value.photos:
            place = circuit.place[photo.place].title if photo.place in circuit.place else photo.place or ""
            rows.pop(photo.file, None)
            rows[photo.file] = PhotoRow(
                file=photo.file,
                sha256=record.photo_sums[photo.file],
                title=photo.title,
                item=photo.item,
                designation=made.designations.get(photo.item, ""),
                item_title=known.get(photo.item, ("other", ""))[1],
                place=place,
                hidden=photo.hidden,
                invented=photo.invented,
                date=(photo.on or entry.value.date).isoformat(),
                by=photo.by or entry.value.by,
                entry=entry.number,
            )
    return tuple(rows.values())


def defect_rows(record: Record, made: Evaluated) -> tuple[DefectRow, ...]:
    """Defects in the order in which they were found, each with how it was mended, if it was."""
    known = known_items(made)
    mended: dict[str, tuple[RecordEntry, Mended]] = {
        m.defect: (entry, m) for entry in record.entries for m in entry.value.mended
    }
    rows = []
    for entry in record.entries:
        for name, defect in entry.value.defects.items():
            done = mended.get(name)
            rows.append(
                DefectRow(
                    id=name,
                    what=defect.what,
                    item=defect.item,
                    designation=made.designations.get(defect.item, ""),
                    item_title=known.get(defect.item, ("other", ""))[1],
                    severity=defect.severity,
                    found_on=entry.value.date.isoformat(),
                    found_entry=entry.number,
                    mend_by=defect.mend_by.isoformat() if defect.mend_by is not None else "",
                    by=defect.by,
                    mended_on=(done[1].on or done[0].value.date).isoformat() if done is not None else "",
                    mended_how=done[1].how if done is not None else "",
                    mended_by=(done[1].by or done[0].value.by) if done is not None else "",
                    mended_entry=done[0].number if done is not None else None,
                )
            )
    return tuple(rows)
