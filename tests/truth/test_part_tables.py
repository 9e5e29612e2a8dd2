"""What is known of parts without a maker's sheet, row by row, through its public face against the printed tables.

Sources and statuses stand in the copies beside this file. What is marked "from memory" is asserted apart. Rows that
nothing here uses are listed with the reason.
"""

import pytest

from proposal.circuit.assumed import LOWEST_SHARE_OF_NOMINAL
from proposal.codes.family import highest_system_v
from proposal.parts import chemistry
from proposal.parts.dynamics import charge_max_a, dynamics, management
from proposal.parts.dynamics_table import charging_efficiency, cited, figure
from proposal.parts.fuse_classes import published
from proposal.parts.lead import charge_voltage, compensation_v_per_k, freezing_c
from proposal.parts.life import cycles_to_end, life_citations
from proposal.parts.self_discharge import self_discharge_a
from proposal.rules.relays import LEAST_EQUIPMENT_V_AT_12V
from proposal.spec.pricebook import BatteryPart, FusePart
from tests.truth.reference import Row, bounds, one, printed

MEMORY = "from memory"


def split(rows: list[Row]) -> tuple[list[Row], list[Row]]:
    """The rows that something corroborates, and those from memory."""
    return [r for r in rows if r["status"] != MEMORY], [r for r in rows if r["status"] == MEMORY]


def battery(kind: str, volts: float = 12.0, **more: str) -> BatteryPart:
    stated = {"kind": "battery", "title": "B", "chemistry": kind, "voltage": f"{volts} V", "capacity": "100 Ah"}
    return BatteryPart.model_validate(stated | more)


# --- fuse_classes.csv ------------------------------------------------------------------------------------------------

CLASSES = {
    "blade type C/F (medium, mini)": (("blade",), 0.5, 40),
    "blade type C/F, 58 V versions": (("blade",), 0.5, 40),
    "blade type E (maxi, high current)": (("maxi_blade",), 20, 100),
    "bolt-in strip SF30 (midi class)": (("midi",), 30, 200),
    "bolt-in strip SF51 (mega class)": (("mega",), 100, 500),
    "single-bolt terminal fuse (stud-mounted cube)": (("terminal_cube",), 1, 300),
    "single-bolt terminal fuse, vendor rating at 14 V": (("terminal_cube",), 30, 300),
    "single-bolt terminal fuse, vendor rating at 32 V": (("terminal_cube",), 30, 300),
    "axial strip SF36/SF51/SF56-70V for 48 V nets": (("midi", "mega"), 30, 500),
    "ANL bolt-in limiter": (("anl",), 35, 750),
    "Class T (UL 248-15), dc rated": (("class_t",), 1, 1200),
    "NH / EV bolt fuse, dc": (("nh_bolt",), 32, 500),
    "thermal marine breaker, small single pole": (("thermal_breaker",), 5, 50),
    "MCCB / hydraulic-magnetic dc main breaker": (("dc_breaker",), 50, 300),
}
"""Our class or classes for a printed row, with the smallest and largest rating that it prints, in A."""
NO_CLASS_OF_OURS = {
    "sub-miniature blade type N": "no class of the price book",
    "sub-miniature three-tab type P": "no class of the price book",
    "glass 1/4 x 1-1/4 in cartridge (AGC class)": "no class of the price book; many break less than is remembered",
}
FUSES, FUSES_FROM_MEMORY = split([r for r in printed("fuse_classes") if r["class"] not in NO_CLASS_OF_OURS])


def fuse_class_as_printed(row: Row) -> None:
    names, lowest_a, highest_a = CLASSES[row["class"]]
    printed_a = row["rated_current_A"].removeprefix("<=").split("-")
    assert float(printed_a[-1]) == highest_a
    assert len(printed_a) == 1 or float(printed_a[0]) == lowest_a
    for name in names:
        for rating_a in (lowest_a, highest_a):
            part = FusePart.model_validate(
                {"kind": "fuse", "title": "F", "class": name, "rating": f"{rating_a} A", "interrupt": "1 kA",
                 "voltage_max": f"{row['dc_voltage_V']} V"}
            )  # fmt: skip
            found = published(part)
            assert found is not None
            assert (found.voltage_v, found.interrupt_a) == (float(row["dc_voltage_V"]), float(row["interrupt_A"]))
            assert found.citation.status == row["status"]


@pytest.mark.parametrize("row", FUSES, ids=lambda row: row["class"])
def test_fuse_classes(row):
    fuse_class_as_printed(row)


@pytest.mark.parametrize("row", FUSES_FROM_MEMORY, ids=lambda row: row["class"])
def test_from_memory_fuse_classes(row):
    fuse_class_as_printed(row)


def test_every_fuse_class_is_asserted_or_has_its_reason():
    assert {row["class"] for row in printed("fuse_classes")} == set(CLASSES) | set(NO_CLASS_OF_OURS)


# --- ocv_lead.csv, ocv_lfp.csv ---------------------------------------------------------------------------------------

LEAD_TYPES = {"flooded (SG 1.265 full)": "flooded", "AGM (SG about 1.29-1.30 full)": "agm", "gel": "gel"}
NO_REST_OF_OURS = {
    "generic 10 % table (hobby, mixes rest and load at the low end)": "not all of it is at rest",
    "equilibrium, 6 cells": "by molality of the acid: belongs to cell models, which no study has yet",
}
LEAD, LEAD_FROM_MEMORY = split([row for row in printed("ocv_lead") if row["type"] in LEAD_TYPES])


def lead_rests_as_printed(row: Row) -> None:
    kind, share = LEAD_TYPES[row["type"]], float(row["soc_pct"]) / 100.0
    assert chemistry.ocv_v(kind, share, 6) == pytest.approx(float(row["ocv_12V"]), abs=1e-9)
    assert chemistry.charge_share(kind, float(row["ocv_12V"]), 6) == pytest.approx(share, abs=1e-9)
    assert chemistry.citation("rest_voltage", kind).status == row["status"]


@pytest.mark.parametrize("row", LEAD, ids=lambda row: f"{row['type']} {row['soc_pct']}")
def test_resting_voltage_of_lead(row):
    lead_rests_as_printed(row)
    # six times density and 0.845 V, an old rule of the trade, is 0.1 V low where the battery is flat
    assert float(row["ocv_12V"]) == pytest.approx(6.0 * (float(row["specific_gravity"]) + 0.845), abs=0.105)


@pytest.mark.parametrize("row", LEAD_FROM_MEMORY, ids=lambda row: f"{row['type']} {row['soc_pct']}")
def test_from_memory_resting_voltage_of_lead(row):
    lead_rests_as_printed(row)


MODEL, TRADE = "BPX example", "trade table for 4S packs"
OTHER_CELL = "PyBaMM Prada2013"
LIMITS_PCT = (0.0, 100.0)
"""Of the model cell these are limits of charging and discharging and no resting voltages."""
KNEE_PCT = 9.0
"""Below 10 % the trade's packs fall faster than the model cell; nothing decides between them."""
LITHIUM = [r for r in printed("ocv_lfp") if r["source"].startswith(MODEL) and float(r["soc_pct"]) not in LIMITS_PCT]
LITHIUM_FROM_MEMORY = [r for r in printed("ocv_lfp", source=TRADE) if float(r["soc_pct"]) != KNEE_PCT]


@pytest.mark.parametrize("row", LITHIUM, ids=lambda row: row["soc_pct"])
def test_resting_voltage_of_lithium(row):
    share = float(row["soc_pct"]) / 100.0
    assert chemistry.ocv_v("lithium", share, 1) == pytest.approx(float(row["cell_V"]), abs=1e-9)
    assert chemistry.ocv_v("lithium", share, 4) == pytest.approx(float(row["pack_4S_V"]), abs=0.001)
    assert chemistry.citation("rest_voltage", "lithium").status == row["status"]


@pytest.mark.parametrize("row", LITHIUM_FROM_MEMORY, ids=lambda row: row["soc_pct"])
def test_from_memory_resting_voltage_of_lithium(row):
    """The ends are the trade's; between them the model lies within the hysteresis of the plateau, 25 mV."""
    assert row["status"] == MEMORY
    hysteresis_v = bounds(one("battery_params", quantity="OCV hysteresis")["value"])[1] / 1000.0
    share = float(row["soc_pct"]) / 100.0
    near_v = 1e-9 if share in (0.0, 1.0) else hysteresis_v
    assert chemistry.ocv_v("lithium", share, 1) == pytest.approx(float(row["cell_V"]), abs=near_v)
    assert chemistry.citation("full_rest_voltage", "lithium").status == MEMORY


def test_every_resting_voltage_is_asserted_or_has_its_reason():
    others = [r for r in printed("ocv_lead") if r["type"] not in LEAD_TYPES]
    assert {row["type"].split(", molality")[0] for row in others} == set(NO_REST_OF_OURS)
    left = [row for row in printed("ocv_lfp") if row not in LITHIUM and row not in LITHIUM_FROM_MEMORY]
    of_model = [float(r["soc_pct"]) for r in left if r["source"].startswith(MODEL)]
    of_trade = [float(r["soc_pct"]) for r in left if r["source"] == TRADE]
    assert (of_model, of_trade) == (list(LIMITS_PCT), [KNEE_PCT])
    # the rest is another cell, whose graphite is a substitute
    assert sum(r["source"].startswith(OTHER_CELL) for r in left) == len(left) - 3


# --- temp_capacity.csv -----------------------------------------------------------------------------------------------

CELL_SIZE = "lead-acid cell-size factor"
SIMPLIFIED = f"{CELL_SIZE} (simplified tables, base 26.7 C)"
CRANKING = "lead-acid cranking capacity % at -18 C vs +27 C"
LITHIUM_COLD = "LFP available capacity %"
SIZES, SIZES_FROM_MEMORY = split(printed("temp_capacity", quantity=CELL_SIZE))


def cell_size_as_printed(row: Row) -> None:
    degrees_c = float(row["temp_C"])
    assert degrees_c == pytest.approx((float(row["temp_F"]) - 32.0) / 1.8, abs=0.05)
    for kind in ("flooded", "agm", "gel"):
        share = chemistry.temperature_capacity_share(kind, degrees_c)
        assert 1.0 / share == pytest.approx(float(row["value"]), rel=1e-9)


@pytest.mark.parametrize("row", SIZES, ids=lambda row: row["temp_F"])
def test_capacity_of_lead(row):
    cell_size_as_printed(row)


@pytest.mark.parametrize("row", SIZES_FROM_MEMORY, ids=lambda row: row["temp_F"])
def test_from_memory_capacity_of_lead(row):
    cell_size_as_printed(row)
    assert chemistry.citation("temperature_capacity", "agm").status == MEMORY


def test_capacity_of_lead_below_the_table():
    """The simplified table has base 26.7 °C, where ours has 0.98; ours goes on along its last two rows: within 5 %."""
    row = one("temp_capacity", quantity=SIMPLIFIED)
    found = 1.0 / chemistry.temperature_capacity_share("flooded", float(row["temp_C"]))
    assert found == pytest.approx(float(row["value"]) * 0.98, rel=0.05)


@pytest.mark.parametrize("row", printed("temp_capacity", quantity=LITHIUM_COLD), ids=lambda row: row["temp_C"])
def test_capacity_of_lithium(row):
    share = chemistry.temperature_capacity_share("lithium", float(row["temp_C"]))
    assert share == pytest.approx(float(row["value"]) / 100.0)
    assert row["status"] != MEMORY


def test_cranking_capacity_in_the_cold():
    row = one("temp_capacity", quantity=CRANKING)
    cited = chemistry.citation("cold_resistance", "flooded")
    assert (cited.source, cited.status) == ("tm9_8000", row["status"])
    found = chemistry.cold_resistance_factor("flooded", float(row["temp_C"]))
    assert 100.0 / found == pytest.approx(float(row["value"]))


def test_every_row_of_capacity_is_asserted():
    assert {r["quantity"] for r in printed("temp_capacity")} == {CELL_SIZE, SIMPLIFIED, LITHIUM_COLD, CRANKING}


# --- battery_params.csv ----------------------------------------------------------------------------------------------

Key = tuple[str, str]
NAMES = {"flooded lead-acid": "flooded", "flooded": "flooded", "AGM": "agm", "gel": "gel", "LFP": "lithium"}
ASSERTED: set[Key] = set()


def parameter(quantity: str, applies_to: str) -> Row:
    return one("battery_params", quantity=quantity, applies_to=applies_to)


def cases(*keys: Key) -> pytest.MarkDecorator:
    """Rows for a test, each noted as asserted."""
    ASSERTED.update(keys)
    return pytest.mark.parametrize("row", [parameter(*key) for key in keys], ids=[", ".join(key) for key in keys])


@cases(*(("Peukert exponent", name) for name in ("flooded lead-acid", "AGM", "gel", "LFP")))
def test_peukert_exponent(row):
    kind = NAMES[row["applies_to"]]
    assert chemistry.peukert(kind) == pytest.approx(sum(bounds(row["value"])) / 2.0)
    assert chemistry.citation("peukert", kind).status == row["status"] == "corroborated"


@cases(("coulombic/charge efficiency, full cycle", "lead-acid"))
def test_charge_efficiency(row):
    assert chemistry.charge_efficiency("flooded") == float(row["value"])
    assert chemistry.citation("charge_efficiency", "flooded").status == row["status"] == "corroborated"


@cases(("round-trip energy efficiency", "LFP"))
def test_from_memory_charge_efficiency_of_lithium(row):
    assert chemistry.charge_efficiency("lithium") == pytest.approx(sum(bounds(row["value"])) / 2.0)
    assert chemistry.citation("charge_efficiency", "lithium").status == row["status"] == MEMORY


def absorption_as_printed(row: Row) -> None:
    volts, cited = charge_voltage(battery(NAMES[row["applies_to"]]))
    assert volts == pytest.approx(bounds(row["value"])[1])
    assert cited.status == row["status"]


@cases(("absorption voltage 25 C", "flooded"))
def test_absorption_voltage(row):
    absorption_as_printed(row)
    assert row["status"] == "corroborated"


@cases(("absorption voltage 25 C", "AGM"), ("absorption voltage 25 C", "gel"))
def test_from_memory_absorption_voltage(row):
    absorption_as_printed(row)
    assert row["status"] == MEMORY


@cases(("temperature compensation", "lead-acid"))
def test_temperature_compensation_is_the_middle_of_its_range(row):
    assert row["value"] == "-3 (range -3..-5)"
    assert compensation_v_per_k() == pytest.approx(-0.004)
    # the row's own voltages at 15, 25 and 35 °C are those of the low end, within our range
    assert "2.30 V/cell at 25 C, 2.27 at 35 C, 2.33 at 15 C" in row["note"]


def loss_a(kind: str) -> float:
    return self_discharge_a(kind, 100.0)[0]


@cases(("self-discharge", "LFP"))
def test_self_discharge(row):
    assert loss_a("lithium") == pytest.approx(bounds(row["value"])[1] / 720.0)
    assert self_discharge_a("lithium", 100.0)[1].status == row["status"] == "corroborated"


@cases(("self-discharge", "lead-acid flooded (Sb)"), ("self-discharge", "AGM"))
def test_from_memory_self_discharge(row):
    kind = "agm" if row["applies_to"] == "AGM" else "flooded"
    assert loss_a(kind) == pytest.approx(bounds(row["value"])[1] / 720.0)
    assert self_discharge_a(kind, 100.0)[1].status == row["status"] == MEMORY


@cases(
    ("internal resistance", "LFP 100 Ah 12.8 V pack incl. BMS"),
    ("internal resistance", "AGM 12 V 100 Ah"),
    ("internal resistance", "flooded 12 V 100 Ah deep cycle"),
)
def test_from_memory_internal_resistance(row):
    """The data sheet of the lithium pack corroborates only its limit of 20 mΩ; the typical figures are remembered."""
    kind, volts = (
        ("lithium", 12.8) if row["applies_to"].startswith("LFP") else (row["applies_to"].split()[0].lower(), 12)
    )
    low, high = bounds(row["value"].split("typical ")[-1])
    found = chemistry.assumed_resistance_ohm(battery(kind, volts))
    assert (found.for_fault_ohm, found.for_drop_ohm) == pytest.approx((low / 1000.0, high / 1000.0))
    assert found.for_drop_ohm <= 0.020
    assert found.fault_citation.status == MEMORY


@cases(
    ("prospective short-circuit current", "12 V 100 Ah lead-acid"),
    ("prospective short-circuit current", "lead-acid rule"),
)
def test_published_fault_currents_understate_and_ours_are_never_below(row):
    assert row["note"].startswith("no internal resistance known; UNDERSTATES")
    usual_a = 20 * 100.0 if "x Ah" in row["value"] else bounds(row["value"].split(",")[0])[1]
    assert usual_a == 2000.0
    for kind in ("flooded", "agm", "gel"):
        assert chemistry.short_circuit_a(battery(kind), 1).current_a >= usual_a


@cases(("prospective short-circuit current", "LFP 12.8 V 100 Ah bare cells"))
def test_from_memory_fault_current_of_lithium(row):
    low_a, high_a = bounds(row["value"])
    assert row["status"] == MEMORY
    assert low_a <= chemistry.short_circuit_a(battery("lithium", 12.8), 1).current_a <= high_a


@cases(("R from CCA", "lead-acid 12 V at -18 C"))
def test_from_memory_resistance_from_a_cranking_rating(row):
    assert row["value"] == "(12.6-7.2)/CCA, so Isc = 2.33 x CCA"
    assert chemistry.resistance_from_cranking_ohm(650.0) == pytest.approx((12.6 - 7.2) / 650.0)
    least_a = chemistry.CRANKING_OPEN_V / chemistry.resistance_from_cranking_ohm(650.0)
    assert least_a / 650.0 == pytest.approx(2.33, abs=0.005)
    assert row["status"] == MEMORY


@cases(("CCA (SAE J537/BCI)", "12 V battery"))
def test_end_of_the_cranking_test(row):
    assert row["value"] == f"-18 C, 30 s, >= {chemistry.CRANKING_END_V} V"


@cases(("freezing point vs SoC", "lead-acid"))
def test_from_memory_freezing_points(row):
    """As remembered; the copy of a manual beside it corroborates them within 1.5 K (test_parts_lead)."""
    assert row["value"].startswith("-58 full (SG 1.265), -37 at 75 %, -25 at 50 %, -16 at 25 %, -11 flat")
    assert [freezing_c(share) for share in (1.0, 0.75, 0.5, 0.25, 0.0)] == [-58.0, -37.0, -25.0, -16.0, -11.0]
    assert row["status"] == MEMORY


@cases(("DC system voltage window", "12 V / 24 V equipment"))
def test_voltage_window_of_equipment(row):
    for system_v, words in zip((12.0, 24.0), row["value"].split(" / "), strict=True):
        low_v, high_v = bounds(words)
        assert system_v * LOWEST_SHARE_OF_NOMINAL == LEAST_EQUIPMENT_V_AT_12V * system_v / 12.0 == low_v
        assert highest_system_v(system_v).value == pytest.approx(high_v)
        assert highest_system_v(system_v).citation.status == row["status"] == "corroborated"


@cases(("nominal voltage", "LFP 4S"))
def test_nominal_voltage_of_lithium(row):
    assert chemistry.cell_count(battery("lithium", float(row["value"]))) == 4
    assert 4 * chemistry.CELL_V["lithium"] == pytest.approx(float(row["value"]))


@cases(("internal resistance per cell, 500 Ah stationary", "lead-acid"), ("OCV hysteresis", "LFP"))
def test_figures_that_other_tests_take(row):
    """The cell of W36, and how far resting voltages of lithium may lie apart."""
    assert row["value"] == {"lead-acid": "0.5", "LFP": "5-25"}[row["applies_to"]]
    assert row["status"] == "corroborated"
    own = dynamics(battery("lithium", 12.8), 25.0)
    assert 1000.0 * own.hysteresis_v / own.cells == pytest.approx(sum(bounds("5-25")) / 4.0)


@cases(("taper start", "lead-acid"), ("gassing voltage", "lead-acid"))
def test_where_charging_lead_tapers(row):
    """About 80 % at C/5; the voltage at which that is read is the one at which gassing begins."""
    found = dynamics(battery("flooded"), 25.0)
    if row["quantity"] == "gassing voltage":
        assert figure("gassing voltage", "agm") == float(row["value"])
        return
    assert row["value"] == "about 80 % SoC at C/5"
    ohm = found.resistance_ohm + found.fast_ohm + found.slow_ohm + found.charge_ohm * 0.8 / (0.2 + found.knee_share)
    assert (14.4 - chemistry.ocv_v("flooded", 0.8, 6)) / ohm == pytest.approx(100.0 / 5.0)
    assert row["status"] == cited("taper start", "flooded").status == "corroborated"


@cases(("charge efficiency at low SoC", "lead-acid"))
def test_first_charge_of_lead(row):
    assert row["value"].startswith(">")
    assert charging_efficiency("flooded")[1][0] > float(row["value"].removeprefix(">"))


@cases(("charge efficiency 79-84 % SoC / above 90 %", "lead-acid"))
def test_from_memory_last_charge_of_lead(row):
    """Remembered for one make and lower than ours, which give the corroborated 0.85 over a whole cycle."""
    near_four_fifths, above_nine_tenths = row["value"].split(" / <")
    shares, stored = charging_efficiency("flooded")
    by_share = dict(zip(shares, stored, strict=True))
    assert by_share[0.8] > float(near_four_fifths) > by_share[1.0] >= float(above_nine_tenths)
    assert row["status"] == MEMORY


@cases(*(("max charge current", name) for name in ("flooded", "AGM", "gel")))
def test_from_memory_highest_charging_current_of_lead(row):
    kind = NAMES[row["applies_to"]]
    assert charge_max_a(battery(kind)) == pytest.approx(100.0 * bounds(row["value"])[1])
    assert cited("max charge current", kind).status == row["status"] == MEMORY


@cases(("max charge current", "LFP pack"))
def test_highest_charging_current_of_lithium(row):
    assert row["value"].startswith("0.5 typical")
    assert charge_max_a(battery("lithium", 12.8)) == pytest.approx(50.0)


@cases(("charge voltage", "LFP 4S"), ("low-voltage disconnect", "LFP 4S"), ("charge temperature window", "LFP"))
def test_what_the_management_of_lithium_allows(row):
    own = management(battery("lithium", 12.8))
    if row["quantity"] == "charge voltage":
        low_v, high_v = bounds(row["value"])
        assert own.high_v == pytest.approx(high_v)
        assert dynamics(battery("lithium", 12.8), 25.0).full_v <= low_v
    elif row["quantity"] == "low-voltage disconnect":
        assert row["value"].startswith(f"{own.low_v} hard")
    else:
        assert row["value"].startswith(f"{own.coldest_charge_c:.0f}..45")
    assert row["status"] == "corroborated"


@cases(("cycle life vs DoD", "AGM"), ("cycle life vs DoD", "flooded golf type"))
def test_cycle_life_of_lead(row):
    part = battery(NAMES[row["applies_to"].removesuffix(" golf type")])
    for words in row["value"].split(", "):
        cycles, depth = words.removesuffix(" %").split(" at ")
        assert cycles_to_end(part, float(depth) / 100.0) == pytest.approx(float(cycles))
    assert life_citations(part)["cycles at 80 %"].status == row["status"] == "corroborated"


@cases(("cycle life vs DoD", "lead-acid deep cycle"))
def test_cycle_life_of_deep_cycle_lead_by_a_seller(row):
    low, high = bounds(row["value"].removesuffix(" deep"))
    assert low <= cycles_to_end(battery("agm"), 0.8) <= high
    assert low <= cycles_to_end(battery("flooded"), 0.7) <= high


@cases(("cycle life vs DoD", "LFP"))
def test_cycle_life_of_lithium(row):
    assert row["value"] == "2000-3000+ at 80 %"
    assert cycles_to_end(battery("lithium", 12.8), 0.8) == pytest.approx(2000.0)


NO_PARAMETER_OF_OURS = {
    "round-trip energy efficiency": "of lead: charge, not energy, is reckoned",
    "charger efficiency factor for time estimate": "0.85 of a full cycle is taken instead",
    "float voltage 25 C": "float voltages are stated, or nothing is decided",
    "float voltage": "of lithium: the maker states its limits, or nothing is decided",
    "discharge temperature window": "nothing depends on it",
    "self-discharge": "of old automotive batteries: not a chemistry of ours",
    "internal resistance": "of a bare cell: batteries are whole here",
    "CCA (EN 50342-1)": "one definition of cranking ratings is used",
    "CCA (old DIN)": "one definition of cranking ratings is used",
    "CCA (IEC)": "one definition of cranking ratings is used",
    "CA/MCA (BCI)": "one definition of cranking ratings is used",
    "reserve capacity": "no study takes it (W49)",
    "specific gravity vs Ah": "no study of the acid yet",
}


def test_every_battery_parameter_is_asserted_or_has_its_reason():
    every = {(row["quantity"], row["applies_to"]) for row in printed("battery_params")}
    assert every >= ASSERTED
    assert {quantity for quantity, _ in every - ASSERTED} == set(NO_PARAMETER_OF_OURS)
