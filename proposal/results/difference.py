"""Two results of one vessel → what is otherwise between them, electrically, in findings and in price."""

from collections.abc import Hashable, Iterator, Sequence
from decimal import Decimal
from typing import Any, Literal, TypeVar

from proposal.facts import SEVERITIES
from proposal.results.codec import plain
from proposal.results.difference_figures import figures
from proposal.results.difference_items import BY_PART, item_differences, leaf_changes
from proposal.results.difference_model import (
    ConsentDifference,
    Difference,
    FieldChange,
    FindingDifference,
    PriceDifference,
    PriceLineDifference,
    ReadingDifference,
    Side,
    TotalRow,
)
from proposal.results.model import ConsentResult, Finding, OptionResult, PriceLine, Results
from proposal.results.record_model import RecordResult, TestRow
from proposal.rules.registry import NEED_DAYS

ABOUT = ("revision", "date", "system_v", "wanted_days", "rule_family_title", "rule_edition")
"""Of the vessel: what both results were computed by."""
TOTALS: tuple[Literal["material", "labour", "contingency", "net", "tax", "total"], ...] = (
    "material", "labour", "contingency", "net", "tax", "total",
)  # fmt: skip
T = TypeVar("T")


def difference(
    a: OptionResult, b: OptionResult, *, about: tuple[FieldChange, ...] = (), tests: tuple[ReadingDifference, ...] = ()
) -> Difference:
    """What is otherwise in `b` than in `a`. Pure; numbers are compared as the JSON has them, at 9 digits.

    Parameters: options of one vessel, best both with or both without their sheets and days: what only one of them was
    computed with is left out; `about` and `tests` as `differences` makes them. With both swapped, befores and afters
    are, and nothing else.
    """
    return Difference(
        option_before=a.id,
        option_after=b.id,
        about=about,
        figures=tuple(figures(a, b)),
        items=item_differences(a, b),
        findings=_findings(a, b),
        price=_price(a, b),
        consents=_consents(a.consents, b.consents),
        tests=tests,
    )


def differences(a: Results, b: Results, option_before: str, option_after: str) -> Difference:
    """The same for whole results: with what is said of the vessel and, where both have a record, its tests.

    Raises KeyError for an option that the results do not hold.
    """
    old, new = ({o.id: o for o in results.options} for results in (a, b))
    about = [FieldChange("made_by", a.made_by, b.made_by)] if a.made_by != b.made_by else []
    for name in ABOUT:
        about += leaf_changes(name, plain(getattr(a.vessel, name)), plain(getattr(b.vessel, name)))
    for name in ("title", "arrangement"):
        about += leaf_changes(name, getattr(old[option_before], name), getattr(new[option_after], name))
    tests = reading_differences(a.record, b.record)
    return difference(old[option_before], new[option_after], about=tuple(about), tests=tests)


def marked(found: Difference, side: Literal["before", "after"]) -> dict[str, Literal["new", "changed", "removed"]]:
    """What to mark in the drawing of one side, by key: what was set otherwise, and parts and sizes chosen anew."""
    there = "new" if side == "after" else "removed"
    marks: dict[str, Literal["new", "changed", "removed"]] = {}
    for item in found.items:
        part = any(c.name in BY_PART.get(item.kind, ()) for c in item.consequences)
        if item.change == there or (item.change == "changed" and (item.causes or part)):
            marks[item.key] = item.change
    return marks


def _findings(a: OptionResult, b: OptionResult) -> tuple[FindingDifference, ...]:
    """Findings by name and item; where there are several, equal ones belong together, then one to one in order."""
    if (a.behaviour is None) != (b.behaviour is None):
        old, new = ([f for f in o.findings if f.id not in NEED_DAYS] for o in (a, b))
    else:
        old, new = list(a.findings), list(b.findings)
    found = []
    for before, after in _paired(old, new, lambda f: (f.id, f.item), _finding_says):
        change: Literal["new", "gone", "changed"] = "changed" if before and after else "new" if after else "gone"
        found.append(FindingDifference(change, before, after))
    return tuple(sorted(found, key=_finding_order))


def _finding_says(finding: Finding) -> Hashable:
    said = (finding.outcome, finding.severity, finding.accepted_by, finding.accepted_because, finding.refused_to)
    return (*said, tuple(sorted((k, str(v)) for k, v in plain(finding.values).items())))


def _finding_order(row: FindingDifference) -> tuple[Any, ...]:
    one = row.after or row.before
    assert one is not None  # noqa: S101 - one of both is always there
    return SEVERITIES.index(one.severity), one.number, one.item


def _paired(a: Sequence[T], b: Sequence[T], key: Any, says: Any) -> Iterator[tuple[T | None, T | None]]:
    """Rows of both that belong together and do not say the same; None where one has no counterpart."""
    groups: dict[Any, tuple[list[T], list[T]]] = {}
    for side, rows in enumerate((a, b)):
        for row in rows:
            groups.setdefault(key(row), ([], []))[side].append(row)
    for old, new in groups.values():
        left, right = list(old), list(new)
        for row in old:
            same = next((other for other in right if says(other) == says(row)), None)
            if same is not None:
                left.remove(row)
                right.remove(same)
        for place in range(max(len(left), len(right))):
            yield left[place] if place < len(left) else None, right[place] if place < len(right) else None


def _price(a: OptionResult, b: OptionResult) -> PriceDifference:
    lines = []
    same = a.price.currency == b.price.currency
    for before, after in _paired(a.price_lines, b.price_lines, lambda x: x.key, _line_says):
        lines.append(_line(before, after, same=same))
    totals = []
    for name in TOTALS:
        old, new = getattr(a.price, name), getattr(b.price, name)
        totals.append(TotalRow(name, old, new, new - old if same else None))
    long = [None if o.ten_years is None else o.ten_years.total_usual for o in (a, b)]
    if long[0] is not None and long[1] is not None:
        totals.append(TotalRow("ten_years", long[0], long[1], long[1] - long[0] if same else None))
    ordered = tuple(sorted(lines, key=lambda x: (x.group == "contingency", x.group == "labour", x.group, x.key)))
    return PriceDifference(a.price.currency, b.price.currency, ordered, tuple(totals))


def _line_says(line: PriceLine) -> Hashable:
    return line.quantity, line.unit_price, line.amount


def _line(before: PriceLine | None, after: PriceLine | None, *, same: bool) -> PriceLineDifference:
    one = after or before
    assert one is not None  # noqa: S101 - one of both is always there
    change: Side = "changed" if before and after else "new" if after else "removed"

    def of(row: PriceLine | None, name: str) -> Decimal | None:
        value: Decimal | None = getattr(row, name) if row is not None else None
        return value

    old, new = (Decimal(0) if row is None else row.amount for row in (before, after))
    more = new - old if same and old is not None and new is not None else None
    return PriceLineDifference(
        key=one.key,
        group=one.group,
        title=one.title,
        part_id=one.part_id,
        unit=one.unit,
        note=one.note,
        items=one.items,
        change=change,
        quantity_before=of(before, "quantity"),
        quantity_after=of(after, "quantity"),
        unit_price_before=of(before, "unit_price"),
        unit_price_after=of(after, "unit_price"),
        amount_before=of(before, "amount"),
        amount_after=of(after, "amount"),
        more=more,
    )


def _consents(a: Sequence[ConsentResult], b: Sequence[ConsentResult]) -> tuple[ConsentDifference, ...]:
    found = []
    for before, after in _paired(a, b, lambda c: (c.code, c.item), lambda c: c.state):
        one = after or before
        assert one is not None  # noqa: S101 - one of both is always there
        states = (before.state if before else "", after.state if after else "")
        found.append(ConsentDifference(one.code, one.item, one.who, one.what, *states))
    return tuple(sorted(found, key=lambda c: (c.code, c.item)))


def reading_differences(a: RecordResult | None, b: RecordResult | None) -> tuple[ReadingDifference, ...]:
    """Tests of commissioning with another outcome or reading; none where one side has no record."""
    if a is None or b is None:
        return ()
    found = []
    for before, after in _paired(a.tests, b.tests, _test_name, lambda t: (t.outcome, plain(t.value))):
        one = after or before
        assert one is not None  # noqa: S101 - one of both is always there
        outcomes = (before.outcome if before else "", after.outcome if after else "")
        values = (plain(before.value) if before else None, plain(after.value) if after else None)
        found.append(ReadingDifference(one.test, one.item, one.designation, one.end, one.unit, *outcomes, *values))
    return tuple(sorted(found, key=lambda t: (t.test, t.item, t.end)))


def _test_name(test: TestRow) -> tuple[str, str, str]:
    return test.test, test.item, test.end
