"""`proposal seal`: make the archive of a record, which nobody can change unnoticed."""

import argparse
import os
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from proposal.cli.build import Progress
from proposal.cli.switches import days_switch

SEALED = "sealed"
HINDERED, NOT_INTACT = 1, 5
PASSPHRASE = "PROPOSAL_KEY_PASSPHRASE"  # noqa: S105 - the name of a variable
LARGEST_KEY_BYTES = 100_000


class SealProgress(Progress):
    """The steps of a seal: those of a build, without pages where they are left out."""

    def __init__(self, *, quiet: bool, days: bool, pages: bool) -> None:
        super().__init__(quiet=quiet, days=days)
        of_pages = self.STEPS[2:5]
        self.steps = tuple(step for step in self.steps if pages or step not in of_pages)


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command takes."""
    parser.add_argument("project", help="project folder with a record, for example projects/marram")
    parser.add_argument("--out", metavar="DIR", default=None, help="where to (default: sealed/ in the project)")
    parser.add_argument("--zip", action="store_true", help="one zip, with its sum beside it, in place of a folder")
    parser.add_argument(
        "--key", metavar="FILE", default=None, help=f"sign with this OpenSSH private key; its passphrase: {PASSPHRASE}"
    )
    parser.add_argument("--without-pages", action="store_true", help="leave out site and PDF")
    parser.add_argument(
        "--do-not-energise", action="store_true", help="seal it as an installation that must not be switched on"
    )
    parser.add_argument("--quiet", action="store_true", help="no progress, only the result")
    days_switch(parser)


def run(arguments: argparse.Namespace) -> int:
    """Seal once and say where the archive lies; 1 where dangers stand against it and nobody condemned it."""
    progress = SealProgress(quiet=arguments.quiet, days=not arguments.without_days, pages=not arguments.without_pages)
    try:
        return _run(arguments, progress)
    finally:
        progress.done()


def _run(arguments: argparse.Namespace, progress: SealProgress) -> int:
    from proposal.archive.place import recover, sealing
    from proposal.cli.project import folder_of
    from proposal.errors import SpecError, UsageError
    from proposal.spec.recorded import has_record, load_record
    from proposal.spec.seals import closed_complaints, load_seals

    folder = folder_of(arguments.project)
    if not has_record(folder):
        raise UsageError(f"{folder} has no record, and only a record is sealed: `proposal record {folder}` begins one")
    key = read_key(arguments.key) if arguments.key is not None else None
    out = Path(arguments.out) if arguments.out is not None else folder / SEALED
    with sealing(folder):
        record, seals = load_record(folder), load_seals(folder)
        if changed := closed_complaints(record, seals):
            raise SpecError(changed)
        found = recover(folder, out, record, seals)
        if found is not None:
            print(f"seal {found.number} was made by a run that was cut short; its line is in the ledger now")
            seals = (*seals, found)
        return _seal(arguments, folder, out, seals, key, progress)


def _seal(
    arguments: argparse.Namespace, folder: Path, out: Path, seals: Sequence[Any], key: Any, progress: SealProgress
) -> int:
    from proposal.archive.facts import content_sum
    from proposal.archive.gather import gather
    from proposal.archive.make import Made, made_with, make
    from proposal.archive.place import place
    from proposal.archive.sshsig import fingerprint, public_bytes
    from proposal.cli.days import days_of
    from proposal.cli.project import keep_designations
    from proposal.results.computed import computed

    progress.step()
    plain = computed(folder, sheets=False, history=False)
    gathered = gather(plain)
    _compare_photos(folder, out, seals, gathered.record.photo_sums)
    days = days_of(progress.simulating) if progress.days else None
    evaluated = _recomputed(folder, gathered.project(seals), days)
    results = evaluated.results
    hindrances = results.record.hindrances if results.record is not None else ()
    if hindrances and not arguments.do_not_energise:
        progress.done()
        return _refuse(folder, results)
    state: Any = "do_not_energise" if arguments.do_not_energise else "sealed"
    versions = made_with(results)
    signer = fingerprint(public_bytes(key)) if key is not None else None
    pages, with_days = not arguments.without_pages, days is not None
    content = content_sum(gathered.sums, versions, state, days=with_days, pages=pages, signer=signer)
    made = Made(gathered, state, versions, content, days=with_days, pages=pages, signer=signer, key=key)
    if seals and seals[-1].content_sha256 == content:
        return _again(arguments, out, seals, made, days, progress)
    facts, files = make(made, evaluated, seals, progress.step)
    progress.step()
    keep_designations(plain)
    target = place(folder, out, files, facts, zipped=arguments.zip)
    progress.done()
    if seals and seals[-1].entries_count == len(facts.entries):
        before = f"no entry is new since seal {seals[-1].number}"
        print(f"note: {before}; what changed is in spec, prices, this tool or the way of sealing")
    _say(target, facts)
    return 0


def _compare_photos(folder: Path, out: Path, seals: Sequence[Any], now: Mapping[str, str]) -> None:
    """A photo that a seal holds never changes, as far as that seal is at hand. Raises SpecError."""
    from proposal.archive.facts import changed_photos
    from proposal.archive.place import sealed_before
    from proposal.errors import Problem, SpecError
    from proposal.spec.recorded import PHOTO_FOLDER, RECORD_FOLDER

    for last in seals[-1:]:
        for zipped in (False, True):
            found = sealed_before(out, last, zipped=zipped)
            if found is None or not found.intact or found.facts is None or found.tag_sum != last.sha256:
                continue
            home = folder / RECORD_FOLDER / PHOTO_FOLDER
            what = f"this photo has changed since seal {last.number} closed its entry on {last.date.isoformat()}"
            allowed = "bring back the photo as it was sealed, and add a new one in a new entry"
            changed = changed_photos(found.facts, now)
            if changed:
                raise SpecError(Problem(str(home / file), 1, 1, what, allowed) for file in changed)


def _recomputed(folder: Path, project: Mapping[str, bytes], days: Any) -> Any:
    from proposal.archive.make import recomputed
    from proposal.errors import SpecError
    from proposal.results.computed import computed

    try:
        return recomputed(project, days)
    except SpecError:
        computed(folder, sheets=False)  # says the same of the project's own files
        raise


def _again(
    arguments: argparse.Namespace, out: Path, seals: Sequence[Any], made: Any, days: Any, progress: SealProgress
) -> int:
    """Nothing changed since the last seal: no new one; the archive itself is made anew where it is not there."""
    from proposal.archive import bag
    from proposal.archive.make import make, recomputed
    from proposal.archive.place import put, sealed_before, target_in
    from proposal.errors import MachineError

    last = seals[-1]
    target = target_in(out, last.name, zipped=arguments.zip)
    found = sealed_before(out, last, zipped=arguments.zip)
    said = f"nothing changed since seal {last.number} of {last.date.isoformat()}: no new seal is made"
    if found is not None:
        progress.done()
        print(f"{said}\narchive: {target}\nsum:     {last.sha256}")
        wrong = [str(fault) for fault in found.faults]
        if not wrong and found.tag_sum != last.sha256:
            wrong = [f"{target.name} is not the seal that the ledger names: its sum is {found.tag_sum}"]
        for line in wrong:
            print(f"not intact: {line}", file=sys.stderr)
        if wrong:
            print("move it away and seal again: it is then made anew", file=sys.stderr)
        return NOT_INTACT if wrong else 0
    facts, files = make(made, recomputed(made.gathered.project(seals[:-1]), days), seals[:-1], progress.step)
    if bag.sum_of(files[bag.TAG_MANIFEST]) != last.sha256:
        raise MachineError(
            f"seal {last.number} is not in {out}, and made anew it comes out with another sum",
            "look for the archive that was sealed; a new entry in the record makes a new seal",
        )
    progress.step()
    put(target, files)
    progress.done()
    print(said)
    _say(target, facts)
    return 0


def _say(target: Path, facts: Any) -> None:
    from proposal.archive import bag
    from proposal.archive.examine import examine, opened

    with opened(target) as (root, faults):
        found = examine(root, faults)
    if not found.intact:
        wrong = "; ".join(str(fault) for fault in found.faults)
        from proposal.errors import MachineError

        raise MachineError(f"{target} was written and is not intact: {wrong}", "check the disk, then seal again")
    if facts.state == "do_not_energise":
        print("DO NOT ENERGISE")
    print(f"seal {facts.number} of {facts.date}: {target}")
    print(f"sum of {bag.TAG_MANIFEST}, which stands for all of it: {found.tag_sum}")
    print(f"signed with {facts.signed_with}" if facts.signed_with else "not signed: its author is unproven")


def _refuse(folder: Path, results: Any) -> int:
    from proposal.book.listing import hindrances_listing

    for line in hindrances_listing(results):
        print(line, file=sys.stderr)
    print(
        f"nothing was sealed: mend or test these and write it in a new entry, or condemn the installation: "
        f"`proposal seal {folder} --do-not-energise`",
        file=sys.stderr,
    )
    return HINDERED


def read_key(name: str) -> Any:
    """A private key by the name of its file, its passphrase from the environment or asked for. Raises UsageError."""
    import getpass

    from proposal.archive.sshsig import SignatureProblem, load_key
    from proposal.errors import UsageError

    try:
        with Path(name).open("rb") as stream:  # a pipe is welcome, and one without an end is not
            data = stream.read(LARGEST_KEY_BYTES + 1)
    except OSError as error:
        raise UsageError(f"--key {name} cannot be read: {error.strerror}") from error
    if len(data) > LARGEST_KEY_BYTES:
        raise UsageError(f"--key {name} is no private key: it is too large")
    said = os.environ.get(PASSPHRASE)
    try:
        try:
            return load_key(data, said.encode() if said else None)
        except TypeError:
            if said:  # a passphrase for a key that has none
                return load_key(data, None)
            if not sys.stdin.isatty():
                raise UsageError(f"--key {name} asks for a passphrase: give it in {PASSPHRASE}") from None
            return load_key(data, getpass.getpass(f"passphrase of {name}: ").encode())
    except (SignatureProblem, TypeError) as error:
        raise UsageError(f"--key {name}: {error}") from error
