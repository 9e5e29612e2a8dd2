"""Options that are well-formed and still cannot be built: each is refused at its place, with what would fit."""

from __future__ import annotations

import random
from typing import Any

import pytest
import yaml

from proposal.circuit.misfit import MisfitError
from proposal.errors import SpecError
from proposal.spec.overlay import Pin
from tests.generate import build, options_of, spec_of, spec_text

ROUTE = "short_0"


def tree(arrangement: str, *, volts: int = 12, engine: bool = True) -> dict[str, Any]:
    """The spec of a seed as nested sections; its first option has the arrangement."""
    rng = random.Random(5)  # noqa: S311 - test data
    text = spec_text(rng, voltage_v=volts, arrangements=(arrangement,), engine=engine, most_loads=4)
    return yaml.safe_load(text)


def built(spec: dict[str, Any]) -> Any:
    return build(spec_of(yaml.safe_dump(spec, allow_unicode=True, sort_keys=False)), "way_a")


def complaints(spec: dict[str, Any]) -> tuple[Any, ...]:
    with pytest.raises(MisfitError) as caught:
        built(spec)
    return caught.value.complaints


def bank(battery: str, **fields: str) -> dict[str, str]:
    return {"title": "Bank", "battery": battery, "place": "cabin", "route": ROUTE, **fields}


@pytest.mark.parametrize(
    ("volts", "battery", "series", "advice"),
    [(12, "agm_12v_110", "2", "1"), (24, "agm_12v_110", "1", "2"), (48, "vented_6v_225", "4", "8"),
     (24, "vented_2v_500", "9", "12"), (24, "vented_2v_500", "11", "12"), (48, "lithium_12v_100", "3", "4")],
)  # fmt: skip
def test_a_string_that_does_not_make_the_system_voltage(volts: int, battery: str, series: str, advice: str) -> None:
    spec = tree("one_bank", volts=volts)
    spec["options"]["way_a"]["banks"] = {"house": bank(battery, series=series)}
    ((loc, what, allowed),) = complaints(spec)
    assert loc == ("options", "way_a", "banks", "house")
    assert f"{volts} V system" in what
    assert allowed == f"`series: {advice}`"


def test_a_battery_whose_cells_make_no_string_of_the_system() -> None:
    spec = tree("one_bank", volts=12)
    spec["options"]["way_a"]["banks"] = {"house": bank("lithium_24v_100")}
    ((loc, what, allowed),) = complaints(spec)
    assert loc == ("options", "way_a", "banks", "house")
    assert "8 cells" in what
    assert "needs 4" in what
    assert allowed == "a battery whose cells go into 4"


@pytest.mark.parametrize(
    ("chemistry", "voltage", "taken"),
    [("flooded", "12.9 V", True), ("flooded", "13 V", False), ("agm", "11.6 V", False), ("lithium", "12 V", True),
     ("lithium", "11.9 V", False), ("lithium", "14.8 V", False), ("lithium", "12.8 V", True)],
)  # fmt: skip
def test_a_battery_is_a_whole_number_of_cells(chemistry: str, voltage: str, taken: bool) -> None:
    """Lead 1.95 to 2.15 V a cell as printed, lithium 3.0 to 3.7 V."""
    spec = tree("one_bank", volts=12)
    own = {"kind": "battery", "title": "Own", "chemistry": chemistry, "voltage": voltage, "capacity": "100 Ah"}
    spec["parts"] = {"own_battery": own}
    spec["options"]["way_a"]["banks"] = {"house": bank("own_battery")}
    if taken:
        assert built(spec).circuit.batteries[0].part.voltage_v == float(voltage.split(maxsplit=1)[0])
        return
    ((loc, what, _),) = complaints(spec)
    assert loc[:4] == ("options", "way_a", "banks", "house")
    assert "cell" in what


@pytest.mark.parametrize(("cells", "taken"), [("16", True), ("15", True), ("14", False)])
def test_lithium_at_48_v_has_fifteen_or_sixteen_cells(cells: str, taken: bool) -> None:
    spec = tree("one_bank", volts=48)
    own = {"kind": "battery", "title": "Cell", "chemistry": "lithium", "voltage": "3.2 V", "capacity": "100 Ah"}
    spec["parts"] = {"one_cell": own}
    spec["options"]["way_a"]["banks"] = {"house": bank("one_cell", series=cells)}
    if taken:
        assert built(spec).circuit.batteries[0].series_count == int(cells)
    else:
        ((_, what, allowed),) = complaints(spec)
        assert "16 or 15" in what
        assert allowed == "`series: 16`"


def test_a_composed_link_that_ends_where_it_starts_is_refused_at_its_place() -> None:
    spec = tree("composed")
    links = spec["options"]["way_a"]["composition"].setdefault("links", {})
    bus = next(iter(spec["options"]["way_a"]["composition"]["buses"]))
    links["loop"] = {"kind": "conductor", "from": bus, "to": bus, "route": ROUTE}
    text = yaml.safe_dump(spec, allow_unicode=True, sort_keys=False)
    line = next(n for n, row in enumerate(text.splitlines(), 1) if row.strip() == "loop:") + 3
    assert text.splitlines()[line - 1].strip() == f"to: {bus}"
    with pytest.raises(SpecError, match=rf"spec\.yaml:{line}:\d+: the link ends on the bus that it starts from"):
        built(spec)


@pytest.mark.parametrize("field", ["series", "parallel"])
def test_counts_out_of_bounds_are_refused_by_the_reader(field: str) -> None:
    spec = tree("one_bank")
    spec["options"]["way_a"]["banks"] = {"house": bank("agm_12v_110", **{field: "25"})}
    with pytest.raises(SpecError, match=rf"banks\.house\.{field}` is too large.*at most 24"):
        built(spec)


@pytest.mark.parametrize("voltage", ["13 V", "36 V", "6 V"])
def test_a_system_voltage_that_nobody_builds(voltage: str) -> None:
    spec = tree("one_bank")
    spec["system"]["voltage"] = voltage
    assert ("system", "voltage") in [c[0] for c in complaints(spec)]


@pytest.mark.parametrize("arrangement", ["lead_and_lithium", "lithium_with_dc_dc", "lead_and_lithium_with_starter"])
@pytest.mark.parametrize("battery", ["agm_12v_110", "lithium_12v_100"])
def test_all_banks_of_one_kind_where_two_are_needed(arrangement: str, battery: str) -> None:
    spec = tree(arrangement)
    banks = spec["options"]["way_a"]["banks"]
    spec["options"]["way_a"]["banks"] = {name: bank(battery) for name in banks}
    assert all(c[0][:2] == ("options", "way_a") for c in complaints(spec))


def test_which_bank_starts_the_engine_must_be_plain() -> None:
    spec = tree("lead_and_lithium_with_starter")
    del spec["options"]["way_a"]["start"]
    ((loc, what, allowed),) = complaints(spec)
    assert loc == ("options", "way_a")
    assert "starts the engine" in what
    assert "start:" in allowed
    spec["options"]["way_a"]["start"] = "lithium"
    ((loc, _, allowed),) = complaints(spec)
    assert loc == ("options", "way_a", "start")
    assert "lead" in allowed


def test_a_composed_starter_bus_without_a_bank_of_its_own() -> None:
    spec = tree("composed")
    option = spec["options"]["way_a"]
    option.pop("start", None)
    option["banks"] = {"house": bank("lithium_12v_100")}
    option["composition"] = {
        "buses": {"house": {"title": "House", "side": "house"}, "start": {"title": "Start", "side": "start"}},
        "banks": {"house": {"bus": "house", "through": "contactor"}},
    }
    ((loc, what, _),) = complaints(spec)
    assert loc[:2] == ("options", "way_a")
    assert "engine starts" in what


def test_a_starter_battery_without_an_engine_is_refused_by_the_reader() -> None:
    spec = tree("house_and_starter")
    del spec["engine"]
    with pytest.raises(SpecError, match="no engine"):
        built(spec)


@pytest.mark.parametrize(
    ("item", "fitted", "says"),
    [("loads.nothing", "10 AWG", "no item"), ("loads.load_0.fuse", "agm_12v_110", "is a battery"),
     ("loads.load_0.fuse", "no_such_part", "not in the price book"), ("buses.main", "class_t_10", "is a fuse"),
     ("loads.load_0.positive", "class_t_10", "is a conductor"), ("banks.house.switch", "shunt_300", "is a shunt")],
)  # fmt: skip
def test_pins_that_fit_nothing(item: str, fitted: str, says: str) -> None:
    spec = tree("one_bank")
    spec["options"]["way_a"]["banks"] = {"house": bank("agm_12v_110")}
    spec["options"]["way_a"]["pins"] = {item: fitted}
    made = built(spec)
    with pytest.raises(MisfitError) as caught:
        made.design()
    ((loc, what, allowed),) = caught.value.complaints
    assert loc == ("options", "way_a", "pins", item)
    assert says in what
    assert allowed


def test_every_pin_that_fits_nothing_is_told_at_once() -> None:
    spec = tree("one_bank")
    spec["options"]["way_a"]["pins"] = {"loads.nothing": "10 AWG", "loads.neither": "10 AWG"}
    with pytest.raises(MisfitError) as caught:
        built(spec).design()
    assert len(caught.value.complaints) == 2


def test_a_pinned_circuit_pins_both_conductors_and_their_fuse_stays_free() -> None:
    spec = tree("one_bank")
    spec["options"]["way_a"]["pins"] = {"loads.load_0": "2 AWG"}
    made = built(spec)
    assert made.spec.pins == {
        "loads.load_0": Pin("loads.load_0", "2 AWG", False, ("options", "way_a", "pins", "loads.load_0"))
    }
    circuit = made.design().circuit
    for pole in ("positive", "negative"):
        conductor = circuit.conductor[f"loads.load_0.{pole}"]
        assert (conductor.pinned, conductor.size and conductor.size.label) == (True, "2 AWG")
    assert not circuit.device["loads.load_0.fuse"].pinned


def test_both_options_of_a_generated_spec_are_built_over_the_same_base() -> None:
    text = spec_text(random.Random(11))  # noqa: S311 - test data
    one, other = options_of(text)
    assert [x.key for x in one.circuit.loads] == [x.key for x in other.circuit.loads]
    assert [s.key for s in one.circuit.sources] == [s.key for s in other.circuit.sources]
    assert one.circuit.places == other.circuit.places
