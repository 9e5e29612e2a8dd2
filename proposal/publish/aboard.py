"""What stays aboard beside the record: card, codes, labels, calendar and packs, as files."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from proposal.book.blocks import Book
from proposal.book.packs import make_packs
from proposal.book.pages.aboard import FOLDER
from proposal.book.pages.emergency import EMERGENCY_CODE, RECORD_CODE
from proposal.publish import pdf
from proposal.publish.calendar import calendar_file
from proposal.publish.card import card_pdf
from proposal.publish.labels_sheet import labels_pdf
from proposal.publish.proof import NO_IMAGES
from proposal.results.model import Results

CALENDAR: Final = "maintenance.ics"
CARD: Final = "emergency-card.pdf"
LABELS: Final = "labels.pdf"


def aboard_files(
    results: Results,
    book: Book,
    drawings: Mapping[str, bytes],
    images: Mapping[str, bytes] = NO_IMAGES,
    *,
    paper: bool = True,
    packs: bool = True,
    progress: Callable[[str], None] = lambda _name: None,
) -> dict[str, bytes]:
    """Return the files of the folder ``aboard`` by their paths; none for results without a record.

    ``book`` is the record's, ``drawings`` and ``images`` what it shows, the codes among the drawings. Without ``paper``
    nothing is type-set: codes and calendar alone. Without ``packs`` the three packs, which take the longest, are left
    out. ``progress`` is called with the name of each sheet as it is set. The same input gives the same bytes. Raises as
    ``render_pdf``.
    """
    if results.record is None:
        return {}
    files = {name: drawings[name] for name in (EMERGENCY_CODE, RECORD_CODE) if name in drawings}
    files[CALENDAR] = calendar_file(results)
    if paper:
        progress(CARD)
        files[CARD] = card_pdf(book, drawings)
        progress(LABELS)
        files[LABELS] = labels_pdf(results, drawings)
        for kind, pack in make_packs(results, book).items() if packs else ():
            progress(f"{kind}.pdf")
            files[f"{kind}.pdf"] = pdf.render_pdf(pack, drawings, images)
    return {f"{FOLDER}/{name}": data for name, data in sorted(files.items())}
