"""Choices judged from outside: by what the catalogue holds, by longer routes, by the largest size there is."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise
from typing import Any

import pytest
import yaml

from proposal.codes.family import highest_system_v
from proposal.design.drops import drops
from proposal.design.result import Design
from proposal.studies.flow.study import load_flow
from tests.generate import CELLS, PROJECT_NAMES, Built, cell, designed, options_of, project, seeded, spec_text

SEEDS = range(20, 32)
MANY = [cell(a, v) for a, v in CELLS]
EACH = pytest.mark.parametrize("built", MANY, ids=lambda built: built.name)
SOME = pytest.mark.parametrize("seed", SEEDS)


def both(seed: int) -> list[tuple[Built, Design]]:
    return [(built, designed(built)) for built in seeded(seed, most_loads=12)]


@EACH
def test_switches_relays_and_shunts_carry_what_goes_through_them(built: Built) -> None:
    made = designed(built)
    high_v = highest_system_v(built.circuit.system_v).value
    for device in made.circuit.devices:
        part, demand = device.part, made.flow.demands[device.key]
        if device.kind == "fuse" or part is None or device.pinned:
            continue
        assert part.rating_a >= demand.current_a * (1.0 - 1e-9)
        seconds_a = part.rating_a if device.kind == "shunt" else part.cranking_a or part.rating_a
        assert seconds_a >= demand.cranking_a * (1.0 - 1e-9)
        if device.kind != "shunt":
            assert part.voltage_max_v >= high_v
        if device.kind in ("contactor", "vsr"):
            assert part.coil_v == built.circuit.system_v


@EACH
def test_buses_carry_what_goes_through_them(built: Built) -> None:
    made = designed(built)
    for bus in made.circuit.buses:
        if bus.part is not None and not bus.pinned:
            assert bus.part.rating_a >= made.wanted_a[bus.key] * (1.0 - 1e-9)
            assert bus.part.voltage_max_v >= highest_system_v(built.circuit.system_v).value


@SOME
def test_an_item_is_left_open_only_where_the_price_book_holds_nothing_for_it(seed: int) -> None:
    for built, made in both(seed):
        high_v = highest_system_v(built.circuit.system_v).value
        for key in made.open_items:
            device = made.circuit.device.get(key)
            if device is None or device.kind != "fuse":
                continue
            window = made.windows[key]
            most_a = min(window.largest_a, device.maker_fuse_a or window.largest_a)
            fault_a = max(made.faults.at(device.from_node), made.faults.at(device.to_node))
            fitting = [
                part_id
                for part_id, part in built.catalogue.fuses()
                if window.smallest_a <= part.rating_a <= most_a
                and part.voltage_max_v >= high_v
                and part.interrupt_a >= 3.0 * fault_a  # whatever margin is asked for doubtful batteries
            ]
            table = built.family.minimum_interrupt_a(10_000.0, main=True)
            assert not [i for i in fitting if built.catalogue.parts[i].interrupt_a >= (table.value if table else 0.0)]


@SOME
def test_a_drop_above_its_limit_stays_above_with_the_largest_size_everywhere(seed: int) -> None:
    """Or its own conductors have that size already: larger ones elsewhere might shift who feeds it."""
    for built, made in both(seed):
        over = [d for d in made.drops.values() if d.limit_v is not None and d.drop_v > d.limit_v * (1.0 + 1e-6)]
        if not over:
            continue
        sold = set(built.catalogue.cable_sizes(built.family.size_system, made.circuit.conductors[0].insulation_c))
        top = [size for size in built.family.sizes if size in sold][-1]
        fat = made.circuit.with_parts(
            conductors=tuple(c if c.pinned else replace(c, size=top) for c in made.circuit.conductors)
        )
        least = drops(fat, load_flow(fat, built.family), built.family)
        for drop in over:
            own = [c.size for c in made.circuit.conductors if c.circuit == drop.item and not c.pinned]
            if own and set(own) == {top}:
                continue
            assert least[drop.item].drop_v > drop.limit_v * 0.99


@SOME
def test_the_strings_of_a_bank_have_conductors_of_one_size(seed: int) -> None:
    """Unequal ones would share its current unequally."""
    for _, made in both(seed):
        for bank in made.circuit.banks:
            sizes = {c.size for c in made.circuit.conductors if c.circuit in bank.strings and not c.pinned}
            assert len(sizes) <= 1


@SOME
def test_no_conductor_is_larger_than_its_reasons_ask(seed: int) -> None:
    """A size that was raised says for what, and each smaller one was turned down; the top size is not exceeded."""
    for built, made in both(seed):
        ladder = [size.label for size in built.family.sizes]
        for conductor in made.circuit.conductors:
            choice = made.choices[conductor.key]
            if conductor.pinned:
                assert choice.decided_by.code == "pinned"
                continue
            assert conductor.size is not None
            turned_down = [r.candidate for r in choice.rejected]
            assert conductor.size.label not in turned_down
            assert [ladder.index(label) for label in turned_down] == sorted(ladder.index(x) for x in turned_down)
            if turned_down:
                assert ladder.index(turned_down[-1]) == ladder.index(conductor.size.label) - 1
                assert choice.rejected[-1].reason == choice.decided_by


def spec_with_own_route(seed: int) -> tuple[dict[str, Any], str]:
    """A spec whose first load has a route to itself."""
    spec = yaml.safe_load(spec_text(random.Random(seed), most_loads=6))  # noqa: S311 - test data
    load = next(iter(spec["loads"]))
    spec["routes"]["own"] = dict(spec["routes"][spec["loads"][load]["route"]])
    spec["loads"][load]["route"] = "own"
    for option in spec["options"].values():
        option.pop("pins", None)
    return spec, load


@dataclass(frozen=True)
class Sized:
    """Area of a load's conductor [mm²], and whether its voltage drop is within the limit."""

    area_mm2: float
    met: bool


def sized(spec: dict[str, Any], load: str) -> list[Sized]:
    found = []
    for built in options_of(yaml.safe_dump(spec, sort_keys=False, allow_unicode=True)):
        made = built.design()
        size = made.circuit.conductor[f"loads.{load}.positive"].size
        drop = made.drops.get(f"loads.{load}")
        assert size is not None
        met = drop is not None and drop.limit_v is not None and drop.drop_v <= drop.limit_v * (1.0 + 1e-6)
        found.append(Sized(size.area_mm2, met))
    return found


def never_smaller(found: list[list[Sized]]) -> None:
    """Each step's conductors are at least as large as the last one's, as long as the drop can be met at all."""
    for before, after in pairwise(found):
        for one, other in zip(before, after, strict=True):
            assert one.area_mm2 <= other.area_mm2 or not other.met
            assert one.met or not other.met


@pytest.mark.parametrize("seed", range(40, 48))
def test_a_longer_route_never_gets_a_smaller_conductor(seed: int) -> None:
    spec, load = spec_with_own_route(seed)
    found = []
    for metres in (0.5, 2.0, 6.0, 18.0):
        spec["routes"]["own"]["length"] = f"{metres} m"
        found.append(sized(spec, load))
    never_smaller(found)


@pytest.mark.parametrize("seed", range(40, 46))
def test_a_larger_load_never_gets_a_smaller_conductor(seed: int) -> None:
    spec, load = spec_with_own_route(seed)
    entry = spec["loads"][load]
    entry.pop("power", None)
    found = []
    for amps in (0.5, 3.0, 12.0, 30.0):
        entry |= {"current": f"{amps} A", "maker_fuse": "200 A"}
        found.append(sized(spec, load))
    never_smaller(found)
    assert all(one.area_mm2 < other.area_mm2 for one, other in zip(found[0], found[-1], strict=True) if other.met)


@pytest.mark.parametrize("seed", range(50, 54))
def test_the_order_of_names_in_the_spec_does_not_matter(seed: int) -> None:
    spec = yaml.safe_load(spec_text(random.Random(seed), most_loads=12))  # noqa: S311 - test data
    turned = dict(spec)
    for section in ("loads", "sources", "routes", "panels"):
        if section in spec:
            turned[section] = dict(reversed(spec[section].items()))
    texts = [yaml.safe_dump(tree, sort_keys=False, allow_unicode=True) for tree in (spec, turned)]
    for one, other in zip(options_of(texts[0]), options_of(texts[1]), strict=True):
        first, second = one.design(), other.design()
        sizes = [{c.key: c.size for c in d.circuit.conductors} for d in (first, second)]
        parts = [{d.key: d.part_id for d in (*x.circuit.devices, *x.circuit.buses)} for x in (first, second)]
        assert sizes[0] == sizes[1]
        assert parts[0] == parts[1]


@cache
def again(name: str) -> dict[str, Design]:
    return {built.name: built.design() for built in project(name)}


@pytest.mark.parametrize("name", PROJECT_NAMES)
def test_the_same_spec_gives_the_same_design(name: str) -> None:
    for built in project(name):
        first, second = designed(built), again(name)[built.name]
        assert first.circuit == second.circuit
        assert first.choices == second.choices
        assert {k: s.voltage_v for k, s in first.flow.solutions.items()} == {
            k: s.voltage_v for k, s in second.flow.solutions.items()
        }


def test_a_pinned_conductor_that_is_too_small_stays_and_is_judged() -> None:
    spec, load = spec_with_own_route(41)
    spec["loads"][load] |= {"current": "40 A"}
    spec["loads"][load].pop("power", None)
    spec["options"]["way_a"]["pins"] = {f"loads.{load}": "16 AWG"}
    built = next(options_of(yaml.safe_dump(spec, sort_keys=False, allow_unicode=True)))
    made = built.design()
    conductor = made.circuit.conductor[f"loads.{load}.positive"]
    assert conductor.size is not None
    assert conductor.size.label == "16 AWG"
    assert made.ampacities[conductor.key].ampacity_a < made.flow.demands[conductor.key].current_a
    window = made.windows[f"loads.{load}.fuse"]
    assert window.smallest_a > window.largest_a
    assert f"loads.{load}.fuse" in made.open_items


@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(4000, 4150))
def test_many_generated_designs(seed: int) -> None:
    test_an_item_is_left_open_only_where_the_price_book_holds_nothing_for_it(seed)
    test_a_drop_above_its_limit_stays_above_with_the_largest_size_everywhere(seed)
    test_the_strings_of_a_bank_have_conductors_of_one_size(seed)
    test_no_conductor_is_larger_than_its_reasons_ask(seed)
    test_a_longer_route_never_gets_a_smaller_conductor(seed)
    test_a_larger_load_never_gets_a_smaller_conductor(seed)
    test_the_order_of_names_in_the_spec_does_not_matter(seed)
