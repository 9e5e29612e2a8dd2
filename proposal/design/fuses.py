"""The part for a fuse: a walk over the classes, in the order of rating, breaking capacity and price."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType

from proposal.circuit.model import Circuit, SeriesDevice
from proposal.codes.family import FuseWindow, RuleFamily, highest_system_v
from proposal.design.devices import Picked
from proposal.design.result import Choice
from proposal.facts import Reason, Rejected
from proposal.frozen import frozen
from proposal.parts.catalogue import Catalogue
from proposal.parts.chemistry import battery_resistance
from proposal.spec.pricebook import FusePart
from proposal.studies.faults.result import Faults
from proposal.studies.flow.result import Flow


@frozen
class Turned:
    """A part that meets voltage, breaking capacity and rating, and was turned down all the same: how much it lacks."""

    weight: float
    reason: Reason


NONE_TURNED: Mapping[str, Turned] = MappingProxyType({})


@frozen
class Asked:
    """What the walk asks of every candidate: rating in the window [A], breaking capacity [A], voltage [V].

    Ratings of `cool_a` and more come first: where the conductor allows it a branch fuse runs at half its rating, cool
    and with little loss.
    """

    smallest_a: float
    largest_a: float
    needed_a: float
    highest_v: float
    cool_a: float = 0.0


def asked_of(device: SeriesDevice, window: FuseWindow, needed_a: float, system_v: float, cool_a: float = 0.0) -> Asked:
    """What a fuse asks of its part; no rating above what the maker of the load allows."""
    largest_a = min(window.largest_a, device.maker_fuse_a or window.largest_a)
    return Asked(window.smallest_a, largest_a, needed_a, highest_system_v(system_v).value, cool_a)


def battery_fuses(circuit: Circuit, asked: Collection[str]) -> list[list[str]]:
    """The fuses at the batteries of each bank, of those asked: unequal ones would share its current unequally."""
    own = (sorted({f"{string}.fuse" for string in bank.strings} & set(asked)) for bank in circuit.banks)
    return [fuses for fuses in own if len(fuses) > 1]


def alike_in_banks(circuit: Circuit, asked: Mapping[str, Asked]) -> dict[str, Asked]:
    """The fuses at the batteries of one bank ask together."""
    found = dict(asked)
    for fuses in battery_fuses(circuit, asked):
        each = [asked[key] for key in fuses]
        joint = replace(
            each[0],
            smallest_a=max(a.smallest_a for a in each),
            largest_a=min(a.largest_a for a in each),
            needed_a=max(a.needed_a for a in each),
        )
        found |= dict.fromkeys(fuses, joint)
    return found


def turned_alike(
    circuit: Circuit, device: SeriesDevice, turned: Mapping[str, Mapping[str, Turned]]
) -> Mapping[str, Turned]:
    """What was turned down for a fuse, and for the others at the batteries of its bank: the heavier of each part."""
    battery = circuit.battery.get(device.circuit)
    if battery is None:
        return turned.get(device.key, NONE_TURNED)
    found: dict[str, Turned] = {}
    for other in circuit.batteries:
        if other.bank == battery.bank:
            for part_id, why in turned.get(f"{other.key}.fuse", NONE_TURNED).items():
                if part_id not in found or why.weight > found[part_id].weight:
                    found[part_id] = why
    return found


def candidates(asked: Asked, catalogue: Catalogue) -> Iterator[tuple[str, FusePart, Reason | None]]:
    """Every part with a rating in the window, in the order of the walk; the reason against it, None if it will do."""
    from_a, to_a = asked.smallest_a * (1 - 1e-9), asked.largest_a * (1 + 1e-9)
    for part_id, part in catalogue.fuses_rated(from_a, to_a, asked.cool_a):
        yield part_id, part, _against(asked, part)


def _against(asked: Asked, part: FusePart) -> Reason | None:
    if part.voltage_max_v < asked.highest_v:
        return Reason("voltage_rating", {"rating_v": part.voltage_max_v, "highest_v": asked.highest_v})
    if part.interrupt_a < asked.needed_a:
        return Reason("breaking_capacity", {"interrupt_a": part.interrupt_a, "fault_a": asked.needed_a})
    return None


def pick_fuse(asked: Asked, catalogue: Catalogue, turned: Mapping[str, Turned] = NONE_TURNED) -> Picked:
    """The first of the walk that meets every demand, of those that were turned down the one that lacks least.

    `turned`, by part: what was found against it once it stood in the circuit. Each class passed over says why, the one
    of it that came nearest.
    """
    rejected: dict[str, Rejected] = {}
    wanting: list[tuple[float, int, str, FusePart]] = []
    for part_id, part, reason in candidates(asked, catalogue):
        late = turned.get(part_id) if reason is None else None
        if late is not None:
            wanting.append((late.weight, len(wanting), part_id, part))
        against = reason or (late.reason if late is not None else None)
        if against is None:
            return Picked(part_id, part, Choice(_chosen(asked), tuple(rejected.values())))
        rejected[part.fuse_class] = Rejected(part.title, against)
    if wanting:
        _, _, part_id, part = min(wanting)
        others = tuple(each for key, each in rejected.items() if key != part.fuse_class)
        short = turned[part_id].reason
        why = Reason("lacks_least", {"smallest_a": asked.smallest_a, "largest_a": asked.largest_a})
        return Picked(part_id, part, Choice(why, (*others, Rejected(part.title, short))))
    none = Reason(
        "no_fuse_fits",
        {
            "smallest_a": asked.smallest_a,
            "largest_a": asked.largest_a,
            "fault_a": asked.needed_a,
            "highest_v": asked.highest_v,
        },
    )
    return Picked(None, None, Choice(none, tuple(rejected.values())))


def _chosen(asked: Asked) -> Reason:
    return Reason(
        "fuse_window",
        {
            "smallest_a": asked.smallest_a,
            "largest_a": asked.largest_a,
            "fault_a": asked.needed_a,
            "highest_v": asked.highest_v,
        },
    )


def with_all_classes(
    picked: Mapping[str, Picked], asked: Mapping[str, Asked], catalogue: Catalogue
) -> dict[str, Picked]:
    """The choices with a word on every class that is for sale, those too that the walk did not come to."""
    by_class: dict[str, list[FusePart]] = {}
    for _, part in catalogue.fuses():
        by_class.setdefault(part.fuse_class, []).append(part)
    class_of = {part.title: fuse_class for fuse_class, parts in by_class.items() for part in parts}
    return {
        key: _completed(each, asked[key], catalogue, by_class, class_of) if key in asked else each
        for key, each in picked.items()
    }


def _completed(
    picked: Picked,
    asked: Asked,
    catalogue: Catalogue,
    by_class: Mapping[str, list[FusePart]],
    class_of: Mapping[str, str],
) -> Picked:
    told = {class_of.get(each.candidate) for each in picked.choice.rejected}
    told |= {picked.part.fuse_class} if picked.part is not None else set()
    # the first of the walk is the one that came nearest to being chosen
    fitting: dict[str, tuple[FusePart, Reason | None]] = {}
    for _, part, reason in candidates(asked, catalogue):
        fitting.setdefault(part.fuse_class, (part, reason))
    more = []
    for fuse_class, parts in by_class.items():
        if fuse_class in told:
            continue
        if fuse_class in fitting:
            part, against = fitting[fuse_class]
            more.append(Rejected(part.title, against or Reason("not_first", {"rating_a": part.rating_a})))
        else:
            part = min(parts, key=lambda p: max(asked.smallest_a - p.rating_a, p.rating_a - asked.largest_a))
            window = Reason("no_rating", {"smallest_a": asked.smallest_a, "largest_a": asked.largest_a})
            more.append(Rejected(part.title, window))
    choice = replace(picked.choice, rejected=(*picked.choice.rejected, *more))
    return replace(picked, choice=choice)


ASSUMED_SHARE = 2.0
"""Over what is assumed of a battery whose maker states no fault current. Common practice, no source."""


def needed_interrupt_a(device: SeriesDevice, circuit: Circuit, faults: Faults, family: RuleFamily) -> float:
    """What a fuse must break [A]: the larger fault current at its ends, and what the family's table asks.

    What batteries without a maker's figure feed counts twice. The table goes by the cranking ratings of flooded banks.
    """
    found = [faults.by_node[n] for n in (device.from_node, device.to_node) if n in faults.by_node]
    assumed = _assumed_batteries(circuit)
    needed_a = max(
        (f.current_a + (ASSUMED_SHARE - 1.0) * sum(max(a, 0.0) for key, a in f.feeds if key in assumed) for f in found),
        default=0.0,
    )
    ratings = [b.part.cranking_a for b in circuit.batteries if b.part.chemistry == "flooded"]
    cranking_a = sum(rating for rating in ratings if rating is not None)
    least = family.minimum_interrupt_a(cranking_a, device.at_battery) if cranking_a else None
    return max(needed_a, least.value if least is not None else 0.0)


def _assumed_batteries(circuit: Circuit) -> frozenset[str]:
    """Keys of the batteries whose maker states no fault current."""
    found = circuit.memo.get("assumed batteries")
    if found is None:
        found = frozenset(b.key for b in circuit.batteries if battery_resistance(b.part).fault_assumed)
        circuit.memo["assumed batteries"] = found
    return frozenset(found)


HOLDS_OVER_RATING = 2.0
"""A fuse carries about twice its rating for the second that an inrush or a start lasts. Common practice, no source."""


def fuse_window(
    device: SeriesDevice,
    circuit: Circuit,
    flow: Flow,
    ampacity_a: float,
    family: RuleFamily,
    joining_a: float = 0.0,
) -> FuseWindow:
    """Ratings allowed for a fuse.

    The family's rule on its largest lasting current and the least ampacity that it guards; its lower end is raised to
    half of an inrush or cranking current that it must let pass, and to what a joining current asks.
    """
    demand = flow.demands[device.key]
    window = family.fuse_window(demand.current_a, ampacity_a, circuit.system_v)
    load = circuit.load.get(device.circuit)
    inrush_a = (load.inrush_a or 0.0) if load is not None else 0.0
    passing_a = max(max(inrush_a, demand.cranking_a) / HOLDS_OVER_RATING, joining_a)
    return replace(window, smallest_a=passing_a) if passing_a > window.smallest_a else window
