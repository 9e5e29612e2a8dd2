"""Parts for relays and buses: the smallest that does, and the stronger of two that change places."""

import pytest

from proposal.circuit.model import SeriesDevice
from proposal.design.devices import bus_current, pick_bus, pick_series
from proposal.design.picks import larger
from proposal.studies.flow.result import Demand
from tests.rules.conftest import Bench


@pytest.fixture(scope="module")
def bench():
    return Bench()


def switch(bench, amps, cranking_a=0.0):
    device = SeriesDevice("a.switch", "a", "switch", "positive", "one", "other")
    return pick_series(device, Demand(amps, "rated", cranking_a), bench.option("shared").catalogue, 12.0)


def contactor(bench, amps, make_a):
    device = SeriesDevice("a.contactor", "a", "contactor", "positive", "one", "other", driven_as="held")
    return pick_series(device, Demand(amps, "rated", 0.0), bench.option("shared").catalogue, 12.0, make_a)


def test_the_smallest_switch_that_carries_and_cranks(bench):
    """150 A crank 450 A, 300 A crank 900 A, 600 A crank 1800 A."""
    assert switch(bench, 150.0).part_id == "switch_150"
    assert switch(bench, 150.1).part_id == "switch_300"
    cranked = switch(bench, 100.0, 450.1)
    assert cranked.part_id == "switch_300"
    assert [r.reason.code for r in cranked.choice.rejected] == ["cranking_rating"]
    assert switch(bench, 100.0, 1801.0).part is None


def test_a_contactor_that_none_makes_stays_the_smallest_and_is_not_called_turned_down(bench):
    """150 A make 600 A, 300 A make 1200 A."""
    assert contactor(bench, 100.0, 600.0).part_id == "contactor_150"
    assert contactor(bench, 100.0, 600.1).part_id == "contactor_300"
    none = contactor(bench, 100.0, 5000.0)
    assert none.part_id == "contactor_150"
    assert "Contactor 300 A" in {r.candidate for r in none.choice.rejected}
    assert none.part.title not in {r.candidate for r in none.choice.rejected}


def test_the_current_of_a_bus_is_the_largest_that_enters_it(bench):
    made = bench.option("shared").design
    solutions = list(made.flow.solutions.items())
    for bus in made.circuit.buses:
        if bus.positive not in made.circuit.branches_at:
            continue
        entering = {}
        for case, solution in solutions:
            flows = [
                solution.current_a.get(b.key, 0.0) * (1.0 if b.to_node == bus.positive else -1.0)
                for b in made.circuit.branches_at[bus.positive]
            ]
            entering[case] = sum(a for a in flows if a > 0.0)
        amps, case, _ = bus_current(bus, made.circuit, solutions)
        assert amps == pytest.approx(max(entering.values()), rel=1e-6, abs=1e-6)
        assert entering[case] == pytest.approx(amps, rel=1e-6, abs=1e-6)
        assert amps > 0.0


def test_a_bus_with_too_few_studs_is_passed_over(bench):
    """150 A has 8 studs, 300 A and 600 A have 20; where none has enough, the weakest of those with the most."""
    catalogue = bench.option("shared").catalogue
    assert [pick_bus(a, "rated", n, catalogue, 12.0).part_id for a, n in ((150.0, 8), (150.0, 9), (301.0, 1))] == [
        "bus_150", "bus_300", "bus_600",
    ]  # fmt: skip
    several = pick_bus(100.0, "rated", 21, catalogue, 12.0)
    assert (several.part_id, several.choice.decided_by.code) == ("bus_300", "several_bars")
    assert pick_bus(601.0, "rated", 1, catalogue, 12.0).part is None


def test_of_two_parts_that_change_places_the_stronger_stays(bench):
    small, large, none = switch(bench, 100.0), switch(bench, 200.0), switch(bench, 9999.0)
    assert larger(small, large) is large
    assert larger(large, small) is large
    assert larger(small, small) is small
    assert larger(none, large) is none
    assert larger(small, none) is small
