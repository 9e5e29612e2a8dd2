from __future__ import annotations

from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from proposal.errors import Problem
from proposal.results.evaluate import Evaluated, evaluate
from proposal.results.yard_model import YardSeal
from proposal.results.yard_row import MOST_PROBLEMS, row_from, row_of, row_of_problems, row_text
from proposal.spec.loading import load_project

PROJECTS = Path(__file__).parents[2] / "projects"


@pytest.fixture(scope="module")
def skarn() -> Evaluated:
    return evaluate(load_project(PROJECTS / "skarn"), {}, "a test", sheets=False)


def with_option(made: Evaluated, **changed: Any) -> Evaluated:
    """The same with other values in the first option, and no second."""
    first = replace(made.results.options[0], **changed)
    return replace(made, results=replace(made.results, options=(first,)))


def test_a_row_survives_its_text(skarn: Evaluated) -> None:
    text = row_text(row_of(skarn))
    assert row_text(row_from(text)) == text


@pytest.mark.parametrize("text", [b"", b"{}", b"[]", b'{"status": "afloat"}'])
def test_any_other_text_is_refused(text: bytes) -> None:
    with pytest.raises(ValueError, match=r"validation error|JSON"):
        row_from(text)


def test_parts_are_counted_as_they_stand_in_the_circuit(skarn: Evaluated) -> None:
    row = row_of(skarn)
    option = skarn.results.options[0]
    fuses = Counter(d.part_id for d in option.devices if d.kind == "fuse" and d.part_id is not None)
    told = {p.part: p for p in row.parts if p.option == "A"}
    assert {part: told[part].count for part in fuses} == dict(fuses)
    for part in fuses:
        names = {d.designation for d in option.devices if d.part_id == part}
        assert set(told[part].items) == names
    metres = sum(c.length_m for c in option.conductors if c.part_id is not None)
    assert sum(p.count for p in told.values() if p.unit == "metre") == pytest.approx(metres, abs=0.05 * len(told))


def test_what_is_priced_is_told(skarn: Evaluated) -> None:
    row = row_of(skarn)
    for letter, option in zip("AB", skarn.results.options, strict=True):
        bought = {line.part_id for line in option.price_lines if line.part_id is not None}
        assert bought <= {part.part for part in row.parts if part.option == letter}


@pytest.mark.parametrize(("interrupt_a", "stands"), [(999.9, "under"), (1000.0, None), (None, "unknown")])
def test_a_fuse_is_under_the_fault_current_by_a_hair(
    skarn: Evaluated, interrupt_a: float | None, stands: str | None
) -> None:
    devices = skarn.results.options[0].devices
    fuse = next(d for d in devices if d.kind == "fuse" and d.fault_a is not None)
    changed = replace(fuse, interrupt_a=interrupt_a, fault_a=1000.0)
    row = row_of(with_option(skarn, devices=(changed,)))
    assert [f.stands for f in row.fuses] == ([stands] if stands else [])


def test_a_switch_breaks_nothing_and_is_left_out(skarn: Evaluated) -> None:
    devices = skarn.results.options[0].devices
    changed = replace(devices[0], kind="switch", interrupt_a=None, fault_a=1000.0)
    assert row_of(with_option(skarn, devices=(changed,))).fuses == ()


def test_a_finding_of_both_options_counts_once(skarn: Evaluated) -> None:
    row = row_of(skarn)
    keys = [(f.id, f.cause, f.item, f.outcome, f.accepted_by) for f in row.findings]
    assert len(set(keys)) == len(keys)
    both = [f for f in row.findings if f.options == ("A", "B")]
    assert both
    found = [{(f.id, f.item) for f in option.findings} for option in skarn.results.options]
    assert all((f.id, f.item) in found[0] & found[1] for f in both)
    assert {(f.id, f.item) for f in row.findings} == found[0] | found[1]


def test_the_gravest_findings_stand_first(skarn: Evaluated) -> None:
    (first, *_), option = skarn.results.options[0].findings, skarn.results.options[0]
    others = tuple(
        replace(first, item=f"x{n}", severity=severity, outcome=outcome)
        for n, (severity, outcome) in enumerate(
            [("advice", "fires"), ("danger", "undecided"), ("fault", "fires"), ("danger", "fires")]
        )
    )
    row = row_of(with_option(skarn, findings=others))
    assert [(f.severity, f.outcome) for f in row.findings] == [
        ("danger", "fires"), ("danger", "undecided"), ("fault", "fires"), ("advice", "fires"),
    ]  # fmt: skip
    assert option.findings


def test_problems_beyond_the_first_are_counted() -> None:
    problems = [Problem("spec.yaml", n, 1, "wrong") for n in range(1, MOST_PROBLEMS + 3)]
    row = row_of_problems(problems, "a test")
    assert [p.line for p in row.problems] == list(range(1, MOST_PROBLEMS + 1))
    assert row.more_problems == 2


def test_a_proposal_with_seals_of_an_old_record_is_a_proposal(skarn: Evaluated) -> None:
    seals = (YardSeal(1, "2026-01-01", "skarn-1", 1, False, "", archive=False),)
    assert row_of(skarn, seals=seals).status == "proposal"
