"""What is otherwise about the items of an option: what was set first, then what follows from it."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from operator import attrgetter
from typing import Any

from proposal.facts import Value
from proposal.results.codec import plain
from proposal.results.difference_model import FieldChange, ItemDifference, Kind, Side
from proposal.results.model import OptionResult

Row = dict[str, Any]
"""A row of the results as its JSON has it."""

TABLES: tuple[tuple[Kind, str], ...] = (
    ("bank", "banks"), ("conductor", "conductors"), ("device", "devices"), ("load", "loads"), ("source", "sources"),
)  # fmt: skip
KINDS: tuple[Kind, ...] = ("bank", "conductor", "device", "source", "load", "other")
SET: Mapping[Kind, frozenset[str]] = {
    "conductor": frozenset(
        {"circuit", "pole", "purpose", "from_node", "to_node", "length_m", "place", "place_c", "bundled_count",
         "insulation_c"}
    ),
    "device": frozenset({"circuit", "kind", "distance_m"}),
    "bank": frozenset(
        {"chemistry", "role", "part_id", "part_title", "series_count", "parallel_count", "nominal_v", "capacity_ah",
         "mass_kg", "place"}
    ),
    "load": frozenset({"bus", "current_a", "wh_per_day", "critical", "always_on", "away"}),
    "source": frozenset({"kind", "bus", "current_a", "lasting_a", "charge_v"}),
}  # fmt: skip
"""Fields that say what was set; all others follow."""
BY_PART: Mapping[Kind, frozenset[str]] = {
    "conductor": frozenset({"size", "area_mm2", "part_id"}),
    "device": frozenset(
        {"part_id", "part_title", "rating_a", "voltage_max_v", "interrupt_a", "fuse_class", "resistance_ohm"}
    ),
}
"""Fields that come with the part: set where somebody pinned it, else chosen, and so a consequence."""
REMARKS = frozenset(
    {"designation", "title", "from_designation", "to_designation", "pinned", "decided_by", "rejected", "citations"}
)
"""How it is called and how it was decided: nothing electrical."""
OF_VOLTAGES = ("usual_v", "lowest_v", "lowest_case", "highest_v", "highest_case")
OF_JOINS = ("difference_v", "current_a", "limit_a", "settles_a", "ruled_by")
OF_SWITCHED = (
    "lasting_a", "lasting_case", "minutes_a", "minutes_case", "seconds_a", "seconds_case", "closing_a", "opening_a",
    "opening_case", "least_supply_v",
)  # fmt: skip
OF_FUSES = ("least_fault_a", "clears_least_s")
OF_STARTS = ("cranking_a", "minimum_v", "battery_c")
OF_RUNGS_SET = ("value_v", "tolerance_v", "tolerance_assumed")
OF_RUNGS = ("low_v", "high_v", "cold_v", "hot_v", "charge_share")
_WORST = ("fails", "undecided", "passes")


def item_differences(a: OptionResult, b: OptionResult) -> tuple[ItemDifference, ...]:
    """Items that are otherwise: those with causes first, each group by kind and key. Symmetrical in a and b."""
    made = []
    beside = _beside(a, b)
    for kind, table in TABLES:
        before, after = _by_key(a, table), _by_key(b, table)
        for key in sorted(before.keys() | after.keys()):
            found = _item(kind, key, before.get(key), after.get(key), beside.pop(key, ((), ())))
            made += [found] if found is not None else []
    for key, (causes, consequences) in beside.items():
        if causes or consequences:
            made.append(ItemDifference("other", key, "", "", "", "changed", causes, consequences, ()))
    return tuple(sorted(made, key=lambda item: (not _is_cause(item), KINDS.index(item.kind), item.key)))


def _is_cause(item: ItemDifference) -> bool:
    return item.change != "changed" or bool(item.causes)


def _by_key(option: OptionResult, table: str) -> dict[str, Row]:
    return {row.key: plain(row) for row in getattr(option, table)}


def _item(
    kind: Kind, key: str, before: Row | None, after: Row | None, beside: tuple[tuple[FieldChange, ...], ...]
) -> ItemDifference | None:
    there = after or before or {}
    change: Side = "changed" if before and after else "new" if after else "removed"
    pinned = change != "changed" or any(row["pinned"] for row in (before, after) if row and "pinned" in row)
    causes, consequences, remarks = list(beside[0]), list(beside[1]), []
    own: list[FieldChange] = []
    for name in there:
        if name == "key":
            continue
        found = list(leaf_changes(name, (before or {}).get(name), (after or {}).get(name)))
        if name in REMARKS:
            remarks += found
        elif name in SET[kind] or (pinned and name in BY_PART.get(kind, ())):
            own += found
        else:
            consequences += found
    causes = own + causes
    if change == "changed" and not (causes or consequences or remarks):
        return None
    what = str(there.get("purpose") or there.get("kind") or there.get("role") or "")
    return ItemDifference(
        kind, key, there["designation"], there["title"], what, change, tuple(causes), tuple(consequences),
        tuple(remarks),
    )  # fmt: skip


def leaf_changes(name: str, before: Any, after: Any) -> Iterator[FieldChange]:
    """The values within a field that are otherwise, by their path: a.b, a[0].b; a list of texts is one text."""
    if before == after:
        return
    if isinstance(before, dict) or isinstance(after, dict):
        old, new = before or {}, after or {}
        for key in sorted({*old, *new}):
            yield from leaf_changes(f"{name}.{key}", old.get(key), new.get(key))
    elif _holds_rows(before) or _holds_rows(after):
        old, new = before or [], after or []
        for place in range(max(len(old), len(new))):
            pair = (rows[place] if place < len(rows) else None for rows in (old, new))
            yield from leaf_changes(f"{name}[{place}]", *pair)
    elif _value(before) != _value(after):
        yield FieldChange(name, _value(before), _value(after))


def _holds_rows(value: Any) -> bool:
    return isinstance(value, list) and any(isinstance(entry, dict) for entry in value)


def _value(value: Any) -> Value:
    if isinstance(value, list):
        return ", ".join(str(entry) for entry in value)
    known: Value = value
    return known


Found = dict[str, tuple[tuple[FieldChange, ...], tuple[FieldChange, ...]]]
"""Causes and consequences by item key."""


def _beside(a: OptionResult, b: OptionResult) -> Found:
    """What rows beside the tables of items say of an item: settings, volts, first currents, contacts, fuses in time."""
    causes: dict[str, list[FieldChange]] = {}
    consequences: dict[str, list[FieldChange]] = {}
    for is_cause, old, new in (*_settings(a, b), *_studied(a, b)):
        held = causes if is_cause else consequences
        for item, name in sorted({*old, *new}):
            before, after = old.get((item, name)), new.get((item, name))
            if before != after:
                held.setdefault(item, []).append(FieldChange(name, before, after))
    keys = sorted(causes.keys() | consequences.keys())
    return {key: (tuple(causes.get(key, ())), tuple(consequences.get(key, ()))) for key in keys}


Values = dict[tuple[str, str], Value]
Prefix = Callable[[Any], str]
Compared = tuple[bool, Values, Values]
"""Whether these are causes; values by item and name, before and after."""


def _settings(a: OptionResult, b: OptionResult) -> Iterator[Compared]:
    def rungs(option: OptionResult, names: Iterable[str], *, rest: bool) -> Values:
        rows = [r for r in option.ladder.rungs if (r.group == "rest") == rest]
        return _values(rows, "item", lambda r: f"settings.{r.setting}", names)

    yield True, rungs(a, OF_RUNGS_SET, rest=False), rungs(b, OF_RUNGS_SET, rest=False)
    yield False, rungs(a, OF_RUNGS, rest=False), rungs(b, OF_RUNGS, rest=False)
    resting = (*OF_RUNGS_SET, *OF_RUNGS)
    yield False, rungs(a, resting, rest=True), rungs(b, resting, rest=True)

    def joins(option: OptionResult) -> Values:
        return _values(option.ladder.joins, "item", lambda _: "settings.joins_within", ("difference_v",))

    yield True, joins(a), joins(b)

    def engine(option: OptionResult) -> Values:
        return _values(option.starts, lambda _: "engine", lambda s: f"start.{s.case}", OF_STARTS)

    yield True, engine(a), engine(b)

    def unstated(option: OptionResult) -> Values:
        return {(u.item, f"settings.{u.setting}.unstated"): True for u in option.ladder.unstated}

    yield True, unstated(a), unstated(b)


def _studied(a: OptionResult, b: OptionResult) -> Iterator[Compared]:
    """Rows that both options have: without their sheets some are left empty."""

    def both(table: str) -> bool:
        return bool(getattr(a, table)) and bool(getattr(b, table))

    def of(table: str, item: str, prefix: Prefix, names: Iterable[str]) -> Compared:
        old, new = (_values(getattr(x, table), item, prefix, names) for x in (a, b))
        return False, old, new

    if both("voltages"):
        yield of("voltages", "item", lambda v: f"volts.{v.kind}", OF_VOLTAGES)
    if both("joins"):
        yield of("joins", "relay", lambda j: f"joins.{j.situation}", OF_JOINS)
    if both("switched"):
        yield of("switched", "key", lambda _: "switched", OF_SWITCHED)
    if both("protection"):
        yield of("protection", "key", lambda _: "fuse", OF_FUSES)
        yield False, _rulings(a), _rulings(b)


def _values(rows: Iterable[Any], item: str | Prefix, prefix: Prefix, names: Iterable[str]) -> Values:
    key = attrgetter(item) if isinstance(item, str) else item
    return {(key(row), f"{prefix(row)}.{name}"): plain(getattr(row, name)) for row in rows for name in names}


def _rulings(option: OptionResult) -> Values:
    """The worst outcome of each demand on a fuse."""
    found: dict[tuple[str, str], Value] = {}
    for fuse in option.protection:
        for ruling in sorted(fuse.rulings, key=lambda r: -_WORST.index(r.outcome)):
            found[fuse.key, f"fuse.rulings.{ruling.demand}"] = ruling.outcome
    return found
