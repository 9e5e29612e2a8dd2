"""Spec and circuit → the upkeep tasks that this vessel has, from `tables/upkeep.csv`."""

from __future__ import annotations

import csv
import functools
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import cast

from proposal.circuit.model import Circuit
from proposal.facts import Values
from proposal.sources import Citation, Status
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.upkeep.result import UpkeepTask

VALUES = ("run_h", "low_share", "high_share", "least_share", "warmer_c", "distance_m")
"""Columns of the table that hold figures for a task's words."""


def task_names() -> tuple[str, ...]:
    """All tasks that there are, in the order of the table: what a record may say that was done."""
    return tuple(row["task"] for row in _rows())


def upkeep_tasks(spec: EffectiveSpec, circuit: Circuit) -> tuple[UpkeepTask, ...]:
    """The tasks of this vessel with the items that each concerns, in the order of the table.

    A task whose condition nothing fitted meets is left out. Pure. Source and status: each row of the table.
    """
    return tuple(_tasks(spec, circuit))


def _tasks(spec: EffectiveSpec, circuit: Circuit) -> Iterator[UpkeepTask]:
    for row in _rows():
        items = _CONCERNS[row["needs"]](spec, circuit)
        if items:
            values: Values = {name: float(row[name]) for name in VALUES if row[name]}
            every = int(row["every_days"]) if row["every_days"] else None
            cited = Citation(row["source_id"], "", cast(Status, row["status"]))
            yield UpkeepTask(row["task"], int(row["first_days"]), every, items, values, cited)


@functools.cache
def _rows() -> tuple[Mapping[str, str], ...]:
    path = Path(__file__).parent / "tables" / "upkeep.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return tuple(MappingProxyType(row) for row in csv.DictReader(file))


def _joints(_: EffectiveSpec, circuit: Circuit) -> tuple[str, ...]:
    """Banks, buses, and devices with studs; a thin fuse of a sense lead has none."""
    thin = {c.circuit for c in circuit.conductors if c.purpose == "sense"}
    devices = [d.key for d in circuit.devices if d.circuit not in thin]
    return (*(b.key for b in circuit.banks), *(b.key for b in circuit.buses), *devices)


def _banks(_: EffectiveSpec, circuit: Circuit) -> tuple[str, ...]:
    return tuple(b.key for b in circuit.banks)


def _of_chemistry(*chemistries: str) -> Callable[[EffectiveSpec, Circuit], tuple[str, ...]]:
    return lambda _, circuit: tuple(b.key for b in circuit.banks if b.chemistry in chemistries)


def _alarms(spec: EffectiveSpec, circuit: Circuit) -> tuple[str, ...]:
    """High-water alarms, and banks that can switch themselves off: they warn before, or they should."""
    cuts = tuple(b.key for b in circuit.banks if any(circuit.battery[s].cut_off for s in b.strings))
    return (*_serving(spec, circuit, "high_water_alarm"), *cuts)


def _bilge_pump(spec: EffectiveSpec, circuit: Circuit) -> tuple[str, ...]:
    return _serving(spec, circuit, "bilge_pump")


def _serving(spec: EffectiveSpec, circuit: Circuit, purpose: str) -> tuple[str, ...]:
    return tuple(x.key for x in circuit.loads if spec.load(x.key).serves == purpose)


def _start_battery(_: EffectiveSpec, circuit: Circuit) -> tuple[str, ...]:
    if circuit.starter is None:
        return ()
    return tuple(b.key for b in circuit.banks if b.role in ("start", "both"))


def _emergency_off(spec: EffectiveSpec, circuit: Circuit) -> tuple[str, ...]:
    """What it opens: the contactors, else the switches of the banks."""
    if spec.option.emergency_off is None:
        return ()
    contactors = tuple(d.key for d in circuit.devices if d.kind == "contactor")
    return contactors or tuple(d.key for d in circuit.devices if d.kind == "switch") or _banks(spec, circuit)


_CONCERNS: Mapping[str, Callable[[EffectiveSpec, Circuit], tuple[str, ...]]] = {
    "joints": _joints,
    "banks": _banks,
    "lead": _of_chemistry("flooded", "agm", "gel"),
    "vented_lead": _of_chemistry("flooded"),
    "lithium": _of_chemistry("lithium"),
    "alarms": _alarms,
    "bilge_pump": _bilge_pump,
    "start_battery": _start_battery,
    "emergency_off": _emergency_off,
}
"""What a task's condition is about, by its code in the table: the items that meet it."""
