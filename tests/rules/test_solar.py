"""Checks 10 and 35: solar arrays."""

import pytest

SOLAR = "sources.solar"


def array(bench, **changes):
    return bench.option("shared", {f"sources.solar.{name}": value for name, value in changes.items()})


# --- 10 --------------------------------------------------------------------------------------------------------------

# 9 A of the array: 3 A of each of three strings; the two others drive 1.25 · 2 · 3 A = 7.5 A back into one


@pytest.mark.parametrize(("bears_a", "fires"), [(7.5, False), (7.49, True)])
def test_current_back_into_one_of_three_strings(bench, bears_a, fires):
    found = bench.found(array(bench, strings=3, module_fuse_max_a=bears_a), "solar_strings_unprotected")
    assert [f.item for f in found] == ([SOLAR] if fires else [])
    for finding in found:
        values = finding.values
        assert (finding.outcome, values["cause"], values["strings"], values["limit_a"]) == ("fires", "backfed", 3, 7.49)
        assert values["current_a"] == pytest.approx(7.5)


def test_a_fuse_in_each_string_answers_it_unless_it_is_larger_than_the_module_bears(bench):
    fused = {"strings": 3, "module_fuse_max_a": 7.0}
    assert bench.found(array(bench, **fused, string_fuse_a=7.0), "solar_strings_unprotected") == []
    (finding,) = bench.found(array(bench, **fused, string_fuse_a=7.1), "solar_strings_unprotected")
    assert (finding.values["cause"], finding.values["rating_a"]) == ("fuse_too_large", 7.1)
    assert bench.found(array(bench, strings=3, string_fuse_a=15.0), "solar_strings_unprotected") == []


def test_what_a_module_bears_is_asked_from_three_strings_on(bench):
    assert bench.found(array(bench, strings=2), "solar_strings_unprotected") == []
    (finding,) = bench.found(array(bench, strings=3), "solar_strings_unprotected")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "module_fuse_max")
    assert bench.tested(bench.option("shared"), "solar_strings_unprotected") == 1


def test_two_strings_of_modules_that_bear_less_than_one_gives(bench):
    (finding,) = bench.found(array(bench, strings=2, module_fuse_max_a=5.0), "solar_strings_unprotected")
    assert finding.values["current_a"] == pytest.approx(1.25 * 4.5)


# −10 °C on deck, −0.3 %/K: 1.105 of the voltage at 25 °C


@pytest.mark.parametrize(("touchable", "outcome"), [(True, "fires"), (None, "undecided"), (False, None)])
@pytest.mark.parametrize(("open_circuit_v", "high"), [(54.29, False), (54.3, True)])
def test_more_than_sixty_volts_in_the_cold_that_can_be_touched(bench, touchable, outcome, open_circuit_v, high):
    found = bench.found(array(bench, open_circuit_v=open_circuit_v, touchable=touchable), "solar_strings_unprotected")
    assert [f.outcome for f in found] == ([outcome] if high and outcome else [])
    for finding in found:
        assert (finding.values["cause"], finding.values["limit_v"]) == ("touch", 60.0)
        assert finding.values["voltage_v"] == pytest.approx(60.0015)


# --- 35 --------------------------------------------------------------------------------------------------------------

COLD_V = 44.0 * (1 + 0.003 * 35)  # 44 V at 25 °C, −0.3 %/K, −10 °C on deck: 48.62 V


@pytest.mark.parametrize(("limit_v", "fires"), [(48.621, False), (48.619, True)])
def test_array_at_its_coldest(bench, limit_v, fires):
    evidence = bench.option("shared", prices={"solar_100_50.input_max_v": limit_v})
    found = bench.found(evidence, "array_voltage_high")
    assert [f.item for f in found] == ([SOLAR] if fires else [])
    for finding in found:
        assert finding.values["voltage_v"] == pytest.approx(COLD_V) == pytest.approx(48.62)
        assert finding.values["coldest_c"] == -10.0
        assert (finding.values["coefficient_per_k"], finding.values["coefficient_stated"]) == (-0.003, True)
        # the remedy put back: such an array just reaches the limit in the cold
        assert finding.values["open_circuit_allowed_v"] * 1.105 == pytest.approx(limit_v)


def test_parallel_strings_add_no_voltage(bench):
    evidence = bench.option("shared", {"sources.solar.strings": 2}, {"solar_100_50.input_max_v": 48.7})
    assert bench.found(evidence, "array_voltage_high") == []


def test_hot_place_does_not_lower_it_below_its_rating(bench):
    spec = {"climate.places.deck.coldest_c": 30.0}
    assert bench.found(bench.option("shared", spec, {"solar_100_50.input_max_v": 44.0}), "array_voltage_high") == []
    assert bench.found(bench.option("shared", spec, {"solar_100_50.input_max_v": 43.9}), "array_voltage_high") != []


def test_controller_without_a_limit_is_undecided(bench):
    (finding,) = bench.found(bench.option("shared", {"sources.solar.controller": "solar_plain"}), "array_voltage_high")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "controller_input_limit")


@pytest.mark.parametrize(("limit_v", "outcome"), [(48.7, None), (48.0, "undecided"), (43.9, "fires")])
def test_usual_coefficient_decides_nothing_alone(bench, limit_v, outcome):
    """44 V at 25 °C is sure; what the cold adds is not where nobody states the coefficient."""
    solar = bench.project.spec.value.sources["solar"]
    plain = solar.model_construct(
        _fields_set=solar.model_fields_set - {"voltage_per_k"}, **{**dict(solar), "voltage_per_k": -0.003}
    )
    evidence = bench.option("shared", {"sources.solar": plain}, {"solar_100_50.input_max_v": limit_v})
    found = bench.found(evidence, "array_voltage_high")
    assert [f.outcome for f in found] == ([outcome] if outcome else [])
    assert [f.values["find_out"] for f in found if f.outcome == "undecided"] == ["voltage_coefficient"] * (
        outcome == "undecided"
    )
