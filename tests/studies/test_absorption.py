"""The last hours of charging, by hand and at its limits."""

import re

import pytest

from proposal.studies.absorption.study import TAIL_PER_H, absorption, absorption_case
from proposal.studies.network.assemble import assemble
from proposal.studies.network.reduced import reduce_network
from proposal.studies.network.solve import solve
from tests.rules.conftest import Bench


@pytest.fixture(scope="module")
def bench():
    return Bench()


def test_what_is_lost_is_ohms_law_along_the_way(bench):
    """One source: its own way carries its current, the bank's way the tail; both times the resistances between."""
    evidence = bench.option("one", {"sources": {"shore": bench.project.spec.value.sources["shore"]}})
    circuit = evidence.circuit
    found = absorption(circuit, evidence.family)
    network = assemble(circuit, absorption_case(circuit), evidence.family)
    ohm = {r.key: r.resistance_ohm for r in network.resistors}
    tail_a = TAIL_PER_H * 330.0
    pump_a = next(x.mean_a for x in circuit.loads if x.always_on)
    shore = sum(value for key, value in ohm.items() if key.startswith("sources.shore."))
    whole = [key for key in ohm if key.startswith("banks.lead.") and not re.match(r"banks\.lead\.s\d\.", key)]
    bank = sum(ohm[key] for key in whole)
    string = sum(value for key, value in ohm.items() if key.startswith("banks.lead.s1."))
    least = (tail_a + pump_a) * shore + tail_a * bank + tail_a / 3.0 * string
    assert found.lost_v["sources.shore", "banks.lead"] == pytest.approx(least, abs=pump_a * bank + 1e-6)


def test_lead_takes_its_tail_and_no_more(bench):
    evidence = bench.option("vented")
    circuit = evidence.circuit
    solution = solve(reduce_network(assemble(circuit, absorption_case(circuit), evidence.family)))
    for battery in circuit.batteries:
        assert solution.given_a[battery.key] == pytest.approx(-TAIL_PER_H * battery.part.capacity_ah)
    assert solution.kirchhoff_a < 1e-6


def test_lithium_is_out_of_the_way_and_nothing_is_lost_twice(bench):
    evidence = bench.option("shared")
    found = absorption(evidence.circuit, evidence.family)
    assert {bank for _, bank in found.lost_v} == {"banks.lead"}
    assert all(0.0 <= volts < 0.1 for volts in found.lost_v.values())


def test_longer_way_loses_more(bench):
    near = bench.option("one", {"OPTION.pins": {"banks.lead": "2 AWG"}})
    far = bench.option("one", {"routes.lead.length_m": 15.0, "OPTION.pins": {"banks.lead": "2 AWG"}})
    lost = [absorption(e.circuit, e.family).lost_v["sources.shore", "banks.lead"] for e in (near, far)]
    assert lost[1] > lost[0] > 0.0


def test_option_without_lead_has_nothing_to_lose(bench):
    evidence = bench.option("one", {"OPTION.banks.lead.battery": "lithium_230"})
    assert absorption(evidence.circuit, evidence.family).lost_v == {}
