"""Checks 43, 44 and 45: what can ignite vapour, what holds a battery, studs, covers and clips."""

from collections import Counter
from dataclasses import replace

import pytest

from proposal.codes import family
from proposal.codes.fitting import fitting_limit

NAMED = ("cause", "find_out")


def told(finding):
    return {k: v for k, v in finding.values.items() if k not in NAMED}


# --- 43 --------------------------------------------------------------------------------------------------------------

PETROL = {"vessel.fuel": "petrol"}
IN_ENGINE_SPACE = ("links.vsr.relay", "links.vsr.emergency", "sources.alternator", "engine")


def protected(bench, *but, value=True):
    """The dedicated option in a petrol boat, everything in the engine space protected but these."""
    spec = {
        "sources.alternator.ignition_protected": True,
        "engine.ignition_protected": True,
    }
    spec |= {f"{key}.ignition_protected": value for key in but}
    prices = {f"{part}.ignition_protected": True for part in ("vsr_200", "switch_150", "switch_300", "switch_600")}
    return bench.option("dedicated", {**PETROL, **spec}, prices)


def test_no_vapour_no_question(bench):
    assert bench.found(bench.option("dedicated"), "not_ignition_protected") == []
    assert bench.tested(bench.option("dedicated"), "not_ignition_protected") == 0


def test_engine_space_of_a_petrol_boat_asks_once_for_all_that_stands_there(bench):
    evidence = bench.option("dedicated", PETROL)
    (finding,) = bench.found(evidence, "not_ignition_protected")
    assert (finding.outcome, finding.item) == ("undecided", "climate.places.engine_space")
    assert told(finding) == {"place": "Engine space", "item_count": 4, "first_item": IN_ENGINE_SPACE[0]}
    assert bench.tested(evidence, "not_ignition_protected") == len(IN_ENGINE_SPACE)


def test_engine_space_of_a_petrol_camper_is_outside_the_living_part(bench):
    evidence = bench.option("dedicated", {**PETROL, "vessel.kind": "camper"})
    assert bench.tested(evidence, "not_ignition_protected") == 0


def test_all_protected_passes_and_one_that_is_not_fires(bench):
    assert bench.found(protected(bench), "not_ignition_protected") == []
    (finding,) = bench.found(protected(bench, "sources.alternator", value=False), "not_ignition_protected")
    assert (finding.outcome, finding.item, finding.values) == (
        "fires", "sources.alternator", {"place": "Engine space"},
    )  # fmt: skip
    assert (finding.severity, finding.citation.source) == ("danger", "cfr183")


def test_battery_box_with_vapour_asks_for_what_stands_beside_the_bank(bench):
    evidence = bench.option("shared", {"climate.places.box.fuel_vapour": True})
    (finding,) = bench.found(evidence, "not_ignition_protected")
    assert finding.values["first_item"] == "banks.lead.fuse"
    # fuse and switch of two banks, the contactor of one, the switch of the starter
    assert finding.values["item_count"] == 6


def test_charger_speaks_for_its_source_and_a_load_stands_where_it_says(bench):
    vapour = {"climate.places.saloon.fuel_vapour": True}
    names = {f.item: f.outcome for f in bench.found(bench.option("converter", vapour), "not_ignition_protected")}
    assert names == {"climate.places.saloon": "undecided"}
    before = bench.tested(bench.option("converter", vapour), "not_ignition_protected")
    moved = bench.option("converter", {**vapour, "loads.lights.place": "deck"}, {"shore_30.ignition_protected": False})
    fired = [f.item for f in bench.found(moved, "not_ignition_protected") if f.outcome == "fires"]
    assert fired == ["sources.shore"]
    assert bench.tested(moved, "not_ignition_protected") == before - 1


def test_converter_stands_on_the_way_of_its_link_and_is_judged_by_its_part(bench):
    evidence = bench.option("converter", PETROL, {"dc_dc_30.ignition_protected": False})
    found = bench.found(evidence, "not_ignition_protected")
    assert [(f.item, f.outcome) for f in found] == [
        ("links.dc_dc", "fires"), ("climate.places.engine_space", "undecided"),
    ]  # fmt: skip
    assert found[1].values["item_count"] == 2  # alternator and starter


def test_inverter_speaks_for_its_load_unless_the_load_itself_is_stated(bench):
    vapour, sparks = {"climate.places.saloon.fuel_vapour": True}, {"inverter_1000.ignition_protected": False}
    fired = [f.item for f in bench.found(bench.option("one", vapour, sparks), "not_ignition_protected")]
    assert "loads.inverter" in fired
    stated = bench.option("one", {**vapour, "loads.inverter.ignition_protected": True}, sparks)
    assert "loads.inverter" not in [f.item for f in bench.found(stated, "not_ignition_protected")]


# --- 44 --------------------------------------------------------------------------------------------------------------

LEAD = "OPTION.banks.lead"
SAFE = {f"{LEAD}.moves_m": 0.0, f"{LEAD}.fuel_part_within_m": 1.0, f"{LEAD}.above_bilge": True}
DIESEL = {"vessel.fuel": "diesel"}


def loose(bench, **changed):
    spec = {**DIESEL, **SAFE, **{f"{LEAD}.{name}": value for name, value in changed.items()}}
    return bench.found(bench.option("one", spec), "battery_loose")


def test_bank_that_is_held_clear_and_dry_passes(bench):
    assert loose(bench) == []
    assert bench.tested(bench.option("one", SAFE), "battery_loose") == 1


@pytest.mark.parametrize(("moves_m", "fires"), [(0.0254, False), (0.0255, True)])
def test_it_moves_an_inch_at_most(bench, moves_m, fires):
    found = loose(bench, moves_m=moves_m)
    assert [(f.item, f.values["cause"]) for f in found] == ([("banks.lead", "moves")] if fires else [])
    for finding in found:
        assert (finding.values["limit_m"], finding.values["moved_m"]) == (0.0254, moves_m)
        assert finding.values["mass_kg"] == sum(
            b.series_count * b.part.mass_kg for b in bench.option("one", SAFE).circuit.batteries
        )
        assert finding.citation.clause.startswith("183.420")


@pytest.mark.parametrize(("distance_m", "fires"), [(0.3048, False), (0.304, True)])
def test_metal_fuel_parts_stay_a_foot_away(bench, distance_m, fires):
    assert [f.values["cause"] for f in loose(bench, fuel_part_within_m=distance_m)] == (["fuel"] if fires else [])


def test_what_it_is_held_down_for_is_the_weight_of_the_whole_bank(bench):
    spec = {**DIESEL, **SAFE, f"{LEAD}.moves_m": 0.05}
    (finding,) = bench.found(bench.option("one", spec, {"agm_110.mass_kg": 30.0}), "battery_loose")
    assert finding.values["mass_kg"] == 90.0
    (finding,) = bench.found(bench.option("one", spec, {"agm_110.mass_kg": 0.0}), "battery_loose")
    assert finding.values["mass_kg"] is None


def test_boat_without_fuel_has_no_fuel_parts(bench):
    spec = {**SAFE, f"{LEAD}.fuel_part_within_m": None, "vessel.fuel": "none"}
    assert bench.found(bench.option("one", spec), "battery_loose") == []


def test_below_the_bilge_water_fires(bench):
    assert [f.values["cause"] for f in loose(bench, above_bilge=False)] == ["bilge"]


@pytest.mark.parametrize("unknown", ["fuel_part_within_m", "above_bilge", "moves_m"])
def test_what_nobody_measured_is_undecided_once(bench, unknown):
    (finding,) = loose(bench, **{unknown: None})
    wanted = "battery_movement" if unknown == "moves_m" else "battery_place"
    assert (finding.outcome, finding.item, finding.values["find_out"]) == ("undecided", "banks.lead", wanted)


def test_nothing_known_is_still_one_point_for_a_bank(bench):
    found = bench.found(bench.option("shared"), "battery_loose")
    assert [(f.item, f.outcome) for f in found] == [("banks.lead", "undecided"), ("banks.lithium", "undecided")]


def test_vehicle_is_asked_for_movement_alone_and_a_cabin_for_nothing(bench):
    camper = bench.option("one", {"vessel.kind": "camper", "vessel.fuel": "petrol"})
    (finding,) = bench.found(camper, "battery_loose")
    assert finding.values["find_out"] == "battery_movement"
    assert bench.tested(bench.option("one", {"vessel.kind": "cabin"}), "battery_loose") == 0


def test_families_differ_in_how_far_a_battery_moves():
    assert [fitting_limit(f, "battery_moves_m").value for f in ("us_boats", "iso_boats", "another")] == [
        0.0254, 0.010, 0.025,
    ]  # fmt: skip


# --- 45 --------------------------------------------------------------------------------------------------------------

TIDY = {f"{LEAD}.terminals_covered": True}


def tidy(bench, spec=None):
    routes = bench.project.spec.value.routes
    clips = {f"routes.{name}.supported_every_m": 0.45 for name in routes}
    return bench.option("one", {**TIDY, **clips, **(spec or {})})


def test_tidy_boat_passes(bench):
    assert bench.found(tidy(bench), "terminals_crowded") == []


@pytest.mark.parametrize(("covered", "outcome"), [(False, "fires"), (None, "undecided")])
def test_bare_posts(bench, covered, outcome):
    (finding,) = bench.found(tidy(bench, {f"{LEAD}.terminals_covered": covered}), "terminals_crowded")
    assert (finding.item, finding.outcome, finding.values["cause"]) == ("banks.lead", outcome, "bare")


@pytest.mark.parametrize(("gap_m", "fires"), [(0.45, False), (0.451, True)])
def test_clips_stand_450_mm_apart(bench, gap_m, fires):
    found = bench.found(tidy(bench, {"routes.radio.supported_every_m": gap_m}), "terminals_crowded")
    assert [f.item for f in found] == (["routes.radio"] if fires else [])
    for finding in found:
        assert told(finding) == {"gap_m": gap_m, "limit_m": 0.45, "clip_count": 14}  # 6 m / 0.45 m = 13.3


@pytest.mark.parametrize(("rules", "gap_m"), [("iso_boats", 0.30), ("us_boats", 0.45)])
def test_battery_leads_are_held_as_the_family_asks(bench, rules, gap_m):
    """ISO 10133, 7.3 and 7.4 (corroborated): conductors every 450 mm, battery conductors every 300 mm."""
    assert fitting_limit(rules, "battery_lead_gap_m").value == gap_m
    assert fitting_limit(rules, "support_gap_m").value == 0.45
    clips = {f"routes.{name}.supported_every_m": gap_m for name in bench.project.spec.value.routes}
    fits = replace(bench.option("one", {**TIDY, **clips}), family=family(rules))
    assert bench.found(fits, "terminals_crowded") == []
    wider = bench.option("one", {**TIDY, **clips, "routes.lead.supported_every_m": gap_m + 0.01})
    wide = replace(wider, family=family(rules))
    (finding,) = bench.found(wide, "terminals_crowded")
    assert (finding.item, finding.values["limit_m"]) == ("routes.lead", gap_m)


def test_runs_of_which_nobody_says_how_they_are_held_are_one_point(bench):
    found = bench.found(bench.option("one", TIDY), "terminals_crowded")
    assert [(f.item, f.outcome, f.values["route_count"]) for f in found] == [("routes", "undecided", 8)]


def test_in_a_cabin_nobody_asks_for_clips(bench):
    assert bench.found(bench.option("one", {**TIDY, "vessel.kind": "cabin"}), "terminals_crowded") == []


def test_run_no_longer_than_the_gap_needs_no_clip(bench):
    found = bench.found(bench.option("one", {**TIDY, "routes.radio.length_m": 0.45}), "terminals_crowded")
    assert found[0].values["route_count"] == 7


@pytest.mark.parametrize(("more", "fires"), [(3, False), (4, True)])
def test_lugs_share_the_posts_and_pins_of_a_node(bench, more, fires):
    """The radio's pin bears its own lug and three more; the limit is remembered, so that five are undecided."""
    evidence = tidy(bench)
    own = evidence.circuit.conductor["loads.radio.positive"]
    extra = tuple(replace(own, key=f"{own.key}.{n}", from_node=f"far.{n}") for n in range(more))
    crowded = bench.circuit(evidence, conductors=(*evidence.circuit.conductors, *extra))
    found = bench.found(crowded, "terminals_crowded")
    assert [(f.item, f.outcome, f.values["find_out"]) for f in found] == (
        [("loads.radio", "undecided", "edition")] if fires else []
    )
    for finding in found:
        assert {k: finding.values[k] for k in ("lug_count", "pin_count", "limit_count")} == {
            "lug_count": 5, "pin_count": 1, "limit_count": 4,
        }  # fmt: skip


def test_bar_without_room(bench):
    evidence = tidy(bench)
    landed = Counter(n for b in evidence.circuit.branches for n in (b.from_node, b.to_node))
    main = evidence.circuit.bus["buses.main"]
    most = max(landed[main.positive], landed[main.negative])
    assert most > 4
    assert bench.found(bench.fit(evidence, "buses.main", studs=most), "terminals_crowded") == []
    full = bench.fit(evidence, "buses.main", studs=most - 1)
    (finding,) = bench.found(full, "terminals_crowded")
    assert finding.outcome == "fires"
    assert told(finding) == {"landed_count": most, "room_count": most - 1, "bar_count": 2}


def test_bar_that_was_not_found_is_reported_elsewhere(bench):
    evidence = bench.fit_part(tidy(bench), "buses.main", None)
    assert bench.found(evidence, "terminals_crowded") == []


def test_chosen_bars_have_room_on_both_poles(bench):
    """The design step counts what lands on either bar, so that its choice does not fail here."""
    for option in ("shared", "dedicated", "vented", "converter", "one", "composed"):
        found = bench.found(bench.option(option), "terminals_crowded")
        assert [f for f in found if f.values["cause"] in ("bar", "stud")] == []
