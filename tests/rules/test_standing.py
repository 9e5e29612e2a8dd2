"""Check 16: what drains a vessel that nobody is aboard."""

import pytest

CHECK = "standing_drain_high"
LEFT = "system.unattended_days"


def alone(bench, days, **spec):
    """One lead bank of 330 Ah, absorbed glass mat; the bilge pump stays on, and the shunt's meter is given none."""
    return bench.option("one", {LEFT: days, **spec})


def hand_worked(evidence):
    """Bilge pump: 5 A · 0.3 h / 24 h; 3 % a month of 330 Ah; half of it may be used, less in the cold."""
    drain_a, lost_a = 5.0 * 0.3 / 24.0, 0.03 * 330.0 / 720.0
    usable_ah = next(b.usable_ah for b in evidence.energy.banks)
    return drain_a, lost_a, usable_ah


def test_days_are_what_the_drain_leaves(bench):
    drain_a, lost_a, usable_ah = hand_worked(bench.option("one"))
    lasts_days = usable_ah / ((drain_a + lost_a) * 24.0)
    assert bench.found(alone(bench, lasts_days * 0.999), CHECK) == []
    finding = bench.only(alone(bench, lasts_days * 1.001), CHECK, "banks.lead")
    # what lead loses by itself is from memory and decides nothing alone
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "self_discharge")
    assert finding.citation.status == "from memory"
    assert finding.values["drain_a"] == pytest.approx(drain_a)
    assert finding.values["lost_a"] == pytest.approx(lost_a)
    assert finding.values["lasts_days"] == pytest.approx(lasts_days)


@pytest.mark.parametrize(("share", "outcome"), [(0.999, "undecided"), (1.001, "fires")])
def test_the_drain_alone_decides(bench, share, outcome):
    drain_a, _, usable_ah = hand_worked(bench.option("one"))
    finding = bench.only(alone(bench, share * usable_ah / (drain_a * 24.0)), CHECK, "banks.lead")
    assert finding.outcome == outcome
    assert (finding.values["first_item"], finding.values["first_a"]) == ("loads.bilge_pump", pytest.approx(drain_a))
    if outcome == "fires":  # left for as long as it says they last, nothing is said any more
        assert bench.found(alone(bench, finding.values["lasts_days"] * 0.999), CHECK) == []


def test_how_long_she_is_left_is_asked_only_where_a_year_is_too_long(bench):
    finding = bench.only(bench.option("one"), CHECK, "banks.lead")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "left_alone")
    quiet = {"loads.bilge_pump.hours_h": 0.0}
    assert bench.found(bench.option("one", quiet), CHECK) == []
    still = bench.only(bench.option("one", {**quiet, LEFT: 2000.0}), CHECK, "banks.lead")
    assert (still.values["drain_a"], still.values["first_item"]) == (0.0, None)


def test_only_the_group_that_lasts_shortest_is_asked_about(bench):
    assert len(bench.found(bench.option("dedicated"), CHECK)) == 1
    assert bench.tested(bench.option("dedicated"), CHECK) == 2


def test_a_held_coil_draws_and_a_latching_one_hardly(bench):
    held = bench.only(bench.option("shared", {LEFT: 300.0}), CHECK, "banks.lead")
    assert held.values["first_item"] == "banks.lithium.contactor"
    assert held.values["first_a"] == 0.4
    drains = {"latching_300.coil_a": 0.0005}
    latching = {LEFT: 300.0, "OPTION.contactor.part": "latching_300", "OPTION.contactor.driven_as": "latching"}
    finding = bench.only(bench.option("shared", latching, drains), CHECK, "banks.lead")
    assert finding.values["drain_a"] == pytest.approx(held.values["drain_a"] - 0.4 + 0.0005)


def test_meters_and_relays_that_wait_count(bench):
    """10 mA of an open relay (a seller's data sheet), on the side that it senses; 5 mA of a meter."""
    spec = {LEFT: 300.0}
    (plain,) = (f for f in bench.found(bench.option("vented", spec), CHECK) if f.item == "banks.starter")
    assert (plain.values["first_item"], plain.values["drain_a"]) == ("links.vsr.relay", pytest.approx(0.010))
    meters = {"shunt_300.meter_a": 0.005, "shunt_500.meter_a": 0.005}
    with_meter = bench.only(bench.option("one", spec, meters), CHECK, "banks.lead")
    without = bench.only(bench.option("one", spec), CHECK, "banks.lead")
    assert with_meter.values["drain_a"] == pytest.approx(without.values["drain_a"] + 0.005)


def test_lithium_that_loses_by_itself_decides_for_its_figure_is_published(bench):
    """A lithium bank alone: 3 % a month of 460 Ah."""
    spec = {"loads.bilge_pump.hours_h": 0.0, LEFT: 2000.0}
    finding = bench.only(bench.option("converter", spec), CHECK, "banks.lithium")
    assert finding.outcome == "fires"
    assert finding.values["lost_a"] == pytest.approx(0.03 * 460.0 / 720.0)


def test_a_charger_that_always_works_makes_two_banks_one(bench):
    spec = {LEFT: 300.0, "OPTION.dc_dc.runs_with": "always"}
    assert bench.tested(bench.option("converter", spec), CHECK) == 1
    assert bench.tested(bench.option("converter", {**spec, "OPTION.dc_dc.runs_with": "engine"}), CHECK) == 2
