"""Checks 21 and 24: what a lithium battery bears, and a shorted lead cell beside it."""

import math
from dataclasses import replace

import pytest

LITHIUM = "banks.lithium"


def with_batteries(bench, evidence, **ratings):
    batteries = tuple(
        replace(b, part=b.part.model_copy(update=ratings)) if b.bank == LITHIUM else b
        for b in evidence.circuit.batteries
    )
    return bench.circuit(evidence, batteries=batteries)


def single(bench, case, current_a, **ratings):
    """One lithium string that gives a current in one case; nothing else gives anything near it."""
    evidence = bench.option("shared", {"OPTION.banks.lithium.parallel": 1})
    roomy = {"discharge_max_a": 2000.0, "charge_max_a": 2000.0, "peak_a": 2000.0, "peak_s": 60.0, **ratings}
    return with_batteries(bench, bench.solved(evidence, case, "given_a", {f"{LITHIUM}.s1": current_a}), **roomy)


# --- 21 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("case", "current_a", "limit", "cause"),
    [
        ("usual", 1500.0, "discharge_max_a", "discharge"),
        ("charging", -1500.0, "charge_max_a", "charge"),
    ],
)
@pytest.mark.parametrize("beyond", [0.0, 1.0])
def test_lasting_limits(bench, case, current_a, limit, cause, beyond):
    evidence = single(bench, case, current_a, **{limit: 1500.0 - beyond})
    found = bench.found(evidence, "battery_limit_exceeded")
    assert [(f.item, f.values["cause"]) for f in found] == ([(LITHIUM, cause)] if beyond else [])
    for finding in found:
        values = finding.values
        assert (values["current_a"], values["limit_a"], values["case"]) == (1500.0, 1499.0, case)
        assert (values["strings"], values["strings_needed"], values["strings_out"]) == (1, 2, 0)


@pytest.mark.parametrize(
    ("peak_a", "peak_s", "cause"),
    [(1500.0, 10.0, None), (1499.0, 10.0, "peak"), (1500.0, 9.9, "peak_time")],
)
def test_seconds_of_cranking(bench, peak_a, peak_s, cause):
    """Above the lasting limit, up to the peak, for the 10 s that the engine is cranked."""
    evidence = single(bench, "cranking_joined", 1500.0, discharge_max_a=1000.0, peak_a=peak_a, peak_s=peak_s)
    assert evidence.circuit.starter.cranking_s == 10.0
    assert [f.values["cause"] for f in bench.found(evidence, "battery_limit_exceeded")] == ([cause] if cause else [])


def test_cranking_within_the_lasting_limit_asks_for_no_peak(bench):
    evidence = single(bench, "cranking_joined", 1500.0, discharge_max_a=1500.0, peak_a=None, peak_s=None)
    assert bench.found(evidence, "battery_limit_exceeded") == []


@pytest.mark.parametrize(
    ("case", "current_a", "unknown", "find_out"),
    [
        ("usual", 90.0, "discharge_max_a", "discharge_limit"),
        ("charging", -90.0, "charge_max_a", "charge_limit"),
        ("cranking_joined", 2100.0, "peak_a", "peak_limit"),
        ("cranking_joined", 2001.0, "peak_s", "peak_time"),
    ],
)
def test_unknown_limits_are_undecided(bench, case, current_a, unknown, find_out):
    ratings = {"peak_a": 3000.0, unknown: None}
    found = bench.found(single(bench, case, current_a, **ratings), "battery_limit_exceeded")
    assert ("undecided", find_out) in {(f.outcome, f.values.get("find_out")) for f in found}


def test_one_string_out_leaves_the_other_with_all_of_it(bench):
    """Two strings carry the load; with one out, the other carries what both did, or a little more."""
    evidence = bench.option("shared")
    solutions = {k: s for k, s in evidence.design.flow.solutions.items() if not k.startswith("cranking")}
    both_a = max(sum(s.given_a[key] for key in (f"{LITHIUM}.s1", f"{LITHIUM}.s2")) for s in solutions.values())
    roomy = {"charge_max_a": 900.0, "peak_a": 900.0}
    tight = with_batteries(bench, evidence, discharge_max_a=both_a * 0.99, **roomy)
    finding = bench.only(tight, "battery_limit_exceeded", LITHIUM)
    values = finding.values
    assert (values["cause"], values["strings_out"]) == ("discharge", 1)
    assert (values["strings"], values["strings_needed"]) == (2, 3)
    assert both_a * 0.999 < values["current_a"] < both_a * 1.1
    ample = with_batteries(bench, evidence, discharge_max_a=both_a * 1.1, **roomy)
    assert bench.found(ample, "battery_limit_exceeded") == []


def test_surge_of_an_inverter_at_a_low_charge(bench):
    """2000 W / 0.9 at no more than 13 V asks at least 171 A of the one string that is left."""
    evidence = bench.option("shared", {"loads.windlass.inrush_a": None})
    roomy = {"charge_max_a": 900.0}
    weak = with_batteries(bench, evidence, discharge_max_a=150.0, peak_a=170.0, **roomy)
    finding = bench.only(weak, "battery_limit_exceeded", LITHIUM)
    assert (finding.values["cause"], finding.values["case"]) == ("peak", "surge.inverter")
    at_load_v = 2000 / 0.9 / finding.values["current_a"]
    assert 11.0 < at_load_v < 13.0
    strong = with_batteries(bench, evidence, discharge_max_a=150.0, peak_a=finding.values["current_a"], **roomy)
    assert bench.found(strong, "battery_limit_exceeded") == []


@pytest.mark.parametrize(
    ("surge_s", "peak_s", "outcome", "find_out"),
    [
        (5.0, 5.0, None, None),
        (5.0, 4.99, "fires", None),
        (5.0, None, "undecided", "peak_time"),
        (None, 0.5, "undecided", "inrush_time"),
    ],
)
def test_a_surge_lasts_no_longer_than_the_peak_is_borne(bench, surge_s, peak_s, outcome, find_out):
    """Below the peak, above what lasts: the inverter's own surge time decides, and an assumed one never alone."""
    evidence = bench.option("shared", {"loads.windlass.inrush_a": None}, {"inverter_1000.surge_s": surge_s})
    ratings = {"discharge_max_a": 150.0, "peak_a": 900.0, "peak_s": peak_s, "charge_max_a": 900.0}
    found = bench.found(with_batteries(bench, evidence, **ratings), "battery_limit_exceeded")
    assert [f.outcome for f in found] == ([outcome] if outcome else [])
    for finding in found:
        values = finding.values
        assert (values["cause"], values["item"], values.get("find_out")) == ("surge_time", "loads.inverter", find_out)
        # two strings, one of them out: more than 150 A each, less than 300 A
        assert (values["strings"], values["strings_out"], values["strings_needed"]) == (2, 1, 3)


def test_string_that_carries_most_decides(bench):
    evidence = bench.option("shared")
    uneven = bench.solved(evidence, "usual", "given_a", {f"{LITHIUM}.s1": 90.0, f"{LITHIUM}.s2": 260.0})
    roomy = {"charge_max_a": 900.0, "peak_a": 900.0}
    finding = bench.only(
        with_batteries(bench, uneven, discharge_max_a=255.0, **roomy), "battery_limit_exceeded", LITHIUM
    )
    assert (finding.values["current_a"], finding.values["strings_out"]) == (260.0, 0)


def test_every_lithium_battery_is_tested_and_no_lead(bench):
    assert bench.tested(bench.option("shared"), "battery_limit_exceeded") == 2
    assert bench.tested(bench.option("vented"), "battery_limit_exceeded") == 0


# --- 24 --------------------------------------------------------------------------------------------------------------


def test_lithium_and_lead_that_nothing_parts(bench):
    evidence = bench.option("shared", {"OPTION.contactor.parts_on_discharge": False})
    (finding,) = bench.found(evidence, "lithium_feeds_shorted_lead")
    values = finding.values
    assert (finding.item, finding.severity, values["lead"], values["contactor"]) == (
        LITHIUM, "danger", "banks.lead", "banks.lithium.contactor",
    )  # fmt: skip
    # five cells left hold 2.64 V each: 13.2 V / 5, far above the 2.45 V of a charging cell
    assert values["cells_left"] == 5
    assert values["cell_v"] == pytest.approx(2.64, abs=0.02)
    # 0.05 C of 220 Ah for ten minutes
    assert (values["parts_above_a"], values["after_s"]) == (pytest.approx(11.0), 600.0)


def test_contactor_that_parts_on_discharge_answers_it(bench):
    assert bench.found(bench.option("shared"), "lithium_feeds_shorted_lead") == []
    assert bench.tested(bench.option("dedicated"), "lithium_feeds_shorted_lead") == 2
    assert bench.found(bench.option("dedicated"), "lithium_feeds_shorted_lead") == []


def test_converter_leads_nowhere(bench):
    evidence = bench.option("converter")
    assert bench.tested(evidence, "lithium_feeds_shorted_lead") == 1
    assert bench.found(evidence, "lithium_feeds_shorted_lead") == []


def lithium_house(bench, **settings):
    spec = {"OPTION.banks.house.battery": "lithium_230", **{f"OPTION.vsr.{k}": v for k, v in settings.items()}}
    return bench.option("vented", spec)


@pytest.mark.parametrize(("releases_v", "fires"), [(13.336 + 0.1001, False), (13.336 + 0.0999, True)])
def test_relay_answers_it_only_if_a_resting_lithium_releases_it(bench, releases_v, fires):
    """Its own tolerance of 0.05 V, and as much of what it senses."""
    evidence = lithium_house(bench, joins_v=13.9, releases_v=releases_v, tolerance_v=0.05)
    found = bench.found(evidence, "lithium_feeds_shorted_lead")
    assert [(f.item, f.values["lead"]) for f in found] == ([("banks.house", "banks.starter")] if fires else [])


def test_relay_of_unknown_thresholds_is_undecided(bench):
    (finding,) = bench.found(lithium_house(bench, part="vsr_plain"), "lithium_feeds_shorted_lead")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "relay_thresholds")


def test_open_emergency_switch_is_no_way(bench):
    evidence = lithium_house(bench, joins_v=13.9, releases_v=13.5, tolerance_v=0.05)
    with_switch = bench.option(
        "vented",
        {
            "OPTION.banks.house.battery": "lithium_230",
            "OPTION.vsr.joins_v": 13.9,
            "OPTION.vsr.releases_v": 13.5,
            "OPTION.emergency_parallel": True,
        },
    )
    assert "links.vsr.emergency" in with_switch.circuit.device
    for one in (evidence, with_switch):
        assert bench.found(one, "lithium_feeds_shorted_lead") == []


def test_twelve_cells_of_24_v_leave_eleven(bench):
    """Two batteries in series: 26.4 V over eleven cells are 2.40 V each, reckoned here from the same curve doubled."""
    evidence = bench.option("shared", {"OPTION.contactor.parts_on_discharge": False})
    doubled = tuple(replace(b, series_count=2) for b in evidence.circuit.batteries)
    values = bench.only(bench.circuit(evidence, batteries=doubled), "lithium_feeds_shorted_lead", LITHIUM).values
    assert values["cells_left"] == 11
    assert math.isclose(values["cell_v"], 2.40, abs_tol=0.02)
