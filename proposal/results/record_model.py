"""The record of a vessel in its results: what was fitted, measured and changed, by whom. Frozen rows, as in `model`."""

from typing import Literal

from proposal.facts import Severity, Values
from proposal.frozen import frozen
from proposal.results.difference_model import Difference
from proposal.results.finding_model import CitationResult

Outcome = Literal["pass", "fail", "not_measured", "undecided"]
EntryKind = Literal["hand_over", "change", "visit"]
ItemKind = Literal["battery", "conductor", "device", "source", "load", "controller", "other"]


@frozen
class FindingName:
    """A finding by what it is and where: the same pair stands in the findings of the option."""

    id: str
    item: str
    severity: Severity


@frozen
class EntryRow:
    """One entry of the record and what the whole system was found to be after it.

    `sha256` of its file; `seal`: number of the seal that closed it, null: it is still open. `new` and `gone`: findings
    that this entry brought and those that it did away with; of the first entry against the option as proposed.
    `readings_count`: all that it holds, also those that a later one took the place of.
    """

    number: int
    file: str
    sha256: str
    seal: int | None
    kind: EntryKind
    title: str
    date: str
    by: str
    licence: str
    notes: tuple[str, ...]
    changes: tuple[str, ...]
    new: tuple[FindingName, ...]
    gone: tuple[FindingName, ...]
    dangers_count: int
    readings_count: int = 0


@frozen
class FittedRow:
    """One item as fitted, with what only a record knows. `part` is empty where the spec itself says what it is.

    `settings` as (name, text); `entry`: which one it stands in, the latest where several name it.
    """

    item: str
    designation: str
    title: str
    kind: ItemKind
    part: str
    part_title: str
    serial: str
    firmware: str
    settings: tuple[tuple[str, str], ...]
    route_as_run: str
    fitted_on: str
    note: str
    entry: int


@frozen
class DeviationRow:
    """One thing that is not as it was proposed: a part or size of an item, or a value of the spec.

    `at` is the item's key or the path in the spec; texts as they stand in the files, with the titles of parts beside
    them. `because` may be empty: nobody said why.
    """

    kind: Literal["part", "value"]
    at: str
    designation: str
    title: str
    proposed: str
    fitted: str
    because: str
    entry: int
    proposed_title: str = ""
    fitted_title: str = ""


@frozen
class EarlierReading:
    """A reading of the same test that a later one took the place of.

    `low` to `high` is what passed then, in the unit of the test and at the current of the reading.
    """

    entry: int
    date: str
    value: float | None
    passed: bool | None
    outcome: Outcome
    at_a: float | None = None
    by: str = ""
    low: float | None = None
    high: float | None = None


@frozen
class TestRow:
    """One test: what is expected of it, and the latest reading.

    `low` to `high` in `unit` is what passes, null: no bound on that side; both null with `unit` empty: a test that is
    passed or not. `expected` is what the computation gives, null: there is no such figure. Figures that grow with the
    current hold at `expected_at_a`: that of the latest reading, else that of the computation; null: no current bears on
    them. `basis` is the code of how the band comes about, with its values. `danger`: a check of a danger rests on it,
    so that it must not be missing. `asked`: an installer of this vessel makes it; else it counts where it was made.
    `wanting`: what is to be found out before it can be judged.
    """

    test: str
    item: str
    designation: str
    title: str
    end: str
    unit: Literal["V", "A", "K", "N·m", "s", "fraction", "m", "ohm", ""]
    expected: float | None
    low: float | None
    high: float | None
    basis: str
    values: Values
    danger: bool
    checks: tuple[int, ...]
    outcome: Outcome
    wanting: str
    value: float | None
    at_a: float | None
    passed: bool | None
    how: str
    instrument: str
    by: str
    date: str
    note: str
    entry: int | None
    earlier: tuple[EarlierReading, ...]
    citation: CitationResult
    expected_at_a: float | None = None
    asked: bool = True


@frozen
class PhotoRow:
    """A photo by the name of its file in the project and the sum of that file."""

    file: str
    sha256: str
    title: str
    item: str
    designation: str
    item_title: str
    place: str
    hidden: bool
    invented: bool
    date: str
    by: str
    entry: int


@frozen
class DefectRow:
    """A defect or a point of the punch list; `mended_on` is empty while it is open."""

    id: str
    what: str
    item: str
    designation: str
    item_title: str
    severity: Severity
    found_on: str
    found_entry: int
    mend_by: str
    by: str
    mended_on: str
    mended_how: str
    mended_by: str
    mended_entry: int | None


@frozen
class UpkeepRow:
    """A task of the upkeep list on this vessel: how often, when it was last done, when it is due next.

    `every_days` null: once only, and again after a later entry that fitted something. `last_on` is empty before it was
    done; then it counts from the hand-over. `due_on` is empty where nothing is due any more. `values`: figures of its
    words.
    """

    task: str
    first_days: int
    every_days: int | None
    items: tuple[str, ...]
    last_on: str
    last_by: str
    due_on: str
    values: Values
    citation: CitationResult


@frozen
class TurnedDown:
    """An option that was not chosen."""

    option: str
    letter: str
    title: str
    price: str
    because: str


@frozen
class AgreedRow:
    """Which revision the client signed, and when."""

    by: str
    date: str
    revision: str


@frozen
class SealRow:
    """A seal of this record: its number, day, how many entries it closed, and the sum that stands for it.

    `sha256` is empty for the seal that carries these results itself: a text cannot hold its own sum.
    """

    number: int
    date: str
    name: str
    sha256: str
    entries_count: int


@frozen
class Hindrance:
    """Why a system may not be energised: a danger, a test of a danger that failed or is missing, a defect, or a word.

    `condemned`: whoever sealed it said so, for reasons that the entries tell.
    """

    kind: Literal["finding", "failed_test", "missing_test", "defect", "condemned"]
    id: str
    item: str
    end: str = ""


@frozen
class EmergencyOffRow:
    """By what the batteries are cut off from where people are; `acts` as in the spec."""

    title: str
    acts: Literal["coil", "signal", "hand_switch"]


@frozen
class RecordResult:
    """Everything that the record says beyond the results of what was fitted.

    `letter` of the chosen option among those proposed. `hindrances` is empty where nothing speaks against energising.
    `difference` from the option as proposed to what was fitted; null: not compared.
    """

    option: str
    letter: str
    date: str
    latest_date: str
    entries: tuple[EntryRow, ...]
    agreed: AgreedRow | None
    turned_down: tuple[TurnedDown, ...]
    fitted: tuple[FittedRow, ...]
    deviations: tuple[DeviationRow, ...]
    tests: tuple[TestRow, ...]
    photos: tuple[PhotoRow, ...]
    defects: tuple[DefectRow, ...]
    upkeep: tuple[UpkeepRow, ...]
    hindrances: tuple[Hindrance, ...]
    seals: tuple[SealRow, ...] = ()
    record_address: str = ""
    telephone: str = ""
    emergency_off: EmergencyOffRow | None = None
    difference: Difference | None = None
