from __future__ import annotations

import pytest

from proposal.book.refs import each, resolve

DOCUMENT = {
    "options": [
        {"id": "a", "findings": [{"severity": "danger", "by": None}, {"severity": "fault", "by": "x"}]},
        {"id": "b", "findings": [], "values": {"length": 3}},
    ]
}


@pytest.mark.parametrize(
    ("ref", "value"),
    [
        ("options[1].id", "b"),
        ("options.length", 2),
        ("options[0].findings[severity=danger].length", 1),
        ("options[0].findings[severity=danger&by=None].length", 1),
        ("options[0].findings[severity=danger&by=x].length", 0),
        ("options[1].values.length", 3),
    ],
)
def test_a_path_leads_to_its_value(ref: str, value: object) -> None:
    assert resolve(DOCUMENT, ref) == value


@pytest.mark.parametrize(
    ("ref", "error"),
    [
        ("options[2].id", IndexError),
        ("options[0].nothing", KeyError),
        ("options.id", KeyError),
        ("options[0] id", ValueError),
        ("options[-1]", ValueError),
    ],
)
def test_a_wrong_path_is_an_error(ref: str, error: type[Exception]) -> None:
    with pytest.raises(error):
        resolve(DOCUMENT, ref)


def test_entries_know_their_place() -> None:
    assert [(entry.item, entry.path) for entry in each(("x", "y"), "list")] == [("x", "list[0]"), ("y", "list[1]")]
