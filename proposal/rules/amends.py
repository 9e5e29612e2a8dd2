"""What would mend a fuse that fails in time: another part, a larger or shorter conductor, and what that costs."""

import math

from proposal.circuit.model import SeriesDevice
from proposal.facts import Values
from proposal.frozen import frozen
from proposal.parts.chemistry import cell_count, ocv_v
from proposal.parts.fuse_curves import TimeCurve, time_curve
from proposal.rules.finding import Evidence, above
from proposal.spec.pricebook import FusePart
from proposal.studies.faults.least import LEAST_CHARGE_SHARE
from proposal.studies.fuses.equations import area_needed_mm2, stands_s
from proposal.studies.fuses.judge import fitted_of, judge
from proposal.studies.fuses.result import Demanded, FuseDemand, Ruling
from proposal.studies.fuses.selective import Fitted, selective
from proposal.studies.network.equations import conductor_ohm


@frozen
class Amend:
    """Another fuse for a place: its title and price, the size that may lie behind it, what that costs more; or None."""

    title: str | None = None
    price: str | None = None
    size: str | None = None
    extra_price: str | None = None


def another_fuse(evidence: Evidence, fuse: SeriesDevice, demand: Demanded) -> Amend:
    """The first fuse for sale that passes a demand for certain: within the window, else the first above it.

    Above it the guarded conductor needs another size, which then costs what its metres cost more.
    """
    asked = evidence.design.fuse_demands[fuse.key]
    most_a = fuse.maker_fuse_a or math.inf
    for _, part in evidence.catalogue.fuses():
        strong = not above(asked.highest_v, part.voltage_max_v) and not above(asked.needed_a, part.interrupt_a)
        fits = not above(asked.window.smallest_a, part.rating_a) and not above(part.rating_a, most_a)
        if strong and fits and _passes(asked, part, demand):
            price = str(part.price) if part.price is not None else None
            if not above(part.rating_a, asked.window.largest_a):
                return Amend(part.title, price)
            conductor = evidence.circuit.conductor[fuse.guards[0]]
            size = evidence.size_with_fuse(conductor, part.rating_a)
            if size is not None:
                return Amend(part.title, price, size, _extra_price(evidence, fuse.circuit, size))
    return Amend()


def _passes(asked: FuseDemand, part: FusePart, demand: Demanded) -> bool:
    ruling = judge(asked, part, time_curve(part)).on(demand)
    return ruling is None or ruling.answer == "passes"


def _extra_price(evidence: Evidence, circuit_key: str, label: str) -> str | None:
    """What a circuit's conductors cost more in another size; None where either has no price."""
    extra = None
    for conductor in evidence.circuit.conductors:
        if conductor.circuit == circuit_key and conductor.size is not None:
            now = evidence.catalogue.cable(conductor.size, conductor.insulation_c)
            then = evidence.catalogue.cable(label, conductor.insulation_c)
            if now is None or then is None or now[1].price is None or then[1].price is None:
                return None
            metres = type(now[1].price)(str(conductor.length_m))
            extra = (extra or 0) + (then[1].price - now[1].price) * metres
    return f"{extra:.2f}" if extra is not None else None


def area_that_stands(evidence: Evidence, ruling: Ruling) -> str | None:
    """The smallest size for sale that stands the fault until the fuse has opened: S = I·√t/k; None: none does.

    A larger size lets more current flow, which a fuse clears sooner than in the square of it.
    """
    v = ruling.facts
    clears_s = v["clears_s"]
    if not isinstance(clears_s, float):
        return None
    needed_mm2 = area_needed_mm2(_number(v, "k_a_root_s_per_mm2"), _number(v, "current_a"), clears_s)
    conductor = evidence.circuit.conductor[str(v["conductor"])]
    return evidence.smallest_size(conductor, lambda size: not above(needed_mm2, size.area_mm2))


def length_that_opens(evidence: Evidence, fuse: SeriesDevice, ruling: Ruling) -> float | None:
    """How long the conductor of a fault at its far end may be, so that enough current flows to open the fuse in time.

    The least fault is U/R of one weak bank; the conductor and its return are the part of R that shrinks with it [m].
    """
    v = ruling.facts
    curve = time_curve(fuse.part) if isinstance(fuse.part, FusePart) else None
    bank = evidence.bank.get(str(v["bank"]))
    conductor = evidence.circuit.conductor[str(v["conductor"])]
    least_a, through_a = _number(v, "current_a"), _number(v, "through_a")
    if curve is None or bank is None or conductor.size is None or v.get("cause") != "far_end":
        return None
    k, area_mm2 = _number(v, "k_a_root_s_per_mm2"), _number(v, "area_mm2")
    enough_a = _opens_in_time(curve, least_a, through_a / least_a, k, area_mm2)
    if enough_a is None:
        return None
    battery = evidence.circuit.battery[bank.strings[0]]
    emf_v = battery.series_count * ocv_v(battery.part.chemistry, LEAST_CHARGE_SHARE, cell_count(battery.part))
    per_m = evidence.family.resistance_20c_ohm_per_m(conductor.size).value
    pair_ohm = conductor_ohm(per_m, _loop_m(evidence, conductor.circuit), float(conductor.insulation_c))
    spare_ohm = emf_v / least_a - emf_v / enough_a
    left = 1.0 - spare_ohm / pair_ohm
    return conductor.length_m * left if left > 0.0 else None


def _loop_m(evidence: Evidence, circuit_key: str) -> float:
    """Length of a circuit's conductors in both poles [m]."""
    return sum(c.length_m for c in evidence.circuit.conductors if c.circuit == circuit_key)


STEPS = 60


def _opens_in_time(
    curve: TimeCurve, least_a: float, share: float, k_a_root_s_per_mm2: float, area_mm2: float
) -> float | None:
    """The smallest fault current [A], up to 100 times the least, that the fuse clears within (k·S/I)²; None: none."""

    def opens(current_a: float) -> bool:
        return curve.clearing_s(share * current_a) <= stands_s(k_a_root_s_per_mm2, area_mm2, current_a)

    steps = [least_a * math.pow(100.0, n / STEPS) for n in range(STEPS + 1)]
    above_it = next((n for n, amps in enumerate(steps) if opens(amps)), None)
    if not above_it:
        return None
    low_a, high_a = steps[above_it - 1], steps[above_it]
    for _ in range(STEPS):
        middle_a = math.sqrt(low_a * high_a)
        low_a, high_a = (low_a, middle_a) if opens(middle_a) else (middle_a, high_a)
    return high_a


def slower_inner(evidence: Evidence, ruling: Ruling) -> float | None:
    """The smallest rating for sale of the inner fuse's own class that lets the outer one open first [A]; None: none."""
    v = ruling.facts
    fitted = fitted_of(evidence.circuit)
    outer, inner = fitted[str(v["outer"])], fitted[str(v["inner"])]
    share, fault_a = _number(v, "current_share"), _number(v, "fault_a")
    for _, part in evidence.catalogue.fuses(inner.part.fuse_class):
        if part.rating_a > inner.part.rating_a:
            found = selective(outer, Fitted(inner.fuse, part, time_curve(part)), share, fault_a)
            if found.answer != "fails":
                return part.rating_a
    return None


def _number(values: Values, name: str) -> float:
    """A number that a ruling always hands out. Raises TypeError for anything else."""
    found = values[name]
    if not isinstance(found, float):
        raise TypeError(f"{name} is {found!r}, no number")
    return found
