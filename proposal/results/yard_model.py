"""What a yard needs to know of one vessel: a row of its index. Frozen rows, as in `model`.

Nothing here depends on where the project lies or on the day on which it is looked at.
"""

from decimal import Decimal
from typing import Literal

from proposal.facts import Severity
from proposal.frozen import frozen

YARD_VERSION = 1

YardStatus = Literal["proposal", "fitted", "sealed", "do_not_energise", "mistakes"]
PartGroup = Literal["battery", "cable", "protection", "switching", "charging", "other"]


@frozen
class YardOption:
    """An option of a proposal, or the one that was fitted."""

    letter: str
    title: str
    price: Decimal
    unpriced_lines: int


@frozen
class YardPart:
    """A part in one option: how much of it, and where. `fitted`: it is in the vessel, not only proposed."""

    part: str
    title: str
    group: PartGroup
    count: float
    unit: Literal["piece", "metre"]
    items: tuple[str, ...]
    option: str
    fitted: bool


@frozen
class YardFuse:
    """A fuse or breaker against the largest fault current at its place.

    under: what it can break is less; unknown: nobody states what it can break. Others are left out.
    """

    item: str
    designation: str
    title: str
    part: str
    part_title: str
    interrupt_a: float | None
    fault_a: float
    stands: Literal["under", "unknown"]
    option: str


@frozen
class YardFinding:
    """A finding, once for each item, with the letters of the options that have it. `cause` chooses its words."""

    id: str
    number: int
    cause: str
    severity: Severity
    outcome: Literal["fires", "undecided"]
    item: str
    designation: str
    title: str
    accepted_by: str
    options: tuple[str, ...]


@frozen
class YardTest:
    """A test of commissioning that failed, or one of a danger that nobody made."""

    test: str
    item: str
    designation: str
    title: str
    outcome: Literal["fail", "missing"]


@frozen
class YardDefect:
    """A defect that is open."""

    id: str
    what: str
    severity: Severity
    designation: str
    mend_by: str


@frozen
class YardUpkeep:
    """A task of upkeep and the day on which it is due; `last_on` is empty before it was done."""

    task: str
    items: tuple[str, ...]
    last_on: str
    due_on: str


@frozen
class YardSeal:
    """A seal of the vessel's record, as its ledger says, or where there is none, its archive; neither is proven here.

    `made_by`: tool and version that sealed it, by the archive; empty where that is not at hand. `archive`: whether it
    lies in the project.
    """

    number: int
    date: str
    name: str
    entries_count: int
    do_not_energise: bool
    made_by: str
    archive: bool


@frozen
class YardProblem:
    """What is wrong with a project; `file` is told from the project's own folder."""

    file: str
    line: int
    column: int
    what: str
    allowed: str
    written: str


@frozen
class YardRow:
    """One vessel. With problems nothing else is known; `more_problems` counts those that are left out.

    Of a vessel whose project is gone the archives alone are known.

    `chosen` is the letter of the option that was fitted, empty for a proposal. `hindrances_count`: what stands against
    switching on. `archives`: names of the archives that lie in the project.
    """

    status: YardStatus
    name: str
    number: str
    revision: str
    kind: str
    date: str
    rule_family: str
    rule_title: str
    rule_edition: str
    made_by: str
    locale: str
    currency: str
    chosen: str
    options: tuple[YardOption, ...]
    entries_count: int
    latest_date: str
    seals: tuple[YardSeal, ...]
    archives: tuple[str, ...]
    hindrances_count: int
    findings: tuple[YardFinding, ...]
    tests: tuple[YardTest, ...]
    defects: tuple[YardDefect, ...]
    upkeep: tuple[YardUpkeep, ...]
    parts: tuple[YardPart, ...]
    fuses: tuple[YardFuse, ...]
    problems: tuple[YardProblem, ...]
    more_problems: int


@frozen
class Moored:
    """A vessel's row with where it lies, from the yard's folder, in signs that can be printed."""

    path: str
    row: YardRow


@frozen
class Yard:
    """All vessels of a folder by path, on the day `today`. `unread`: folders that could not be looked into, and why."""

    today: str
    made_by: str
    vessels: tuple[Moored, ...]
    unread: tuple[tuple[str, str], ...]
