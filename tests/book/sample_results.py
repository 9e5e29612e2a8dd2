"""Hand-made results of an invented boat with two options: small, every field used, every kind of value present."""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from typing import Any, Final

from proposal.facts import Reason, Rejected
from proposal.results import model as m
from proposal.results import record_model as r

LAW: Final = m.CitationResult("cfr183", "183.425 Table 5, 105 °C column", "corroborated")
MEMORY: Final = m.CitationResult("abyc_e13", "check your edition", "from memory")
PRACTICE: Final = m.CitationResult("common_practice", "", "common practice")


def conductor(key: str, designation: str, circuit: str, ends: tuple[str, str], **changed: Any) -> m.ConductorResult:
    plain = m.ConductorResult(
        key=key,
        designation=designation,
        title="House bank",
        circuit=circuit,
        pole="positive",
        purpose="bank",
        from_node=f"{key}.from",
        to_node=f"{key}.to",
        from_designation=ends[0],
        to_designation=ends[1],
        length_m=1.6,
        place="Battery box",
        place_c=40.0,
        bundled_count=2,
        insulation_c=105,
        size="2/0 AWG",
        area_mm2=67.43,
        part_id="cable_2_0",
        pinned=False,
        table_a=330.0,
        temperature_factor=0.931,
        bundle_factor=1.0,
        ampacity_a=307.23,
        design_current_a=131.456,
        design_case="charging",
        cranking_current_a=0.0,
        resistance_20c_ohm=0.000421,
        drop_v=0.0553,
        loop_drop_v=None,
        loop_drop_share=None,
        drop_limit_share=None,
        fault_from_a=8132.4,
        fault_to_a=6452.1,
        least_fault_from_a=2240.0,
        least_fault_to_a=1930.0,
        fuses=("banks.house.fuse",),
        decided_by=Reason("ampacity", {"current_a": 131.456, "case": "charging"}),
        rejected=(Rejected("1 AWG", Reason("ampacity", {"current_a": 131.456, "case": "charging"})),),
        citations=(LAW,),
    )
    return dataclasses.replace(plain, **changed)


def device(key: str, designation: str, circuit: str, kind: str, **changed: Any) -> m.DeviceResult:
    plain = m.DeviceResult(
        key=key,
        designation=designation,
        title="House bank",
        circuit=circuit,
        kind=kind,
        part_id="fuse_class_t_175",
        part_title="Class T fuse 175 A",
        pinned=False,
        rating_a=175.0,
        voltage_max_v=125.0,
        interrupt_a=20000.0,
        fuse_class="class_t",
        wanted_a=131.456,
        wanted_case="charging",
        smallest_a=164.32,
        largest_a=460.8,
        fault_a=8132.4,
        distance_m=0.15,
        distance_limit_m=0.1778,
        resistance_ohm=0.0004,
        guards=("banks.house.positive",),
        decided_by=Reason(
            "fuse_window", {"smallest_a": 164.32, "largest_a": 460.8, "fault_a": 8132.4, "highest_v": 15.5}
        ),
        rejected=(
            Rejected("Blade 175 A", Reason("breaking_capacity", {"interrupt_a": 1000.0, "fault_a": 8132.4})),
            Rejected("Breaker 175 A", Reason("voltage_rating", {"rating_v": 14.0, "highest_v": 15.5})),
        ),
        citations=(LAW,),
    )
    return dataclasses.replace(plain, **changed)


def rated(key: str, designation: str, circuit: str, kind: str, **changed: Any) -> m.DeviceResult:
    """A switch, relay, shunt or bus."""
    why = Reason("rating", {"wanted_a": 131.456, "cranking_a": 280.0, "case": "charging"})
    plain = device(
        key, designation, circuit, kind, part_id="a_part", part_title="Battery switch 300 A", rating_a=300.0,
        interrupt_a=None, fuse_class=None, smallest_a=None, largest_a=None, distance_m=None, distance_limit_m=None,
        guards=(), decided_by=why, citations=(),
        rejected=(Rejected("Switch 100 A", Reason("cranking_rating", {"rating_a": 250.0, "cranking_a": 280.0})),),
    )  # fmt: skip
    return dataclasses.replace(plain, **changed)


CONDUCTORS: Final = (
    conductor("banks.house.positive", "W1", "banks.house", ("F1", "X1")),
    conductor("banks.house.negative", "W2", "banks.house", ("X1", "G1"), pole="negative", fuses=()),
    conductor(
        "loads.fridge.positive", "W3", "loads.fridge", ("F2", "E1"), title="Fridge", purpose="load", size="14 AWG",
        area_mm2=2.08, design_current_a=5.0, design_case="rated", loop_drop_v=0.302, loop_drop_share=0.02517,
        drop_limit_share=0.1, fuses=("loads.fridge.fuse",),
        decided_by=Reason("drop", {"item": "loads.fridge", "drop_v": 1.41, "limit_v": 1.2, "case": "usual"}),
        rejected=(
            Rejected(
                "16 AWG", Reason("drop", {"item": "loads.fridge", "drop_v": 1.41, "limit_v": 1.2, "case": "usual"})
            ),
        ),
    ),
    conductor(
        "engine.positive", "W4", "engine", ("Q2", "M1"), title="Diesel of 40 hp", purpose="starter",
        design_current_a=0.0, design_case="rated", cranking_current_a=280.0, fuses=(), pinned=True,
        decided_by=Reason("pinned", {}), rejected=(),
    ),
    conductor(
        "banks.lithium.controller.sense", "W5", "banks.lithium.controller.sense", ("F3", "K1"), title="Lithium bank",
        purpose="sense", decided_by=Reason("smallest_allowed", {"size": "18 AWG"}), rejected=(), size="18 AWG",
        area_mm2=0.823,
    ),
    conductor(
        "links.vsr.positive", "W6", "links.vsr", ("F4", "K2"), title="", purpose="link", size="35 mm²", area_mm2=35.0,
        decided_by=Reason("fuses_of_others", {"through_a": 360.0}), rejected=(),
    ),
)  # fmt: skip

DEVICES: Final = (
    device("banks.house.fuse", "F1", "banks.house", "fuse"),
    device("loads.fridge.fuse", "F2", "loads.fridge", "fuse", title="Fridge", guards=("loads.fridge.positive",),
           part_id=None, part_title="", rating_a=None, voltage_max_v=None, interrupt_a=None, fuse_class=None,
           decided_by=Reason("no_fuse_fits", {"smallest_a": 6.25, "largest_a": 9.0, "fault_a": 8132.4,
                                              "highest_v": 15.5})),
    rated("banks.house.switch", "Q1", "banks.house", "switch"),
    rated("banks.lithium.contactor", "Q3", "banks.lithium", "contactor", title="Lithium bank"),
    rated("links.vsr.relay", "K2", "links.vsr", "vsr", title=""),
    rated("links.vsr.emergency", "Q4", "links.vsr", "switch", title=""),
    rated("banks.house.shunt", "B1", "banks.house", "shunt", pinned=True, decided_by=Reason("pinned", {}),
          rejected=()),
    rated("buses.main", "X1", "buses.main", "main_bus", title="",
          decided_by=Reason("rating_and_studs", {"wanted_a": 131.456, "studs": 9, "case": "full.windlass"}),
          rejected=()),
    rated("banks.house.unswitched", "X2", "banks.house.unswitched", "unswitched_bus", title="House bank",
          decided_by=Reason("several_bars", {"wanted_a": 31.4, "studs": 14, "case": "rest"}), rejected=()),
    rated("buses.start", "X3", "buses.start", "start_bus", title="", part_id=None, part_title="", rating_a=None,
          voltage_max_v=None, rejected=(),
          decided_by=Reason("no_part_fits", {"wanted_a": 900.0, "cranking_a": 0.0, "highest_v": 15.5})),
)  # fmt: skip


def bank(key: str, designation: str, title: str, chemistry: str, role: str, **changed: Any) -> m.BankResult:
    plain = m.BankResult(
        key=key, designation=designation, title=title, chemistry=chemistry, role=role, part_id="a_battery",
        part_title="AGM battery 12 V 110 Ah", series_count=1, parallel_count=2, nominal_v=12.0, capacity_ah=220.0,
        energy_wh=2640.0, usable_ah=101.53, usable_share=0.5, temperature_share=0.923, resistance_ohm=0.0019,
        resistance_assumed=False, full_v=12.85, short_circuit_a=6700.0, mass_kg=64.0, place="Battery box",
    )  # fmt: skip
    return dataclasses.replace(plain, **changed)


BANKS: Final = (
    bank("banks.house", "G1", "House bank", "agm", "both"),
    bank("banks.lithium", "G2", "Lithium bank", "lithium", "house", series_count=2, resistance_assumed=True),
)

LOADS: Final = (
    m.LoadResult("loads.fridge", "E1", "Fridge", "buses.main", 5.0, 720.0, False, False, False),
    m.LoadResult("loads.bilge", "E2", "Bilge pump", "buses.main", 5.5, 19.8, True, True, True),
    m.LoadResult("loads.windlass", "E3", "Windlass", "buses.main", 120.0, 72.0, False, False, False),
)

SOURCES: Final = (
    m.SourceResult("sources.solar", "G3", "Solar array", "solar", "buses.main", 45.07, 33.8, 14.2),
    m.SourceResult("sources.alternator", "G4", "Alternator", "alternator", "buses.main", 110.0, 55.0, 14.2),
)


def case(case_id: str, **changed: Any) -> m.CaseResult:
    plain = m.CaseResult(
        id=case_id, temperatures="hot", open_relays=("links.vsr.relay",), solved=True, collapsed=(),
        nodes=(m.NodeVolts("buses.main.positive", 13.21), m.NodeVolts("engine.pin.positive", None)),
        branches=(m.BranchAmps("banks.house.positive", 31.5),),
        ports=(m.PortAmps("banks.house.s1", 31.5, 12.61),), kirchhoff_a=3.1e-13, power_error_w=0.0,
    )  # fmt: skip
    return dataclasses.replace(plain, **changed)


def network(case_id: str) -> m.NetworkResult:
    return m.NetworkResult(
        case_id,
        "buses.main.negative",
        ("buses.main.positive", "buses.main.negative"),
        (m.NetworkBranch("banks.house.positive", "banks.house.positive.from", "buses.main.positive", 0.0005, 60.0),),
        (m.NetworkSource("banks.house.s1", "buses.main.positive", "buses.main.negative", 12.6, 0.004, None),),
        (m.NetworkPort("loads.fridge", "buses.main.positive", "buses.main.negative", "power", None, 60.0, None, None),),
    )


def season(key: str, title: str, **changed: Any) -> m.SeasonEnergy:
    plain = m.SeasonEnergy(
        season=key, title=title, use_wh=3017.1, loss_wh=79.4, sun_wh=1728.0, wind_wh=0.0, shore_wh=0.0,
        engine_wh=1368.5, engine_h=1.75, engine_accepted_h=1.5, made_up_by="engine", balance_wh=0.0,
        loads=(m.EnergyLine("loads.fridge", "Fridge", 720.0),),
        sources=(m.EnergyLine("sources.solar", "Solar array", 1728.0),),
    )  # fmt: skip
    return dataclasses.replace(plain, **changed)


ENERGY: Final = m.EnergyResult(
    seasons=(season("dry", "Dry season", engine_wh=0.0, engine_h=0.0, made_up_by=""), season("wet", "Wet season")),
    worst_season="wet",
    autonomy=(
        m.AutonomyResult("house", 5665.0, 3017.1, 1.878, 13.62),
        m.AutonomyResult("banks.house", 1218.0, 3017.1, 0.404, 2.93),
        m.AutonomyResult("banks.lithium", 4447.0, 3017.1, 1.474, None),
    ),
    charge_times=(
        m.ChargeTime("sources.solar", "house", 449.0, 23.3, 20.3),
        m.ChargeTime("sources.alternator", "house", 449.0, 0.0, None),
    ),
    battery_mass_kg=116.0,
    standing_drain_a=0.412,
)


def line(key: str, group: str, title: str, **changed: Any) -> m.PriceLine:
    plain = m.PriceLine(
        key=key, group=group, title=title, part_id="a_part", quantity=Decimal("2"), unit="piece",
        unit_price=Decimal("268.00"), amount=Decimal("536.00"), items=("banks.house.s1",), note="",
    )  # fmt: skip
    return dataclasses.replace(plain, **changed)


PRICE_LINES: Final = (
    line("part.a_battery", "battery", "AGM battery 12 V 110 Ah"),
    line("part.cable_2_0", "cable", "Cable 2/0 AWG", quantity=Decimal("12.6"), unit="metre",
         items=tuple(c.key for c in CONDUCTORS)),
    line("lugs.cable_2_0", "cable", "Cable 2/0 AWG", unit="lug", note="lugs", items=("banks.house.positive",)),
    line("holder.fuse_class_t_175", "protection", "Class T fuse 175 A", unit="holder", note="holder",
         items=("banks.house.fuse",)),
    line("missing.loads.fridge.fuse", "protection", "", part_id=None, quantity=Decimal(1), unit_price=None,
         amount=None, items=("loads.fridge.fuse",), note="no_part"),
    line("part.battery_box", "other", "Battery box", items=(), note="held down on its own tray"),
    line("labour.survey", "labour", "", unit="hour", quantity=Decimal("3.0"), items=(), note="survey"),
    line("labour.batteries", "labour", "", unit="hour", quantity=Decimal("3.5"), items=(), note="batteries"),
    line("labour.devices", "labour", "", unit="hour", quantity=Decimal("17.5"), items=(), note="devices"),
    line("labour.conductors", "labour", "", unit="hour", quantity=Decimal("43.3"), items=(), note="conductors"),
    line("labour.commissioning", "labour", "", unit="hour", items=(), note="commissioning"),
    line("labour.documents", "labour", "", unit="hour", items=(), note="documents"),
    line("contingency", "contingency", "", unit="sum", quantity=Decimal(1), items=(), note="contingency"),
)  # fmt: skip

PRICE: Final = m.PriceTotals(
    currency="EUR", material=Decimal("6493.59"), labour=Decimal("4691.20"), contingency=Decimal("559.24"),
    net=Decimal("11744.03"), tax_name="VAT", tax_share=0.21, tax=Decimal("2466.25"), total=Decimal("14210.28"),
    unpriced_lines=1,
)  # fmt: skip


def finding(
    finding_id: str, item: str, *, severity: str = "fault", outcome: str = "fires", values: dict[str, Any]
) -> m.Finding:
    return m.Finding(
        id=finding_id, number=1, severity=severity, outcome=outcome, item=item, designation="", title="House bank",
        where="spec.yaml:12:3", values=values, citation=PRACTICE, accepted_by=None, accepted_because=None,
        refused_to=None,
    )  # fmt: skip


FINDINGS: Final = (
    finding("positive_unfused", "banks.house.positive", severity="danger",
            values={"source": "banks.house", "distance_m": 1.6, "limit_m": 0.1778, "excess_m": 1.4222,
                    "enclosed": False, "enclosed_limit_m": 1.8288, "source_a": None, "size": None}),
    finding("lithium_feeds_shorted_lead", "banks.lithium", severity="danger",
            values={"lead": "banks.house", "contactor": "banks.lithium.contactor", "lithium_v": 13.2, "cells_left": 5,
                    "cell_v": 2.64, "parts_above_a": 11.0, "after_s": 600.0}),
    dataclasses.replace(
        finding("return_smaller", "banks.house.negative", severity="danger",
                values={"cause": "smaller", "area_mm2": 33.6, "fitted": "2 AWG", "needed_mm2": 67.43,
                        "size": "2/0 AWG"}),
        accepted_by="A. Sample", accepted_because="it is replaced next winter"),
    dataclasses.replace(
        finding("breaking_capacity_low", "banks.house.fuse", severity="danger",
                values={"cause": "fault", "interrupt_a": 1000.0, "needed_a": 8132.4, "node": "banks.house.fused"}),
        refused_to="B. Sample"),
    finding("equalising_current_high", "banks.lithium.contactor",
            values={"situation": "far_empty", "current_a": 213.4, "difference_v": 1.84, "resistance_ohm": 0.00863,
                    "limit_a": 80.0, "limited_by": "fuse", "limited_item": "banks.house.fuse",
                    "resistance_needed_ohm": 0.023, "resistance_more_ohm": 0.01437, "difference_allowed_v": 0.6904}),
    finding("battery_limit_exceeded", "banks.lithium",
            values={"cause": "discharge", "current_a": 122.6, "case": "surge.windlass", "strings_out": 1,
                    "limit_a": 115.0, "strings": 2, "strings_needed": 3}),
    finding("relay_thresholds_fooled", "links.vsr.relay",
            values={"effect": "stays_joined", "bank": "banks.lithium", "rest_v": 13.34, "joins_v": 13.3,
                    "releases_v": 12.8, "tolerance_v": 0.1, "parts_at_share": 0.07, "usual_v": 12.9,
                    "usual_load_parts": False, "releases_above_v": 13.44, "joins_above_v": 13.64}),
    finding("breaking_capacity_low", "loads.fridge.fuse", severity="danger", outcome="undecided",
            values={"find_out": "short_circuit_current", "cause": "fault", "interrupt_a": 10000.0,
                    "needed_a": 8132.4, "assumed_a": 4000.0, "bank": "banks.lithium", "node": "loads.fridge.fused"}),
    finding("coil_driven_wrong", "links.vsr.relay", outcome="undecided", values={"find_out": "part"}),
)  # fmt: skip

CHECKS: Final = (
    m.CheckResult("positive_unfused", 1, "danger", 28, 1, 0, LAW),
    m.CheckResult("link_fused_one_end", 2, "danger", 0, 0, 0, PRACTICE),
    m.CheckResult("starter_voltage_low", 52, "fault", 1, 0, 0, PRACTICE),
)

CODE_NOTES: Final = (
    m.CodeNoteResult("us_boats.fuse_place", "Where the fuse sits", "183.455", "A fuse sits at the source end.",
                     "failed", "fired", 28, ("positive_unfused",), LAW),
    m.CodeNoteResult("us_boats.voltage_drop", "Voltage drop", "E-11", "At most 3 % for critical circuits.",
                     "passed", "found_nothing", 9, ("voltage_drop_high",), LAW),
    m.CodeNoteResult("us_boats.lithium_limits", "Limits of lithium", "E-13", "The maker's limits guide the design.",
                     "undecided", "figure_missing", 2, ("battery_limit_exceeded",), MEMORY),
    m.CodeNoteResult("us_boats.ignition", "Petrol vapour", "183.410", "Parts there cannot ignite it.",
                     "to_be_tested", "no_check", 0, (), LAW),
    m.CodeNoteResult("us_boats.vapour", "Fuel near the battery", "183.420", "No fuel parts above it.",
                     "not_applicable", "absent", 0, (), LAW),
)  # fmt: skip

ASSUMPTIONS: Final = (
    m.Assumption("sources.alternator", "hot_alternator", {"current_a": 55.0}, PRACTICE),
    m.Assumption("engine", "starter_current", {"current_a": 300.0}, PRACTICE),
    m.Assumption("engine", "starter_inrush", {"current_a": 700.0}, PRACTICE),
    m.Assumption("links.vsr.relay", "relay_joins", {"joins_v": 13.3}, PRACTICE),
    m.Assumption("links.vsr.relay", "relay_releases", {"releases_v": 12.8}, PRACTICE),
    m.Assumption("links.vsr.relay", "relay_tolerance", {"tolerance_v": 0.1}, PRACTICE),
    m.Assumption("banks.lithium", "battery_resistance", {"resistance_ohm": 0.008}, MEMORY),
    m.Assumption("banks.lithium", "battery_fault_resistance", {"resistance_ohm": 0.003}, MEMORY),
)


def rung(item: str, group: Any, setting: str, value_v: float, **changed: Any) -> m.RungResult:
    plain = m.RungResult(
        item, group, setting, value_v, 0.05, True, value_v - 0.05, value_v + 0.05, None, None, None, PRACTICE
    )
    return dataclasses.replace(plain, **changed)


LADDER: Final = m.LadderResult(
    (
        rung("sources.solar", "charging", "absorption", 14.2, cold_v=14.37, hot_v=13.84, low_v=13.79, high_v=14.42),
        rung("sources.solar", "charging", "float", 13.5),
        rung("banks.lithium.contactor", "switching", "opens_above", 14.4, tolerance_v=0.1, tolerance_assumed=False),
        rung(
            "banks.lithium", "rest", "rest_full", 13.336, tolerance_v=0.0, low_v=13.336, high_v=13.336, charge_share=1.0
        ),
        rung(
            "banks.lithium", "rest", "rest_half", 13.112, tolerance_v=0.0, low_v=13.112, high_v=13.112, charge_share=0.5
        ),
        rung(
            "banks.lithium", "rest", "rest_low", 12.918, tolerance_v=0.0, low_v=12.918, high_v=12.918, charge_share=0.2
        ),
        rung("banks.lithium", "management", "cuts_above", 14.6, citation=LAW),
    ),
    (m.UnstatedSetting("sources.alternator", "float"), m.UnstatedSetting("banks.lithium", "cuts_below")),
    (m.JoinSetting("banks.lithium.contactor", 0.1),),
)


def failure(cause: str, symptom: Any, item: str, items: tuple[str, ...], **changed: Any) -> m.FailureResult:
    plain = m.FailureResult(cause, symptom, item, items, (), (), (), (), (), (), (), (), 11.42, "starts", None, "", ())
    return dataclasses.replace(plain, **changed)


FAILURES: Final = (
    failure(
        "bank_off", "all_dark", "banks.lithium", ("banks.lithium.s1", "banks.lithium.fuse", "banks.lithium.positive"),
        dead=("loads.fridge", "loads.bilge"), stranded=("sources.alternator",), banks_off=("banks.lithium",),
        buses=(m.BusChangeResult("buses.main", 12.89, None, None),), warned_by=("banks.lithium.contactor",),
    ),
    failure("battery_out", "start_lost", "banks.lead", ("banks.lead.s1",), starter_v=None, start="fails",
            emergency_v=10.04, emergency_start="starts", banks_off=("banks.lead",),
            buses=(m.BusChangeResult("buses.main", 12.89, 12.31, 13.68),), low=("loads.fridge",),
            charging=(m.ItemAmps("sources.solar", 45.07),), charged=(m.ItemAmps("banks.lithium", 42.5),)),
    failure("load_circuit", "one_dark", "loads.fridge", ("loads.fridge.fuse", "loads.fridge.positive"),
            dead=("loads.fridge",)),
    failure("source_circuit", "charge_lost", "sources.solar", ("sources.solar", "sources.solar.fuse"),
            lost=("sources.solar",), buses=(m.BusChangeResult("buses.main", 12.89, 12.88, None),)),
    failure("contactor_welded", "unseen", "banks.lithium", ("banks.lithium.contactor",)),
)  # fmt: skip

SWITCHING: Final = (
    m.SwitchingStep("before", "tell", (), {}),
    m.SwitchingStep("before", "keep_alive", ("loads.bilge",), {"bank": "banks.lead", "current_a": 5.5}),
    m.SwitchingStep("stop", "stop_solar", ("sources.solar",), {"open_circuit_v": 44.0}),
    m.SwitchingStep("disconnect", "feed_alive", ("loads.bilge",), {"current_a": 5.5, "fuse_a": None}),
    m.SwitchingStep("disconnect", "negative_off", ("banks.lead", "banks.lead.positive"), {"rest_v": 12.73}),
    m.SwitchingStep(
        "join", "precharge", ("loads.windlass",),
        {"resistor_ohms": 10.0, "current_a": 1.27, "until_v": 12.1, "time_s": 0.5},
    ),
)  # fmt: skip


def a_row(test: str, item: str = "", end: str = "", unit: Any = "", **changed: Any) -> r.TestRow:
    """A test that has not been made."""
    plain = r.TestRow(
        test=test, item=item, designation="", title="", end=end, unit=unit, expected=None, low=None, high=None,
        basis="works", values={}, danger=False, checks=(51, 57), outcome="not_measured", wanting="", value=None,
        at_a=None, passed=None, how="", instrument="", by="", date="", note="", entry=None, earlier=(),
        citation=m.CitationResult("common_practice", "20 % and 20 mV either way", "common practice"),
    )  # fmt: skip
    return dataclasses.replace(plain, **changed)


TESTS: Final = (
    a_row("torque", danger=True),
    a_row("standing_drain", unit="A", expected=0.392, low=0.382, high=0.402, basis="calculated"),
    a_row(
        "load_drop", "loads.windlass", unit="V", expected=0.883, low=0.686, high=1.08, basis="calculated",
        expected_at_a=120.0,
    ),
    a_row("load_drop", "loads.fridge", unit="V", expected=0.6, low=0.5, high=0.7, basis="calculated", asked=False),
    a_row(
        "device_drop", "banks.house.fuse", unit="V", expected=0.0268, high=0.0322, basis="fuse", wanting="maker_drop",
        expected_at_a=63.0,
    ),
    a_row("relay_delay", "links.vsr.relay", unit="s", basis="set", wanting="relay_settings"),
    a_row("cranking_drop", "engine", "positive", "V", expected=0.32, high=0.3, basis="at_most"),
    a_row("starter_voltage", "engine", unit="V", expected=9.4, low=9.6, basis="at_least", danger=True),
    a_row("contactor_open", "banks.lithium.contactor", unit="V", low=0.1, basis="at_least", danger=True),
)  # fmt: skip

OPTION_A: Final = m.OptionResult(
    id="shared",
    title="House bank starts the engine",
    pitch="Fewer parts and less money.",
    arrangement="lead_and_lithium",
    conductors=CONDUCTORS,
    devices=DEVICES,
    banks=BANKS,
    loads=LOADS,
    sources=SOURCES,
    cases=(case("rest"), case("full.windlass", solved=False, collapsed=("loads.windlass",), open_relays=())),
    faults=(
        m.FaultResult("banks.house.positive.from", "banks.house.negative.to", 8132.4, 13.6, 0.00167,
                      7999.0, 7050.0, 2240.0, "banks.house",
                      (m.PortAmps("banks.house.s1", 4066.2, 0.0), m.PortAmps("banks.house.s2", 4066.2, 0.0))),
        m.FaultResult("a.node.without.a.name", "another", 10.0, 13.6, 1.36, 9.9, 9.4, None, None, ()),
    ),
    least_faults=(),
    joins=(
        m.JoinResult(
            "banks.lithium.contactor", "far_empty", 1.84, 0.00863, 213.4, 150.0, "relay_make",
            "banks.lithium.contactor", 1.84, "free", 44.0, 30.0,
        ),
        m.JoinResult("links.vsr.relay", "far_empty", 1.1, 0.011, 100.0, None, None, None, 1.1, "free", 100.0, None),
        m.JoinResult("links.vsr.relay", "near_empty", 0.0, 0.011, 0.0, None, None, None, 1.9, "not_sensed", 0.0, None),
    ),
    starts=(
        m.StartResult("cranking", ("banks.house",), 280.0, 18.0, 11.43, 9.6, "starts"),
        m.StartResult("cranking_joined", ("banks.house", "banks.lithium"), 280.0, 18.0, 11.79, None, "uncertain"),
        m.StartResult("cranking_emergency", (), 280.0, 18.0, None, 9.6, "fails"),
    ),
    energy=ENERGY,
    price_lines=PRICE_LINES,
    price=PRICE,
    findings=FINDINGS,
    acceptances=(
        m.AcceptanceResult(
            "return_smaller", "banks.house.negative", "A. Sample", "it is replaced next winter", "accepted"
        ),
        m.AcceptanceResult("breaking_capacity_low", "", "B. Sample", "it has been so for years", "refused"),
        m.AcceptanceResult("bank_without_switch", "banks.gone", "C. Sample", "there is no room for one", "idle"),
        m.AcceptanceResult("house_dark_early", "", "C. Sample", "one day will do", "not_asked"),
    ),
    consents=(
        m.ConsentResult(
            "lithium_with_lead", "banks.lithium", {"bank": "banks.lithium", "lead": "banks.house"}, "there",
            "Both makers", "joined", "2026-11-02", "in the folder",
        ),
        m.ConsentResult("lithium_insurer", "banks.lithium", {"energy_wh": 5888.0}, "asked", "The insurer", "", "", ""),
        m.ConsentResult("mains_electrician", "mains", {}, "missing", "", "", "", ""),
        m.ConsentResult("unheard_of", "banks.lithium", {}, "missing", "", "", "", ""),
    ),
    checks=CHECKS,
    code_notes=CODE_NOTES,
    assumptions=ASSUMPTIONS,
    network=(network("rest"), network("full.windlass"), network("fault")),
    ladder=LADDER,
    failures=FAILURES,
    switching=SWITCHING,
    switched=(
        m.SwitchedResult(
            "banks.lithium.contactor", "contactor", 129.6, "charging_full_lead", 150.0, 128.6, "full.windlass", 230.0,
            151.8, "cranking_joined", 700.0, 213.4, "far_empty", 500.0, 129.6, "charging_full_lead", None, "held", 12.0,
            4.6, 9.1, 4.8, 12.5, "opens",
        ),
        m.SwitchedResult(
            "links.vsr.relay", "vsr", 0.0, "", 200.0, 0.0, "", None, 0.0, "", None, 0.0, "", None, 0.0, "", None,
            "latching", 12.0, 0.1, 0.2, None, None, "stays",
        ),
        m.SwitchedResult(
            "banks.house.switch", "switch", 57.1, "reserve", 150.0, 0.0, "", 250.0, 0.0, "", 450.0, 0.0, "", None, 0.0,
            "", None, None, None, None, None, None, None, None,
        ),
    ),
    surges=(
        m.SurgeResult(
            "loads.inverter", "banks.lithium.contactor", "relay_make", 13.6, 0.0088, 1545.5, 500.0, None, 0.01,
            0.000088, 0.92, 0.0184, 0.0008, False,
        ),
        m.SurgeResult(
            "loads.inverter", "banks.lithium", "management", 13.6, 0.0088, 1545.5, None, None, None, None, None, None,
            None, True,
        ),
    ),
    choose_if=("You watch the meter.",),
    tests=TESTS,
)  # fmt: skip

OPTION_B: Final = dataclasses.replace(
    OPTION_A,
    id="dedicated",
    title="A starter battery of its own",
    pitch="",
    arrangement="lead_and_lithium_with_starter",
    banks=(*BANKS, bank("banks.starter", "G5", "Starter battery", "flooded", "start", parallel_count=1, mass_kg=25.0)),
    energy=dataclasses.replace(
        ENERGY,
        battery_mass_kg=104.0,
        autonomy=(m.AutonomyResult("house", 4945.0, 3017.1, 2.639, None),),
        seasons=(
            season("dry", "Dry season", engine_wh=0.0, engine_h=0.0, made_up_by=""),
            season("wet", "Wet season", engine_h=None, engine_wh=0.0, made_up_by="", balance_wh=-1368.5),
        ),
    ),
    price=dataclasses.replace(PRICE, total=Decimal("14948.50"), unpriced_lines=0),
    price_lines=tuple(x for x in PRICE_LINES if x.amount is not None),
    findings=(),
    joins=(),
    assumptions=(),
    choose_if=(),
)

RESULTS: Final = m.Results(
    results_version=1,
    made_by="proposal 0.0.0",
    vessel=m.VesselResult(
        name="Wagtail", kind="boat", description="Cutter of 9.4 m", client="R. Sample", client_contact="berth 4",
        number="WT-2026-01", revision="A", date="2026-03-14", valid_days=30, system_v=12.0, wanted_days=2.0,
        rule_family="us_boats", rule_family_title="US recreational boats", rule_edition="33 CFR 183; ABYC E-11",
        rule_applies_to="recreational boats",
        installer="Sample Marine Electrics", installer_contact="post@sample.example",
        installer_licence="Invented, not for construction.", installer_cautions=("Mains work is not part of this.",),
        installer_terms=("Half with the order.",), locale="en_GB",
    ),
    survey=m.SurveyResult(
        "2026-02-20", "O. Sample",
        stays=(("loads.fridge.positive", "14 AWG", "tinned and sound"),),
        measured=(("Alternator after half an hour", "57 A at 13.9 V", "engine space"),),
        unknown=(("First inrush of the starter", "Clamp meter with peak hold"),),
    ),
    limits=m.LimitsResult(
        True, "The harbour's electrician", "the plug of the charger",
        (m.PaperResult("The harbour", "Work at the berth", "2026-02-01", "at the office"),
         m.PaperResult("The co-owner", "The price", "", "")),
    ),
    options=(OPTION_A, OPTION_B),
)  # fmt: skip

DRAWINGS: Final = ("a-picture.svg", "a-single-line.svg", "a-single-line-2.svg", "b-single-line.svg")
