"""What is asked of fuses, on circuits drawn by hand, and how parts answer, on curves drawn by hand."""

import math
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.circuit.assumed import Assumed
from proposal.circuit.model import Circuit, Starter
from proposal.codes.family import FuseWindow
from proposal.parts.chemistry import cell_count, full_rest_v, ocv_v
from proposal.parts.fuse_curves import Gate, TimeCurve
from proposal.parts.insulation import withstand
from proposal.sources import Citation
from proposal.spec.pricebook import FusePart
from proposal.studies.faults.result import LeastFault, LeastFaults
from proposal.studies.faults.study import fault_currents
from proposal.studies.flow.result import Demand, Flow
from proposal.studies.fuses.far_end import far_end
from proposal.studies.fuses.judge import as_inner, judge
from proposal.studies.fuses.passing import by_fuse, must_pass
from proposal.studies.fuses.result import FuseDemand, Guarded, MustPass, Neighbour, Trip
from proposal.studies.fuses.selective import Fitted, selective
from proposal.studies.fuses.study import fuse_demands
from proposal.studies.fuses.through import Through, through_fuses
from proposal.studies.joins.result import Join
from proposal.studies.network.assemble import CONTACT_OHM
from proposal.studies.network.result import Solution
from proposal.studies.protection.result import Feed, Feeds
from proposal.studies.protection.study import feeds_of_fuses
from tests.studies.hand import OHM_PER_M, RULES, Hand, battery_part

FULL_V = full_rest_v(battery_part())
BATTERY_OHM = 0.9 * 0.005  # 0.9 of what is stated, after IEC 61660-1
FUSE_OHM = CONTACT_OHM["fuse"]
MAKER = Citation("maker_sheets", "drawn by hand", "corroborated")
MEMORY = Citation("memory", "", "from memory")
NO_FLOW = Flow({}, {}, {})


def curve(*gates: tuple[float, float, float], citation: Citation = MAKER) -> TimeCurve:
    """Current [A], melts after, clears before [s]."""
    return TimeCurve(tuple(Gate(*gate) for gate in gates), citation, from_maker=citation is MAKER)


def part(rating_a: float, fuse_class: str = "mega", voltage_v: float = 32.0, interrupt_a: float = 2000.0) -> FusePart:
    return FusePart.model_validate(
        {
            "kind": "fuse", "title": f"{fuse_class} {rating_a:g} A", "class": fuse_class, "rating": f"{rating_a} A",
            "voltage_max": f"{voltage_v} V", "interrupt": f"{interrupt_a} A",
        }
    )  # fmt: skip


def two_banks() -> Circuit:
    """Two batteries, each behind its fuse and 1 m, on one bus; a branch fuse, 2 m and the end of the branch.

    a ─ a.fuse ─ 1 m ─ bus ─ 1 m ─ b.fuse ─ b (at 3 m), bus ─ branch.fuse ─ 2 m ─ end
    """
    hand = Hand().battery("a", "a_post").device("fuse", "a.fuse", "a_post", "a_fused").cable("a.main", "a_fused", "bus")
    hand = hand.battery("b", "b_post").device("fuse", "b.fuse", "b_post", "b_fused")
    hand = hand.cable("b.main", "b_fused", "bus", 3.0)
    hand = hand.device("fuse", "branch.fuse", "bus", "fused").cable("branch.out", "fused", "end", 2.0)
    made = hand.load("load", "end", 40.0).circuit()
    guards = {"a.fuse": ("a.main",), "b.fuse": ("b.main",), "branch.fuse": ("branch.out",)}
    return replace(made, devices=tuple(replace(d, guards=guards[d.key]) for d in made.devices), memo={})


def found(circuit: Circuit) -> Through:
    network, _ = fault_currents(circuit, RULES)
    return through_fuses(circuit, network, feeds_of_fuses(circuit))


WAYS_OHM = [BATTERY_OHM + FUSE_OHM + length * OHM_PER_M for length in (1.0, 3.0)]


# --- fuses in series -------------------------------------------------------------------------------------------------


def test_a_fault_behind_a_branch_divides_over_the_banks_by_their_resistance() -> None:
    """Two sources in parallel: G₁/(G₁+G₂) of it through the first, and what both give through the branch."""
    through = found(two_banks())
    each_s = [1.0 / ohm for ohm in WAYS_OHM]
    total_a = FULL_V / (1.0 / sum(each_s) + FUSE_OHM)
    assert through.fault_a["branch.fuse"] == pytest.approx(total_a, rel=1e-9)
    shares = {n.fuse: n.current_share for n in through.upstream["branch.fuse"]}
    assert shares == pytest.approx({"a.fuse": each_s[0] / sum(each_s), "b.fuse": each_s[1] / sum(each_s)}, rel=1e-9)
    assert all(n.fault_a == through.fault_a["branch.fuse"] for n in through.upstream["branch.fuse"])
    assert dict(through.strings["branch.fuse"]) == pytest.approx(
        {"a": each_s[0] / sum(each_s), "b": each_s[1] / sum(each_s)}, rel=1e-9
    )


def test_a_fault_behind_a_bank_fuse_flows_through_it_from_its_own_battery_alone() -> None:
    through = found(two_banks())
    assert through.fault_a["a.fuse"] == pytest.approx(FULL_V / (BATTERY_OHM + FUSE_OHM), rel=1e-9)
    assert "a.fuse" not in through.upstream
    assert {n.fuse for n in through.downstream()["a.fuse"]} == {"branch.fuse"}


@pytest.mark.parametrize(("share", "counts"), [(0.0201, True), (0.0199, False)])
def test_a_way_that_takes_hardly_any_of_a_fault_is_none(share: float, counts: bool) -> None:
    """The second battery so far away that it gives this share: R₂ = R₁·(1 − s)/s."""
    circuit = two_banks()
    far_m = (WAYS_OHM[0] * (1.0 - share) / share - BATTERY_OHM - FUSE_OHM) / OHM_PER_M
    conductors = tuple(replace(c, length_m=far_m) if c.key == "b.main" else c for c in circuit.conductors)
    through = found(replace(circuit, conductors=conductors, memo={}))
    assert ("b.fuse" in {n.fuse for n in through.upstream["branch.fuse"]}) is counts
    assert ("b" in dict(through.strings["branch.fuse"])) is counts


def test_the_two_fuses_of_one_conductor_are_no_neighbours() -> None:
    circuit = two_banks()
    alike = tuple(replace(d, guards=("a.main",)) for d in circuit.devices)
    assert found(replace(circuit, devices=alike, memo={})).upstream == {}


# --- starts and inrushes ---------------------------------------------------------------------------------------------


def starting(inrush_a: float, inrush_s: float | None = 0.5) -> Circuit:
    circuit = two_banks()
    (load,) = circuit.loads
    return replace(circuit, loads=(replace(load, inrush_a=inrush_a, inrush_s=inrush_s),), memo={})


def test_an_inrush_is_that_of_a_resistance_at_the_voltage_it_finds() -> None:
    """R = 12 V/I_stated at the end of the branch: I = U/(R_bank + R_way + R), where that is more than stated."""
    each_s = [1.0 / ohm for ohm in WAYS_OHM]
    behind_ohm = 1.0 / sum(each_s) + FUSE_OHM + 2.0 * OHM_PER_M
    peak_a = FULL_V / (behind_ohm + 12.0 / 50.0)
    assert peak_a > 50.0
    points = must_pass(starting(50.0), RULES, NO_FLOW)
    assert [p.current_a for p in points["branch.fuse"]] == [pytest.approx(peak_a, rel=1e-9)]
    assert [p.current_a for p in points["a.fuse"]] == [pytest.approx(peak_a * each_s[0] / sum(each_s), rel=1e-9)]


def test_an_inrush_is_never_below_what_is_stated() -> None:
    """A stronger one pulls the voltage below nominal: the stated figure stands."""
    (point,) = must_pass(starting(900.0), RULES, NO_FLOW)["branch.fuse"]
    assert (point.duration_s, point.duration_assumed) == (0.5, False)
    assert point.current_a == pytest.approx(900.0, rel=1e-12)


@pytest.mark.parametrize(("code", "assumed"), [("inrush_time", True), ("hot_current", False)])
def test_a_time_of_inrush_that_was_assumed_is_told_as_such(code: str, assumed: bool) -> None:
    circuit = starting(900.0)
    circuit = replace(circuit, assumed=(Assumed(circuit.loads[0].key, code, ()),), memo={})
    (point,) = must_pass(circuit, RULES, NO_FLOW)["branch.fuse"]
    assert point.duration_assumed is assumed


def test_electronics_draw_more_for_their_power_at_a_low_voltage() -> None:
    """P = 12 V · 300 A behind E at a fifth of charge and R: U = (E + √(E² − 4·R·P))/2, I = P/U."""
    circuit = starting(300.0)
    circuit = replace(circuit, loads=(replace(circuit.loads[0], constant_power=True),), memo={})
    emf_v = ocv_v("lithium", 0.2, cell_count(battery_part()))
    ways_s = [1.0 / (0.005 + FUSE_OHM + length * OHM_PER_M) for length in (1.0, 3.0)]
    ohm = 1.0 / sum(ways_s) + FUSE_OHM + 2.0 * OHM_PER_M
    volts = (emf_v + math.sqrt(emf_v**2 - 4.0 * ohm * 3600.0)) / 2.0
    points = must_pass(circuit, RULES, NO_FLOW)
    assert volts < 12.0
    assert points["branch.fuse"][0].current_a == pytest.approx(3600.0 / volts, rel=1e-9)
    assert points["b.fuse"][0].current_a == pytest.approx(3600.0 / volts * ways_s[1] / sum(ways_s), rel=1e-9)
    # what no voltage can give is taken at maximum power
    (load,) = circuit.loads
    hopeless = replace(circuit, loads=(replace(load, inrush_a=5000.0),), memo={})
    assert must_pass(hopeless, RULES, NO_FLOW)["branch.fuse"][0].current_a == pytest.approx(60000.0 / (emf_v / 2.0))


def solved(current_a: dict[str, float]) -> Solution:
    return Solution("usual", True, (), {}, current_a, {}, {}, 0.0, 0.0)


def test_what_else_flows_through_a_fuse_adds_to_an_inrush() -> None:
    """30 A at rest through a bank's fuse, of which its share of the 40 A that the load draws is its own."""
    each_s = [1.0 / ohm for ohm in WAYS_OHM]
    share = each_s[0] / sum(each_s)
    flow = Flow({}, {"usual": solved({"a.fuse": -30.0, "branch.fuse": 40.0})}, {})
    points = must_pass(starting(900.0), RULES, flow)
    assert points["a.fuse"][0].current_a == pytest.approx(share * 900.0 + 30.0 - share * 40.0, rel=1e-9)
    assert points["branch.fuse"][0].current_a == pytest.approx(900.0, rel=1e-9)
    # in its own case, where it has one, and never less than nothing
    flow = Flow({}, {"usual": solved({"a.fuse": 300.0}), "full.load": solved({"a.fuse": 1.0})}, {})
    named = starting(900.0)
    named = replace(named, loads=(replace(named.loads[0], key="loads.load"),), memo={})
    assert must_pass(named, RULES, flow)["a.fuse"][0].current_a == pytest.approx(share * 900.0, rel=1e-9)


def test_no_inrush_nothing_to_let_pass() -> None:
    assert must_pass(starting(40.0), RULES, NO_FLOW) == {}
    assert must_pass(starting(50.0, None), RULES, NO_FLOW) == {}


def cranked(cranking_a: float) -> tuple[Circuit, Flow]:
    """The engine's starter at the end of the branch, and what of its cranking the first bank's fuse carries."""
    circuit = replace(two_banks(), loads=(), memo={})
    starter = Starter("engine", "", "", "end", "minus", 150.0, 400.0, 6.0, None, 0.25)
    relay = replace(circuit.devices[0], key="relay", kind="vsr", guards=())
    flow = Flow({}, {}, {"a.fuse": Demand(10.0, "usual", cranking_a), "relay": Demand(10.0, "usual", 150.0)})
    return replace(circuit, starter=starter, devices=(*circuit.devices, relay), memo={}), flow


def test_a_start_is_its_inrush_and_what_is_cranked_for_seconds() -> None:
    circuit, flow = cranked(80.0)
    points = must_pass(circuit, RULES, flow)
    each_s = [1.0 / ohm for ohm in WAYS_OHM]
    inrush, start = points["a.fuse"]
    assert (inrush.kind, inrush.duration_s) == ("inrush", 0.25)
    assert inrush.current_a == pytest.approx(400.0 * each_s[0] / sum(each_s), rel=1e-9)
    assert (start.item, start.kind, start.current_a, start.duration_s) == ("engine", "start", 80.0, 6.0)
    assert not start.duration_assumed
    assert [p.kind for p in points["b.fuse"]] == ["inrush"]
    assert "relay" not in points


def test_no_cranking_current_is_no_start() -> None:
    circuit, flow = cranked(0.0)
    assert [p.kind for p in must_pass(circuit, RULES, flow)["a.fuse"]] == ["inrush"]


def test_the_current_at_joining_counts_for_the_time_that_it_heats() -> None:
    """60 % of 200 A through one fuse for 90 s; one that does not fall is no start, and a string is no fuse."""
    falling = Join("relay", "near_empty", 1.0, 0.005, 200.0, lasts_s=90.0, shares=(("a.fuse", -0.6), ("a", 0.6)))
    points = must_pass(two_banks(), RULES, NO_FLOW, (falling, replace(falling, lasts_s=None)))
    assert points == {"a.fuse": (MustPass("relay", "joining", 120.0, 90.0, False),)}


def test_only_what_asks_for_more_than_the_lasting_current_is_kept() -> None:
    small, large = (MustPass("m", "inrush", amps, 1.0, False) for amps in (39.0, 41.0))
    assert by_fuse({"f": (small, large)}, "f", 40.0) == (large,)
    assert by_fuse({}, "f", 40.0) == ()


def test_only_points_that_no_other_exceeds_are_kept() -> None:
    circuit = starting(300.0, 1.0)
    (load,) = circuit.loads
    loads = (load, replace(load, key="short", inrush_a=200.0, inrush_s=0.5), replace(load, key="long", inrush_a=250.0,
             inrush_s=3.0))  # fmt: skip
    points = must_pass(replace(circuit, loads=loads, memo={}), RULES, NO_FLOW)["branch.fuse"]
    assert [(p.item, p.duration_s) for p in points] == [("load", 1.0), ("long", 3.0)]


# --- how a part answers ----------------------------------------------------------------------------------------------

WIDE = FuseWindow(10.0, 400.0, MAKER)
PLAIN = FuseDemand("f", 15.5, 1500.0, 1000.0, WIDE)


@pytest.mark.parametrize(
    ("fuse", "failed"),
    [
        (part(100.0), ()),
        (part(100.0, voltage_v=15.0), ("voltage",)),
        (part(100.0, interrupt_a=1499.0), ("breaking",)),
        (part(9.9), ("rating",)),
        (part(401.0, voltage_v=14.0, interrupt_a=1000.0), ("voltage", "breaking", "rating")),
    ],
)
def test_what_needs_no_curve(fuse: FusePart, failed: tuple[str, ...]) -> None:
    assert tuple(r.demand for r in judge(PLAIN, fuse, None).failed) == failed


SLOW = curve((200.0, 100.0, 200.0), (2000.0, 0.1, 0.5))


@pytest.mark.parametrize(("current_a", "answer"), [(399.0, "passes"), (401.0, "fails")])
def test_a_start_stays_below_two_thirds_of_what_melts(current_a: float, answer: str) -> None:
    """Log-log between (200 A, 100 s) and (2000 A, 0.1 s) is t = 100·(200/I)³: 3.7037 s melts at 600 A; ⅔ is 400 A."""
    seconds = 100.0 * (200.0 / 600.0) ** 3
    demand = replace(PLAIN, must_pass=(MustPass("m", "inrush", current_a, seconds, False),))
    ruling = judge(demand, part(100.0), SLOW).on("must_pass")
    assert ruling is not None
    assert ruling.answer == answer
    assert ruling.facts["limit_a"] == pytest.approx(400.0, rel=1e-9)


def test_a_start_too_short_for_the_curve_is_open_where_it_would_pass() -> None:
    """Beyond the last gate constant I²t says too much of melting: it may fail there, not pass."""
    demand = replace(PLAIN, must_pass=(MustPass("m", "inrush", 2000.0, 0.01, False),))
    ruling = judge(demand, part(100.0), SLOW).on("must_pass")
    assert ruling is not None
    assert (ruling.answer, ruling.wanting) == ("undecided", "fuse_curve")
    demand = replace(PLAIN, must_pass=(MustPass("m", "inrush", 6000.0, 0.01, False),))
    ruling = judge(demand, part(100.0), SLOW).on("must_pass")
    assert ruling is not None
    assert ruling.answer == "fails"


def guarded(current_a: float, compound: str | None = "pvc", through_share: float = 1.0) -> Guarded:
    """10 mm² of 70 °C, k = 115 in PVC."""
    return Guarded("c", withstand(70, compound, 10.0), 70, 10.0, 50.0, current_a, current_a * through_share, "bank")


@pytest.mark.parametrize(("clears_s", "answer"), [(0.3305, "passes"), (0.3480, "undecided"), (0.4200, "fails")])
def test_a_conductor_of_10_mm2_stands_2000_a_for_a_third_of_a_second(clears_s: float, answer: str) -> None:
    """(115·10/2000)² = 0.330625 s; with X = 0.29, Y = 0.06 of memory ε² = 1.055 there."""
    shape = curve((1000.0, 5.0, 10.0), (2000.0, clears_s / 2.0, clears_s), (4000.0, clears_s / 100.0, clears_s / 50.0))
    ruling = far_end(guarded(2000.0), 2000.0, shape)
    assert ruling.answer == answer
    assert ruling.facts["stands_s"] == pytest.approx(0.330625, rel=1e-12)


def test_half_of_a_fault_through_the_fuse_opens_it_later() -> None:
    """The conductor sees 2000 A, the fuse 1000 A."""
    shape = curve((500.0, 5.0, 10.0), (1000.0, 0.2, 0.4), (2000.0, 0.05, 0.1))
    assert far_end(guarded(2000.0), 2000.0, shape).answer == "passes"
    ruling = far_end(guarded(2000.0, through_share=0.5), 1000.0, shape)
    assert (ruling.facts["through_a"], ruling.facts["clears_s"]) == (1000.0, pytest.approx(0.4))
    assert ruling.answer == "fails"


def test_a_near_fault_can_be_harder_than_a_far_one() -> None:
    """A curve that falls more slowly than 1/I²: 1000 A for 1 s is stood, 4000 A for 0.5 s is not."""
    shape = curve((500.0, 5.0, 10.0), (1000.0, 0.5, 1.0), (4000.0, 0.2, 0.5))
    ruling = far_end(guarded(1000.0), 4000.0, shape)
    assert (ruling.answer, ruling.facts["cause"], ruling.facts["current_a"]) == ("fails", "near_end", 4000.0)
    assert far_end(guarded(1000.0), 1000.0, shape).answer == "passes"


def test_heat_and_not_time_makes_the_hardest_fault() -> None:
    """20 s at 100 A let 2·10⁵ A²s through, 0.5 s at 4000 A 8·10⁶: the shorter one is the harder."""
    shape = curve((100.0, 10.0, 20.0), (4000.0, 0.2, 0.5))
    ruling = far_end(guarded(100.0), 4000.0, shape)
    assert (ruling.facts["current_a"], ruling.facts["clears_s"]) == (4000.0, pytest.approx(0.5))


def test_a_compound_that_nobody_states_leaves_open_what_the_better_one_would_stand() -> None:
    """k = 115 in PVC and, computed, 155 in cross-linked insulation of 70 °C."""
    shape = curve((1000.0, 5.0, 10.0), (2000.0, 0.25, 0.5), (4000.0, 0.001, 0.01))
    assert far_end(guarded(2000.0, None), 2000.0, shape).wanting == "insulation_compound"
    assert far_end(guarded(2000.0, "pvc"), 2000.0, shape).answer == "fails"


def test_what_is_remembered_decides_nothing() -> None:
    remembered = curve((500.0, 5.0, 10.0), (1000.0, 0.5, 1.0), (4000.0, 0.2, 0.5), citation=MEMORY)
    for fault_a, would in ((4000.0, "fails"), (1000.0, "passes")):
        ruling = far_end(guarded(1000.0), fault_a, remembered)
        assert (ruling.answer, ruling.wanting, ruling.remembered) == ("undecided", "fuse_curve", would)


def test_clearing_past_the_last_gate_may_pass_and_not_fail() -> None:
    """Constant I²t is on the safe side there."""
    stood = curve((100.0, 5.0, 10.0), (500.0, 0.01, 0.02))
    assert far_end(guarded(2000.0), 2000.0, stood).answer == "passes"
    not_stood = curve((100.0, 50.0, 100.0), (500.0, 5.0, 10.0))
    ruling = far_end(guarded(2000.0), 2000.0, not_stood)
    assert (ruling.answer, ruling.wanting, ruling.remembered) == ("undecided", "fuse_curve", None)


def test_a_fault_that_never_surely_opens_the_fuse_fails() -> None:
    ruling = far_end(guarded(150.0), 150.0, SLOW)
    assert (ruling.answer, ruling.facts["clears_s"]) == ("fails", None)


def test_a_fault_that_the_conductor_carries_passes() -> None:
    assert far_end(guarded(50.0), 50.0, SLOW).answer == "passes"
    assert far_end(guarded(50.0), 50.0, None).answer == "passes"


# --- selectivity -----------------------------------------------------------------------------------------------------

FAST = curve((20.0, 10.0, 20.0), (200.0, 0.01, 0.02), (2000.0, 1e-4, 2e-4))


def pair(outer: TimeCurve | None, inner: TimeCurve | None, share: float = 1.0, fault_a: float = 2000.0, classes=(
    "blade", "mega")):  # fmt: skip
    return selective(Fitted("out", part(15.0, classes[0]), outer), Fitted("in", part(100.0, classes[1]), inner), share,
                     fault_a)  # fmt: skip


def test_fast_behind_slow_is_selective_and_slow_behind_fast_is_not() -> None:
    assert pair(FAST, SLOW).answer == "passes"
    ruling = pair(SLOW, FAST)
    assert ruling.answer == "fails"
    assert ruling.facts["clears_s"] > ruling.facts["melts_s"]


def test_where_the_inner_one_carries_a_part_it_melts_later() -> None:
    """At 2000 A the outer clears in 30 ms, the inner melts in 20 ms with all of it and in 80 ms with half."""
    outer = curve((100.0, 10.0, 20.0), (2000.0, 0.01, 0.03))
    inner = curve((200.0, 100.0, 200.0), (1000.0, 0.08, 0.2), (2000.0, 0.02, 0.1))
    assert pair(outer, inner, 1.0).answer == "fails"
    assert pair(outer, inner, 0.5).answer == "passes"


def test_the_current_with_the_longest_clearing_beside_the_melting_is_told_wherever_it_lies() -> None:
    """The outer clears in 20 s at 100 A and 30 ms at 2000 A; the inner melts in 10 s or 25 s, 0.3 s or 10 ms there."""
    outer = curve((100.0, 10.0, 20.0), (2000.0, 0.01, 0.03))
    for melts_s, current_a in (((10.0, 0.3), 100.0), ((25.0, 0.01), 2000.0)):
        inner = curve((100.0, melts_s[0], 2 * melts_s[0]), (2000.0, melts_s[1], 2 * melts_s[1]))
        ruling = pair(outer, inner)
        assert (ruling.answer, ruling.facts["current_a"]) == ("fails", pytest.approx(current_a))


def test_a_fault_past_the_inner_curve_is_open() -> None:
    ruling = pair(FAST, SLOW, 1.0, 5000.0)
    assert (ruling.answer, ruling.wanting) == ("undecided", "fuse_curve")


def test_one_unknown_curve_leaves_it_open() -> None:
    assert pair(None, SLOW).wanting == "fuse_curve"
    assert pair(FAST, None).wanting == "fuse_curve"


def test_two_of_one_class_without_curves_go_by_rating() -> None:
    alike = ("mega", "mega")
    small, large = Fitted("s", part(100.0), None), Fitted("l", part(200.0), None)
    assert selective(large, small, 1.0, 2000.0).answer == "fails"
    assert selective(small, small, 1.0, 2000.0).answer == "fails"
    assert selective(small, large, 1.0, 2000.0).answer == "undecided"
    assert selective(large, small, 0.49, 2000.0).answer == "undecided"
    assert pair(FAST, SLOW, classes=alike).answer == "passes"  # both makers' curves go before that


def test_towards_the_outer_fuses_each_has_a_ruling() -> None:
    demand = replace(PLAIN, downstream=(Neighbour("out", 1.0, 2000.0), Neighbour("gone", 1.0, 2000.0)))
    (ruling,) = as_inner(demand, part(100.0), SLOW, {"out": Fitted("out", part(15.0, "blade"), FAST)})
    assert (ruling.answer, ruling.facts["outer"], ruling.facts["inner"]) == ("passes", "out", "f")


# --- the lithium's own cut-off ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("trip_s", "answer"), [(0.5, "passes"), (0.4999, "fails")])
def test_the_fuse_is_faster_than_the_cut_off(trip_s: float, answer: str) -> None:
    demand = replace(PLAIN, fault_max_a=3000.0, trips=(Trip("bank", 2000.0, trip_s),))
    ruling = judge(demand, part(100.0), SLOW).on("cut_off")
    assert ruling is not None
    assert ruling.answer == answer


def test_a_fuse_that_never_surely_opens_is_slower_than_any_cut_off() -> None:
    demand = replace(PLAIN, trips=(Trip("bank", 150.0, 60.0),))
    ruling = judge(demand, part(100.0), SLOW).on("cut_off")
    assert ruling is not None
    assert (ruling.answer, ruling.facts["clears_s"]) == ("fails", None)


def demands(
    circuit: Circuit, least: tuple[LeastFault, ...] = (), guards: Mapping[str, Feeds] = MappingProxyType({})
) -> dict[str, FuseDemand]:
    """What is asked of the fuses, from least faults and guards by hand."""
    keys = [d.key for d in circuit.devices]
    network, _ = fault_currents(circuit, RULES)
    flow = Flow({}, {}, {key: Demand(10.0, "usual", 0.0) for key in keys})
    return fuse_demands(
        circuit, RULES, flow, network, LeastFaults({}, least), guards, feeds_of_fuses(circuit),
        dict.fromkeys(keys, WIDE), dict.fromkeys(keys, 1000.0), {"branch.out": 70.0},
    )  # fmt: skip


OWN = LeastFault("branch.out", "end", "branch.fuse", 300.0, 200.0, "a")
OF_OTHERS = LeastFault("a.main", "a_fused", "b.fuse", 90.0, 80.0, "b")


def guarded_by(circuit: Circuit, guards: Mapping[str, Feeds] = MappingProxyType({})) -> dict[str, tuple[str, ...]]:
    made = demands(circuit, (OWN, OF_OTHERS), guards)
    return {key: tuple(g.conductor for g in demand.guarded) for key, demand in made.items() if demand.guarded}


def test_a_fuse_guards_its_own_conductor_and_those_that_nothing_else_parts_from_it() -> None:
    circuit = two_banks()
    (own,) = demands(circuit, (OWN,))["branch.fuse"].guarded
    assert (own.current_a, own.through_a, own.bank, own.ampacity_a, own.area_mm2) == (300.0, 200.0, "a", 70.0, 35.0)
    assert own.withstand == withstand(105, None, 35.0)
    assert guarded_by(circuit) == {"branch.fuse": ("branch.out",), "b.fuse": ("a.main",)}


def test_a_fuse_guards_no_conductor_of_others_that_a_battery_feeds_or_that_only_cranks() -> None:
    circuit = two_banks()
    bare = {"a.main": Feeds((Feed("battery", "a", 0.1),), ()), "branch.out": Feeds((Feed("battery", "a", 0.1),), ())}
    assert guarded_by(circuit, bare) == {"branch.fuse": ("branch.out",)}
    for purpose in ("starter", "string"):
        turned = tuple(replace(c, purpose=purpose) for c in circuit.conductors)
        assert guarded_by(replace(circuit, conductors=turned, memo={})) == {"branch.fuse": ("branch.out",)}
    thin = tuple(replace(c, size=None) if c.key == "branch.out" else c for c in circuit.conductors)
    assert guarded_by(replace(circuit, conductors=thin, memo={})) == {"b.fuse": ("a.main",)}


def cutting_off(*trips: tuple[float, float] | None) -> Circuit:
    """The two batteries as strings of one lithium bank, each with its trip current [A] and time [s]."""
    circuit = two_banks()
    batteries = tuple(
        replace(
            b, bank="bank", cut_off=True,
            part=b.part.model_copy(update={"trip_a": t[0], "trip_s": t[1]} if t is not None else {}),
        )
        for b, t in zip(circuit.batteries, trips, strict=True)
    )  # fmt: skip
    return replace(circuit, batteries=batteries, memo={})


SHARES = [1.0 / ohm / sum(1.0 / each for each in WAYS_OHM) for ohm in WAYS_OHM]


def test_the_string_that_cuts_out_first_decides() -> None:
    """One gives more of a fault, the other cuts out at less: first is min over strings of trip over share."""
    assert SHARES[0] > SHARES[1]
    (trip,) = demands(cutting_off((600.0, 0.05), (600.0, 0.2)))["branch.fuse"].trips
    assert (trip.bank, trip.first_a, trip.trip_s) == ("bank", pytest.approx(600.0 / SHARES[0], rel=1e-9), 0.05)
    (trip,) = demands(cutting_off((600.0, 0.05), (100.0, 0.2)))["branch.fuse"].trips
    assert (trip.first_a, trip.trip_s) == (pytest.approx(100.0 / SHARES[1], rel=1e-9), 0.2)


def test_one_string_that_states_nothing_leaves_it_open() -> None:
    for trips in ((None, (600.0, 0.05)), ((600.0, 0.05), None)):
        (trip,) = demands(cutting_off(*trips))["branch.fuse"].trips
        assert (trip.first_a, trip.trip_s) == (None, None)


def test_no_cut_off_to_beat_where_one_battery_stays() -> None:
    circuit = cutting_off((600.0, 0.05), (600.0, 0.05))
    stays = (circuit.batteries[0], replace(circuit.batteries[1], cut_off=False))
    assert demands(replace(circuit, batteries=stays, memo={}))["branch.fuse"].trips == ()
    main = tuple(replace(d, at_battery=True) for d in circuit.devices)
    assert demands(replace(circuit, devices=main, memo={}))["branch.fuse"].trips == ()


def test_no_cut_off_below_its_current_and_none_known_is_open() -> None:
    calm = judge(replace(PLAIN, fault_max_a=1999.0, trips=(Trip("bank", 2000.0, 0.0001),)), part(100.0), SLOW)
    unknown = judge(replace(PLAIN, trips=(Trip("bank", None, None),)), part(100.0), SLOW)
    one, other = calm.on("cut_off"), unknown.on("cut_off")
    assert one is not None
    assert other is not None
    assert (one.answer, other.answer, other.wanting) == ("passes", "undecided", "trip_current")


# --- what holds for all ----------------------------------------------------------------------------------------------


@st.composite
def curves(draw: st.DrawFn) -> TimeCurve:
    """A maker's curve: current rises, times fall, melting before clearing."""
    amps, melts, ratio = draw(st.floats(20.0, 400.0)), draw(st.floats(1.0, 1e4)), draw(st.floats(1.1, 8.0))
    gates = []
    for _ in range(draw(st.integers(2, 6))):
        gates.append((amps, melts, melts * ratio))
        amps *= draw(st.floats(1.2, 4.0))
        melts /= draw(st.floats(1.5, 60.0))
    return curve(*gates)


RANK = {"fails": 0, "undecided": 1, "passes": 2}


@given(curves(), curves(), st.floats(0.05, 1.0), st.floats(100.0, 2e4))
def test_less_through_the_inner_one_never_makes_it_worse(
    outer: TimeCurve, inner: TimeCurve, share: float, fault_a: float
) -> None:
    assert RANK[pair(outer, inner, share, fault_a).answer] <= RANK[pair(outer, inner, share / 2.0, fault_a).answer]


@given(curves(), st.floats(60.0, 1e4), st.floats(1.0, 100.0))
def test_a_larger_conductor_never_makes_it_worse(shape: TimeCurve, current_a: float, area_mm2: float) -> None:
    def ruled(mm2: float) -> int:
        known = Guarded("c", withstand(70, "pvc", 10.0), 70, mm2, 50.0, current_a, current_a, "bank")
        return RANK[far_end(known, current_a, shape).answer]

    assert ruled(area_mm2) <= ruled(2.0 * area_mm2)


@given(curves(), st.floats(10.0, 5e3), st.floats(1e-3, 100.0))
def test_a_weaker_start_never_makes_it_worse(shape: TimeCurve, current_a: float, seconds: float) -> None:
    def ruled(amps: float) -> int:
        demand = replace(PLAIN, must_pass=(MustPass("m", "inrush", amps, seconds, False),))
        ruling = judge(demand, part(20.0), shape).on("must_pass")
        assert ruling is not None
        return RANK[ruling.answer]

    assert ruled(current_a) <= ruled(current_a / 2.0)
