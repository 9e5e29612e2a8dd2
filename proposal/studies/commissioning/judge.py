"""One reading against what was expected: passed, failed, or undecided with what is wanting."""

import re

from proposal.studies.commissioning.equations import about, above_at_most, at_current, contact, moved
from proposal.studies.commissioning.kinds import TestKind
from proposal.studies.commissioning.result import Band, Expected, Judged, Outcome, Taken, Wanting

AUXILIARY = "auxiliary"
OFFSET = "offset"
"""The two ways that prove a contactor open, as they are named in the words of how."""
_DENIED = r"\b(?:no|not|none|without|lacks?)\b(?: \w+){0,3}? "


def judge(wanted: Expected, kind: TestKind, taken: Taken) -> Judged:
    """The verdict on one reading.

    Figures that grow with the current are taken at that of the reading. A maker's figure that is stated with the
    reading takes the place of what nobody knew. What rests on something assumed or remembered is undecided. A load's
    drop with no current stated counts as read at the current that the spec states.
    """
    if taken.passed is False:
        return _as("fail", wanted)
    if wanted.test == "contactor_open":
        return _open(wanted, taken)
    if taken.value is None:
        return _without_figure(wanted, kind, taken)
    missing = _missing(wanted, kind, taken)
    if missing:
        return _as("undecided", wanted, missing)
    expected, band = _figures(wanted, kind, taken)
    return Judged("pass" if band.holds(taken.value) else "fail", "", expected, band)


def _missing(wanted: Expected, kind: TestKind, taken: Taken) -> Wanting:
    """What keeps a figure from being judged: a maker's figure, the current, or more of it."""
    if taken.wanted is not None:
        return ""
    if wanted.wanting:
        return wanted.wanting
    if wanted.at_a is None:
        return ""
    if taken.at_a is None:
        return "" if wanted.test == "load_drop" else "at_current"
    return "more_current" if taken.at_a < kind.least_share * wanted.at_a else ""


def _figures(wanted: Expected, kind: TestKind, taken: Taken) -> tuple[float | None, Band]:
    """Expected figure and band at the current of the reading, and by the maker's figure where it is stated."""
    stated, at_a, expected = taken.wanted, taken.at_a, wanted.expected
    if expected is not None and wanted.at_a and at_a is not None:
        expected = at_current(expected, at_a, wanted.at_a)
    figure = stated if stated is not None else expected
    band = wanted.band
    if wanted.basis == "contact" and at_a is not None:
        band = contact(at_a, kind.limit)
    elif wanted.basis == "at_least" and stated is not None:
        return expected, Band(stated, None)
    elif wanted.basis == "set" and stated is not None and expected is not None:
        band = moved(band, stated - expected)
    elif figure is not None and wanted.basis == "fuse":
        band = above_at_most(figure, kind.share)
    elif figure is not None and (wanted.basis in ("calculated", "maker") or stated is not None):
        band = about(figure, kind.share, kind.plus)
    return figure, band


def _without_figure(wanted: Expected, kind: TestKind, taken: Taken) -> Judged:
    """A word alone: it is enough where a test has no figure or can do without."""
    if kind.figure == "needed" and wanted.unit:
        return _as("undecided", wanted, "value")
    return _as("pass", wanted) if taken.passed else _as("undecided", wanted, "passed")


def _open(wanted: Expected, taken: Taken) -> Judged:
    """A contactor that is said to be open.

    No voltage across it proves nothing while both sides are equal; with one side offset it proves that it is shut.
    """
    by_auxiliary, by_offset = _says(taken.how, AUXILIARY), _says(taken.how, OFFSET)
    if taken.value is not None and wanted.band.holds(taken.value):
        return _as("pass", wanted)
    if taken.value is not None and by_offset:
        return _as("fail", wanted)
    if taken.passed and (by_auxiliary or by_offset):
        return _as("pass", wanted)
    by_voltage = taken.value is not None or "volt" in taken.how.lower()
    return _as("undecided", wanted, "offset" if by_voltage else "how_proven" if taken.passed else "passed")


def _says(how: str, way: str) -> bool:
    """Whether the words name a way and do not deny it: “without an offset” is none."""
    text = how.lower()
    return way in text and re.search(_DENIED + way, text) is None


def _as(outcome: Outcome, wanted: Expected, wanting: Wanting = "") -> Judged:
    return Judged(outcome, wanting, wanted.expected, wanted.band)
