"""Site and PDF say what the JSON says: every conductor, every fuse, every price, in every arrangement."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

from proposal.book.refs import resolve
from tests.e2e.conftest import PAIRS, PROPOSALS
from tests.e2e.published import Line, Published, agrees, squeeze
from tests.generate_options import ARRANGEMENTS

pytestmark = pytest.mark.slow

CONDUCTOR = ("size", "area_mm2", "length_m", "ampacity_a", "design_current_a", "fault_from_a", "fault_to_a")
FUSE = ("rating_a", "fault_a", "interrupt_a", "smallest_a", "largest_a", "voltage_max_v")
TOTALS = ("material", "labour", "contingency", "net", "tax", "total")


@pytest.fixture(params=PROPOSALS)
def proposal(request: pytest.FixtureRequest, published: Callable[[str], Published]) -> Published:
    return published(request.param)


def options(proposal: Published) -> list[tuple[str, str, Any]]:
    """Place in the JSON, letter and results of each option."""
    listed = proposal.results["options"]
    return [(f"options[{n}]", "ABCDEF"[n], option) for n, option in enumerate(listed)]


def test_all_arrangements_are_here(published: Callable[[str], Published]) -> None:
    listed = [o["arrangement"] for pair in PAIRS for o in published(pair).results["options"]]
    assert sorted(listed) == sorted(ARRANGEMENTS)


def test_every_number_on_the_site_is_the_one_in_the_json(proposal: Published) -> None:
    wrong, seen = [], 0
    for page, ref, text in proposal.numbers():
        value = resolve(proposal.results, ref)
        seen += 1
        if not agrees(text, value, ref):
            wrong.append(f"{page}: {text!r} is not {value!r} at {ref}")
    assert wrong == []
    assert seen > 500


def test_every_conductor_stands_in_the_schedule_with_its_numbers(proposal: Published) -> None:
    for path, letter, option in options(proposal):
        assert len(option["conductors"]) > 5
        for number, conductor in enumerate(option["conductors"]):
            ref = f"{path}.conductors[{number}]"
            rows = proposal.lines_about(ref, "cables")
            assert [row.cells[0] for row in rows] == [conductor["designation"]] * 2, ref
            assert all(f"Option {letter}" in row.table for row in rows)
            said = rows[0].numbers | rows[1].numbers
            drop = ("loop_drop_share",) if conductor["loop_drop_share"] is not None else ()
            for name in (*CONDUCTOR, *drop):
                assert agrees(said[f"{ref}.{name}"], conductor[name], name), f"{ref}.{name}"
            if conductor["loop_drop_share"] is None:
                assert f"{ref}.loop_drop_share" not in said
            assert {conductor["from_designation"], conductor["to_designation"]} <= set(rows[0].cells), ref


def test_every_conductor_is_explained_with_its_own_drop(proposal: Published) -> None:
    for path, letter, option in options(proposal):
        rows = [x for x in proposal.lines if x.page == "numbers" and f"Option {letter}" in x.table]
        explained = {}
        for row in rows:
            drops = [text for ref, text in row.numbers.items() if ref.endswith(".drop_v") and ".rejected" not in ref]
            sizes = [text for ref, text in row.numbers.items() if ref.endswith("].size")]
            if drops and sizes and any(ref.startswith(f"{path}.conductors[") for ref in row.numbers):
                for designation in row.cells[0].split(", "):
                    assert designation not in explained
                    explained[designation] = (sizes[0], drops[0])
        for conductor in option["conductors"]:
            size, drop = explained.pop(conductor["designation"])
            assert size == conductor["size"]
            assert agrees(drop, conductor["drop_v"], "drop_v"), conductor["designation"]
        assert not explained


def test_every_fuse_stands_in_the_schedule_with_its_numbers(proposal: Published) -> None:
    for path, letter, option in options(proposal):
        fuses = [(n, d) for n, d in enumerate(option["devices"]) if d["kind"] == "fuse"]
        assert fuses
        for number, fuse in fuses:
            ref = f"{path}.devices[{number}]"
            (row,) = proposal.lines_about(ref, "cables")
            assert row.cells[0] == fuse["designation"]
            assert f"Option {letter}" in row.table
            assert fuse["part_title"] == "" or fuse["part_title"] in row.cells, ref
            for name in FUSE:
                printed = row.numbers.get(f"{ref}.{name}")
                assert printed is not None or fuse[name] is None, f"{ref}.{name}"
                assert printed is None or agrees(printed, fuse[name], name), f"{ref}.{name}"


def test_every_other_device_stands_in_the_schedule(proposal: Published) -> None:
    for path, _, option in options(proposal):
        for number, device in enumerate(option["devices"]):
            if device["kind"] != "fuse":
                ref = f"{path}.devices[{number}]"
                (row,) = proposal.lines_about(ref, "cables")
                assert row.cells[0] == device["designation"]
                assert agrees(row.numbers[f"{ref}.rating_a"], device["rating_a"], "rating_a")
                assert agrees(row.numbers[f"{ref}.wanted_a"], device["wanted_a"], "wanted_a")


def test_every_price_line_and_total_stands_in_the_bill(proposal: Published) -> None:
    for path, letter, option in options(proposal):
        currency = {"EUR": "€"}[option["price"]["currency"]]
        lines = [x for x in proposal.lines if x.page == "price" and f"Option {letter}" in x.table]
        for number, line in enumerate(option["price_lines"]):
            (row,) = proposal.lines_about(f"{path}.price_lines[{number}]", "price")
            assert row is lines[number]
            assert row.cells[-1] == _money(line["amount"], currency), row
            assert line["unit"] == "sum" or row.cells[-2] == _money(line["unit_price"], currency), row
        totals = lines[len(option["price_lines"]) :]
        assert [row.cells[-1] for row in totals] == [_money(option["price"][name], currency) for name in TOTALS]


def _money(amount: str | None, currency: str) -> str:
    return f"{currency}{Decimal(amount):,.2f}" if amount is not None else "– no price"


def test_the_totals_add_up(proposal: Published) -> None:
    for _, _, option in options(proposal):
        price, amounts = option["price"], [Decimal(x["amount"] or 0) for x in option["price_lines"]]
        assert Decimal(price["net"]) == sum(amounts)
        assert Decimal(price["total"]) == Decimal(price["net"]) + Decimal(price["tax"])


def _row_text(row: Line) -> str:
    return squeeze("".join(row.cells))


def test_every_row_of_the_site_is_in_the_pdf_in_the_same_order(proposal: Published) -> None:
    text = proposal.pdf_text
    titles = {name: page.xpath("string(//article//h1)") for name, page in proposal.pages.items()}
    missing, seen = [], 0
    for name in proposal.pages:
        at = text.index(squeeze(titles[name]), text.index(squeeze("Contents")) + 1)
        for row in (x for x in proposal.lines if x.page == name):
            seen += 1
            found = text.find(_row_text(row), at)
            if found < 0:
                missing.append(f"{name}, {row.table}: {row.cells}")
            else:
                at = found + 1
    assert missing == []
    assert seen > 100


def test_each_conductor_and_fuse_of_the_json_is_in_the_pdf(proposal: Published) -> None:
    # Made from the JSON alone, past the book and the site: designation, ends, size, length as the schedule sets them.
    text = proposal.pdf_text
    for _, _, option in options(proposal):
        for c in option["conductors"]:
            sign = {"positive": "+", "negative": "−"}[c["pole"]]
            ends = c["from_designation"] + c["to_designation"]
            start = squeeze(f"{sign}{ends}{c['size']}·")
            assert c["designation"] in text
            assert start in text, (c["designation"], start)
        for fuse in (d for d in option["devices"] if d["kind"] == "fuse" and d["part_title"]):
            rating = f"{fuse['rating_a']:,.0f}A" if fuse["rating_a"] % 1 == 0 else f"{fuse['rating_a']}A"
            assert squeeze(fuse["part_title"]) + rating in text, fuse["designation"]
        for line in option["price_lines"]:
            if line["amount"] is not None:
                assert _money(line["amount"], "€") in text
