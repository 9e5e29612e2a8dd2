"""Reads the copies of the reference beside this file; each row carries its source and its status."""

import csv
from pathlib import Path

HERE = Path(__file__).parent
Row = dict[str, str]


def printed(name: str, **where: str) -> list[Row]:
    """Rows of a printed table, those only whose columns read as asked."""
    with (HERE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if all(row[column] == text for column, text in where.items())]


def one(name: str, **where: str) -> Row:
    """The only such row."""
    (row,) = printed(name, **where)
    return row


def bounds(text: str) -> tuple[float, float]:
    """Both ends of "1.20-1.30" or "<=3"; a single number is both."""
    ends = [float(word) for word in text.removeprefix("<=").split("-")]
    return ends[0], ends[-1]
