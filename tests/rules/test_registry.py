"""No check can go missing: all are registered, run, and reported with how much they looked at."""

import importlib
import inspect
import pkgutil
import re
import typing
from dataclasses import replace

import pytest

import proposal.rules
from proposal.codes import FAMILIES
from proposal.rules import registry
from proposal.rules.finding import Evidence, Examined, Objection
from proposal.rules.notes import note_outcomes
from proposal.rules.registry import CHECKS, run_checks
from proposal.sources import SOURCES, Citation

EXPECTED = {
    1: ("positive_unfused", "danger"), 2: ("link_fused_one_end", "danger"), 3: ("conductor_overloaded", "danger"),
    4: ("breaking_capacity_low", "danger"), 5: ("battery_without_device", "danger"),
    6: ("device_voltage_low", "danger"), 7: ("start_melts_fuse", "fault"),
    8: ("fault_outlasts_conductor", "danger"), 9: ("fuses_not_selective", "fault"),
    10: ("solar_strings_unprotected", "danger"),
    11: ("equalising_current_high", "fault"), 12: ("relay_overloaded_by_charging", "fault"),
    14: ("relay_thresholds_fooled", "fault"), 15: ("coil_driven_wrong", "fault"), 19: ("bank_without_switch", "fault"),
    21: ("battery_limit_exceeded", "fault"), 24: ("lithium_feeds_shorted_lead", "danger"),
    22: ("parallel_paths_uneven", "fault"), 23: ("batteries_joined_unequal", "fault"),
    25: ("tapped_mid_bank", "fault"), 26: ("series_not_allowed", "danger"),
    30: ("alternator_overloaded", "fault"), 35: ("array_voltage_high", "fault"),
    43: ("not_ignition_protected", "danger"), 44: ("battery_loose", "danger"), 45: ("terminals_crowded", "fault"),
    46: ("always_on_at_risk", "danger"),
    27: ("lead_never_full", "fault"), 28: ("lead_freezes", "fault"), 29: ("lead_overheats", "danger"),
    32: ("source_not_stopped", "fault"), 33: ("bus_voltage_high", "fault"), 36: ("equalise_trips_lithium", "fault"),
    37: ("charge_voltages_apart", "advice"), 38: ("charger_fooled", "fault"), 40: ("lithium_charged_cold", "danger"),
    41: ("vent_small", "danger"), 42: ("gas_reaches_people", "danger"),
    47: ("bilge_pump_at_risk", "danger"), 53: ("mains_unsafe", "danger"), 54: ("bonding_wrong", "fault"),
    49: ("return_smaller", "danger"), 51: ("voltage_drop_high", "fault"), 52: ("starter_voltage_low", "fault"),
    55: ("settings_overlap", "fault"),
    13: ("relay_overloaded_for_seconds", "fault"), 16: ("standing_drain_high", "fault"),
    17: ("emergency_off_defeated", "danger"), 18: ("inrush_closes_contactor", "fault"),
    20: ("sense_lead_wrong", "fault"), 31: ("alternator_loses_battery", "fault"), 34: ("solar_loses_battery", "fault"),
    39: ("converter_loops", "fault"), 48: ("cut_off_darkens", "danger"), 50: ("shunt_bypassed", "advice"),
    56: ("relay_chatters", "fault"), 57: ("load_collapses", "fault"), 58: ("bank_never_full", "fault"),
    59: ("join_missed", "fault"), 60: ("management_opens", "fault"), 61: ("source_stranded", "fault"),
    62: ("relay_never_switches", "fault"), 63: ("engine_fails_in_use", "danger"),
    64: ("engine_fails_after_neglect", "fault"), 65: ("critical_dark_early", "danger"),
    66: ("house_dark_early", "fault"), 67: ("lead_poorly_kept", "advice"), 68: ("lithium_held_high", "advice"),
    69: ("alternator_hot_for_hours", "fault"), 70: ("engine_hours_beyond", "fault"), 71: ("water_to_top", "advice"),
    72: ("critical_dark_in_year", "danger"), 73: ("house_dark_in_year", "fault"),
}  # fmt: skip
ROUTES = {"shared": 9, "dedicated": 11, "vented": 10, "converter": 10, "one": 8, "composed": 10}
"""Measured runs that each option uses."""
OPTIONS = ("shared", "dedicated", "vented", "converter", "one", "composed")
UNIT = re.compile(
    r"(_a|_v|_w|_m|_s|_h|_c|_ah|_wh|_ohm|_mm2|_cm2|_m3h|_share|_count|_days|_per_k|_per_month|_l|_j)$|^(strings(_out|_needed)?|cells_left)$"
)
"""A unit, or a number of things."""


def test_ids_numbers_and_severities():
    assert {c.number: (c.id, c.severity) for c in CHECKS} == EXPECTED
    assert [c.number for c in CHECKS] == sorted(EXPECTED)
    assert all(c.title == f"check.{c.id}" for c in CHECKS)


def test_every_number_has_one_check_and_none_is_missing():
    """73 checks: whoever drops one, or gives two the same number, is told here."""
    assert [c.number for c in CHECKS] == list(range(1, 74))
    assert len({c.id for c in CHECKS}) == 73


def test_every_function_that_is_a_check_is_registered():
    found = set()
    for listed in pkgutil.iter_modules(proposal.rules.__path__):
        module = importlib.import_module(f"proposal.rules.{listed.name}")
        for name, made in inspect.getmembers(module, inspect.isfunction):
            if not name.startswith("_") and typing.get_type_hints(made).get("return") is Examined:
                found.add(made)
    assert found == {c.test for c in CHECKS}


@pytest.mark.parametrize("option", OPTIONS)
def test_every_check_is_run_and_reported_with_its_count(bench, option):
    evidence = bench.option(option)
    runs = run_checks(evidence)
    assert [run.check.id for run in runs] == [c.id for c in CHECKS]
    counts = {run.check.id: run.tested for run in runs}
    circuit = evidence.circuit
    fuses = [d for d in circuit.devices if d.kind == "fuse"]
    lithium = [b for b in circuit.banks if b.chemistry == "lithium"]
    near = 3 if lithium else 0  # charge sources that reach lithium, of DC-DC chargers the output
    assert counts == {
        "positive_unfused": sum(1 for c in circuit.conductors if c.pole == "positive" and c.purpose != "starter"),
        "link_fused_one_end": sum(1 for c in circuit.conductors if c.pole == "positive" and c.purpose == "link"),
        "conductor_overloaded": len(circuit.conductors) + len(fuses),
        "breaking_capacity_low": len(fuses),
        "battery_without_device": sum(1 for b in circuit.banks if len(b.strings) > 1),
        "device_voltage_low": sum(1 for d in circuit.devices if d.kind != "shunt") + len(circuit.buses),
        "start_melts_fuse": sum(1 for d in evidence.design.fuse_demands.values() if d.must_pass),
        "fault_outlasts_conductor": sum(1 for d in evidence.design.fuse_demands.values() if d.guarded),
        "fuses_not_selective": sum(1 for d in evidence.design.fuse_demands.values() if d.upstream)
        + sum(1 for d in evidence.design.fuse_demands.values() if d.trips),
        "solar_strings_unprotected": 1,
        "equalising_current_high": sum(1 for join in evidence.joins if join.occurs),
        "relay_overloaded_by_charging": sum(
            1 for d in circuit.devices if d.kind in ("switch", "contactor", "vsr") and not d.key.endswith("emergency")
        ),
        "relay_thresholds_fooled": sum(1 for d in circuit.devices if d.kind == "vsr"),
        "coil_driven_wrong": sum(1 for d in circuit.devices if d.kind in ("contactor", "vsr")),
        "bank_without_switch": len(circuit.banks),
        "battery_limit_exceeded": sum(len(b.strings) for b in lithium),
        "parallel_paths_uneven": sum(1 for b in circuit.banks if len(b.strings) > 1),
        "batteries_joined_unequal": sum(1 for b in circuit.banks if len(b.strings) > 1),
        "tapped_mid_bank": 0,
        "series_not_allowed": 0,
        "lead_never_full": len(circuit.banks) - len(lithium),
        "lead_freezes": len(circuit.banks) - len(lithium),
        "lead_overheats": len(circuit.banks) - len(lithium),
        "vent_small": min(1, len(circuit.banks) - len(lithium)),
        "gas_reaches_people": len(lithium) + near,
        "source_not_stopped": near,
        "bus_voltage_high": len(circuit.loads)
        + len(circuit.converters)
        + sum(1 for d in circuit.devices if d.kind != "shunt")
        + len(circuit.buses),
        "equalise_trips_lithium": near,
        "charge_voltages_apart": len(circuit.sources) + len(circuit.converters),
        "charger_fooled": near,
        "lithium_charged_cold": len(lithium),
        "lithium_feeds_shorted_lead": len(lithium) * (len(circuit.banks) - len(lithium)),
        "settings_overlap": len(circuit.controllers)
        + sum(1 for b in circuit.banks if b.chemistry == "lithium")
        + 4
        + sum(1 for d in circuit.devices if d.kind == "vsr"),
        "alternator_overloaded": 1,
        "array_voltage_high": 1,
        "not_ignition_protected": 0,
        "battery_loose": len(circuit.banks),
        "terminals_crowded": len({n for c in circuit.conductors for n in (c.from_node, c.to_node)})
        + len(circuit.banks)
        + ROUTES[option],
        "always_on_at_risk": 1,
        "return_smaller": len({c.circuit for c in circuit.conductors if c.pole == "positive" and c.purpose != "sense"})
        + len(circuit.banks),
        "voltage_drop_high": len(evidence.design.drops),
        "starter_voltage_low": 1,
        "bilge_pump_at_risk": 1,
        "mains_unsafe": 4,
        "bonding_wrong": 2,
        "relay_overloaded_for_seconds": sum(1 for d in circuit.devices if d.kind in ("contactor", "vsr")),
        "standing_drain_high": {"dedicated": 2, "vented": 2, "converter": 2}.get(option, 1),
        "emergency_off_defeated": len(circuit.controllers),
        "inrush_closes_contactor": len(evidence.switching.surges),
        "sense_lead_wrong": len(circuit.controllers) + sum(1 for d in circuit.devices if d.kind == "vsr"),
        "alternator_loses_battery": 1,
        "solar_loses_battery": 1,
        "converter_loops": len(circuit.converters),
        "cut_off_darkens": len(lithium),
        "shunt_bypassed": sum(1 for d in circuit.devices if d.kind == "shunt"),
        **dict.fromkeys((c.id for c in CHECKS if c.number in range(56, 74)), 0),
    }


def test_what_a_check_returns_is_reported_whole(bench, monkeypatch):
    """Three objections of one check come out as three findings, with id, number, severity and source of the check."""
    three = tuple(Objection("fires", f"loads.n{n}", {"current_a": float(n)}) for n in range(3))
    made = replace(CHECKS[0], test=lambda _: Examined(7, three))
    monkeypatch.setattr(registry, "CHECKS", (made, *CHECKS[1:]))
    runs = run_checks(bench.option("one"))
    assert len(runs) == len(CHECKS)
    assert (runs[0].tested, runs[0].fired, runs[0].undecided) == (7, 3, 0)
    assert [f.item for f in runs[0].findings] == ["loads.n0", "loads.n1", "loads.n2"]
    assert {(f.id, f.number, f.severity, f.citation) for f in runs[0].findings} == {
        (made.id, made.number, made.severity, runs[0].citation)
    }


def test_a_check_that_breaks_is_not_passed_over(bench, monkeypatch):
    def broken(_: Evidence) -> Examined:
        raise ArithmeticError("cannot")

    monkeypatch.setattr(registry, "CHECKS", (*CHECKS[:-1], replace(CHECKS[-1], test=broken)))
    with pytest.raises(ArithmeticError, match="cannot"):
        run_checks(bench.option("one"))


def bad_options(bench):
    """Options made to draw objections from many checks."""
    base = {
        "routes.lead.sheathed": False,
        "OPTION.pins": {"loads.radio": "16 AWG", "loads.lights.negative": "18 AWG"},
        "sources.alternator.limited": False,
        "sources.solar.open_circuit_v": 95.0,
        "engine.minimum_v": 12.0,
    }
    relays = {
        "OPTION.contactor.part": "latching_300",
        "OPTION.contactor.parts_on_discharge": False,
        "OPTION.banks.lithium.switch": False,
        "OPTION.vsr.joins_v": 14.5,
    }
    weak_fuses = {f"fuse_{n}.interrupt_a": 100.0 for n in (3, 10, 15, 200)}
    yield bench.option("dedicated", {**base, **relays})
    yield bench.option("composed", {"OPTION.composition.links.tie.fused": "none", **base})
    yield bench.option("vented", {"OPTION.banks.house.fuse_per_battery": False, **base}, weak_fuses)
    yield bench.option("converter", {"OPTION.pins": {"loads.windlass": "10 AWG"}})
    yield bench.fit(bench.option("shared", base), "buses.main", voltage_max_v=14.0)


def test_numbers_carry_units_in_their_names_and_sources_are_in_the_bibliography(bench):
    seen = set()
    for evidence in bad_options(bench):
        for run in run_checks(evidence):
            assert run.citation.source in SOURCES
            for finding in run.findings:
                seen.add(finding.id)
                assert finding.outcome in ("fires", "undecided")
                assert ("find_out" in finding.values) == (finding.outcome == "undecided")
                for name, value in finding.values.items():
                    assert value is None or isinstance(value, str | bool | int | float)
                    if isinstance(value, int | float) and not isinstance(value, bool):
                        assert UNIT.search(name), f"{finding.id}: {name}"
    assert len(seen) >= 13


def test_equal_input_gives_equal_findings(bench):
    evidence = bench.option("dedicated")
    fresh = bench.option("dedicated", {"document.number": "another"})
    assert [r.findings for r in run_checks(evidence)] == [r.findings for r in run_checks(fresh)]


# --- code notes ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("family", FAMILIES.values(), ids=lambda f: f.id)
def test_notes_name_only_checks_that_exist(family):
    named = {check for note in family.code_notes for check in note.checks}
    assert named <= {c.id for c in CHECKS}


def outcomes(evidence):
    return {found.note.id.partition(".")[2]: found.outcome for found in note_outcomes(evidence, run_checks(evidence))}


def test_notes_follow_the_checks_that_test_them(bench):
    good = outcomes(bench.option("shared"))
    assert list(good) == [note.id.partition(".")[2] for note in bench.option("shared").family.code_notes]
    assert good["fuse_place"] == good["breaking_capacity"] == good["voltage_drop"] == "passed"
    assert good["remote_switch"] == "undecided"  # nobody said how the lithium is cut off in an emergency
    assert good["battery_fitting"] == "undecided"  # nobody measured it
    assert good["identification"] == "to_be_tested"  # no check tests it
    assert good["bundles_below_50_v"] == "not_applicable"  # no bundle here
    assert outcomes(bench.option("one"))["remote_switch"] == "not_applicable"  # no lithium

    unfused = outcomes(
        bench.option("dedicated", {"routes.lead.sheathed": False, "OPTION.banks.lead.fuse_after_m": 0.5})
    )
    assert unfused["fuse_place"] == unfused["fuse_place_at_battery"] == "failed"
    assert unfused["breaking_capacity"] == "passed"

    evidence = bench.option("shared")
    unknown = bench.fit(evidence, "banks.lithium.contactor", coil_v=None)
    assert outcomes(unknown)["remote_switch"] == "undecided"


def test_note_of_a_check_that_was_not_run_is_an_error(bench):
    evidence = bench.option("shared")
    with pytest.raises(KeyError, match="positive_unfused"):
        note_outcomes(evidence, run_checks(evidence)[1:])


@pytest.mark.parametrize(("status", "outcome"), [("from memory", "undecided"), ("corroborated", "fires")])
def test_a_remembered_limit_of_the_family_decides_nothing_alone(status, outcome):
    check = next(c for c in CHECKS if c.id == "voltage_drop_high")
    objection = Objection("fires", "loads.radio", {"drop_v": 1.0, "limit_v": 0.4})
    found = registry._finding(check, objection, Citation("nec", "", status))
    assert found.outcome == outcome
    assert ("find_out" in found.values) == (outcome == "undecided")


def test_a_remembered_rule_does_not_soften_a_rating_of_the_part_itself():
    check = next(c for c in CHECKS if c.id == "breaking_capacity_low")
    objection = Objection("fires", "loads.radio.fuse", {"interrupt_a": 1000.0, "fault_a": 4000.0})
    assert registry._finding(check, objection, Citation("nec", "", "from memory")).outcome == "fires"
