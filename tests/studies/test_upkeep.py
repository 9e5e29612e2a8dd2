"""Which upkeep a vessel has, by what is fitted."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from proposal.circuit.build import build_circuit
from proposal.circuit.model import Circuit
from proposal.codes.chosen import chosen_family
from proposal.parts.catalogue import Catalogue
from proposal.spec.loading import load_project
from proposal.spec.options import EmergencyOff
from proposal.spec.overlay import EffectiveSpec, effective
from proposal.studies.upkeep.result import UpkeepTask
from proposal.studies.upkeep.study import task_names, upkeep_tasks

BENCH = Path(__file__).parents[1] / "rules" / "boat"


def laid(option: str, **changes: Any) -> tuple[EffectiveSpec, Circuit]:
    project = load_project(BENCH)
    spec = project.spec.value
    for name, value in changes.items():
        if name == "loads":
            spec = spec.model_copy(update={"loads": {**spec.loads, **value}})
        else:
            spec = spec.model_copy(update={name: value})
    found = effective(spec, project.installer.value, option)
    catalogue = Catalogue.of(project.prices.value, spec.parts)
    return found, build_circuit(found, catalogue, chosen_family(found, project.installer.value))


def tasks(option: str, **changes: Any) -> dict[str, UpkeepTask]:
    return {task.task: task for task in upkeep_tasks(*laid(option, **changes))}


def test_intervals_are_those_of_the_trade() -> None:
    # retorque at a month or 50 h; monthly alarms, drain, lead, lithium 40-60 %; yearly looks; capacity two-yearly
    found = tasks("dedicated")
    assert (found["retorque_first"].first_days, found["retorque_first"].every_days) == (30, None)
    assert found["retorque_first"].values == {"run_h": 50.0}
    for task in ("alarms", "standing_drain", "lead_charged", "lithium_stored"):
        assert (found[task].first_days, found[task].every_days) == (30, 30)
    assert found["lithium_stored"].values == {"low_share": 0.4, "high_share": 0.6}
    for task in ("thermal", "retorque", "vents", "start_battery"):
        assert (found[task].first_days, found[task].every_days) == (365, 365)
    assert (found["capacity"].every_days, found["capacity"].values) == (730, {"least_share": 0.8})


def test_each_task_concerns_what_is_fitted() -> None:
    found = tasks("dedicated")
    assert found["lead_charged"].items == ("banks.lead", "banks.starter")
    assert found["lithium_stored"].items == ("banks.lithium",)
    assert found["water"].items == ("banks.starter",)
    assert found["start_battery"].items == ("banks.starter",)
    assert found["alarms"].items == ("banks.lithium",)
    assert found["capacity"].items == ("banks.lead", "banks.lithium", "banks.starter")
    assert {"banks.lithium", "buses.main"} & set(found["retorque"].items)


def test_sealed_lead_wants_no_water_and_vented_lead_does() -> None:
    assert "water" not in tasks("shared")
    assert tasks("vented")["water"].items == ("banks.house", "banks.starter")
    assert "lithium_stored" not in tasks("vented")


def test_without_an_emergency_off_there_is_nothing_to_try() -> None:
    assert "emergency_off" not in tasks("shared")
    spec, circuit = laid("shared")
    option = spec.option.model_copy(update={"emergency_off": EmergencyOff.model_construct(acts="coil")})
    changed = EffectiveSpec(spec.spec, spec.option_id, option, spec.pins, spec.parts, spec.family)
    found = {task.task: task.items for task in upkeep_tasks(changed, circuit)}
    assert found["emergency_off"] == ("banks.lithium.contactor",)


def test_a_pump_and_an_alarm_are_known_by_what_they_serve() -> None:
    assert "bilge_pump" not in tasks("shared")
    pump = load_project(BENCH).spec.value.loads["bilge_pump"]
    serving = pump.model_copy(update={"serves": "bilge_pump"})
    assert tasks("shared", loads={"bilge_pump": serving})["bilge_pump"].items == ("loads.bilge_pump",)


def test_without_an_engine_no_battery_starts_one() -> None:
    project = load_project(BENCH.parents[2] / "projects" / "skarn")
    option = project.option_ids[0]
    found = effective(project.spec.value, project.installer.value, option)
    catalogue = Catalogue.of(project.prices.value, project.spec.value.parts)
    circuit = build_circuit(found, catalogue, chosen_family(found, project.installer.value))
    assert "start_battery" not in {task.task for task in upkeep_tasks(found, circuit)}


@pytest.mark.parametrize("option", ["shared", "dedicated", "vented"])
def test_every_item_of_a_task_is_one_of_the_circuit(option: str) -> None:
    spec, circuit = laid(option)
    known = {x.key for group in (circuit.banks, circuit.buses, circuit.devices, circuit.loads) for x in group}
    for task in upkeep_tasks(spec, circuit):
        assert set(task.items) <= known
        assert len(set(task.items)) == len(task.items)
        assert task.task in task_names()


def test_every_row_has_a_source_and_what_it_needs_is_understood() -> None:
    found = {task.task for option in ("shared", "dedicated", "vented") for task in upkeep_tasks(*laid(option))}
    assert found | {"emergency_off", "bilge_pump"} == set(task_names())
    assert all(task.citation.status == "common practice" for task in tasks("dedicated").values())
