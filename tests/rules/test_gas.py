"""Checks 41 and 42: hydrogen of lead, and gas of a failing lithium cell."""

from dataclasses import replace

import pytest

from proposal.rules.acceptance import acceptance
from proposal.spec.options import AcceptedRisk

BOX = "climate.places.box"


def vented(bench, option="one", **changes):
    return bench.option(option, {f"{BOX}.{name}": value for name, value in changes.items()})


NEEDED_CM2 = 28 * 0.05 * 6 * 8 * 330 / 1000
"""Three AGM batteries of 110 Ah: EN 62485-2 with 8 mA/Ah at boost."""


@pytest.mark.parametrize("opening", ["vent_inlet_cm2", "vent_outlet_cm2"])
@pytest.mark.parametrize(("more_cm2", "fires"), [(0.01, False), (-0.01, True)])
def test_each_opening_for_itself(bench, opening, more_cm2, fires):
    areas = {"vent_inlet_cm2": 100.0, "vent_outlet_cm2": 100.0, opening: NEEDED_CM2 + more_cm2}
    evidence = vented(bench, **areas)
    found = bench.found(evidence, "vent_small")
    assert [(f.item, f.outcome) for f in found] == ([("banks.lead", "fires")] if fires else [])
    for finding in found:
        assert finding.values["needed_cm2"] == pytest.approx(NEEDED_CM2)
        assert finding.values["opening_cm2"] == pytest.approx(NEEDED_CM2 - 0.01)
        assert finding.values["air_m3h"] == pytest.approx(NEEDED_CM2 / 28)
        assert finding.citation.source == "en62485_2"


def test_openings_that_nobody_measured(bench):
    (finding,) = bench.found(bench.option("one"), "vent_small")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "vent_openings")
    (finding,) = bench.found(vented(bench, vent_inlet_cm2=100.0), "vent_small")
    assert finding.outcome == "undecided"
    (finding,) = bench.found(vented(bench, vent_inlet_cm2=1.0), "vent_small")
    assert finding.outcome == "fires", "one that is too small is enough"


def test_banks_of_one_place_share_its_vents(bench):
    """540 Ah and 95 Ah, vented: 20 mA/Ah."""
    evidence = vented(bench, "vented")
    (finding,) = bench.found(evidence, "vent_small")
    assert finding.values["capacity_ah"] == 635.0
    assert finding.values["air_m3h"] == pytest.approx(0.05 * 6 * 20 * 635 / 1000)
    assert bench.tested(evidence, "vent_small") == 1


@pytest.mark.parametrize(("led_outside", "outcome"), [(False, "fires"), (None, "undecided"), (True, None)])
def test_lithium_where_people_sleep(bench, led_outside, outcome):
    evidence = vented(bench, "shared", people_sleep=True, gas_led_outside=led_outside)
    found = bench.found(evidence, "gas_reaches_people")
    assert [(f.item, f.outcome) for f in found] == ([("banks.lithium", outcome)] if outcome else [])
    for finding in found:
        assert (finding.values["cause"], finding.values["capacity_ah"]) == ("gas", 460.0)


def test_lithium_where_nobody_sleeps(bench):
    evidence = bench.option("shared")
    assert bench.found(evidence, "gas_reaches_people") == []
    assert bench.tested(evidence, "gas_reaches_people") == 1 + 3


def test_charger_past_the_management(bench):
    evidence = bench.option("shared", {"sources.shore.bypasses_management": True})
    (finding,) = bench.found(evidence, "gas_reaches_people")
    assert (finding.item, finding.values["cause"], finding.values["bank"]) == (
        "sources.shore", "bypass", "banks.lithium",
    )  # fmt: skip
    assert bench.found(bench.option("one", {"sources.shore.bypasses_management": True}), "gas_reaches_people") == []


def test_nobody_accepts_gas_where_people_sleep(bench):
    risk = (AcceptedRisk.model_construct(finding="vent_small", item="", reason="r", name="n"),)
    (asleep,) = bench.found(vented(bench, people_sleep=True, vent_inlet_cm2=1.0), "vent_small")
    assert acceptance(asleep, risk) is None
    (awake,) = bench.found(vented(bench, vent_inlet_cm2=1.0), "vent_small")
    assert acceptance(awake, risk) is risk[0]
    (gas,) = bench.found(vented(bench, "shared", people_sleep=True, gas_led_outside=False), "gas_reaches_people")
    assert acceptance(gas, (replace_risk(risk[0], "gas_reaches_people"),)) is None
    bypass = replace(gas, values={"cause": "bypass"})
    assert acceptance(bypass, (replace_risk(risk[0], "gas_reaches_people"),)) is not None


def replace_risk(risk, finding):
    return risk.model_copy(update={"finding": finding})
