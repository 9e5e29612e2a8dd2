"""What holds for every circuit that an arrangement makes."""

import pytest

from proposal.circuit.build import build_circuit
from proposal.codes import family
from proposal.design.step import design
from proposal.parts.catalogue import Catalogue
from proposal.spec.loading import load_project
from proposal.spec.overlay import effective
from tests.generate import CELLS, PROJECTS, cell, seeded

ALL = pytest.mark.parametrize("built", [cell(a, v) for a, v in CELLS] + [b for s in range(10) for b in seeded(s)])


@ALL
def test_every_end_is_a_node_and_every_node_can_be_reached(built):
    circuit = built.circuit
    joined: dict[str, set[str]] = {n.key: set() for n in circuit.nodes}
    ends = [(b.from_node, b.to_node) for b in circuit.branches]
    ends += [(b.positive, b.negative) for b in (*circuit.batteries, *circuit.loads, *circuit.sources)]
    if circuit.starter is not None:
        ends.append((circuit.starter.positive, circuit.starter.negative))
    for c in circuit.converters:
        ends += [(c.in_positive, c.in_negative), (c.out_positive, c.out_negative)]
    ends += [pair for c in circuit.controllers for pair in ((c.supply, c.negative), (c.senses, c.negative))]
    for one, other in ends:
        joined[one].add(other)
        joined[other].add(one)
    seen, ahead = {circuit.reference}, [circuit.reference]
    while ahead:
        for node in joined[ahead.pop()] - seen:
            seen.add(node)
            ahead.append(node)
    assert seen == set(joined)


@ALL
def test_branches_stay_in_their_pole_and_mates_stand_in_the_other(built):
    circuit = built.circuit
    for branch in circuit.branches:
        assert circuit.node[branch.from_node].pole == circuit.node[branch.to_node].pole == branch.pole
    for node in circuit.nodes:
        assert circuit.node[node.mate].pole != node.pole


@ALL
def test_keys_are_given_once(built):
    circuit = built.circuit
    keys = [b.key for b in circuit.branches]
    assert len(keys) == len(set(keys))
    assert len(circuit.nodes) == len({n.key for n in circuit.nodes})


@ALL
def test_every_load_and_source_has_a_fuse_and_both_conductors(built):
    circuit = built.circuit
    for item in (*circuit.loads, *circuit.sources):
        assert {"positive", "negative"} == {c.pole for c in circuit.conductors if c.circuit == item.key}
        assert circuit.device[f"{item.key}.fuse"].guards == (f"{item.key}.positive",)


@ALL
def test_what_must_stay_on_hangs_ahead_of_the_switch(built):
    circuit = built.circuit
    for load in circuit.loads:
        if load.always_on and any(d.kind == "switch" and d.key.startswith("banks.") for d in circuit.devices):
            assert circuit.bus[load.bus].kind in ("unswitched", "main", "start")


@ALL
def test_route_lengths_come_through_without_a_factor(built):
    routes = built.spec.spec.routes
    for name, load in built.spec.spec.loads.items():
        for pole in ("positive", "negative"):
            assert built.circuit.conductor[f"loads.{name}.{pole}"].length_m == routes[load.route].length_m


def test_the_starter_hangs_on_its_own_banks_posts():
    circuit = cell("house_and_starter", 12).circuit
    assert circuit.starter is not None
    switch = circuit.device["engine.switch"]
    assert switch.from_node == f"{circuit.starter.bus}.terminal.positive"
    bank = next(b for b in circuit.banks if b.key == circuit.starter.bus)
    assert bank.role == "start"


@pytest.fixture(scope="module")
def marram():
    project = load_project(PROJECTS / "marram")
    laid = effective(project.spec.value, project.installer.value, "shared")
    catalogue, rules = Catalogue.of(project.prices.value), family(laid.family)
    return design(build_circuit(laid, catalogue, rules), laid.pins, catalogue, rules)


def test_the_circuit_of_an_inverter_is_made_for_its_nameplate(marram):
    """1,000 W at 90 % and 10.5 V, below which it switches itself off: 105.8 A, though 700 W are used."""
    inverter = marram.circuit.load["loads.inverter"]
    assert inverter.current_a == pytest.approx(700 / (0.9 * 12))
    assert inverter.rated_a == pytest.approx(1000 / (0.9 * 10.5)) == pytest.approx(105.82, abs=0.01)
    assert marram.flow.demands["loads.inverter.positive"].current_a == pytest.approx(inverter.rated_a)
    window = marram.windows["loads.inverter.fuse"]
    assert window.smallest_a <= marram.circuit.device["loads.inverter.fuse"].part.rating_a
    assert marram.circuit.device["loads.inverter.fuse"].part.rating_a >= inverter.rated_a
