"""Fuses in time: does a start leave them whole, do they open before the conductor suffers, and the right one first."""

from collections.abc import Callable, Mapping

from proposal.circuit.model import SeriesDevice
from proposal.rules.amends import another_fuse, area_that_stands, length_that_opens, slower_inner
from proposal.rules.finding import Evidence, Examined, Objection, fires, undecided
from proposal.studies.fuses.equations import MELTING_SHARE
from proposal.studies.fuses.result import CURVE, Demanded, Ruling

Telling = Callable[[Evidence, SeriesDevice, Ruling], Objection]
"""What fails, or is open, in words' values: from the case file, the fuse and the ruling."""


def start_melts_fuse(evidence: Evidence) -> Examined:
    """7. A start or inrush that may melt a fuse: above ⅔ of its minimum melting current at that duration.

    Peak: warm, full, paralleled banks, relays closed or open, the larger; duration: that of a cold start. By the
    maker's curve; where that is not known, or the duration is assumed, undecided. Common practice, no source.
    """
    return _examined(evidence, {"must_pass": (_melts, _may_melt)})


def _melts(evidence: Evidence, fuse: SeriesDevice, ruling: Ruling) -> Objection:
    v = ruling.facts
    found = another_fuse(evidence, fuse, ruling.demand)
    return fires(
        fuse.key, cause=v["kind"], item=v["item"], current_a=v["current_a"], duration_s=v["duration_s"],
        limit_a=v["limit_a"],
        rating_a=v["rating_a"], needed_a=float(v["current_a"] or 0.0) / MELTING_SHARE,
        better=found.title, price=found.price, size=found.size, extra_price=found.extra_price,
    )  # fmt: skip


def _may_melt(_: Evidence, fuse: SeriesDevice, ruling: Ruling) -> Objection:
    v = ruling.facts
    return undecided(
        fuse.key, ruling.wanting, cause=v["kind"], item=v["item"], current_a=v["current_a"], duration_s=v["duration_s"],
        rating_a=v["rating_a"], part=_title(fuse), limit_a=v.get("limit_a"),
    )  # fmt: skip


def fault_outlasts_conductor(evidence: Evidence) -> Examined:
    """8. A short circuit that lasts longer than the conductor's insulation stands: t_clears > (k·S/I)².

    From the least current at the far end, one weak bank alone, to the highest just behind the fuse. k by class and
    compound. Undecided where only a remembered curve tells the time, where the compound is not stated and the better
    one would do, and where heat that leaves the conductor may save it. Source: IEC 60364-4-43, 434.5.2.
    """
    return _examined(evidence, {"far_end": (_outlasts, _may_outlast)})


def _outlasts(evidence: Evidence, fuse: SeriesDevice, ruling: Ruling) -> Objection:
    v = ruling.facts
    found = another_fuse(evidence, fuse, ruling.demand)
    if v["clears_s"] is None:
        return fires(
            fuse.key, cause="never", conductor=v["conductor"], current_a=v["current_a"], through_a=v["through_a"],
            stands_s=v["stands_s"], area_mm2=v["area_mm2"], length_m=length_that_opens(evidence, fuse, ruling),
            better=found.title, price=found.price,
        )  # fmt: skip
    return fires(
        fuse.key,
        cause=v["cause"],
        conductor=v["conductor"],
        current_a=v["current_a"],
        through_a=v["through_a"],
        clears_s=v["clears_s"],
        stands_s=v["stands_s"],
        area_mm2=v["area_mm2"],
        k_a_root_s_per_mm2=v["k_a_root_s_per_mm2"],
        least_size=area_that_stands(evidence, ruling),
        length_m=length_that_opens(evidence, fuse, ruling),
        better=found.title,
        price=found.price,
    )


def _may_outlast(_: Evidence, fuse: SeriesDevice, ruling: Ruling) -> Objection:
    v = ruling.facts
    return undecided(
        fuse.key, ruling.wanting, conductor=v["conductor"], current_a=v["current_a"], stands_s=v["stands_s"],
        clears_s=v.get("clears_s"), area_mm2=v["area_mm2"], part=_title(fuse),
    )  # fmt: skip


def fuses_not_selective(evidence: Evidence) -> Examined:
    """9. Two fuses in series of which the one nearer to the batteries may open first, or the lithium cuts itself off.

    Over all fault currents behind the outer one, with the share of them that flows in the inner one: clearing of the
    outer below melting of the inner. Dark ship: where everything that feeds a fault can cut itself off, the fuse must
    have cleared, at the current at which that comes, before it does. Common practice, no source.
    """
    found = _examined(evidence, {"selective": (_both_open, _both_may_open), "cut_off": (_goes_dark, _may_go_dark)})
    return Examined(found.count, _once_per_bank(found.objections))


def _both_open(evidence: Evidence, fuse: SeriesDevice, ruling: Ruling) -> Objection:
    v = ruling.facts
    inner = str(v["inner"])
    least_a = slower_inner(evidence, ruling)
    if v.get("cause") == "ratings":
        return fires(
            fuse.key, cause="ratings", outer=v["outer"], inner=inner, outer_rating_a=v["outer_rating_a"],
            inner_rating_a=v["inner_rating_a"], current_share=v["current_share"], least_inner_a=v["least_inner_a"],
            slower_a=least_a,
        )  # fmt: skip
    return fires(
        fuse.key, cause="curves", outer=v["outer"], inner=inner, current_a=v["current_a"], clears_s=v["clears_s"],
        melts_s=v["melts_s"], current_share=v["current_share"], slower_a=least_a,
    )  # fmt: skip


def _both_may_open(evidence: Evidence, fuse: SeriesDevice, ruling: Ruling) -> Objection:
    v = ruling.facts
    inner = evidence.circuit.device[str(v["inner"])]
    return undecided(
        fuse.key, ruling.wanting, cause="curves", outer=v["outer"], inner=v["inner"], part=_title(fuse),
        inner_part=_title(inner), fault_a=v["fault_a"],
    )  # fmt: skip


def _goes_dark(evidence: Evidence, fuse: SeriesDevice, ruling: Ruling) -> Objection:
    v = ruling.facts
    found = another_fuse(evidence, fuse, ruling.demand)
    return fires(
        fuse.key, cause="cut_off", bank=v["bank"], current_a=v["current_a"], clears_s=v["clears_s"],
        trip_s=v["trip_s"], fault_a=v["fault_a"], better=found.title, price=found.price,
    )  # fmt: skip


def _may_go_dark(_: Evidence, fuse: SeriesDevice, ruling: Ruling) -> Objection:
    v = ruling.facts
    item = str(v["bank"]) if ruling.wanting == "trip_current" else fuse.key
    return undecided(
        item, ruling.wanting, cause="cut_off", bank=v["bank"], fault_a=v["fault_a"], current_a=v["current_a"],
        trip_s=v["trip_s"], part=_title(fuse),
    )  # fmt: skip


def _once_per_bank(objections: tuple[Objection, ...]) -> tuple[Objection, ...]:
    """A bank whose cut-off nobody states is asked for once, not at every fuse."""
    kept: dict[object, Objection] = {}
    for number, objection in enumerate(objections):
        asked = objection.values.get("find_out") == "trip_current"
        kept.setdefault(objection.item if asked else number, objection)
    return tuple(kept.values())


def _examined(evidence: Evidence, demands: Mapping[Demanded, tuple[Telling, Telling]]) -> Examined:
    """All fuses on some demands, each with what tells a failure and what tells an open point.

    Where nothing but a curve is wanting, the fuses of one class whose curve it is are one point; one that would fail
    by what is remembered of its class is a point of its own.
    """
    objections: list[Objection] = []
    unknown: dict[str, dict[str, SeriesDevice]] = {}
    count = 0
    for fuse in evidence.devices("fuse"):
        verdict = evidence.verdicts.get(fuse.key)
        for demand, (fails, is_open) in demands.items():
            ruling = verdict.on(demand) if verdict is not None else None
            if ruling is None:
                continue
            count += 1
            if ruling.answer == "fails":
                objections.append(fails(evidence, fuse, ruling))
            elif ruling.wanting == CURVE and ruling.remembered != "fails":
                lacking = evidence.circuit.device[str(ruling.facts.get("lacking", fuse.key))]
                unknown.setdefault(getattr(lacking.part, "fuse_class", ""), {})[lacking.key] = lacking
            elif ruling.answer == "undecided":
                objections.append(is_open(evidence, fuse, ruling))
    for fuses in unknown.values():
        first = next(iter(fuses.values()))
        objections.append(undecided(first.key, "fuse_curve", cause="class", part=_title(first), fuse_count=len(fuses)))
    return Examined(count, tuple(objections))


def _title(fuse: SeriesDevice) -> str:
    return fuse.part.title if fuse.part is not None else ""
