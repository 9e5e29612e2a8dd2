"""The first current at joining in the choice of relays and fuses."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from proposal.circuit.build import build_circuit
from proposal.codes import family
from proposal.codes.family import RuleFamily
from proposal.design.joining import joining_currents
from proposal.design.result import Design
from proposal.design.step import design
from proposal.parts.catalogue import Catalogue
from proposal.spec.loading import load_project
from proposal.spec.overlay import effective
from proposal.studies.faults.study import fault_currents
from proposal.studies.joins.result import Join
from proposal.studies.joins.study import first_currents
from tests.generate import CELLS, PROJECTS, Built, cell, designed

EACH = pytest.mark.parametrize(
    "built", [cell(a, v) for a, v in CELLS if a not in ("one_bank", "lithium_with_dc_dc")], ids=lambda built: built.name
)
CONTACTOR = "banks.lithium.contactor"


def marram(**contactor: Any) -> tuple[Design, RuleFamily, Catalogue]:
    """The shared bank of Marram with another rule of its controller, or other contactors for sale."""
    read = load_project(PROJECTS / "marram")
    spec = read.spec.value
    option = spec.options["shared"]
    makes_a = contactor.pop("makes_a", None)
    assert option.contactor is not None
    option = option.model_copy(update={"contactor": option.contactor.model_copy(update=contactor)})
    spec = spec.model_copy(update={"options": {**spec.options, "shared": option}})
    book = read.prices.value
    if makes_a is not None:
        weak = {
            key: part.model_copy(update={"make_a": makes_a}) if part.kind == "contactor" else part
            for key, part in book.parts.items()
        }
        book = book.model_copy(update={"parts": weak})
    laid = effective(spec, read.installer.value, "shared")
    catalogue, rules = Catalogue.of(book, laid.parts), family(laid.family)
    return design(build_circuit(laid, catalogue, rules), laid.pins, catalogue, rules), rules, catalogue


@EACH
def test_relays_make_and_fuses_bear_what_they_join_or_nothing_for_sale_could(built: Built) -> None:
    """From outside: the joins of the finished circuit against what was chosen."""
    made = designed(built)
    joins = first_currents(made.circuit, built.family)
    _, faults = fault_currents(made.circuit, built.family)
    could = joining_currents(made.circuit, joins, faults, built.catalogue, built.family)
    for device in made.circuit.devices:
        if device.key not in could or device.part is None or device.pinned:
            continue
        if device.kind == "fuse":
            assert device.part.rating_a >= could[device.key] * (1.0 - 1e-6), device.key
        elif device.kind in ("contactor", "vsr"):
            makes = [
                part.make_a or 0.0 for part in built.catalogue.parts.values()
                if part.kind == device.kind and part.coil_v == built.circuit.system_v
            ]  # fmt: skip
            assert device.part.make_a >= could[device.key] * (1.0 - 1e-6) or max(makes) < could[device.key], device.key


def test_a_controller_that_waits_asks_for_less_than_one_that_does_not() -> None:
    """With both directions ruled to 0.15 V the lead's fuse is asked for less than two thirds of the first current."""
    free, rules, _ = marram()
    waiting, _, _ = marram(lithium_above_v=0.1)
    first_a = max(join.current_a for join in first_currents(free.circuit, rules))
    assert first_a > 150.0
    assert max(join.current_a for join in first_currents(waiting.circuit, rules)) < 30.0
    fuse = "banks.lead.fuse"
    assert free.windows[fuse].smallest_a == pytest.approx(first_a / 1.5, rel=1e-6)
    assert waiting.windows[fuse].smallest_a < free.windows[fuse].smallest_a


def test_a_contactor_that_cannot_make_it_is_turned_down_and_says_so() -> None:
    made, rules, _ = marram()
    first_a = max(join.current_a for join in first_currents(made.circuit, rules))
    chosen = made.circuit.device[CONTACTOR].part
    assert chosen is not None
    weak, _, _ = marram(makes_a=first_a / 2.0)
    # none makes it: the smallest that carries the current stays, and the check of joining tells
    assert weak.circuit.device[CONTACTOR].part is not None
    why = {r.reason.code: r.reason.values for r in weak.choices[CONTACTOR].rejected}
    assert why["make_rating"]["rating_a"] == first_a / 2.0
    assert float(why["make_rating"]["joining_a"] or 0.0) > first_a / 2.0


def test_no_cable_is_made_thicker_for_what_no_fuse_could_bear() -> None:
    made, rules, catalogue = marram()
    _, faults = fault_currents(made.circuit, rules)
    (join,) = (j for j in first_currents(made.circuit, rules) if j.situation == "far_empty")
    huge: Join = replace(join, current_a=1e5)
    found = joining_currents(made.circuit, [huge], faults, catalogue, rules)
    assert CONTACTOR in found
    assert not any(made.circuit.device[key].kind == "fuse" for key in found)


def test_what_does_not_happen_asks_for_nothing() -> None:
    made, rules, catalogue = marram()
    _, faults = fault_currents(made.circuit, rules)
    never = [replace(j, current_a=0.0, ruled_by="not_sensed") for j in first_currents(made.circuit, rules)]
    assert joining_currents(made.circuit, never, faults, catalogue, rules) == {}


@pytest.mark.parametrize("pinned", [True, False])
def test_a_thin_conductor_may_grow_for_a_joining_current_unless_it_is_pinned(pinned: bool) -> None:
    made, rules, catalogue = marram()
    _, faults = fault_currents(made.circuit, rules)
    joins = first_currents(made.circuit, rules)
    fuse = "banks.lead.fuse"
    guarded = made.circuit.device[fuse].guards
    thin = tuple(
        replace(c, size=rules.sizes[0], pinned=pinned) if c.key in guarded else c for c in made.circuit.conductors
    )
    found = joining_currents(
        replace(made.circuit, conductors=thin, memo={}), joins, faults, catalogue, rules
    )  # fmt: skip
    assert (fuse in found) is not pinned
    assert CONTACTOR in found
