"""Codes decoded again by another library, from the drawing as it is printed."""

from __future__ import annotations

import re

import pytest

from proposal.drawings.code import QUIET, square_code
from tests.decoding import decoded

TEXTS = ("https://records.example/MA-2026-07?a=1&b=2", "Käpt’n, 12 V · öffne “Q2”\n1 Stop\n2 Öffnen: Ω", "x" * 900)


def code(text: str, **changed: str) -> bytes:
    fields = {"prefix": "code", "title": "A <code>", "description": 'for "all"', "language": "en-GB"}
    return square_code(text, **{**fields, **changed})


@pytest.mark.parametrize("text", TEXTS)
def test_another_library_reads_the_same_text(text: str) -> None:
    assert decoded(code(text)) == text


def test_same_text_same_bytes_and_another_text_another_code() -> None:
    assert code("a") == code("a")
    assert code("a") != code("b")


def test_the_code_has_its_quiet_zone_and_squares_that_paper_can_hold() -> None:
    svg = code("x" * 900).decode()
    size = int(re.search(r'viewBox="0 0 (\d+) ', svg)[1])  # type: ignore[index]
    width_mm = float(re.search(r'width="([\d.]+)mm"', svg)[1])  # type: ignore[index]
    assert width_mm / size >= 0.5
    places = [(int(x), int(y), int(n)) for x, y, n in re.findall(r"M(\d+) (\d+)h(\d+)", svg)]
    assert min(x for x, _, _ in places) == QUIET
    assert min(y for _, y, _ in places) == QUIET
    assert max(x + n for x, _, n in places) == size - QUIET


def test_words_are_encoded() -> None:
    svg = code("a", title="</title><script>", description='"&', prefix="p").decode()
    assert "<script>" not in svg
    assert "&lt;script&gt;" in svg


def test_a_text_that_no_code_holds_is_refused() -> None:
    with pytest.raises(ValueError, match="data"):
        code("x" * 3000)
