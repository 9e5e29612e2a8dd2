from __future__ import annotations

import dataclasses
from types import ModuleType

import pymupdf
import pytest

from proposal.book import blocks as b
from proposal.publish import columns, templates
from proposal.publish.columns import column_shares, table_width
from proposal.publish.flow import Stretch, flow
from proposal.publish.fonts import width_em
from proposal.publish.pdf import render_pdf


def _w(*parts: object) -> b.Words:
    return b.Words(parts)  # type: ignore[arg-type]


def table(count: int, text: str, rows: int = 3, *, wide: bool = False, dense: bool = True) -> b.Table:
    heads = tuple(b.Column(f"C{n}", wide=wide and n == count - 1) for n in range(count))
    return b.Table("T", heads, tuple(b.Row(tuple(_w(text) for _ in heads)) for _ in range(rows)), dense=dense)


NARROW = table(4, "short text")
BROAD = table(12, "Switchboard")
TIGHT = table(30, "Switchboard")


def test_widths_are_those_of_the_font() -> None:
    # head.unitsPerEm 1000; advances of the regular face read with another tool: zero 497, m 829, space 200
    assert width_em("0") == pytest.approx(0.497)
    assert width_em("m") == pytest.approx(0.829, abs=0.01)
    assert width_em("000 ") == pytest.approx(3 * 0.497 + 0.2)
    assert width_em("m", strong=True) > width_em("m")
    assert width_em("\u4e2d") == 1.0


def test_the_style_sheet_sets_what_the_widths_were_reckoned_for() -> None:
    css = templates.read("css/print.css").decode()
    assert "margin: 22mm 18mm 20mm 20mm;" in css
    assert pytest.approx((210 - 18 - 20) * 72 / 25.4) == columns._UPRIGHT_PT
    assert columns._LANDSCAPE_PT <= (297 - 18 - 20) * 72 / 25.4
    assert ".rows { font-size: 8.8pt;" in css
    assert ".table--dense .rows { font-size: 7.8pt; }" in css
    assert columns._TYPE_PT == {False: 8.8, True: 7.8}


def test_a_table_that_does_not_fit_upright_lies_broad() -> None:
    assert [table_width(t) for t in (NARROW, BROAD, TIGHT)] == ["upright", "broad", "tight"]
    assert table_width(dataclasses.replace(table(9, "Switchboard"), dense=True)) == "upright"
    assert table_width(dataclasses.replace(table(9, "Switchboard"), dense=False)) == "broad"
    # a column of sentences needs room to be read
    sentence = "a sentence of many words that wants some room"
    numbers = [b.Cell("12,345 mm²", 1.0, "", 0, "x")] * 7
    heads = (*(b.Column("N") for _ in numbers), b.Column("Why", wide=True))
    row = b.Row((*(_w(cell) for cell in numbers), _w(sentence)))
    assert table_width(b.Table("T", heads, (row,))) == "broad"
    assert table_width(b.Table("T", (*heads[:-1], b.Column("Why")), (row,))) == "upright"


@pytest.mark.parametrize("which", [NARROW, BROAD, TIGHT, table(3, ""), b.Table("T", (b.Column("A"),), ())])
def test_shares_make_a_whole(which: b.Table) -> None:
    shares = column_shares(which)
    assert len(shares) == len(which.columns)
    assert sum(shares) == pytest.approx(100, abs=0.2)
    assert min(shares) > 0


def test_long_texts_get_the_room_and_numbers_stay_whole() -> None:
    rows = tuple(b.Row((_w("W1"), _w(b.Cell("1,234.5 A", 1.0, "A", 1, "x")), _w("many words " * 12))) for _ in range(5))
    made = b.Table("T", (b.Column("No."), b.Column("Current"), b.Column("Why", wide=True)), rows)
    shares = column_shares(made)
    assert shares[2] > 60
    room_em = 172 * 72 / 25.4 / 8.8
    assert shares[1] / 100 * room_em > width_em("1,234.5 A")


def test_a_broad_table_takes_its_headings_along() -> None:
    head, text = b.Heading("H", 2, "h"), b.Paragraph(_w("p"))
    after = b.Heading("I", 2, "i")
    page = b.Page("x", "X", ("client",), (table(4, "short", 30), head, text, BROAD, after, text))
    assert flow(page) == (
        Stretch("upright", (page.blocks[0],)),
        Stretch("broad", (head, text, BROAD)),
        Stretch("upright", (after, text)),
    )


def test_neighbours_share_their_landscape_pages_and_a_mostly_broad_chapter_lies_broad() -> None:
    long = table(4, "short", 60)
    twice = b.Page("x", "X", ("client",), (BROAD, b.Heading("H", 2, "h"), BROAD, long))
    assert [stretch.lie for stretch in flow(twice)] == ["broad", "upright"]
    mostly = b.Page("x", "X", ("client",), (b.Heading("H", 2, "h"), BROAD, table(4, "short", 2)))
    assert [stretch.lie for stretch in flow(mostly)] == ["broad"]
    assert flow(b.Page("x", "X", ("client",), ())) == (Stretch("upright", ()),)


def test_no_block_is_lost(sample: ModuleType) -> None:
    for page in sample.BOOK.pages:
        assert tuple(block for stretch in flow(page) for block in stretch.blocks) == page.blocks


@pytest.mark.parametrize("which", [BROAD, TIGHT], ids=["broad", "tight"])
def test_a_broad_table_is_printed_whole_on_landscape_pages(sample: ModuleType, which: b.Table) -> None:
    page = b.Page("one", "One", ("client",), (b.Heading("Head", 2, "h"), which))
    cover = dataclasses.replace(sample.COVER, cautions=())
    with pymupdf.open(stream=render_pdf(b.Book(cover, (page,), "en", "2026-03-14"), {})) as document:
        last = document[-1]
        assert last.rect.width > last.rect.height
        text = "".join(last.get_text().split())
        assert "Head" in text
        assert text.count("Switchboard") == 3 * len(which.columns)
        words = last.get_text("words")
        assert max(word[2] for word in words) <= last.rect.width - 18 * 72 / 25.4 + 1
