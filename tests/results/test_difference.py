"""What is otherwise between two results: mirrored, complete, empty for equal ones; causes before consequences."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from proposal.results.codec import plain
from proposal.results.difference import difference, differences, marked
from proposal.results.difference_model import Difference, FieldChange, ItemDifference
from proposal.results.evaluate import evaluate
from proposal.results.model import OptionResult, Results
from proposal.spec.loading import load_project
from tests.generate import PROJECTS, spec_text

SIDES = {"new": "removed", "removed": "new", "changed": "changed"}
MARRAM = PROJECTS / "marram" / "spec.yaml"


def computed(text: str, folder: Path) -> Results:
    for name in ("installer.yaml", "prices.yaml"):
        shutil.copy(PROJECTS / name, folder / name)
    (folder / "spec.yaml").write_text(text, encoding="utf-8")
    return evaluate(load_project(folder), {}, "proposal 0").results


@cache
def marram() -> Results:
    return evaluate(load_project(MARRAM.parent), {}, "proposal 0").results


@pytest.fixture
def changed(tmp_path: Path) -> Callable[..., Difference]:
    """Marram's shared option against the same with some text of its spec replaced."""

    def make(*replaced: tuple[str, str]) -> Difference:
        text = MARRAM.read_text(encoding="utf-8")
        for old, new in replaced:
            assert old in text
            text = text.replace(old, new)
        return differences(marram(), computed(text, tmp_path), "shared", "shared")

    return make


def item(found: Difference, key: str) -> ItemDifference:
    return next(i for i in found.items if i.key == key)


def values(changes: tuple[FieldChange, ...]) -> dict[str, tuple[Any, Any]]:
    return {c.name: (c.before, c.after) for c in changes}


def test_the_same_is_no_difference() -> None:
    for option in marram().options:
        found = difference(option, option)
        assert found.is_empty
        assert found.items == found.findings == found.price.lines == found.consents == ()
        assert found.figures
        assert all(f.before == f.after for f in found.figures)


def test_two_metres_more_raise_the_drop_by_the_factor_of_the_length(changed: Callable[..., Difference]) -> None:
    # R = rho·l/A, and the radio takes the same current: the drop grows as the length, 1.5 m to 3.5 m.
    found = changed(("Panel to chart table, length: 1.5 m", "Panel to chart table, length: 3.5 m"))
    lead = item(found, "loads.vhf.positive")
    assert lead.change == "changed"
    assert values(lead.causes) == {"length_m": (1.5, 3.5)}
    follows = values(lead.consequences)
    before, after = follows["drop_v"]
    assert after / before == pytest.approx(3.5 / 1.5, rel=1e-6)
    before, after = follows["resistance_20c_ohm"]
    assert after / before == pytest.approx(3.5 / 1.5, rel=1e-8), "nine digits in the JSON"
    # rho of copper at 20 °C, 0.01724 Ohm·mm²/m (IEC 60028), 10 AWG = 5.261 mm²; stranded and tinned is a little more
    assert after == pytest.approx(0.01724 * 3.5 / 5.261, rel=0.05)
    assert "design_current_a" not in follows, "the same current"
    assert found.items.index(lead) < next(n for n, i in enumerate(found.items) if not i.causes)


def test_a_size_that_was_pinned_is_a_cause_and_one_that_was_chosen_follows(changed: Callable[..., Difference]) -> None:
    found = changed(("item: loads.vhf.positive, fitted: 10 AWG", "item: loads.vhf.positive, fitted: 8 AWG"))
    lead = item(found, "loads.vhf.positive")
    assert values(lead.causes)["size"] == ("10 AWG", "8 AWG")
    longer = changed(("Main bus to windlass, length: 11 m", "Main bus to windlass, length: 21 m"))
    lead = item(longer, "loads.windlass.positive")
    assert list(values(lead.causes)) == ["length_m"]
    assert "size" in values(lead.consequences), "nobody pinned it: the design chose a larger one"


def test_a_load_that_is_new_brings_its_conductors(changed: Callable[..., Difference]) -> None:
    radio = next(line for line in MARRAM.read_text(encoding="utf-8").splitlines() if line.startswith("  vhf:"))
    found = changed((radio, f"{radio}\n{radio.replace('  vhf:', '  second:')}"))
    new = {i.key for i in found.items if i.change == "new"}
    assert {"loads.second", "loads.second.positive", "loads.second.negative"} <= new
    lead = item(found, "loads.second.positive")
    assert values(lead.causes)["length_m"] == (None, 1.5)
    assert values(lead.causes)["size"][0] is None
    assert found.items[0].change == "new" or found.items[0].causes
    more = next(t for t in found.price.totals if t.name == "total")
    assert more.more == more.after - more.before
    assert more.more is not None
    assert more.more > 0


def test_what_is_marked_in_the_drawing_of_each_side(changed: Callable[..., Difference]) -> None:
    radio = next(line for line in MARRAM.read_text(encoding="utf-8").splitlines() if line.startswith("  vhf:"))
    longer = ("Main bus to windlass, length: 11 m", "Main bus to windlass, length: 21 m")
    found = changed((radio, radio.replace("  vhf:", "  second:")), ("item: loads.vhf.", "item: loads.second."), longer)
    before, after = marked(found, "before"), marked(found, "after")
    assert before["loads.vhf"] == before["loads.vhf.fuse"] == "removed"
    assert after["loads.second"] == after["loads.second.fuse"] == "new"
    assert "loads.second" not in before
    assert "loads.vhf" not in after
    assert before["loads.windlass.positive"] == after["loads.windlass.positive"] == "changed"
    chosen = next(i for i in found.items if not i.causes and any(c.name == "size" for c in i.consequences))
    assert after[chosen.key] == "changed", "another size is seen in the drawing, whoever chose it"
    only = next(i for i in found.items if not i.causes and {c.name for c in i.consequences} == {"fault_a"})
    assert only.key not in after


def test_a_setting_is_a_cause_of_its_item(changed: Callable[..., Difference]) -> None:
    found = changed(("controller: solar_100_50_12v, voltage: 14.2 V", "controller: solar_100_50_12v, voltage: 14.3 V"))
    set_otherwise = [(i.key, c) for i in found.items for c in i.causes if c.name == "settings.absorption.value_v"]
    assert set_otherwise
    assert all((c.before, c.after) == (14.2, 14.3) for _, c in set_otherwise)


def test_below_the_ninth_digit_nothing_is_otherwise() -> None:
    option = marram().options[0]
    first = option.conductors[0]
    for factor, empty in ((1 + 1e-11, True), (1 + 1e-7, False)):
        other = replace(option, conductors=(replace(first, drop_v=first.drop_v * factor), *option.conductors[1:]))
        assert difference(option, other).is_empty is empty


def test_findings_come_go_and_change() -> None:
    option = marram().options[1]
    one, two, *others = option.findings
    louder = replace(one, values={**one.values, "more": 1.0})
    found = difference(replace(option, findings=(one, two)), replace(option, findings=(louder, *others)))
    by_id = {(f.after or f.before).id: f.change for f in found.findings if f.after or f.before}  # type: ignore[union-attr]
    assert by_id == {one.id: "changed", two.id: "gone", **{f.id: "new" for f in others}}
    moved = replace(one, where="spec.yaml:1:1")
    assert difference(option, replace(option, findings=(moved, two, *others))).is_empty, "only its line moved"
    taken = replace(one, accepted_by="Somebody")
    assert difference(option, replace(option, findings=(taken, two, *others))).findings[0].change == "changed"


def test_several_findings_of_one_item_are_matched_by_what_they_say() -> None:
    option = marram().options[1]
    one = option.findings[0]
    twice = (one, replace(one, values={"n": 1}), replace(one, values={"n": 2}))
    found = difference(replace(option, findings=twice), replace(option, findings=(twice[2], twice[0])))
    assert [(f.change, f.before and f.before.values) for f in found.findings] == [("gone", {"n": 1})]


def test_prices_in_other_currencies_are_not_subtracted() -> None:
    option = marram().options[0]
    other = replace(option, price=replace(option.price, currency="XTS"))
    found = difference(option, other)
    assert not found.is_empty
    assert all(t.more is None for t in found.price.totals)
    assert all(x.more is None for x in difference(marram().options[1], other).price.lines)
    dearer = replace(option, price=replace(option.price, total=option.price.total + Decimal("0.01")))
    assert [t.more for t in difference(option, dearer).price.totals][-1] == Decimal("0.01")


def test_consents_that_are_needed_now_or_given() -> None:
    option = marram().options[0]
    first = option.consents[0]
    found = difference(option, replace(option, consents=(replace(first, state="missing"), *option.consents[2:])))
    assert {(c.code, c.after) for c in found.consents} == {(first.code, "missing"), (option.consents[1].code, "")}


# --- mirrored and complete -------------------------------------------------------------------------------------------


def turned(changes: tuple[FieldChange, ...]) -> tuple[FieldChange, ...]:
    return tuple(FieldChange(c.name, c.after, c.before) for c in changes)


def without_names(found: Difference) -> Any:
    """Everything but designation and title, which are those of the later one."""
    items = tuple(replace(i, designation="", title="", what="") for i in found.items)
    return replace(
        found,
        items=items,
        consents=tuple(replace(c, who="", what="") for c in found.consents),
        price=replace(
            found.price,
            lines=tuple(replace(x, title="", part_id=None, unit="", note="", items=()) for x in found.price.lines),
        ),
    )


def mirrored(found: Difference) -> Difference:
    gone = {"new": "gone", "gone": "new", "changed": "changed"}
    price = found.price
    return replace(
        found,
        option_before=found.option_after,
        option_after=found.option_before,
        about=turned(found.about),
        figures=tuple(
            replace(f, before=f.after, after=f.before, at_before=f.at_after, at_after=f.at_before)
            for f in found.figures
        ),
        items=tuple(
            replace(
                i, change=SIDES[i.change], causes=turned(i.causes), consequences=turned(i.consequences),
                remarks=turned(i.remarks),
            )
            for i in found.items
        ),
        findings=tuple(replace(f, change=gone[f.change], before=f.after, after=f.before) for f in found.findings),
        price=replace(
            price,
            currency_before=price.currency_after,
            currency_after=price.currency_before,
            lines=tuple(
                replace(
                    x, change=SIDES[x.change],
                    quantity_before=x.quantity_after, quantity_after=x.quantity_before,
                    unit_price_before=x.unit_price_after, unit_price_after=x.unit_price_before,
                    amount_before=x.amount_after, amount_after=x.amount_before,
                    more=None if x.more is None else -x.more,
                )
                for x in price.lines
            ),
            totals=tuple(
                replace(t, before=t.after, after=t.before, more=None if t.more is None else -t.more)
                for t in price.totals
            ),
        ),
        consents=tuple(replace(c, before=c.after, after=c.before) for c in found.consents),
    )  # fmt: skip


def missed(a: OptionResult, b: OptionResult, found: Difference) -> list[tuple[str, str]]:
    """Fields of conductors and devices that differ in the JSON and are not in the difference."""
    told = {
        (i.key, c.name.partition(".")[0].partition("[")[0])
        for i in found.items
        for c in (*i.causes, *i.consequences, *i.remarks)
    }
    whole = {i.key for i in found.items if i.change != "changed"}
    wanting = []
    for table in ("conductors", "devices"):
        old, new = ({row["key"]: row for row in plain(getattr(o, table))} for o in (a, b))
        for key in old.keys() | new.keys():
            if key not in old or key not in new:
                wanting += [] if key in whole else [(key, "")]
                continue
            wanting += [(key, n) for n in old[key] if old[key][n] != new[key][n] and (key, n) not in told]
    return wanting


def check(a: OptionResult, b: OptionResult) -> None:
    found = difference(a, b)
    assert missed(a, b, found) == []
    assert without_names(difference(b, a)) == without_names(mirrored(found))
    assert difference(a, a).is_empty
    for one in found.items:
        for change in (*one.causes, *one.consequences, *one.remarks):
            assert change.before != change.after, (one.key, change)


@pytest.mark.parametrize("seed", range(6))
def test_generated_options_differ_by_exactly_what_their_json_does(seed: int, tmp_path: Path) -> None:
    rng = random.Random(f"difference {seed}")  # noqa: S311 - test data
    one, two = computed(spec_text(rng, most_loads=8), tmp_path).options
    check(one, two)


def test_the_options_of_the_demonstration_differ_by_exactly_what_their_json_does() -> None:
    check(*marram().options)
