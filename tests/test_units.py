"""Quantities in and out of text, against an independent unit library and published wire tables."""

import math
import re
import subprocess
import sys
from typing import Annotated, Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, Field, ValidationError

from proposal import units
from proposal.units import (
    ANGLE,
    AWG_SIZES,
    CAPACITANCE,
    CHARGE,
    CURRENT,
    DAYS,
    DIFFERENCE,
    DURATION_H,
    DURATION_S,
    ENERGY,
    KINDS,
    LENGTH,
    MASS,
    MM2_SIZES,
    PER_KELVIN,
    POWER,
    RESISTANCE,
    SAE_SIZES,
    SHARE,
    TEMPERATURE,
    VOLTAGE,
    Kind,
    UnitError,
    parse,
    parse_size,
    write,
)

# What each spelling is called in pint, which knows nothing of this project.
PINT_NAMES = {
    "°C": "degC", "C": "degC", "°F": "degF", "F": "degF", "K": "kelvin", "Ω": "ohm", "mΩ": "milliohm",
    "mohm": "milliohm", "kΩ": "kiloohm", "kohm": "kiloohm", "MΩ": "megaohm", "Mohm": "megaohm", "in": "inch",
    "h": "hour", "%": "percent", "Ah": "ampere_hour", "mAh": "milliampere_hour", "Wh": "watt_hour",
    "kWh": "kilowatt_hour", "min": "minute", "days": "day", "s": "second", "lb": "pound", "g": "gram", "ft": "foot",
    "%/K": "percent/kelvin", "%/°C": "percent/kelvin", "%/C": "percent/kelvin",
    "cm2": "cm**2", "cm²": "cm**2", "mm2": "mm**2", "mm²": "mm**2", "in2": "inch**2", "uF": "microfarad",
    "µF": "microfarad", "N·m": "newton*meter", "Nm": "newton*meter", "lbf·in": "force_pound*inch",
    "lbf·ft": "force_pound*foot", "°": "degree", "deg": "degree", "V/°C": "V/kelvin", "mV/°C": "mV/kelvin",
}  # fmt: skip
PINT_CANONICAL = {"°": "degree", "°C": "degC", "fraction": "dimensionless", "1/K": "1/kelvin"}


@pytest.fixture(scope="module")
def registry() -> Any:
    registry: Any = pint.UnitRegistry()
    registry.define("ampere_hour = ampere * hour")
    return registry


@pytest.mark.parametrize(("kind", "spelling"), [(kind, spelling) for kind in KINDS for spelling in kind.factors])
def test_every_unit_agrees_with_pint(registry: Any, kind: Kind, spelling: str) -> None:
    names = {**PINT_NAMES, "F": "farad"} if kind is CAPACITANCE else PINT_NAMES  # F is Fahrenheit elsewhere
    if kind is DIFFERENCE:  # a rise of 1 °C is one of 1 K, whatever the scales begin with
        names = {"°C": "delta_degC", "C": "delta_degC", "°F": "delta_degF", "F": "delta_degF"}
    numbers = (200.25, 273.15, 300) if spelling == "K" else (0.25, 7, 9.75)
    for number in numbers:
        quantity = registry.Quantity(number, names.get(spelling, spelling))
        canonical = PINT_CANONICAL.get(kind.unit, names.get(kind.unit, kind.unit))
        expected = quantity.to(canonical).magnitude
        assert parse(kind, f"{number} {spelling}") == pytest.approx(expected, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        (LENGTH, "4.2 m", 4.2),
        (LENGTH, "14 ft", 4.2672),  # the foot of 1959 is 0.3048 m
        (LENGTH, "36 in", 0.9144),
        (LENGTH, ".5m", 0.5),
        (CURRENT, "15 mA", 0.015),
        (CURRENT, "1.2kA", 1200.0),
        (VOLTAGE, "50 mV", 0.05),
        (CHARGE, "200 Ah", 200.0),
        (ENERGY, "2.9 kWh", 2900.0),
        (POWER, "1.2 kW", 1200.0),
        (TEMPERATURE, "-15 °C", -15.0),
        (TEMPERATURE, "−15\u00a0°C", -15.0),
        (TEMPERATURE, "+5 C", 5.0),
        (TEMPERATURE, "-40 °F", -40.0),  # where both scales meet
        (TEMPERATURE, "212 °F", 100.0),
        (DIFFERENCE, "8 K", 8.0),
        (DIFFERENCE, "8 °C", 8.0),
        (DIFFERENCE, "18 °F", 10.0),
        (DURATION_H, "20 min", 20 / 60),
        (DURATION_S, "250 ms", 0.25),
        (DURATION_S, "2 min", 120.0),
        (RESISTANCE, "1.5 mohm", 0.0015),
        (RESISTANCE, "1.5 milliohm", 0.0015),
        (MASS, "60 lb", 27.2155422),  # the pound of 1959 is 0.45359237 kg
        (SHARE, "7 %", 0.07),
        (SHARE, "100%", 1.0),
        (PER_KELVIN, "-0.27 %/K", -0.0027),
        (DAYS, "1 day", 1.0),
        (ANGLE, "-61.4 °", -61.4),
        (ANGLE, "180deg", 180.0),
    ],
)
def test_texts_become_the_nearest_float(kind: Kind, text: str, value: float) -> None:
    assert parse(kind, text) == value


@pytest.mark.parametrize(
    ("kind", "text", "what"),
    [
        (LENGTH, "4,2 m", "has a decimal comma; write 4.2 m"),
        (ENERGY, "1,5 kWh", "has a decimal comma; write 1.5 kWh"),
        (LENGTH, "0,123 m", "has a decimal comma; write 0.123 m"),
        (TEMPERATURE, "-2,5 °C", "has a decimal comma; write -2.5 °C"),
        (CHARGE, "1,000 Ah", "has a comma that may mean two things; write 1000 Ah or 1.000 Ah"),
        (POWER, "1,234.5 W", "has a thousands separator; write 1234.5 W"),
        (POWER, "1 200 W", "has a separator inside the number; write 1200 W"),
        (POWER, "1'200 W", "has a separator inside the number; write 1200 W"),
        (POWER, "1e3 W", "has an exponent; write 1000 W"),
        (POWER, "1e99 W", "has an exponent"),
        (CHARGE, "200 AH", "has the unit AH; did you mean 200 Ah?"),
        (CHARGE, "200 ah", "has the unit ah; did you mean 200 Ah?"),
        (POWER, "3 KW", "has the unit KW; did you mean 3 kW?"),
        (LENGTH, "14 feet", "has the unit feet; did you mean 14 ft?"),
        (LENGTH, "14'", "has the unit '; did you mean 14 ft?"),
        (CURRENT, "120 amps", "has the unit amps; did you mean 120 A?"),
        (LENGTH, "4.2", "has no unit; write 4.2 m"),
        (SHARE, "0.4", "has no unit"),
        (CHARGE, "200 Wh", "is an energy where a battery capacity belongs"),
        (POWER, "2.9 kWh", "is an energy where a power belongs"),
        (LENGTH, "9 parsec", "has the unit parsec, which is not known for a length"),
        (LENGTH, "-3 m", "has a sign; a length has none"),
        (LENGTH, "+3 m", "has a sign; a length has none"),
        (LENGTH, "14 ft 6 in", "is not one plain number with its unit"),
        (CURRENT, "2 x 80 A", "is not one plain number with its unit"),
        (POWER, "9**9**9 W", "is not one plain number with its unit"),
        (VOLTAGE, "1.2.3 V", "is not one plain number with its unit"),
        (LENGTH, "four metres", "is not a length"),
        (LENGTH, "", "is empty where a length belongs"),
        (LENGTH, "99 km", "is beyond what a length can be here"),
        (TEMPERATURE, "-300 °C", "is beyond what a temperature can be here"),
        (TEMPERATURE, "0 K", "is beyond what a temperature can be here"),
        (ANGLE, "361 °", "is beyond what an angle can be here"),
        (ANGLE, "12.6", "has no unit; write 12.6 °"),
        (ANGLE, "12 °C", "is a temperature where an angle belongs"),
        (SHARE, "140 %", "is beyond what a share can be here"),
        (CURRENT, "inf A", "is not a current"),
        (CURRENT, "nan A", "is not a current"),
        (CURRENT, "١٢ A", "is not a current"),
        (CURRENT, "9" * 63 + " A", "is longer than 64 characters"),
    ],
)
def test_what_cannot_be_taken_is_refused_with_a_remedy(kind: Kind, text: str, what: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse(kind, text)
    assert caught.value.what == what
    assert caught.value.allowed


def test_the_accepted_units_are_listed_with_an_example() -> None:
    with pytest.raises(UnitError) as caught:
        parse(LENGTH, "4.2")
    assert caught.value.allowed == "a number with m, cm, mm, km, ft or in, e.g. 4.2 m"


def test_bounds_are_named_when_they_are_passed() -> None:
    with pytest.raises(UnitError) as caught:
        parse(TEMPERATURE, "2000 °C")
    assert caught.value.allowed == "-100 °C to 1000 °C"


@pytest.mark.parametrize("kind", KINDS)
def test_bounds_themselves_and_all_examples_are_taken(kind: Kind) -> None:
    assert parse(kind, write(kind, kind.highest)) == kind.highest
    assert parse(kind, write(kind, kind.lowest)) == kind.lowest
    for example in kind.examples:
        parse(kind, example)


def _values(kind: Kind) -> st.SearchStrategy[float]:
    # 1e-20 of any unit is far below what can be measured, and still fits in 64 characters
    return st.floats(kind.lowest, kind.highest).filter(lambda value: value == 0 or abs(value) > 1e-20)


@settings(deadline=None, max_examples=400)
@given(st.sampled_from(KINDS).flatmap(lambda kind: st.tuples(st.just(kind), _values(kind))))
def test_written_and_read_again_is_the_same_number(kind_and_value: tuple[Kind, float]) -> None:
    kind, value = kind_and_value
    again = parse(kind, write(kind, value))
    assert again == value
    assert math.copysign(1, again) == math.copysign(1, value) or value == 0


@settings(deadline=None)
@given(
    st.sampled_from(KINDS).flatmap(lambda kind: st.tuples(st.just(kind), st.from_regex(kind.pattern, fullmatch=True)))
)
def test_what_the_pattern_lets_through_is_read_or_out_of_bounds(kind_and_text: tuple[Kind, str]) -> None:
    kind, text = kind_and_text
    try:
        value = parse(kind, text)
    except UnitError as error:
        assert "beyond" in error.what or len(text) > units.LONGEST_TEXT  # noqa: PT017 - both ends are right here
    else:
        assert kind.lowest <= value <= kind.highest
        assert math.isfinite(value)


@settings(deadline=None, max_examples=500)
@given(
    st.sampled_from(KINDS), st.text(st.sampled_from("0123456789.,-+−eE ' \u00a0AhVWkmfti°C%/KΩ²x\n\x00"), max_size=70)
)
def test_any_text_is_read_by_the_pattern_or_refused(kind: Kind, text: str) -> None:
    try:
        parse(kind, text)
    except UnitError as error:
        assert error.what and error.allowed  # noqa: PT017, PT018 - the property is that nothing else is raised
    else:
        assert re.fullmatch(kind.pattern, text)


@settings(deadline=None)
@given(st.sampled_from(KINDS), st.integers(0, 10**6), st.integers(0, 10**6), st.data())
def test_a_comma_is_never_read_as_anything(kind: Kind, whole: int, rest: int, data: st.DataObject) -> None:
    text = f"{whole},{rest} {data.draw(st.sampled_from(sorted(kind.factors)))}"
    with pytest.raises(UnitError, match=r"comma|separator"):
        parse(kind, text)


@pytest.mark.parametrize("value", [math.inf, -math.inf, math.nan, 1e-300])
def test_what_cannot_be_read_back_is_not_written(value: float) -> None:
    with pytest.raises(ValueError, match=r"finite|characters"):
        write(TEMPERATURE, value)


# --- conductor sizes -------------------------------------------------------------------------------------------------

# Nominal circular mils as printed in NFPA 70 Chapter 9 Table 8 and for the gauges between.
NOMINAL_CMIL = {
    "18": 1620, "16": 2580, "14": 4110, "12": 6530, "10": 10380, "8": 16510, "6": 26240, "4": 41740, "3": 52620,
    "2": 66360, "1": 83690, "1/0": 105600, "2/0": 133100, "3/0": 167800, "4/0": 211600,
}  # fmt: skip
MM2_OF_A_CIRCULAR_MIL = math.pi / 4 * 0.0254**2


def test_gauges_have_the_diameter_and_area_printed_in_astm_b258() -> None:
    assert units.awg_diameter_mm(10) == pytest.approx(2.588, abs=5e-4)
    assert units.awg_area_mm2(10) == pytest.approx(5.261, abs=5e-4)
    assert units.awg_diameter_mm(36) == pytest.approx(0.127, rel=1e-15)  # the gauge is built on these two
    assert units.awg_diameter_mm(-3) == pytest.approx(11.684, rel=1e-12)


@pytest.mark.parametrize("name", NOMINAL_CMIL)
def test_areas_agree_with_the_circular_mils_of_nfpa_70(name: str) -> None:
    size = parse_size(f"{name} AWG")
    assert size.area_mm2 / MM2_OF_A_CIRCULAR_MIL == pytest.approx(NOMINAL_CMIL[name], rel=3e-3)


def test_every_gauge_of_the_table_is_checked() -> None:
    assert [size.label for size in AWG_SIZES] == [f"{name} AWG" for name in NOMINAL_CMIL]


def test_metric_sizes_are_those_of_iec_60228() -> None:
    expected = [0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120, 150, 185, 240]
    assert [size.area_mm2 for size in MM2_SIZES] == expected


def test_sizes_are_ordered_by_area_across_both_systems() -> None:
    everything = sorted((*AWG_SIZES, *MM2_SIZES))
    assert [size.area_mm2 for size in everything] == sorted(size.area_mm2 for size in everything)
    assert parse_size("70 mm2") > parse_size("2/0 AWG") >= parse_size("1/0 AWG")
    assert parse_size("2/0 AWG") <= parse_size("2/0AWG")
    assert parse_size("4/0 AWG") < parse_size("120 mm²")


@pytest.mark.parametrize("size", [*AWG_SIZES, *MM2_SIZES, *SAE_SIZES])
def test_a_label_reads_back_as_the_same_size(size: units.ConductorSize) -> None:
    assert parse_size(size.label) == size
    assert parse_size(size.label.replace(" ", "")) == size
    assert parse_size(size.label.replace("²", "2")) == size
    assert str(size) == size.label


@pytest.mark.parametrize(
    ("text", "what", "allowed"),
    [
        ("72 mm2", "is not a standard size", "70 mm² or 95 mm²"),
        ("300 mm2", "is not a standard size", "240 mm²"),
        ("0.3 mm²", "is not a standard size", "0.5 mm²"),
        ("70.0 mm2", "is not how this size is written; write 70 mm2", None),
        ("5 AWG", "is not a standard size here", "6 AWG or 4 AWG"),
        ("20 AWG", "is not a standard size here", "18 AWG"),
        ("7/0 AWG", "is not a standard size here", "4/0 AWG"),
        ("00 AWG", "is not how this gauge is written; write 2/0 AWG", None),
        ("0 AWG", "is not how this gauge is written; write 1/0 AWG", None),
        ("2/0 awg", "is not how a size is written; did you mean 2/0 AWG?", None),
        ("AWG 2/0", "is not how a size is written; did you mean 2/0 AWG?", None),
        ("70 sqmm", "is not how a size is written; did you mean 70 mm2?", None),
        ("2,5 mm2", "has a decimal comma; write 2.5 mm2", None),
        ("70", "has no unit: AWG or mm2", None),
        ("3/0 mm2", "is not a conductor size", None),
        ("thick", "is not a conductor size", None),
        ("", "is empty where a conductor size belongs", None),
        ("9" * 65, "is longer than 64 characters", None),
    ],
)
def test_other_sizes_are_refused_with_their_neighbours(text: str, what: str, allowed: str | None) -> None:
    with pytest.raises(UnitError) as caught:
        parse_size(text)
    assert caught.value.what == what
    assert caught.value.allowed == (
        allowed or "a standard size, 18 to 4/0 AWG or 0.5 to 240 mm2, e.g. 2/0 AWG or 70 mm2"
    )


@settings(deadline=None, max_examples=500)
@given(st.text(st.sampled_from("0123456789/., AWGSEawgm²2#sq^\n"), max_size=70))
def test_any_text_is_a_standard_size_or_refused(text: str) -> None:
    try:
        size = parse_size(text)
    except UnitError as error:
        assert error.what  # noqa: PT017 - the property is that nothing else is raised
    else:
        assert size in (*AWG_SIZES, *SAE_SIZES, *MM2_SIZES)


# --- pydantic fields -------------------------------------------------------------------------------------------------


class Cable(BaseModel):
    length: units.LengthM = Field(gt=0, description="Measured along the run")
    size: units.Size
    current: units.MaybeCurrentA
    drop: Annotated[units.Share, Field(le=0.1)] = 0.03
    spare: units.LengthM | None = None


def test_fields_turn_text_into_numbers() -> None:
    cable = Cable.model_validate({"length": "14 ft", "size": "70 mm2", "current": "unknown"})
    assert cable.length == 4.2672
    assert cable.size == parse_size("70 mm2")
    assert cable.current is None
    assert cable.spare is None


@pytest.mark.parametrize("length", [4.2, 4, True, None, ["4 m"], {"m": 4}])
def test_fields_take_text_only(length: object) -> None:
    with pytest.raises(ValidationError, match="is not a length"):
        Cable.model_validate({"length": length, "size": "70 mm2", "current": "1 A"})


def test_bounds_of_a_field_hold_on_the_number() -> None:
    with pytest.raises(ValidationError) as caught:
        Cable.model_validate({"length": "0 m", "size": "70 mm2", "current": "1 A", "drop": "11 %"})
    assert [(error["loc"], error["type"]) for error in caught.value.errors()] == [
        (("length",), "greater_than"),
        (("drop",), "less_than_equal"),
    ]


def test_models_can_be_made_of_numbers_in_code() -> None:
    made = Cable.model_construct(length=3.0, size=parse_size("70 mm2"), current=None)
    assert made.length == 3.0
    assert made.model_copy(update={"length": 5.0}).length == 5.0


def test_unknown_is_offered_where_it_may_stand() -> None:
    with pytest.raises(ValidationError) as caught:
        Cable.model_validate({"length": "unknown", "size": "70 mm2", "current": "unknwon"})
    length, current = (error["ctx"]["error"] for error in caught.value.errors())
    assert length.what == "is not a length"
    assert current.what == "is not a current; did you mean unknown?"
    assert current.allowed.endswith(", or unknown")


def test_a_field_describes_itself_to_an_editor() -> None:
    fields = Cable.model_json_schema()["properties"]
    assert fields["length"]["type"] == "string"
    assert fields["length"]["examples"] == ["4.2 m", "14 ft", "36 in"]
    assert fields["length"]["description"] == "Measured along the run"
    for field in ("length", "size", "current"):
        for example in fields[field]["examples"]:
            assert re.search(fields[field]["pattern"], example)
        assert not re.search(fields[field]["pattern"], "4,2 m")
        assert not re.search(fields[field]["pattern"], "4.2")
    assert re.search(fields["current"]["pattern"], "unknown")
    assert not re.search(fields["length"]["pattern"], "unknown")


def test_patterns_use_only_what_python_and_editors_have_in_common() -> None:
    patterns = [kind.pattern for kind in KINDS] + [units.sizes.PATTERN]
    for pattern in patterns:
        assert pattern[0] == "^"
        assert pattern[-1] == "$"
        assert set(re.findall(r"\\(.)", pattern)) <= {".", "-"}
        assert set(re.findall(r"\(\?(.)", pattern)) <= {":"}


def test_units_alone_import_nothing_heavy() -> None:
    code = "import sys, proposal.units; print(sorted({'numpy', 'pydantic', 'yaml', 'pint'} & sys.modules.keys()))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
