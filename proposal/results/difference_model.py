"""What is otherwise between two results of one vessel, as frozen rows: before and after, unit in every numeric name."""

from decimal import Decimal
from typing import Literal

from proposal.facts import Value
from proposal.frozen import frozen
from proposal.results.finding_model import Finding

Kind = Literal["conductor", "device", "bank", "load", "source", "other"]
Side = Literal["new", "removed", "changed"]
Code = Literal[
    "start", "autonomy", "highest_fault", "least_fault", "largest_drop", "standing_drain", "dangers", "faults",
    "undecided", "mass", "engine_day", "no_charge", "left_alone", "year", "nights_low",
]  # fmt: skip


@frozen
class FieldChange:
    """One value that is otherwise, under its name in the results; null: it was not there, or nobody knows it.

    A value of a row that belongs to an item has the row before its name: `settings.absorption.value_v`,
    `decided_by.values.drop_v`. A list of texts is one text with commas.
    """

    name: str
    before: Value
    after: Value


@frozen
class ItemDifference:
    """One item that is new, removed or otherwise.

    `causes` is what was set otherwise: part, size, length, place, setting; `consequences` what follows for this item,
    be it from its own causes or another's; `remarks` how it was decided and called. `what`: a conductor's purpose or a
    device's kind, for naming items without a title.
    """

    kind: Kind
    key: str
    designation: str
    title: str
    what: str
    change: Side
    causes: tuple[FieldChange, ...]
    consequences: tuple[FieldChange, ...]
    remarks: tuple[FieldChange, ...]


@frozen
class FigureRow:
    """A figure that decides, before and after, equal or not; `item` is a case of starting, a bank or a season.

    `at_before` and `at_after`: keys of where the largest or least one of all stands.
    """

    code: Code
    item: str
    name: str
    before: Value
    after: Value
    at_before: str = ""
    at_after: str = ""


@frozen
class FindingDifference:
    """A finding that came, went, or stands with another outcome, other values or another acceptance."""

    change: Literal["new", "gone", "changed"]
    before: Finding | None
    after: Finding | None


@frozen
class PriceLineDifference:
    """A line of the price that came, went or is otherwise; null: it was not there, or it has no price.

    `more` is after less before, null where an amount is not known or currencies differ.
    """

    key: str
    group: str
    title: str
    part_id: str | None
    unit: str
    note: str
    items: tuple[str, ...]
    change: Side
    quantity_before: Decimal | None
    quantity_after: Decimal | None
    unit_price_before: Decimal | None
    unit_price_after: Decimal | None
    amount_before: Decimal | None
    amount_after: Decimal | None
    more: Decimal | None


@frozen
class TotalRow:
    """A total before and after, equal or not; `more` is after less before, null where currencies differ.

    `ten_years`: what the option costs in ten years, where both have their days.
    """

    name: Literal["material", "labour", "contingency", "net", "tax", "total", "ten_years"]
    before: Decimal
    after: Decimal
    more: Decimal | None


@frozen
class PriceDifference:
    """Lines that are otherwise, and all totals."""

    currency_before: str
    currency_after: str
    lines: tuple[PriceLineDifference, ...]
    totals: tuple[TotalRow, ...]


@frozen
class ConsentDifference:
    """Somebody's word that is needed now or no longer, or whose state is otherwise; empty: not needed."""

    code: str
    item: str
    who: str
    what: str
    before: Literal["there", "asked", "missing", ""]
    after: Literal["there", "asked", "missing", ""]


@frozen
class ReadingDifference:
    """A test of commissioning with another outcome or reading; an empty outcome: there was no such test."""

    test: str
    item: str
    designation: str
    end: str
    unit: str
    outcome_before: str
    outcome_after: str
    value_before: float | None
    value_after: float | None


@frozen
class Difference:
    """All that is otherwise between two results of one vessel: items with causes first, then those that only follow.

    `about`: what is said of the vessel and of how it was computed (rules, edition, revision, version of the tool).
    `figures` and the totals of the price stand there whether they differ or not.
    """

    option_before: str
    option_after: str
    about: tuple[FieldChange, ...]
    figures: tuple[FigureRow, ...]
    items: tuple[ItemDifference, ...]
    findings: tuple[FindingDifference, ...]
    price: PriceDifference
    consents: tuple[ConsentDifference, ...]
    tests: tuple[ReadingDifference, ...]

    @property
    def is_empty(self) -> bool:
        """Whether nothing at all is otherwise."""
        price = self.price
        rows = (*self.about, *self.items, *self.findings, *price.lines, *self.consents, *self.tests)
        same = all(f.before == f.after for f in self.figures) and all(t.before == t.after for t in price.totals)
        return not rows and same and price.currency_before == price.currency_after
