"""Which columns go on which sheet: all on one if they fit, else the last loads of the fullest bus move on."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

from proposal.drawings.topology import Bar, Column, End, Plan, Tie

Composed = TypeVar("Composed")


@dataclass(slots=True)
class Sheet:
    """Root bars and ties of one sheet, and what had to leave it, by bar."""

    roots: list[Bar]
    ties: list[Tie]
    left_over: dict[str, Bar]


def paginate(plan: Plan, attempt: Callable[[Sheet], Composed | None]) -> list[Composed]:
    """Sheets in order. `attempt` composes one, or says with None that it doesn't fit."""
    done: list[Composed] = []
    roots, ties = list(plan.roots), list(plan.ties)
    while roots:
        sheet = Sheet(roots, ties, {})
        composed = attempt(sheet)
        while composed is None and _shed(sheet, len(done) + 1):
            composed = attempt(sheet)
        if composed is None:
            raise ValueError("a single column of this circuit is larger than a sheet")
        done.append(composed)
        roots, ties = list(sheet.left_over.values()), []
    return done


def _bars(bars: list[Bar]) -> list[Bar]:
    found = []
    for bar in bars:
        found.append(bar)
        found += _bars([c.bar for c in bar.down if c.bar is not None])
    return found


def _shed(sheet: Sheet, number: int) -> bool:
    """Move one column to the next sheet; False if nothing can move."""
    bars = _bars(sheet.roots)

    def plain(bar: Bar) -> list[Column]:
        return [c for c in bar.down if c.bar is None and not c.holds_battery()]

    def panels(bar: Bar) -> list[Column]:
        return [c for c in bar.down if c.bar is not None and not c.holds_battery()]

    total = sum(len(bar.down) + len(bar.up) for bar in bars)
    for candidates in (plain, panels, lambda bar: bar.up, lambda bar: bar.down):
        fullest = max(bars, key=lambda bar: len(candidates(bar)))
        columns = candidates(fullest)
        if not columns or (total <= 1 and not sheet.ties):
            continue
        if fullest not in sheet.roots and len(fullest.down) == 1:
            continue
        _move(sheet, fullest, columns[-1], number)
        return True
    if sheet.ties or len(sheet.roots) > 1:
        _split(sheet)
        return True
    return False


def _move(sheet: Sheet, bar: Bar, column: Column, number: int) -> None:
    (bar.up if column in bar.up else bar.down).remove(column)
    bar.to_sheet = number + 1
    goes_on = sheet.left_over.setdefault(bar.node, replace(bar, up=[], down=[], from_sheet=number, to_sheet=0))
    (goes_on.up if column.end.kind == "source" and column.bar is None else goes_on.down).insert(0, column)


def _split(sheet: Sheet) -> None:
    """Take the last root off the sheet; the ties to it become columns that end at a reference."""
    last = sheet.roots.pop()
    for tie in [t for t in sheet.ties if t.right == last.node]:
        near = next(bar for bar in sheet.roots if bar.node == tie.left)
        near.down.append(Column(near.node, tie.steps, End("reference", last.node, last.node)))
        sheet.ties.remove(tie)
    if last.node in sheet.left_over:
        goes_on = sheet.left_over[last.node]
        last.down += goes_on.down
        last.up += goes_on.up
        last.to_sheet = 0
    sheet.left_over[last.node] = last
