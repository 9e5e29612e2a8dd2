"""Fuses are chosen by what holds for them in time: no part stands that the design's own measures condemn."""

from dataclasses import replace
from functools import cache

import pytest

from proposal.codes.family import highest_system_v
from proposal.design.result import Design
from proposal.design.step import design as design_step
from proposal.parts.fuse_curves import time_curve
from proposal.spec.overlay import Pin
from proposal.spec.pricebook import CurvePoint, FusePart
from proposal.studies.fuses.judge import fitted_of, judge
from tests.generate import PROJECT_NAMES, Built, catalogue, designed, project, seeded

IN_TIME = ("must_pass", "far_end", "cut_off")
EACH = pytest.mark.parametrize(("seed", "number"), [(s, n) for s in range(10) for n in (0, 1)])
SOLD = dict(catalogue().fuses())


@cache
def built(seed: int, number: int) -> Built:
    return seeded(seed, most_loads=14)[number]


@cache
def made(seed: int, number: int) -> Design:
    return built(seed, number).design()


def free_fuses(design: Design):
    return [d for d in design.circuit.devices if d.kind == "fuse" and not d.pinned]


def failed(design: Design, fuse: str, part: FusePart) -> set[str]:
    verdict = judge(design.fuse_demands[fuse], part, time_curve(part))
    return {r.demand for r in verdict.failed} & set(IN_TIME)


def would_do(design: Design, device) -> list[FusePart]:
    """Everything for sale that meets voltage, breaking capacity and rating, by a plain search of the price book."""
    window, high_v = design.windows[device.key], highest_system_v(design.circuit.system_v).value
    fault_a = max(design.faults.at(device.from_node), design.faults.at(device.to_node))
    least_a = max(fault_a, device.part.interrupt_a if device.part is not None else 0.0)
    top_a = min(window.largest_a, device.maker_fuse_a or window.largest_a)
    # where a joining current asks for more with one part and not with the other, the stronger one stays
    asked_a = design.choices[device.key].decided_by.values.get("smallest_a")
    from_a = max(window.smallest_a, asked_a if isinstance(asked_a, float) else 0.0)
    return [
        part
        for part in SOLD.values()
        if part.voltage_max_v >= high_v
        and part.interrupt_a >= least_a
        and from_a * (1 + 1e-6) <= part.rating_a <= top_a * (1 - 1e-6)
    ]


@EACH
def test_no_part_stands_that_fails_where_another_would_not(seed, number):
    design = made(seed, number)
    for device in free_fuses(design):
        if device.part is None or not failed(design, device.key, device.part):
            continue
        assert design.choices[device.key].decided_by.code == "lacks_least", device.key
        assert all(failed(design, device.key, part) for part in would_do(design, device)), device.key


def test_the_search_is_not_empty():
    """Some fuse was turned down for what holds in time, and some conductor raised for it."""
    designs = [made(seed, number) for seed in range(10) for number in (0, 1)]
    designs += [designed(one) for name in PROJECT_NAMES for one in project(name)]
    codes = {
        code
        for design in designs
        for choice in design.choices.values()
        for code in (choice.decided_by.code, *(r.reason.code for r in choice.rejected))
    }
    assert {"melts_at_start", "not_selective", "start_melts_fuse"} <= codes


@EACH
def test_every_class_for_sale_says_why_it_was_not_chosen(seed, number):
    design = made(seed, number)
    by_title = {part.title: part.fuse_class for part in SOLD.values()}
    classes = {part.fuse_class for part in SOLD.values()}
    for device in free_fuses(design):
        told = {by_title[r.candidate] for r in design.choices[device.key].rejected}
        assert told | ({device.part.fuse_class} if device.part is not None else set()) == classes


@EACH
def test_the_batteries_of_a_bank_have_fuses_alike(seed, number):
    circuit = made(seed, number).circuit
    for bank in circuit.banks:
        own = [circuit.device[f"{s}.fuse"] for s in bank.strings if f"{s}.fuse" in circuit.device]
        assert len({d.part_id for d in own if not d.pinned}) <= 1


@EACH
def test_demands_hang_together(seed, number):
    design = made(seed, number)
    for key, demand in design.fuse_demands.items():
        device = design.circuit.device[key]
        assert 0.0 <= demand.fault_max_a <= design.faults.at(device.to_node) * (1 + 1e-6)
        for near in demand.upstream:
            assert 0.0 < near.current_share <= 1.0
            back = [n for n in design.fuse_demands[near.fuse].downstream if n.fuse == key]
            assert [(n.current_share, n.fault_a) for n in back] == [(near.current_share, near.fault_a)]
            assert near.fault_a == demand.fault_max_a
        durations = [p.duration_s for p in demand.must_pass]
        currents = [p.current_a for p in demand.must_pass]
        assert durations == sorted(durations)
        assert currents == sorted(currents, reverse=True)
        for guarded in demand.guarded:
            assert guarded.through_a <= guarded.current_a * (1 + 1e-6)


def with_curve(sold, part_id, *gates):
    """The price book with another curve for one fuse."""
    points = tuple(CurvePoint.model_construct(current_a=a, melts_after_s=m, clears_before_s=c) for a, m, c in gates)
    pairs = tuple((i, p.model_copy(update={"curve": points}) if i == part_id else p) for i, p in sold.fuses())
    return replace(sold, _fuses=pairs)


def fuse_of_a_load():
    """A generated load's fuse, the design it stands in, and how to make that design from another price book."""
    for seed in range(20):
        for number in (0, 1):
            design = made(seed, number)
            for device in free_fuses(design):
                own = design.circuit.conductor[device.guards[0]]
                plain = device.circuit.startswith("loads.") and device.maker_fuse_a is None and device.part_id
                if plain and not own.pinned and not design.fuse_demands[device.key].must_pass:
                    return built(seed, number), design, device
    raise AssertionError("no such fuse")


def test_a_part_that_opens_too_late_is_turned_down_for_another():
    one, before, device = fuse_of_a_load()
    least = before.fuse_demands[device.key].least
    # it clears only after an hour whatever flows
    slow = with_curve(one.catalogue, device.part_id, (1.0, 1e4, 3600.0), (1e6, 1e4, 3600.0))
    after = replace(one, catalogue=slow).design()
    chosen = after.circuit.device[device.key]
    assert chosen.part_id != device.part_id
    reasons = {r.reason.code for r in after.choices[device.key].rejected if r.candidate == device.part.title}
    assert least is not None
    assert reasons == {"opens_late"}


def test_a_conductor_grows_where_no_fuse_for_it_opens_in_time():
    one, before, device = fuse_of_a_load()
    circuit = device.circuit
    gates = [(1.0, 1e4, 20.0), (1e6, 1e4, 20.0)]
    slow = one.catalogue
    for part_id in SOLD:
        slow = with_curve(slow, part_id, *gates)
    after = replace(one, catalogue=slow).design()
    small, large = (d.circuit.conductor[f"{circuit}.positive"].size.area_mm2 for d in (before, after))
    assert large > small
    assert after.choices[f"{circuit}.positive"].decided_by.code == "fault_outlasts"
    verdict = judge(after.fuse_demands[device.key], after.circuit.device[device.key].part,
                    fitted_of(after.circuit)[device.key].curve)  # fmt: skip
    ruling = verdict.on("far_end")
    top = max(size.area_mm2 for size in one.family.sizes)
    assert ruling is not None
    assert ruling.answer != "fails" or large == top


def test_a_pinned_fuse_that_melts_stays_and_is_judged():
    one, _, device = fuse_of_a_load()
    pins = {device.key: Pin(device.key, device.part_id, False, ())}
    slow = with_curve(one.catalogue, device.part_id, (1.0, 1e4, 3600.0), (1e6, 1e4, 3600.0))
    after = design_step(one.circuit, {**one.spec.pins, **pins}, replace(slow, parts={**slow.parts, device.part_id: dict(
        slow.fuses())[device.part_id]}), one.family)  # fmt: skip
    assert after.circuit.device[device.key].part_id == device.part_id
    assert "far_end" in failed(after, device.key, after.circuit.device[device.key].part)


@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(7000, 7100))
def test_many_generated_designs(seed):
    for number in (0, 1):
        test_no_part_stands_that_fails_where_another_would_not(seed, number)
        test_every_class_for_sale_says_why_it_was_not_chosen(seed, number)
        test_demands_hang_together(seed, number)
