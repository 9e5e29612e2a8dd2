"""The bill of materials with prices: every line from a chosen part, money in Decimal, rounded once per line."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from proposal.circuit.model import Circuit
from proposal.design.result import Design
from proposal.parts.catalogue import Catalogue
from proposal.results.model import PriceLine, PriceTotals
from proposal.spec.installer import Installer
from proposal.spec.overlay import EffectiveSpec

CENT = Decimal("0.01")
GROUPS = ("battery", "cable", "protection", "switching", "charging", "other", "labour", "contingency")
GROUP_OF = {
    "battery": "battery", "cable": "cable", "fuse": "protection", "switch": "switching", "contactor": "switching",
    "vsr": "switching", "shunt": "switching", "bus": "switching", "shore_charger": "charging",
    "solar_controller": "charging", "dc_dc": "charging", "inverter": "charging", "other": "other",
}  # fmt: skip
CUTTING_SHARE = Decimal("1.05")
"""Cable bought for cable fitted: ends and bends cost some. Common practice, no source."""


@dataclass
class _Basket:
    """Quantities by part, with the items that ask for them."""

    quantity: dict[str, Decimal] = field(default_factory=dict)
    items: dict[str, list[str]] = field(default_factory=dict)
    notes: dict[str, str] = field(default_factory=dict)

    def add(self, part_id: str, quantity: Decimal, items: Iterable[str], note: str = "") -> None:
        self.quantity[part_id] = self.quantity.get(part_id, Decimal(0)) + quantity
        self.items.setdefault(part_id, []).extend(items)
        if note:
            self.notes[part_id] = note


def money(amount: Decimal) -> Decimal:
    """An amount rounded to the cent, half up."""
    return amount.quantize(CENT, ROUND_HALF_UP)


def price_option(
    spec: EffectiveSpec, design: Design, catalogue: Catalogue, installer: Installer
) -> tuple[tuple[PriceLine, ...], PriceTotals]:
    """Lines and totals of an option.

    Equipment that stays is left out; items for which no part was found are lines without a price, counted apart.
    amount = quantity × unit price, rounded once; totals add rounded lines; contingency and tax are rounded once each.
    """
    circuit = design.circuit
    basket = _material(spec, design)
    lines = [_part_line(part_id, basket, catalogue) for part_id in basket.quantity]
    lines += _small_parts(catalogue, basket)
    lines += [
        PriceLine(f"missing.{key}", "protection", "", None, Decimal(1), "piece", None, None, (key,), "no_part")
        for key in design.open_items
    ]
    lines.sort(key=lambda x: (GROUPS.index(x.group), x.title, not x.key.startswith("part."), x.key))
    lines += _labour(circuit, spec.staying, installer)
    material = sum((x.amount for x in lines if x.group != "labour" and x.amount is not None), Decimal(0))
    labour = sum((x.amount for x in lines if x.group == "labour" and x.amount is not None), Decimal(0))
    contingency = money((material + labour) * Decimal(str(installer.contingency)))
    lines.append(
        PriceLine(
            "contingency", "contingency", "", None, Decimal(1), "sum", contingency, contingency, (), "contingency"
        )
    )
    net = material + labour + contingency
    tax = money(net * Decimal(str(installer.tax)))
    unpriced = sum(1 for x in lines if x.amount is None)
    totals = PriceTotals(
        installer.currency,
        material,
        labour,
        contingency,
        net,
        installer.tax_name,
        installer.tax,
        tax,
        net + tax,
        unpriced,
    )
    return tuple(lines), totals


def _material(spec: EffectiveSpec, design: Design) -> _Basket:
    circuit, basket = design.circuit, _Basket()
    stays = spec.staying
    for battery in circuit.batteries:
        if not battery.stays:
            basket.add(battery.part_id, Decimal(battery.series_count), [battery.key])
    for conductor in circuit.conductors:
        if conductor.part_id is not None and not {conductor.key, conductor.circuit} & stays:
            metres = Decimal(str(round(conductor.length_m, 3))) * CUTTING_SHARE
            basket.add(conductor.part_id, metres, [conductor.key])
    for key, part_id, count in pieces(circuit):
        if part_id is not None and key not in stays:
            basket.add(part_id, Decimal(count), [key])
    for extra in (*spec.spec.extras, *spec.option.extras):
        basket.add(extra.part, Decimal(extra.count), [], extra.why)
    return basket


def pieces(circuit: Circuit) -> list[tuple[str, str | None, int]]:
    """Key, part and count of everything that is bought by the piece; a bus is two bars, unswitched studs are one."""
    pieces: list[tuple[str, str | None, int]] = [(d.key, d.part_id, 1) for d in circuit.devices]
    pieces += [(b.key, b.part_id, 1 if b.kind == "unswitched" else 2) for b in circuit.buses]
    pieces += [(x.key, x.inverter_id, 1) for x in circuit.loads]
    pieces += [(s.key, s.part_id, 1) for s in circuit.sources]
    pieces += [(c.key, c.part_id, 1) for c in circuit.converters]
    return pieces


def _part_line(part_id: str, basket: _Basket, catalogue: Catalogue) -> PriceLine:
    part: Any = catalogue.get(part_id)
    unit = "metre" if part.kind == "cable" else "piece"
    quantity = basket.quantity[part_id]
    if unit == "metre":
        quantity = quantity.quantize(Decimal("0.1"), ROUND_HALF_UP) or Decimal("0.1")
    amount = money(quantity * part.price) if part.price is not None else None
    group: Any = GROUP_OF[part.kind]
    return PriceLine(
        f"part.{part_id}", group, part.title, part_id, quantity, unit, part.price, amount,
        tuple(basket.items.get(part_id, ())), basket.notes.get(part_id, ""),
    )  # fmt: skip


def _small_parts(catalogue: Catalogue, basket: _Basket) -> list[PriceLine]:
    """Lugs (two for each conductor) and fuse holders, priced with the part that they belong to."""
    lines = []
    for part_id, items in basket.items.items():
        part: Any = catalogue.get(part_id)
        if part.kind == "cable" and part.lug_price is not None:
            count = Decimal(2 * len(items))
            lines.append(
                PriceLine(
                    f"lugs.{part_id}", "cable", part.title, part_id, count, "lug", part.lug_price,
                    money(count * part.lug_price), tuple(items), "lugs",
                )
            )  # fmt: skip
        if part.kind == "fuse" and part.holder_price is not None:
            count = Decimal(len(items))
            lines.append(
                PriceLine(
                    f"holder.{part_id}", "protection", part.title, part_id, count, "holder", part.holder_price,
                    money(count * part.holder_price), tuple(items), "holder",
                )
            )  # fmt: skip
    return lines


def _labour(circuit: Circuit, stays: frozenset[str], installer: Installer) -> list[PriceLine]:
    """Hours by task: batteries, devices, conductors and their metres that are new; survey, commissioning, documents."""
    hours, rate = installer.labour, installer.hourly_rate
    new_batteries = sum(b.series_count for b in circuit.batteries if not b.stays)
    devices = sum(1 for d in circuit.devices if d.key not in stays) + len(circuit.buses) + len(circuit.sources)
    conductors = [c for c in circuit.conductors if not {c.key, c.circuit} & stays]
    metres = sum(c.length_m for c in conductors)
    tasks = (
        ("survey", hours.survey_h),
        ("batteries", hours.per_battery_h * new_batteries),
        ("devices", hours.per_device_h * devices),
        ("conductors", hours.per_conductor_h * len(conductors) + hours.per_metre_h * metres),
        ("commissioning", hours.commissioning_h),
        ("documents", hours.documents_h),
    )
    lines = []
    for task, spent_h in tasks:
        quantity = Decimal(str(spent_h)).quantize(Decimal("0.1"), ROUND_HALF_UP)
        if quantity > 0:
            amount = money(quantity * rate)
            lines.append(PriceLine(f"labour.{task}", "labour", "", None, quantity, "hour", rate, amount, (), task))
    return lines
