"""What can be bought and what is fitted: price book and a spec's own parts behind one frozen, indexed face."""

from __future__ import annotations

import difflib
import typing
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from functools import cached_property
from types import MappingProxyType
from typing import Any, Literal, TypeVar

from proposal.errors import InputError
from proposal.frozen import frozen
from proposal.spec.pricebook import (
    BatteryPart,
    BusPart,
    CablePart,
    ChargerPart,
    FusePart,
    InverterPart,
    Part,
    PriceBook,
    RelayPart,
    ShuntPart,
    SwitchPart,
)
from proposal.units import ConductorSize, parse_size

P = TypeVar("P")
ChargerKind = Literal["shore_charger", "solar_controller", "dc_dc"]
RelayKind = Literal["contactor", "vsr"]

KIND_WORDS = {
    "battery": "a battery",
    "cable": "cable",
    "fuse": "a fuse",
    "switch": "a switch",
    "contactor": "a contactor",
    "vsr": "a voltage-sensitive relay",
    "shunt": "a shunt",
    "bus": "a bus bar",
    "shore_charger": "a shore charger",
    "solar_controller": "a solar controller",
    "dc_dc": "a DC-DC charger",
    "inverter": "an inverter",
    "other": "no part of the circuit",
}

# A limit that arithmetic made may miss a round rating by the last bit.
_EDGE = 1e-9


class PartError(InputError):
    """No such part, or one of another kind; ``what`` and ``allowed`` as for every input error."""


def clashes(book: PriceBook, own: Mapping[str, Part]) -> tuple[str, ...]:
    """Ids that stand both in the price book and in a spec's own parts, in order; the caller says where."""
    return tuple(sorted(book.parts.keys() & own.keys()))


@frozen
class Catalogue:
    """Parts by id, with an index for every question that the design step asks.

    Lists for choosing hold only what is for sale (has a price); ``get`` and its kin find every part. A list is a tuple
    of (part id, part), rising by rating, then by what the method names, then by price, then by id.
    """

    currency: str
    parts: Mapping[str, Part]
    _fuses: tuple[tuple[str, FusePart], ...]
    _switches: tuple[tuple[str, SwitchPart], ...]
    _relays: tuple[tuple[str, RelayPart], ...]
    _shunts: tuple[tuple[str, ShuntPart], ...]
    _buses: tuple[tuple[str, BusPart], ...]
    _cables: Mapping[str, tuple[tuple[str, CablePart], ...]]

    @classmethod
    def of(cls, book: PriceBook, own: Mapping[str, Part] | None = None) -> Catalogue:
        """Join a price book with a spec's own parts.

        An id in both means the spec's own part here; whether that is a mistake is for the caller (see ``clashes``).
        """
        joined: dict[str, Part] = dict(sorted({**book.parts, **(own or {})}.items()))
        cables: dict[str, list[tuple[str, CablePart]]] = {}
        for part_id, cable in _for_sale(joined, CablePart, lambda part: (part.conductor.area_mm2, part.insulation_c)):
            cables.setdefault(cable.conductor.label, []).append((part_id, cable))
        return cls(
            currency=book.currency,
            parts=MappingProxyType(joined),
            _fuses=_for_sale(joined, FusePart, lambda part: (part.rating_a, part.interrupt_a)),
            _switches=_for_sale(joined, SwitchPart, lambda part: (part.rating_a,)),
            _relays=_for_sale(joined, RelayPart, lambda part: (part.rating_a,)),
            _shunts=_for_sale(joined, ShuntPart, lambda part: (part.rating_a,)),
            _buses=_for_sale(joined, BusPart, lambda part: (part.rating_a, float(part.studs))),
            _cables=MappingProxyType({label: tuple(pairs) for label, pairs in cables.items()}),
        )

    # --- by id -------------------------------------------------------------------------------------------------------

    def get(self, part_id: str) -> Part:
        """The part of this id. Raises PartError with near matches."""
        found = self.parts.get(part_id)
        if found is None:
            raise PartError("is not in the price book or under parts", _near(part_id, self.parts))
        return found

    def battery(self, part_id: str) -> BatteryPart:
        """The battery of this id. Raises PartError when it is absent or something else."""
        return self._of_kind(part_id, BatteryPart, ("battery",))

    def inverter(self, part_id: str) -> InverterPart:
        """The inverter of this id. Raises PartError when it is absent or something else."""
        return self._of_kind(part_id, InverterPart, ("inverter",))

    def charger(self, part_id: str, kind: ChargerKind | None = None) -> ChargerPart:
        """The charger of this id, of one kind or of any. Raises PartError when it is absent or something else."""
        return self._of_kind(part_id, ChargerPart, (kind,) if kind else typing.get_args(ChargerKind))

    def relay(self, part_id: str, kind: RelayKind | None = None) -> RelayPart:
        """The contactor or voltage-sensitive relay of this id. Raises PartError when it is absent or something else."""
        return self._of_kind(part_id, RelayPart, (kind,) if kind else typing.get_args(RelayKind))

    def _of_kind(self, part_id: str, model: type[P], kinds: tuple[str, ...]) -> P:
        found = self.get(part_id)
        if not isinstance(found, model) or found.kind not in kinds:
            those = [name for name, part in self.parts.items() if part.kind in kinds]
            wanted = " or ".join(KIND_WORDS[kind] for kind in kinds)
            raise PartError(f"is {KIND_WORDS[found.kind]}, and {wanted} belongs here", _near(part_id, those))
        return found

    # --- to choose from ----------------------------------------------------------------------------------------------

    def fuses(self, fuse_class: str | None = None) -> tuple[tuple[str, FusePart], ...]:
        """Fuses and breakers for sale, of one class or of all; by rating, breaking capacity, price."""
        if fuse_class is None:
            return self._fuses
        return tuple(pair for pair in self._fuses if pair[1].fuse_class == fuse_class)

    def fuses_rated(self, smallest_a: float, largest_a: float, first_a: float) -> tuple[tuple[str, FusePart], ...]:
        """Fuses and breakers for sale rated in a window [A], ends included; from ``first_a`` on they come first."""
        begin, end = bisect_left(self._fuse_ratings, smallest_a), bisect_right(self._fuse_ratings, largest_a)
        first = min(max(bisect_left(self._fuse_ratings, first_a), begin), max(begin, end))
        return self._fuses[first:end] + self._fuses[begin:first]

    @cached_property
    def _fuse_ratings(self) -> list[float]:
        return [part.rating_a for _, part in self._fuses]

    def fuse_candidates(
        self, smallest_a: float, largest_a: float, voltage_v: float
    ) -> tuple[tuple[str, FusePart], ...]:
        """Fuses rated from ``smallest_a`` to ``largest_a`` [A], both included, that may interrupt at ``voltage_v`` [V].

        By rating, then breaking capacity rising, then price: the first that breaks the fault is the one to take.
        """
        return tuple(
            (part_id, part)
            for part_id, part in self._fuses
            if _reaches(part.rating_a, smallest_a)
            and _reaches(largest_a, part.rating_a)
            and _reaches(part.voltage_max_v, voltage_v)
        )

    def switches(self, rating_a: float, voltage_v: float) -> tuple[tuple[str, SwitchPart], ...]:
        """Isolators that carry ``rating_a`` [A] continuously at ``voltage_v`` [V] or more."""
        return tuple(
            pair
            for pair in self._switches
            if _reaches(pair[1].rating_a, rating_a) and _reaches(pair[1].voltage_max_v, voltage_v)
        )

    def relays(
        self,
        kind: RelayKind,
        rating_a: float,
        voltage_v: float,
        coil_v: float | None = None,
        coil: Literal["held", "latching"] | None = None,
    ) -> tuple[tuple[str, RelayPart], ...]:
        """Contactors or voltage-sensitive relays for ``rating_a`` [A] continuous and ``voltage_v`` [V] or more.

        ``coil_v`` is the coil's nominal voltage [V] and must be met; ``coil`` how it is driven. None leaves it open.
        """
        return tuple(
            (part_id, part)
            for part_id, part in self._relays
            if part.kind == kind
            and _reaches(part.rating_a, rating_a)
            and _reaches(part.voltage_max_v, voltage_v)
            and (coil_v is None or part.coil_v == coil_v)
            and (coil is None or part.coil == coil)
        )

    def shunts(self, rating_a: float) -> tuple[tuple[str, ShuntPart], ...]:
        """Shunts that carry ``rating_a`` [A] or more."""
        return tuple(pair for pair in self._shunts if _reaches(pair[1].rating_a, rating_a))

    def buses(self, rating_a: float, studs: int, voltage_v: float) -> tuple[tuple[str, BusPart], ...]:
        """Bus bars for ``rating_a`` [A], ``studs`` connections and ``voltage_v`` [V] or more; by rating, then studs."""
        return tuple(
            (part_id, part)
            for part_id, part in self._buses
            if _reaches(part.rating_a, rating_a) and part.studs >= studs and _reaches(part.voltage_max_v, voltage_v)
        )

    def cable(self, size: ConductorSize | str, insulation_c: float) -> tuple[str, CablePart] | None:
        """Cable of this size in the lowest insulation class of at least ``insulation_c`` [°C]; None where none is sold.

        A ``size`` in text is read as people write it. Raises UnitError when it is no conductor size.
        """
        label = size.label if isinstance(size, ConductorSize) else parse_size(size).label
        return next(
            (pair for pair in self._cables.get(label, ()) if _reaches(pair[1].insulation_c, insulation_c)), None
        )

    def cable_sizes(self, system: Literal["awg", "mm2"], insulation_c: float) -> tuple[ConductorSize, ...]:
        """Sizes for sale in one system with an insulation class of at least ``insulation_c`` [°C], rising.

        Each has the area of the cable's own standard: a gauge by SAE is another size than the same gauge by AWG.
        """
        return tuple(
            pairs[0][1].conductor
            for pairs in self._cables.values()
            if pairs[0][1].conductor.system == system and _reaches(pairs[-1][1].insulation_c, insulation_c)
        )


def _reaches(value: float, limit: float) -> bool:
    return value >= limit - _EDGE * abs(limit)


def _near(part_id: str, known: Iterable[str]) -> str:
    """The near matches of an id, or a few ids to choose from."""
    ids = sorted(known)
    close = difflib.get_close_matches(part_id, ids, n=3, cutoff=0.6) or ids[:5]
    return ", ".join(close) + (", …" if len(close) < len(ids) else "") if close else "a part that is listed"


def _for_sale(
    parts: Mapping[str, Any], model: type[P], order: Callable[[P], tuple[float, ...]]
) -> tuple[tuple[str, P], ...]:
    def key(pair: tuple[str, Any]) -> tuple[tuple[float, ...], Decimal, str]:
        return (order(pair[1]), pair[1].price, pair[0])

    listed = [(name, part) for name, part in parts.items() if isinstance(part, model) and _price(part) is not None]
    return tuple(sorted(listed, key=key))


def _price(part: Any) -> Decimal | None:
    found: Decimal | None = part.price
    return found
