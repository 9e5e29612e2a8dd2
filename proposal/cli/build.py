"""`proposal build`: publish the offline site and the PDF. Everything is computed before anything is written."""

import argparse
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from proposal.cli.switches import days_switch, stage_switch

if TYPE_CHECKING:
    from proposal.book.blocks import Book
    from proposal.publish.photos import Prepared
    from proposal.results.computed import Computed

OUTPUT = "output"
SITE_INDEX = "index.html"
PDF, RECORD_PDF = "proposal.pdf", "record.pdf"
ABOARD = "aboard"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command takes."""
    parser.add_argument("project", help="project folder, for example projects/marram")
    parser.add_argument("--out", metavar="DIR", default=None, help="where to publish (default: output/ in the project)")
    parser.add_argument("--quiet", action="store_true", help="no progress, only the result")
    parser.add_argument(
        "--without-packs", action="store_true", help="of a record: leave out the packs for sale, insurer and warranty"
    )
    days_switch(parser)
    stage_switch(parser)


class Progress:
    """Says which step is under way: on a terminal in one line that is written over, otherwise one line a step."""

    STEPS = (
        "reading and calculating", "simulating days", "drawing", "writing the pages", "printing the PDF",
        "moving into place",
    )  # fmt: skip
    DAYS = "simulating days"

    def __init__(self, *, quiet: bool, days: bool = True) -> None:
        self.quiet = quiet
        self.days = days
        self.steps = tuple(step for step in self.STEPS if days or step != self.DAYS)
        self.live = sys.stderr.isatty()
        self.number = 0

    def step(self) -> None:
        """The next step begins."""
        self.number += 1
        if not self.quiet:
            text = f"[{self.number}/{len(self.steps)}] {self.steps[self.number - 1]}"
            print(f"\r\033[K{text}" if self.live else text, end="" if self.live else "\n", file=sys.stderr, flush=True)

    def simulating(self, title: str) -> None:
        """The days of an option are next; with the first one that step begins."""
        if self.steps[self.number - 1] != self.DAYS:
            self.step()
        self.within(title)

    def within(self, what: str) -> None:
        """A part of the present step, shown on a terminal only."""
        if self.live and not self.quiet:
            text = f"[{self.number}/{len(self.steps)}] {self.steps[self.number - 1]}: {what}"
            print(f"\r\033[K{text[:100]}", end="", file=sys.stderr, flush=True)

    def done(self) -> None:
        """Leave the line clean."""
        if self.live and not self.quiet:
            print("\r\033[K", end="", file=sys.stderr, flush=True)


def run(arguments: argparse.Namespace) -> int:
    """Build once and say where things lie; findings do not stop it."""
    progress = Progress(quiet=arguments.quiet, days=not arguments.without_days)
    packs = not arguments.without_packs
    out, missing = publish(arguments.project, arguments.out, progress, as_proposed=arguments.as_proposed, packs=packs)
    print(f"site: {out / SITE_INDEX}")
    if missing is None:
        print(f"PDF:  {out / (PDF if (out / PDF).exists() else RECORD_PDF)}")
        if (out / ABOARD).is_dir():
            print(f"to print and keep aboard: {out / ABOARD}")
        return 0
    print(f"PDF:  not made: {missing}", file=sys.stderr)
    return 4


def publish(
    argument: str, out: str | None, progress: Progress, *, as_proposed: bool = False, packs: bool = True
) -> tuple[Path, str | None]:
    """Compute, draw, render and write one project, with days where the progress has that step.

    Returns the folder and, where the PDF could not be made, why (the site is published all the same).
    Raises ProposalError.
    """
    try:
        return _publish(argument, out, progress, as_proposed=as_proposed, packs=packs)
    finally:
        progress.done()


def _publish(
    argument: str, out: str | None, progress: Progress, *, as_proposed: bool, packs: bool
) -> tuple[Path, str | None]:
    progress.step()
    from proposal.cli.days import days_of
    from proposal.cli.project import compute, keep_designations
    from proposal.errors import MachineError
    from proposal.files import write_tree
    from proposal.results.codec import to_json

    days = days_of(progress.simulating) if progress.days else None
    made = compute(argument, days=days, as_proposed=as_proposed)
    results = made.evaluated.results
    progress.step()
    from proposal.book.book import make_book
    from proposal.book.record import make_record_book
    from proposal.book.sheets import draw_all

    drawings = draw_all(results, made.evaluated.circuits, made.evaluated.designations)
    photos = _photos(made)
    shown = {name: photo.published for name, photo in photos.items()}
    images = {photo.name: photo.data for photo in photos.values()}
    names = sorted(drawings)
    book = make_book(results, names) if results.record is None else make_record_book(results, names, shown)
    progress.step()
    from proposal.publish.site import render_site

    extra = {"results.json": to_json(results).encode()}
    files = render_site(book, drawings, extra, images=images, progress=progress.within)
    progress.step()
    missing = None
    try:
        from proposal.publish.pdf import render_pdf

        files[PDF if results.record is None else RECORD_PDF] = render_pdf(book, drawings, images)
        files |= _aboard(made, book, drawings, images, progress, paper=True, packs=packs)
    except MachineError as error:
        missing = str(error)
        files |= _aboard(made, book, drawings, images, progress, paper=False, packs=False)
    progress.step()
    folder = made.project.folder / OUTPUT if out is None else Path(out)
    write_tree(folder, files)
    keep_designations(made)
    return folder, missing


def _aboard(
    made: "Computed",
    book: "Book",
    drawings: Mapping[str, bytes],
    images: Mapping[str, bytes],
    progress: Progress,
    *,
    paper: bool,
    packs: bool,
) -> dict[str, bytes]:
    """What stays aboard beside a record; `paper`: what must be type-set as well, and `packs` of that."""
    if made.record is None:
        return {}
    from proposal.publish.aboard import aboard_files

    results = made.evaluated.results
    return aboard_files(results, book, drawings, images, paper=paper, packs=packs, progress=progress.within)


def _photos(made: "Computed") -> "dict[str, Prepared]":
    """The photos of a record, ready to be shown, by the names of their files. Raises SpecError."""
    if made.record is None:
        return {}
    from proposal.publish.photos import prepare_all

    return prepare_all(made.record)
