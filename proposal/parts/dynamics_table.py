"""The figures of `tables/battery_dynamics.csv` by quantity and chemistry, and where each comes from."""

from __future__ import annotations

import functools

from proposal.parts import chemistry
from proposal.parts.tables import row_citation, rows
from proposal.sources import Citation
from proposal.spec.pricebook import Chemistry

_EFFICIENCY = "incremental charge efficiency at "


@functools.cache
def row(quantity: str, kind: Chemistry) -> dict[str, str]:
    """The row for a chemistry: its own, else that of lead, else that of all. Raises StopIteration without one."""
    names = (kind, "lead", "all") if chemistry.is_lead(kind) else (kind, "all")
    found = rows("battery_dynamics", quantity)
    return next(one for name in names for one in found if one["applies_to"] == name)


@functools.cache
def figure(quantity: str, kind: Chemistry) -> float:
    """The figure for a chemistry: the middle of its range."""
    return _middle(row(quantity, kind))


def most(quantity: str, kind: Chemistry) -> float:
    """The upper end of its range."""
    return float(row(quantity, kind)["high"])


def cited(quantity: str, kind: Chemistry) -> Citation:
    """Where the figure comes from."""
    return row_citation(row(quantity, kind))


@functools.cache
def charging_efficiency(kind: Chemistry) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Charge shares, and which share of the next charge is stored there."""
    shares, stored = zip(*sorted((_pct(one) / 100.0, _middle(one)) for one in efficiency_rows(kind)), strict=True)
    return shares, stored


def efficiency_rows(kind: Chemistry) -> list[dict[str, str]]:
    """The rows of `charging_efficiency`."""
    group = "lead" if chemistry.is_lead(kind) else kind
    found = rows("battery_dynamics")
    return [one for one in found if one["applies_to"] == group and one["quantity"].startswith(_EFFICIENCY)]


def self_discharge_per_month(kind: Chemistry) -> tuple[float, Citation]:
    """Share of its charge that a battery loses in a month at 25 °C: the middle of the published range; its source."""
    found = next(one for one in rows("self_discharge") if one["chemistry"] == kind)
    return (float(found["low_pct"]) + float(found["high_pct"])) / 200.0, row_citation(found)


def dynamics_citations(kind: Chemistry) -> dict[str, Citation]:
    """Where each figure that a chemistry takes comes from, by its quantity."""
    names = {kind, "lead", "all"} if chemistry.is_lead(kind) else {kind, "all"}
    quantities = (one["quantity"] for one in rows("battery_dynamics") if one["applies_to"] in names)
    found = {quantity: cited(quantity, kind) for quantity in quantities}
    return found | {"self-discharge": self_discharge_per_month(kind)[1]}


def _middle(found: dict[str, str]) -> float:
    return (float(found["low"]) + float(found["high"])) / 2.0


def _pct(found: dict[str, str]) -> float:
    return float(found["quantity"].removeprefix(_EFFICIENCY).removesuffix(" %"))
