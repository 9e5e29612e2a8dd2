"""`proposal record`: write the draft of the next entry of a vessel's record, to be filled in."""

from __future__ import annotations

import argparse
import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from proposal.book.draft import Made
    from proposal.spec.loading import Project
    from proposal.spec.recorded import Record

FIRST_FILE = "01-hand-over.yaml"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command takes."""
    parser.add_argument("project", help="project folder, for example projects/marram")
    parser.add_argument("--option", metavar="ID", default=None, help="the option that was built; for the first entry")
    parser.add_argument("--by", metavar="NAME", default=None, help="who answers for the entry (default: the installer)")
    parser.add_argument("--date", metavar="DATE", default=None, help="day of the entry (default: today)")
    parser.add_argument("--kind", choices=("change", "visit"), default=None, help="of a later one (default: change)")


def run(arguments: argparse.Namespace) -> int:
    """Write one new file into the project's record; nothing that exists is touched."""
    from proposal.cli.project import folder_of
    from proposal.errors import UsageError
    from proposal.files import write_new_file
    from proposal.reading import read_text
    from proposal.spec.loading import load_project
    from proposal.spec.record import Entry
    from proposal.spec.recorded import RECORD_FOLDER, has_record, load_record, load_recorded

    folder = folder_of(arguments.project)
    record = load_record(folder) if has_record(folder) else None
    project = load_project(folder) if record is None else load_recorded(folder, record)
    made = _made(arguments, project, record)
    if record is None:
        if arguments.kind is not None:
            raise UsageError("the first entry is the hand-over; --kind is for later ones")
        name, text = FIRST_FILE, _hand_over(project, arguments.option, made)
    else:
        if arguments.option is not None:
            raise UsageError(f"the first entry chose {record.option_id}; --option is for that entry alone")
        kind = arguments.kind or "change"
        name, text = f"{len(record.entries) + 1:02d}-{kind}.yaml", _later(project, record, kind, made)
    path = folder / RECORD_FOLDER / name
    read_text(text, str(path), Entry)  # what cannot be read again is not written
    write_new_file(path, text.encode())
    print(path)
    print(f"next: fill it in, then proposal check {arguments.project}")
    return 0


def _hand_over(project: Project, option_id: str | None, made: Made) -> str:
    from proposal.book.draft import hand_over
    from proposal.book.opening import context_of
    from proposal.errors import UsageError
    from proposal.results.computed import computed

    options = tuple(project.spec.value.options)
    if option_id not in options:
        said = "" if option_id is None else f"there is no option {option_id!r}; "
        raise UsageError(f"{said}say which option was built: {' or '.join(f'--option {known}' for known in options)}")
    evaluated = computed(project.folder, as_proposed=True).evaluated
    book = context_of(evaluated.results)
    return hand_over(book, option_id, evaluated.circuits[option_id], evaluated.designations, made)


def _later(project: Project, record: Record, kind: str, made: Made) -> str:
    from proposal.book.draft import OpenDefect, later
    from proposal.book.language import Language
    from proposal.results.computed import computed

    entries = [entry.value for entry in record.entries]
    mended = {done.defect for entry in entries for done in entry.mended}
    found = {name: defect for entry in entries for name, defect in entry.defects.items() if name not in mended}
    still = tuple(OpenDefect(name, defect.what) for name, defect in found.items())
    row = computed(project.folder, sheets=False, history=False).evaluated.results.record
    again = tuple(test for test in row.tests if test.outcome != "pass") if row is not None else ()
    language = Language(project.installer.value.locale)
    return later(language, "visit" if kind == "visit" else "change", made, still, again)


def _made(arguments: argparse.Namespace, project: Project, record: Record | None) -> Made:
    """Who makes the entry and when: as asked, else the installer, today, and never before the entry in front of it."""
    from proposal.book.draft import Made
    from proposal.errors import InputError, UsageError
    from proposal.reading.fields import read_day, read_plain_text
    from proposal.reading.tree import HIDDEN

    installer = project.installer.value
    last = record.entries[-1].value.date if record is not None else datetime.date.min
    try:
        by = installer.name if arguments.by is None else read_plain_text(arguments.by)
        if HIDDEN.search(by):
            raise UsageError("--by holds an invisible or control character")
    except InputError as error:
        raise UsageError(f"--by {error.what}; allowed: {error.allowed}") from error
    try:
        day = max(datetime.date.today(), last) if arguments.date is None else read_day(arguments.date)
    except InputError as error:
        raise UsageError(f"--date {error.what}; allowed: {error.allowed}") from error
    if day < last:
        raise UsageError(f"--date {day} is before the entry in front of it, {last}")
    return Made(by, installer.licence, day)
