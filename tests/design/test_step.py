"""What holds for every design, over generated specs of all arrangements, voltages and rule families."""

import random
from functools import cache

import pytest

from proposal.codes.family import highest_system_v
from proposal.design.result import Design
from proposal.design.step import MOST_ROUNDS, design
from proposal.spec.overlay import Pin
from tests.generate import CELLS, cell, options_of, seeded, spec_text

SEEDS = range(14)


@cache
def made(seed: int, number: int) -> Design:
    return seeded(seed, most_loads=16)[number].design()


EACH = pytest.mark.parametrize(("seed", "number"), [(s, n) for s in SEEDS for n in (0, 1)])


@EACH
def test_it_ends(seed, number):
    assert made(seed, number).rounds < MOST_ROUNDS


@EACH
def test_conductors_carry_their_current_or_the_top_of_the_ladder_is_reached(seed, number):
    found = made(seed, number)
    largest = max(c.size.area_mm2 for c in found.circuit.conductors)
    for conductor in found.circuit.conductors:
        carries_a = found.ampacities[conductor.key].ampacity_a
        if found.flow.demands[conductor.key].current_a > carries_a * (1.0 + 1e-6) and not conductor.pinned:
            assert conductor.size.area_mm2 >= largest


@EACH
def test_every_chosen_fuse_stays_in_its_window_and_breaks_the_fault_at_the_highest_voltage(seed, number):
    found = made(seed, number)
    high_v = highest_system_v(found.circuit.system_v).value
    for device in found.circuit.devices:
        if device.kind == "fuse" and device.part is not None and not device.pinned:
            window = found.windows[device.key]
            assert window.smallest_a * (1 - 1e-6) <= device.part.rating_a <= window.largest_a * (1 + 1e-6)
            assert device.part.interrupt_a >= max(found.faults.at(device.from_node), found.faults.at(device.to_node))
            assert device.part.voltage_max_v >= high_v


@EACH
def test_both_poles_of_a_circuit_have_one_size(seed, number):
    sizes = {}
    for conductor in made(seed, number).circuit.conductors:
        if not conductor.pinned:
            sizes.setdefault(conductor.circuit, set()).add(conductor.size.label)
    assert all(len(found) == 1 for found in sizes.values())


@EACH
def test_each_size_has_its_reason_and_smaller_ones_were_turned_down_for_it(seed, number):
    found = made(seed, number)
    for conductor in found.circuit.conductors:
        choice = found.choices[conductor.key]
        assert choice.decided_by.code
        if choice.decided_by.code == "smallest_allowed":
            assert not choice.rejected


@pytest.mark.parametrize("seed", range(6))
def test_a_fully_pinned_circuit_comes_back_unchanged(seed):
    built = seeded(seed, most_loads=10)[0]
    first = built.design()
    pins = {c.key: Pin(c.key, c.size.label.replace("²", "2"), False, ()) for c in first.circuit.conductors}
    parts = [*first.circuit.devices, *first.circuit.buses]
    pins |= {d.key: Pin(d.key, d.part_id, False, ()) for d in parts if d.part_id is not None}
    again = design(built.circuit, pins, built.catalogue, built.family)
    assert [c.size for c in again.circuit.conductors] == [c.size for c in first.circuit.conductors]
    assert [d.part_id for d in again.circuit.devices] == [d.part_id for d in first.circuit.devices]
    assert [b.part_id for b in again.circuit.buses] == [b.part_id for b in first.circuit.buses]
    for case, solution in first.flow.solutions.items():
        assert again.flow.solutions[case].current_a == pytest.approx(solution.current_a, abs=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_the_order_of_loads_does_not_matter(seed):
    text = spec_text(random.Random(seed), most_loads=12)  # noqa: S311 - a seeded spec, no secret
    (first, _) = options_of(text, "as written")
    loads = list(first.circuit.loads)
    # the same circuit with its conductors, devices and loads the other way round
    turned = first.circuit.__class__(
        **{
            name: tuple(reversed(value)) if name in ("conductors", "devices", "loads", "sources") else value
            for name, value in vars(first.circuit).items()
            if name in first.circuit.__dataclass_fields__ and name not in {"memo", "own_memo"}
        }
    )
    one = first.design()
    other = design(turned, first.spec.pins, first.catalogue, first.family)
    assert loads
    assert {c.key: c.size for c in one.circuit.conductors} == {c.key: c.size for c in other.circuit.conductors}
    assert {d.key: d.part_id for d in one.circuit.devices} == {d.key: d.part_id for d in other.circuit.devices}


@pytest.mark.parametrize(("arrangement", "voltage_v"), CELLS)
def test_every_arrangement_at_every_voltage_gets_a_design(arrangement, voltage_v):
    found = cell(arrangement, voltage_v).design()
    assert found.rounds < MOST_ROUNDS
    assert all(c.size is not None for c in found.circuit.conductors)
