"""What goes into an archive: the project as a folder that can be read again, with photos fit to be given away."""

import hashlib
from collections.abc import Mapping, Sequence
from pathlib import Path

from proposal.archive import bag, sshsig
from proposal.archive.facts import PROJECT, README, RESULTS, SEAL_FILE, SealFacts, State, archive_name, readme
from proposal.circuit.designations import ledger_lines
from proposal.errors import MachineError
from proposal.frozen import frozen
from proposal.publish.photos import Prepared, prepare_all
from proposal.reading import plain_bytes
from proposal.results.computed import LEDGER_FILE, Computed
from proposal.results.model import Results
from proposal.spec.loading import INSTALLER_FILE, SPEC_FILE
from proposal.spec.recorded import PHOTO_FOLDER, RECORD_FOLDER, Record
from proposal.spec.seals import SEALS_FILE, SealLine

LARGEST_PROJECT_FILE_BYTES = 20_000_000


@frozen
class Gathered:
    """The files of a project by path, the ledger of seals apart, and its photos as prepared, by name in the record."""

    files: Mapping[str, bytes]
    photos: Mapping[str, Prepared]
    record: Record

    @property
    def sums(self) -> dict[str, str]:
        """Sum of each file by path."""
        return {path: bag.sum_of(data) for path, data in self.files.items()}

    def project(self, seals: Sequence[SealLine]) -> dict[str, bytes]:
        """All files of the project folder, with a ledger of these seals."""
        ledger = "".join(f"{line}\n" for line in seals).encode()
        return {**self.files, **({f"{RECORD_FOLDER}/{SEALS_FILE}": ledger} if seals else {})}


def gather(made: Computed) -> Gathered:
    """Read the files of a project that was computed from its record.

    Raises SpecError where a photo is not fit, MachineError where a file cannot be read or changed in between,
    ValueError for a project without a record.
    """
    record = made.record
    if record is None:
        raise ValueError("a project without a record is not sealed")
    project = made.project
    ledger = project.folder / LEDGER_FILE
    designations = _read(ledger) if ledger.exists() else b""
    if designations and not designations.endswith(b"\n"):
        designations += b"\n"
    designations += ledger_lines(made.ledger, made.evaluated.designations).encode()
    files = {
        SPEC_FILE: _read(project.spec.path),
        INSTALLER_FILE: _read(project.installer.path),
        project.installer.value.price_book: _read(project.prices.path),
        LEDGER_FILE: designations,
    }
    for entry in record.entries:
        data = _read(entry.document.path)
        if hashlib.sha256(data).hexdigest() != entry.sha256:
            raise MachineError(f"{entry.document.path} changed while it was read", "try again")
        files[f"{RECORD_FOLDER}/{entry.file}"] = data
    photos = prepare_all(record)
    files |= {f"{RECORD_FOLDER}/{PHOTO_FOLDER}/{name}": photo.data for name, photo in photos.items()}
    _prove_names(files)
    return Gathered(files, photos, record)


def _prove_names(files: Mapping[str, bytes]) -> None:
    """Every system must be able to hold the files. Raises MachineError."""
    known: dict[str, str] = {}
    for path in files:
        what = bag.bad_name(path)
        if path.casefold() in known:
            what = f"differs from {known[path.casefold()]} only in capitals, which not every system tells apart"
        if what is not None:
            raise MachineError(f"the name {path} {what}", "give it another name")
        known[path.casefold()] = path


def facts_of(
    results: Results,
    gathered: Gathered,
    seals: Sequence[SealLine],
    state: State,
    made_with: Mapping[str, str],
    content_sha256: str,
    *,
    pages: bool,
    days: bool,
    signed_with: str | None,
) -> SealFacts:
    """What the seal after ``seals`` says of itself."""
    vessel, record = results.vessel, results.record
    if record is None:
        raise ValueError("results without a record are not sealed")
    number = len(seals) + 1
    return SealFacts(
        name=archive_name(vessel.name, vessel.number, number, state),
        vessel=vessel.name,
        proposal_number=vessel.number,
        revision=vessel.revision,
        installer=vessel.installer,
        number=number,
        date=record.latest_date,
        state=state,
        previous=seals[-1].sha256 if seals else None,
        content_sha256=content_sha256,
        days=days,
        pages=pages,
        signed_with=signed_with,
        made_with=dict(made_with),
        entries=tuple((entry.file, entry.sha256) for entry in gathered.record.entries),
        photos=tuple(
            (name, gathered.record.photo_sums[name], bag.sum_of(photo.data))
            for name, photo in sorted(gathered.photos.items())
        ),
    )


def sealed_files(
    facts: SealFacts, project: Mapping[str, bytes], results_json: bytes, pages: Mapping[str, bytes], key: object = None
) -> dict[str, bytes]:
    """All files of an archive by path: a bag, signed where there is a key.

    Parameters: project, the files of its folder; pages, those of the site under `site/` and the PDF, by path.
    """
    payload = {f"{PROJECT}{path}": data for path, data in project.items()}
    payload |= {RESULTS: results_json, SEAL_FILE: facts.json(), README: readme(facts), **pages}
    files = bag.bag(payload, facts.info())
    if key is not None:
        files[bag.SIGNATURE] = sshsig.sign(key, files[bag.TAG_MANIFEST])
    return files


def _read(path: Path) -> bytes:
    try:
        data = plain_bytes(path, LARGEST_PROJECT_FILE_BYTES + 1)
    except OSError as error:
        raise MachineError(f"cannot read {path}: {error.strerror}", "check the rights of the file") from error
    if len(data) > LARGEST_PROJECT_FILE_BYTES:
        raise MachineError(f"{path} is too large to be sealed", f"up to {LARGEST_PROJECT_FILE_BYTES} bytes")
    return data
