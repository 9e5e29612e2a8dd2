"""Circuits put together by hand, small enough that their answers can be written down beside them.

All sit on one negative node, so that a length is a length and a loop is what stands in the positive pole.
"""

from __future__ import annotations

from typing import Any

from proposal.circuit.model import Bank, Battery, Circuit, Conductor, Load, Node, Place, SeriesDevice, Source
from proposal.codes import family
from proposal.spec.pricebook import BatteryPart
from proposal.units import parse_size

MINUS = "minus"
RULES = family("us_boats")
OHM_PER_M = RULES.resistance_20c_ohm_per_m(parse_size("35 mm2")).value
PLACE = Place("here", "Here", 20.0, 20.0, 20.0, False, False, True, False)


def battery_part(**fields: str) -> BatteryPart:
    """A battery of the price book, lithium of 12.8 V and 5 mΩ unless said otherwise."""
    usual = {"kind": "battery", "title": "Battery", "chemistry": "lithium", "voltage": "12.8 V", "capacity": "100 Ah"}
    return BatteryPart.model_validate(usual | {"resistance": "5 mohm"} | fields)


class Hand:
    """Collects items; a node is made where it is first named."""

    def __init__(self) -> None:
        self.nodes: dict[str, Node] = {}
        self.conductors: list[Conductor] = []
        self.devices: list[SeriesDevice] = []
        self.batteries: list[Battery] = []
        self.loads: list[Load] = []
        self.sources: list[Source] = []

    def _at(self, *names: str) -> None:
        for name in names:
            self.nodes.setdefault(name, Node(name, "positive", MINUS))

    def cable(self, key: str, one: str, other: str, length_m: float = 1.0) -> Hand:
        """A conductor of 35 mm²."""
        self._at(one, other)
        of_circuit = key.rsplit(".", 1)[0]
        self.conductors.append(
            Conductor(key, of_circuit, "positive", "bank", one, other, length_m, "here", 2, False, 105,
                      parse_size("35 mm2"))
        )  # fmt: skip
        return self

    def device(self, kind: Any, key: str, one: str, other: str, of_circuit: str = "") -> Hand:
        """A fuse, switch or relay without a part: its contact resistance is the usual one of its kind."""
        self._at(one, other)
        self.devices.append(SeriesDevice(key, of_circuit or key.rsplit(".", 1)[0], kind, "positive", one, other))
        return self

    def battery(self, key: str, node: str, series: int = 1, bank: str = "", **fields: str) -> Hand:
        """A string of batteries on a node; its bank has the string's name unless given."""
        self._at(node)
        part = battery_part(**fields)
        self.batteries.append(Battery(key, bank or key, node, MINUS, "part", part, series, "here", False, False))
        return self

    def load(self, key: str, node: str, current_a: float) -> Hand:
        """A load of constant current."""
        self._at(node)
        amps = (current_a, current_a, current_a)
        self.loads.append(
            Load(key, "", "", node, MINUS, *amps, None, False, False, False, False, False)
        )  # fmt: skip
        return self

    def source(self, key: str, node: str, current_a: float, charge_v: float = 14.2) -> Hand:
        """A charge source."""
        self._at(node)
        amps = (current_a, current_a, current_a)
        self.sources.append(Source(key, "", "shore", "", node, MINUS, *amps, charge_v))
        return self

    def circuit(self) -> Circuit:
        """The circuit so far."""
        first = next(iter(self.nodes))
        banks: dict[str, list[Battery]] = {}
        for battery in self.batteries:
            banks.setdefault(battery.bank, []).append(battery)
        return Circuit(
            12.0, MINUS, (PLACE,), (Node(MINUS, "negative", first), *self.nodes.values()), (),
            tuple(
                Bank(key, "", tuple(b.key for b in strings), strings[0].part.chemistry, "house", "", None, None, "here")
                for key, strings in banks.items()
            ),
            tuple(self.batteries), tuple(self.conductors), tuple(self.devices), tuple(self.loads),
            tuple(self.sources), None, (), (),
        )  # fmt: skip
