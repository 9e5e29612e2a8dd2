"""Parts for switches, relays, shunts and buses: the smallest that meets every demand, and why others do not."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from proposal.circuit.model import Bus, Circuit, SeriesDevice
from proposal.codes.family import highest_system_v
from proposal.design.result import Choice
from proposal.facts import Reason, Rejected
from proposal.frozen import frozen
from proposal.parts.catalogue import Catalogue
from proposal.spec.pricebook import RelayPart
from proposal.studies.flow.result import Demand
from proposal.studies.network.result import Solution

MOST_REJECTED = 6


@frozen
class Picked:
    """A part for an item, or none, and the choice behind it."""

    part_id: str | None
    part: Any
    choice: Choice


def pick_series(
    device: SeriesDevice, demand: Demand, catalogue: Catalogue, system_v: float, make_a: float = 0.0
) -> Picked:
    """A switch, relay or shunt: continuous and cranking rating, voltage, and for relays coil and make rating.

    `make_a`: current that a relay must close on. Where none of the rest is made for that, it is left to the checks.
    """
    high_v = highest_system_v(system_v).value
    candidates: Iterable[tuple[str, Any]]
    if device.kind == "switch":
        candidates = catalogue.switches(demand.current_a, high_v)
    elif device.kind == "shunt":
        candidates = catalogue.shunts(max(demand.current_a, demand.cranking_a))
    else:
        kind: Any = device.kind
        candidates = catalogue.relays(kind, demand.current_a, high_v, system_v, device.driven_as)
    rejected: list[Rejected] = []
    weak: tuple[str, Any] | None = None
    why = Reason("rating", {"wanted_a": demand.current_a, "cranking_a": demand.cranking_a, "case": demand.case})
    for part_id, part in candidates:
        short_a = getattr(part, "cranking_a", None) or part.rating_a
        makes_a = getattr(part, "make_a", None)
        if short_a < demand.cranking_a * (1.0 - 1e-9):
            reason = Reason("cranking_rating", {"rating_a": short_a, "cranking_a": demand.cranking_a})
        elif isinstance(part, RelayPart) and (makes_a or 0.0) < make_a * (1.0 - 1e-9):
            reason = Reason("make_rating", {"rating_a": makes_a, "joining_a": make_a})
            weak = weak or (part_id, part)
        else:
            return Picked(part_id, part, Choice(why, tuple(rejected[-MOST_REJECTED:])))
        rejected.append(Rejected(part.title, reason))
    if weak is not None:
        return Picked(*weak, Choice(why, tuple(r for r in rejected[-MOST_REJECTED:] if r.candidate != weak[1].title)))
    none = Reason("no_part_fits", {"wanted_a": demand.current_a, "cranking_a": demand.cranking_a, "highest_v": high_v})
    return Picked(None, None, Choice(none, tuple(rejected[-MOST_REJECTED:])))


def bus_current(bus: Bus, circuit: Circuit, solutions: Iterable[tuple[str, Solution]]) -> tuple[float, str, int]:
    """Largest current through a bus [A], its case, and how many connections the fuller of its bars has.

    Studs ahead of a switch are one bar: their negatives land on the bus behind it.

    What enters a node leaves it: half the sum of the absolute currents of its branches.
    """
    branches = circuit.branches_at.get(bus.positive, ())
    largest_a, case = 0.0, "rated"
    for case_id, solution in solutions:
        amps = sum(abs(solution.current_a.get(b.key, 0.0)) for b in branches) / 2.0
        if amps > largest_a:
            largest_a, case = amps, case_id
    returning = [b for b in circuit.branches if bus.negative in (b.from_node, b.to_node)]
    return largest_a, case, len(branches) if bus.kind == "unswitched" else max(len(branches), len(returning))


def pick_bus(wanted_a: float, case: str, studs: int, catalogue: Catalogue, system_v: float) -> Picked:
    """The smallest bus bar with the rating and enough studs; where none has enough, the one with the most."""
    high_v = highest_system_v(system_v).value
    fitting = catalogue.buses(wanted_a, studs, high_v)
    if fitting:
        part_id, part = fitting[0]
        return Picked(
            part_id, part, Choice(Reason("rating_and_studs", {"wanted_a": wanted_a, "studs": studs, "case": case}))
        )
    strong = catalogue.buses(wanted_a, 1, high_v)
    if strong:
        part_id, part = max(strong, key=lambda pair: (pair[1].studs, -pair[1].rating_a))
        return Picked(
            part_id, part, Choice(Reason("several_bars", {"wanted_a": wanted_a, "studs": studs, "case": case}))
        )
    return Picked(
        None, None, Choice(Reason("no_part_fits", {"wanted_a": wanted_a, "cranking_a": 0.0, "highest_v": high_v}))
    )


def with_part(device: SeriesDevice, picked: Picked) -> SeriesDevice:
    """The device with the part in place."""
    return replace(device, part_id=picked.part_id, part=picked.part)
