"""The laws of chargers, bounded batteries and constant powers, settled together, on random networks."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proposal.studies.network.equations import charger_a, constant_power_v
from proposal.studies.network.ports import Trunk, laws_of, settle
from proposal.studies.network.result import Port

BANKS_V = (12.2, 12.24, 12.4, 13.2)
SETS_V = (14.0, 14.2, 14.4)
ohms = st.floats(-4.0, -1.0).map(lambda power: 10.0**power)


def trunk(siemens: object, amps: object, at: list[int], own_ohm: float = 0.0) -> Trunk:
    """A trunk of a few rows, with the ports between rows and the reference, each behind a limb of its own."""
    matrix, into = np.array(siemens, dtype=float), np.array(amps, dtype=float)
    own = np.full(len(at), own_ohm)
    return Trunk(matrix, into, np.array(at, dtype=int), np.full(len(at), len(into)), own)


def behind(emf_v: float, ohm: float, count: int = 1) -> Trunk:
    """Some ports together behind one resistance."""
    return trunk([[1.0 / ohm]], [emf_v / ohm], [0] * count)


@st.composite
def stars(draw: st.DrawFn) -> tuple[list[Port], Trunk]:
    """Batteries and chargers through conductors to one bus or to one another."""
    banks, chargers = draw(st.integers(1, 4)), draw(st.integers(0, 5))
    size = banks + chargers + 1
    siemens, amps = np.zeros((size, size)), np.zeros(size)
    ports, at = [], []
    for n in range(1, size):
        other = draw(st.sampled_from([0, 0, n - 1]))
        g = 1.0 / draw(ohms)
        siemens[[n, other], [n, other]] += g
        siemens[[n, other], [other, n]] -= g
        if n <= banks:
            volts, ohm = draw(st.sampled_from(BANKS_V)), draw(ohms) / 10.0 + 1e-3
            siemens[n, n] += 1.0 / ohm
            amps[n] += volts / ohm
            if draw(st.booleans()):
                accepts_a = draw(st.sampled_from([0.0, 10.0, 20.0, 30.0]))
                ports.append(Port(f"b{n}", "", "", "bound", accepts_a, set_v=volts, droop_ohm=ohm))
                at.append(n)
        else:
            most_a = draw(st.sampled_from([5.0, 10.0, 20.0, 30.0, 60.0, 100.0]))
            set_v = draw(st.sampled_from(SETS_V))
            ports.append(Port(f"c{n}", "", "", "charger", most_a, set_v=set_v, droop_ohm=0.05 / most_a))
            at.append(n)
    if draw(st.booleans()):
        ports.append(Port("load", "", "", "current", 5.0))
        at.append(0)
    limb_ohm = draw(st.sampled_from([0.0, 0.0, 1e-3]))
    own = np.array([limb_ohm if port.law != "bound" else 0.0 for port in ports])
    return ports, replace(trunk(siemens, amps, at), own_ohm=own)


def port_volts(seen: Trunk, given_a: np.ndarray) -> np.ndarray:
    """U = U_idle + Z·i, from the inverse of the whole matrix."""
    response = np.linalg.inv(seen.matrix_s)
    at = seen.positive
    return (response @ seen.injected_a)[at] + response[np.ix_(at, at)] @ given_a + seen.own_ohm * given_a


def misses_v(ports: list[Port], volts: np.ndarray, amps: np.ndarray) -> float:
    """The largest distance of a port from its law, as volts on its own resistance."""
    worst = 0.0
    for port, u, i in zip(ports, volts, amps, strict=True):
        if port.law == "charger":
            law = charger_a(u, port.set_v, port.current_a, port.droop_ohm)
        elif port.law == "bound":
            law = max((u - port.set_v) / port.droop_ohm - port.current_a, 0.0)
        else:
            law = -port.current_a
        worst = max(worst, abs(i - law) * port.droop_ohm)
    return worst


@settings(max_examples=300)
@given(stars())
def test_every_port_ends_on_its_own_law(star: tuple[list[Port], Trunk]) -> None:
    ports, seen = star
    found = settle(laws_of(ports), seen)
    assert found.collapsed == ()
    assert misses_v(ports, port_volts(seen, found.given_a), found.given_a) < 1e-9


@settings(max_examples=100)
@given(stars(), st.randoms(use_true_random=False))
def test_the_order_of_ports_does_not_matter(star: tuple[list[Port], Trunk], rng: object) -> None:
    ports, seen = star
    order = list(range(len(ports)))
    rng.shuffle(order)
    one = settle(laws_of(ports), seen)
    other = settle(
        laws_of([ports[n] for n in order]), replace(seen, positive=seen.positive[order], own_ohm=seen.own_ohm[order])
    )
    # a charger whose limit is just what a battery accepts leaves a voltage open, yet no current
    assert other.given_a == pytest.approx(one.given_a[order], abs=1e-6)


def test_two_chargers_share_as_their_droops_say() -> None:
    """Regulating in parallel on one point: both at the same voltage, i = (U_set − U)/R_droop each."""
    ports = [Port("a", "", "", "charger", 100.0, set_v=14.4, droop_ohm=0.001),
             Port("b", "", "", "charger", 50.0, set_v=14.4, droop_ohm=0.002)]  # fmt: skip
    found = settle(laws_of(ports), behind(14.2, 0.01, 2))
    assert found.given_a[0] == pytest.approx(2.0 * found.given_a[1], rel=1e-9)


def test_a_charger_at_its_limit_gives_just_what_its_battery_accepts() -> None:
    """30 A into a battery that accepts 30 A: the voltage between the two corners is open, the currents are not."""
    ports = [Port("c", "", "", "charger", 30.0, set_v=14.4, droop_ohm=0.05 / 30.0),
             Port("b", "", "", "bound", 30.0, set_v=12.2, droop_ohm=0.004)]  # fmt: skip
    seen = trunk([[100.0, -100.0], [-100.0, 350.0]], [0.0, 12.2 * 250.0], [0, 1])
    found = settle(laws_of(ports), seen)
    volts = port_volts(seen, found.given_a)
    assert found.given_a[0] == pytest.approx(30.0, rel=1e-9)
    assert (volts[1] - 12.2) / 0.004 - found.given_a[1] == pytest.approx(30.0, rel=1e-9)
    assert misses_v(ports, volts, found.given_a) < 1e-9


watts = st.floats(1.0, 2000.0)


@settings(max_examples=200)
@given(st.floats(10.0, 60.0), ohms, watts, st.floats(0.01, 0.99))
def test_one_constant_power_has_its_closed_form_or_no_voltage(
    emf_v: float, ohm: float, power_w: float, in_limb: float
) -> None:
    """U = (E + √(E² − 4RP))/2; none past P = E²/4R. Within a thousandth of maximum power either answer is taken."""
    expected_v = constant_power_v(emf_v, ohm, power_w)
    before_ohm = (1.0 - in_limb) * ohm
    seen = trunk([[1.0 / before_ohm]], [emf_v / before_ohm], [0], in_limb * ohm)
    found = settle(laws_of([Port("p", "", "", "power", power_w=power_w)]), seen)
    used = power_w / (emf_v**2 / (4.0 * ohm))
    if expected_v is not None and used < 0.999:
        assert found.collapsed == ()
        assert emf_v + ohm * found.given_a[0] == pytest.approx(expected_v, rel=1e-9)
    elif used > 1.001:
        assert found.collapsed == ("p",)
        assert found.given_a[0] == 0.0


def test_of_two_loads_the_one_that_finds_no_voltage_is_taken_off_and_the_other_solved() -> None:
    """Through one conductor each, from a stiff source: the far one is past its maximum, the near one is not."""
    emf_v, near_ohm, far_ohm = 12.0, 0.01, 0.5
    ports = [Port("near", "", "", "power", power_w=200.0), Port("far", "", "", "power", power_w=100.0)]
    assert emf_v**2 / (4.0 * far_ohm) < 100.0
    found = settle(
        laws_of(ports),
        trunk(np.diag([1.0 / near_ohm, 1.0 / far_ohm]), [emf_v / near_ohm, emf_v / far_ohm], [0, 1]),
    )
    assert found.collapsed == ("far",)
    expected_v = constant_power_v(emf_v, near_ohm, 200.0)
    assert expected_v is not None
    assert found.given_a == pytest.approx([-200.0 / expected_v, 0.0], rel=1e-9)


def test_loads_that_share_a_conductor_collapse_together_where_each_alone_would_not() -> None:
    """Two of 0.6 of maximum power each through one resistance: one must go, and is named; the other then runs."""
    emf_v, ohm = 12.0, 0.1
    most_w = emf_v**2 / (4.0 * ohm)
    ports = [Port("a", "", "", "power", power_w=0.6 * most_w), Port("b", "", "", "power", power_w=0.61 * most_w)]
    found = settle(laws_of(ports), behind(emf_v, ohm, 2))
    assert found.collapsed == ("b",)
    assert emf_v + ohm * found.given_a[0] == pytest.approx(constant_power_v(emf_v, ohm, 0.6 * most_w), rel=1e-9)
