"""Which columns go on which sheet: all on one if they fit, else the last loads of the fullest bus move on."""

from dataclasses import dataclass, replace
from typing import Protocol, TypeVar

from proposal.drawings.topology import Bar, Column, Plan, Tie, all_bars, refer

Composed_co = TypeVar("Composed_co", covariant=True)


@dataclass(slots=True)
class Sheet:
    """Root bars and ties of one sheet, and what had to leave it, by bar."""

    roots: list[Bar]
    ties: list[Tie]
    left_over: dict[str, Bar]


class Attempt(Protocol[Composed_co]):
    """Composes a sheet at the roomiest style that fits, or at the tightest only; None where it doesn't fit."""

    def __call__(self, sheet: Sheet, /, *, tightest: bool) -> Composed_co | None:
        """Compose the sheet."""


def paginate(plan: Plan, attempt: Attempt[Composed_co]) -> list[Composed_co]:
    """Sheets in order. Raises ValueError if a single column is larger than a sheet."""
    done: list[Composed_co] = []
    roots, ties = list(plan.roots), list(plan.ties)
    while roots:
        sheet = Sheet(roots, ties, {})
        if attempt(sheet, tightest=True) is None:
            while len(sheet.roots) > 1 and attempt(_skeleton(sheet), tightest=True) is None:
                _split(sheet)
            while _shed(sheet, len(done) + 1) and attempt(sheet, tightest=True) is None:
                pass
        composed = attempt(sheet, tightest=False)
        if composed is None:
            raise ValueError("a single column of this circuit is larger than a sheet")
        done.append(composed)
        roots, ties = list(sheet.left_over.values()), []
    return done


def _shed(sheet: Sheet, number: int) -> bool:
    """Move one column to the next sheet; False if nothing can move."""
    bars = all_bars(sheet.roots)

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
    return False


def _skeleton(sheet: Sheet) -> Sheet:
    """The sheet with nothing but what must stay on it: storage and ties."""
    roots = [replace(bar, up=[], down=[c for c in bar.down if c.holds_battery()]) for bar in sheet.roots]
    return Sheet(roots, sheet.ties, {})


def _move(sheet: Sheet, bar: Bar, column: Column, number: int) -> None:
    (bar.up if column in bar.up else bar.down).remove(column)
    bar.to_sheet = number + 1
    for moved in all_bars([column.bar] if column.bar is not None else []):
        _reunite(sheet, moved)
    goes_on = sheet.left_over.setdefault(bar.node, replace(bar, up=[], down=[], from_sheet=number, to_sheet=0))
    (goes_on.up if column.end.kind == "source" and column.bar is None else goes_on.down).insert(0, column)


def _reunite(sheet: Sheet, bar: Bar) -> None:
    """A bar that moves as a whole takes back what had left it before."""
    rest = sheet.left_over.pop(bar.node, None)
    if rest is not None:
        bar.down += rest.down
        bar.up += rest.up
        bar.to_sheet = 0


def _split(sheet: Sheet) -> None:
    """Take the last root off the sheet; the ties to it become columns that end at a mark."""
    last = sheet.roots.pop()
    for tie in [t for t in sheet.ties if t.right == last.node]:
        near = next(bar for bar in sheet.roots if bar.node == tie.left)
        refer(near, last, tie.steps)
        sheet.ties.remove(tie)
    for bar in all_bars([last]):
        _reunite(sheet, bar)
    sheet.left_over[last.node] = last
