"""The pages of an archive: the as-built book as an offline site and as a PDF that is kept for decades."""

from collections.abc import Callable, Mapping

from proposal.archive.facts import PDF, RESULTS, SITE
from proposal.archive.gather import Gathered
from proposal.book.record import make_record_book
from proposal.book.sheets import draw_all
from proposal.publish.aboard import aboard_files
from proposal.publish.pdf_archive import Attached, render_archive_pdf
from proposal.publish.site import render_site
from proposal.results.computed import LEDGER_FILE
from proposal.results.evaluate import Evaluated
from proposal.spec.loading import SPEC_FILE
from proposal.spec.recorded import RECORD_FOLDER


def record_pages(
    evaluated: Evaluated, gathered: Gathered, results_json: bytes, step: Callable[[], None] = lambda: None
) -> dict[str, bytes]:
    """Site under `site/`, with the folder of what stays aboard, and PDF, by path.

    Card, labels, codes and calendar lie beside the pages; the packs, which are made of the same pages, do not.
    `step` is called as drawing, writing and printing begin.
    Raises MachineError where the type-setting libraries are missing.
    """
    step()
    results = evaluated.results
    drawings = draw_all(results, evaluated.circuits, evaluated.designations)
    shown = {name: photo.published for name, photo in gathered.photos.items()}
    images = {photo.name: photo.data for photo in gathered.photos.values()}
    book = make_record_book(results, sorted(drawings), shown)
    step()
    site = render_site(book, drawings, {RESULTS: results_json}, images=images)
    step()
    pdf = render_archive_pdf(book, drawings, images, attached(gathered, results_json))
    site |= aboard_files(results, book, drawings, images, packs=False)
    return {SITE + name: data for name, data in site.items()} | {PDF: pdf}


def attached(gathered: Gathered, results_json: bytes) -> list[Attached]:
    """What travels inside the PDF: spec, entries, designations, results and photos."""
    files: Mapping[str, bytes] = gathered.files
    found = [
        Attached(SPEC_FILE, files[SPEC_FILE], "spec"),
        Attached(LEDGER_FILE, files[LEDGER_FILE], "designations"),
        Attached(RESULTS, results_json, "results"),
    ]
    found += [
        Attached(entry.file, files[f"{RECORD_FOLDER}/{entry.file}"], "entry") for entry in gathered.record.entries
    ]
    photos = {photo.name: photo for photo in gathered.photos.values()}
    return found + [Attached(name, photo.data, "photo") for name, photo in photos.items()]
