"""One whole system by hand: option A of Marram, with pencil and calculator from the spec to the fuse.

Left of each comparison stands what the program says; right of it arithmetic on figures that anybody can look up: the
spec, the price book, and these of the tables (source and status in brackets).

- copper 0.017241 Ω·mm²/m at 20 °C, +0.393 % a kelvin [IEC 60028; corroborated], 2 % more for strands and lay [common
  practice, no source]
- 2/0 AWG is 67.43 mm², 1/0 AWG 53.48 mm², 2 AWG 33.63 mm², 3 AWG 26.67 mm² [ASTM B258; corroborated]
- 2/0 AWG of 105 °C carries 330 A at 30 °C [33 CFR 183.425 Table 5; corroborated], and a fuse up to 1.5 times what the
  conductor carries in its place [33 CFR 183.455(c); corroborated]
- lead rests full at 12.85 V, lithium at 13.60 V after charging, half full at 13.112 V [tables of `parts`, their status]

Each figure is rounded as a pencil would; tolerances are those of the rounding. Where a part or a size changes because
the design does, this page is worked again.
"""

import math
from pathlib import Path

import pytest

from proposal.results.evaluate import evaluate
from proposal.spec.loading import load_project

PROJECT = Path(__file__).parents[2] / "projects" / "marram"
OHM_MM2_PER_M = 0.017241 * 1.02


@pytest.fixture(scope="module")
def option():
    return evaluate(load_project(PROJECT), {}, "a test").results.options[0]


def by_key(rows):
    return {row.key: row for row in rows}


def ohm(length_m, area_mm2, at_c=20.0):
    return OHM_MM2_PER_M * length_m / area_mm2 * (1 + 0.00393 * (at_c - 20))


def test_a_day_in_the_rains(option):
    """Watt-hours of each line: watts × hours × share that it runs, standby and the held coil besides."""
    lines = {
        "bilge_pump": 5.5 * 12 * 0.3,
        "bilge_alarm": 0.4 * 12 * 0.2 + 0.1 * 24,
        "fridge": 60 * 24 * 0.5,
        "freezer": 65 * 24 * 0.35,
        "autopilot": 6 * 12 * 10 * 0.3,
        "plotter": 26 * 10,
        "vhf": 5.5 * 12 * 10 * 0.08,
        "nav_lights": 10 * 8,
        "cabin_lights": 36 * 3,
        "fresh_water": 7 * 12 * 0.5,
        "fans": 40 * 5,
        "watermaker": 18 * 12 * 0.75,
        "inverter": 700 / 0.9 * 0.3 + 8 * 24,  # the inverter gives 90 % of what it takes, and idles at 8 W
        "windlass": 120 * 12 * 0.05,
    }
    (rains,) = [s for s in option.energy.seasons if s.season == "rains"]
    told = {line.key: line.wh_per_day for line in rains.loads}
    for name, wh in lines.items():
        assert told[f"loads.{name}"] == pytest.approx(wh), name
    coil_wh = 0.38 * 12 * 24
    assert rains.use_wh == pytest.approx(sum(lines.values()) + coil_wh) == pytest.approx(3016.7, abs=0.1)
    assert rains.sun_wh == pytest.approx(640 * 0.75 * 3.6) == pytest.approx(1728)
    # what charging loses is 79.4 Wh; the alternator, limited to what it bears hot, gives 55 A at 14.2 V
    assert rains.engine_wh == pytest.approx(3016.7 + rains.loss_wh - 1728, abs=0.1)
    assert rains.engine_h == pytest.approx(1368.1 / (55 * 14.2), abs=2e-4) == pytest.approx(1.752, abs=1e-3)


def test_how_long_the_banks_last(option):
    lead, lithium = by_key(option.banks)["banks.lead"], by_key(option.banks)["banks.lithium"]
    assert (lead.capacity_ah, lithium.capacity_ah) == (2 * 110, 2 * 230)
    # half of the lead may be used, 80 % of the lithium; at 18 °C lead gives 92.3 %, lithium 94.4 % of its capacity
    assert lead.usable_ah == pytest.approx(220 * 0.5 * 0.923, abs=0.05)
    assert lithium.usable_ah == pytest.approx(460 * 0.8 * 0.944, abs=0.05)
    usable_wh = 101.54 * 12 + 347.39 * 12.8
    (house,) = [a for a in option.energy.autonomy if a.bank == "house"]
    assert house.usable_wh == pytest.approx(usable_wh, abs=0.5)
    assert house.days == pytest.approx(5665.1 / 3016.7, abs=1e-3) == pytest.approx(1.878, abs=1e-3)


def test_the_windlass_from_its_current_to_its_conductor(option):
    """120 A through 11 m out and 11 m back, in a forepeak of at most 45 °C."""
    out = by_key(option.conductors)["loads.windlass.positive"]
    assert (out.size, out.length_m, out.place_c, out.design_current_a) == ("2/0 AWG", 11.0, 45.0, 120.0)
    # the table is for 30 °C: in 45 °C the insulation has 60 K left of 75 K
    carries_a = 330 * math.sqrt((105 - 45) / (105 - 30))
    assert out.ampacity_a == pytest.approx(carries_a) == pytest.approx(295.2, abs=0.05)
    # at 120 A it warms by the square of the share that it carries: 45 °C + 60 K · (120/295.2)² = 54.9 °C
    warm_c = 45 + 60 * (120 / 295.2) ** 2
    assert warm_c == pytest.approx(54.9, abs=0.05)
    assert out.resistance_20c_ohm == pytest.approx(ohm(11, 67.43), rel=1e-4) == pytest.approx(2.869e-3, rel=1e-3)
    assert out.drop_v == pytest.approx(120 * ohm(11, 67.43, warm_c), rel=1e-3) == pytest.approx(0.3915, abs=2e-4)


def test_what_is_lost_on_the_way_to_the_windlass(option):
    """All that its current passes, from the lithium's posts to its own: 1.178 V of the 1.2 V that are allowed."""
    out = by_key(option.conductors)["loads.windlass.positive"]
    (solved,) = [c for c in option.cases if c.id == "full.windlass"]
    given_a = {p.key: p.current_a for p in solved.ports}
    # the lithium gives all of it: two strings, and the other loads' means besides
    bank_a = given_a["banks.lithium.s1"] + given_a["banks.lithium.s2"]
    others_a = -sum(a for key, a in given_a.items() if key.startswith("loads.") and key != "loads.windlass")
    assert bank_a == pytest.approx(120 + others_a + 0.38, abs=1e-6) == pytest.approx(128.6, abs=0.1)
    # conductors of the bank at the temperature that this current brings them to
    tail_c = 40 + 65 * (bank_a / 307.2) ** 2
    string_c = 40 + 65 * (bank_a / 2 / 195.5) ** 2
    path_ohm = (
        ohm(0.15, 67.43, tail_c) + ohm(2.25, 67.43, tail_c) + ohm(2.4, 67.43, tail_c)  # tail, out, back
        + 0.425e-3 + 0.25e-3 + 0.33e-3 + 0.1667e-3  # fuse 200 A, switch, contactor, shunt
    )  # fmt: skip
    string_ohm = 2 * ohm(0.3, 33.63, string_c)
    own_v = 120 * (2 * ohm(11, 67.43, 54.9) + 0.34e-3)  # both conductors and its 250 A fuse
    lost_v = bank_a / 2 * string_ohm + bank_a * path_ohm + own_v
    assert lost_v == pytest.approx(1.178, abs=2e-3)
    assert out.loop_drop_v == pytest.approx(lost_v, abs=2e-3)
    assert out.drop_limit_share == pytest.approx(0.10)
    assert lost_v < 0.10 * 12
    # the posts stand at 13.112 V less what 64.3 A lose in 3.2 mΩ
    (post_v,) = [p.voltage_v for p in solved.ports if p.key == "banks.lithium.s1"]
    assert post_v == pytest.approx(13.1124 - bank_a / 2 * 3.2e-3, abs=1e-4)


def test_the_fault_at_the_main_bus(option):
    """Two banks behind their resistances and three limited sources, added up as currents into a bolted bus."""
    # a battery's resistance in a fault is what its maker's short-circuit current makes of its full voltage
    lead_ohm, lithium_ohm = 12.85 / 3350, 13.60 / 4200
    lead_ohm = (lead_ohm + 2 * ohm(0.3, 26.67)) / 2  # two strings with a link each way
    lead_ohm += ohm(0.15, 53.48) + ohm(1.45, 53.48) + ohm(1.6, 53.48) + 0.425e-3 + 0.25e-3
    lithium_ohm = (lithium_ohm + 2 * ohm(0.3, 33.63)) / 2
    lithium_ohm += ohm(0.15, 67.43) + ohm(2.25, 67.43) + ohm(2.4, 67.43) + 0.425e-3 + 0.25e-3 + 0.33e-3 + 0.1667e-3
    assert (lead_ohm, lithium_ohm) == (pytest.approx(3.843e-3, abs=2e-6), pytest.approx(4.199e-3, abs=2e-6))
    fault_a = 12.85 / lead_ohm + 13.60 / lithium_ohm + 55 + 30 + 640 / 14.2
    (fault,) = [f for f in option.faults if f.node == "buses.main.positive"]
    sources_a = {p.key: p.current_a for p in fault.feeds if p.key.startswith("sources.")}
    extra_a = sum(sources_a.values()) - (55 + 30 + 640 / 14.2)  # what nameplates give above the lasting currents
    assert fault.current_a == pytest.approx(fault_a + extra_a, rel=2e-4)
    assert fault_a == pytest.approx(6713, abs=3)


def test_the_fuse_of_the_windlass(option):
    fuse = by_key(option.devices)["loads.windlass.fuse"]
    # it must let 120 A pass and half of an inrush of 300 A; its conductor allows one and a half times what it carries
    assert fuse.smallest_a == pytest.approx(300 / 2)
    assert fuse.largest_a == pytest.approx(1.5 * 295.2, abs=0.1) == pytest.approx(442.8, abs=0.1)
    assert 150 <= fuse.rating_a <= 442.8
    (fault,) = [f for f in option.faults if f.node == "buses.main.positive"]
    assert (fuse.rating_a, fuse.interrupt_a) == (250, 20_000)
    assert fuse.fault_a == fault.current_a < fuse.interrupt_a
    assert fuse.voltage_max_v >= 12 * 31 / 24  # 15.5 V is the highest that a 12 V system reaches


def test_the_far_end_of_the_windlass(option):
    """A short circuit at the windlass, the lead bank alone, cold and low: the fuse clears it long before harm."""
    (row,) = [p for p in option.protection if p.key == "loads.windlass.fuse"]
    (guarded,) = row.guarded
    # on the curve of the 250 A fuse the least fault of 860 A lies between 750 A (4 s) and 1,250 A (0.32 s)
    assert guarded.least_fault_a == pytest.approx(860, abs=1)
    share = math.log(guarded.least_fault_a / 750) / math.log(1250 / 750)
    clears_s = 4 * (0.32 / 4) ** share
    assert guarded.clears_s == pytest.approx(clears_s, rel=1e-6) == pytest.approx(2.03, abs=0.01)
    # 67.43 mm² with k = 134.8 stand (k·S/I)²: the k from 105 to 250 °C, IEC 60364-5-54
    k = 226 * math.sqrt(math.log((250 + 234.5) / (105 + 234.5)))
    assert k == pytest.approx(134.8, abs=0.05)
    assert guarded.stands_s == pytest.approx((k * 67.43 / guarded.least_fault_a) ** 2, rel=1e-3)
    assert clears_s < guarded.stands_s


def test_the_engine_starts(option):
    """280 A from two lead strings at 18 °C, 80 % charged, over half the links and the starter's own run."""
    (start,) = [s for s in option.starts if s.case == "cranking"]
    string_ohm = 4.7279e-3 + 2 * ohm(0.3, 26.67, 18)  # 3.8 mΩ warm is 4.73 mΩ at 18 °C
    run_ohm = 2 * ohm(2.2, 53.48, 18) + 0.25e-3  # there, back, and the switch
    starter_v = 12.61 - 140 * string_ohm - 280 * run_ohm
    assert start.starter_v == pytest.approx(starter_v, abs=2e-3) == pytest.approx(11.42, abs=0.01)
    assert (start.verdict, start.minimum_v) == ("starts", 9.6)


def test_the_bill_of_the_windlass(option):
    """28.1 m of 2/0 AWG in all: 22 m to the windlass and back, and the lithium's 4.8 m, 5 % for waste and ends."""
    (cable,) = [p for p in option.price_lines if p.key == "part.cable_awg_2_0_105c"]
    assert float(cable.quantity) == pytest.approx((22 + 0.15 + 2.25 + 2.4) * 1.05, abs=0.05)
    assert float(cable.amount) == pytest.approx(28.1 * 11.45, abs=0.01)
    lines = sum(p.amount for p in option.price_lines if p.group not in ("labour", "contingency"))
    totals = option.price
    assert totals.material == lines
    assert totals.total == pytest.approx((totals.material + totals.labour) * 105 / 100 * 121 / 100, abs=1)
