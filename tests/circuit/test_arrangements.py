"""What each arrangement puts between its banks, and what it leaves out."""

from __future__ import annotations

import pytest

from proposal.circuit.model import Circuit, SeriesDevice
from tests.generate import CELLS, VOLTAGES_V, Built, cell, seeded

EACH = pytest.mark.parametrize("built", [cell(a, v) for a, v in CELLS], ids=lambda built: built.name)
AT_EACH_VOLTAGE = pytest.mark.parametrize("volts", VOLTAGES_V)


def of_kind(circuit: Circuit, kind: str) -> list[SeriesDevice]:
    return [d for d in circuit.devices if d.kind == kind]


def main_kinds(circuit: Circuit) -> list[str]:
    return [b.kind for b in circuit.buses if b.kind in ("main", "start")]


@AT_EACH_VOLTAGE
def test_one_bank_has_one_bus_and_no_link(volts: int) -> None:
    circuit = cell("one_bank", volts).circuit
    assert main_kinds(circuit) == ["main"]
    assert not of_kind(circuit, "vsr") + of_kind(circuit, "contactor")
    assert circuit.converters == ()
    assert len(circuit.banks) == 1


@AT_EACH_VOLTAGE
def test_house_and_starter_have_a_relay_between_their_buses_fused_at_both_ends(volts: int) -> None:
    circuit = cell("house_and_starter", volts).circuit
    assert main_kinds(circuit) == ["main", "start"]
    (relay,) = of_kind(circuit, "vsr")
    assert relay.key == "links.vsr.relay"
    assert {b.role for b in circuit.banks} == {"house", "start"}
    fuses = [d for d in of_kind(circuit, "fuse") if d.circuit == "links.vsr"]
    assert {d.from_node for d in fuses} == {"buses.main.positive", "buses.start.positive"}
    assert all(d.guards == ("links.vsr.positive",) for d in fuses)
    assert relay.senses in ("from", "to", "both")


@AT_EACH_VOLTAGE
def test_lithium_joins_lead_through_a_contactor_with_a_fused_controller(volts: int) -> None:
    circuit = cell("lead_and_lithium", volts).circuit
    assert main_kinds(circuit) == ["main"]
    lithium = next(b for b in circuit.banks if b.chemistry == "lithium")
    (contactor,) = of_kind(circuit, "contactor")
    assert contactor.key == lithium.through
    assert contactor.to_node == "buses.main.positive"
    (controller,) = circuit.controllers
    assert controller.contactor == contactor.key
    # supply from the bus, sense from the lithium's side of the contactor, each behind its own fuse
    supply, sense = (circuit.device[f"{controller.key}.{lead}_fuse"] for lead in ("supply", "sense"))
    assert supply.from_node == contactor.to_node
    assert sense.from_node == contactor.from_node
    assert {circuit.conductor[key].to_node for d in (supply, sense) for key in d.guards} == {
        controller.supply, controller.senses,
    }  # fmt: skip


@AT_EACH_VOLTAGE
def test_the_full_arrangement_has_both_links(volts: int) -> None:
    circuit = cell("lead_and_lithium_with_starter", volts).circuit
    assert main_kinds(circuit) == ["main", "start"]
    assert len(of_kind(circuit, "vsr")) == len(of_kind(circuit, "contactor")) == 1
    assert sorted(b.role for b in circuit.banks) == ["house", "house", "start"]


@AT_EACH_VOLTAGE
def test_a_dc_dc_charger_stands_between_two_buses_that_share_only_their_negative(volts: int) -> None:
    circuit = cell("lithium_with_dc_dc", volts).circuit
    (link,) = circuit.converters
    assert {link.from_bus, link.to_bus} == {"buses.main", "buses.start"}
    assert not of_kind(circuit, "vsr") + of_kind(circuit, "contactor")
    positive, negative = islands(circuit, "positive"), islands(circuit, "negative")
    ends = [circuit.bus[bus] for bus in (link.from_bus, link.to_bus)]
    assert positive[ends[0].positive] != positive[ends[1].positive]
    assert negative[ends[0].negative] == negative[ends[1].negative]
    assert positive[link.in_positive] == positive[ends[0].positive]
    assert positive[link.out_positive] == positive[ends[1].positive]


def islands(circuit: Circuit, pole: str) -> dict[str, int]:
    """For each node of a pole, the number of the group that branches join it to."""
    group = {node.key: n for n, node in enumerate(circuit.nodes) if node.pole == pole}
    for _ in group:
        for branch in circuit.branches:
            if branch.pole == pole:
                group[branch.from_node] = group[branch.to_node] = min(group[branch.from_node], group[branch.to_node])
    return group


@EACH
def test_nothing_bypasses_a_shunt(built: Built) -> None:
    """Whatever returns to a bank with a shunt goes through it: its battery side has no branch but the bank's own."""
    circuit = built.circuit
    for shunt in of_kind(circuit, "shunt"):
        bank = shunt.circuit
        behind = {bank, *next(b.strings for b in circuit.banks if b.key == bank)}
        beyond = {shunt.to_node}
        for branch in circuit.branches:
            if branch.pole == "negative" and shunt.to_node in (branch.from_node, branch.to_node):
                beyond |= {branch.from_node, branch.to_node}
                assert branch.key == shunt.key or branch.circuit in behind


@EACH
def test_each_bank_has_its_fuse_nearest_its_posts(built: Built) -> None:
    circuit = built.circuit
    for bank in circuit.banks:
        fuse = circuit.device[f"{bank.key}.fuse"]
        spec = built.spec.option.banks[bank.key.split(".")[1]]
        assert fuse.at_battery
        assert fuse.distance_m <= spec.fuse_after_m
        tails = [c for c in circuit.conductors if c.key == f"{bank.key}.tail"]
        assert sum(c.length_m for c in tails) == pytest.approx(fuse.distance_m)


@EACH
def test_bank_conductors_are_as_long_as_their_route_in_each_pole(built: Built) -> None:
    circuit, routes = built.circuit, built.spec.spec.routes
    for bank in circuit.banks:
        route_m = routes[built.spec.option.banks[bank.key.split(".")[1]].route].length_m
        for pole in ("positive", "negative"):
            mine = [c.length_m for c in circuit.conductors if c.circuit == bank.key and c.pole == pole]
            assert sum(mine) == pytest.approx(route_m, abs=0.011)  # no conductor shorter than a centimetre


@EACH
def test_a_string_of_a_parallel_bank_has_equal_links_to_the_banks_own_bus(built: Built) -> None:
    circuit = built.circuit
    for bank in circuit.banks:
        assert (bank.own_bus is not None) is (len(bank.strings) > 1 and not bank.chained)
        chained = built.spec.option.banks[bank.key.split(".")[1]].joined == "chain" and len(bank.strings) > 1
        assert bank.chained is chained
        if bank.own_bus is None:
            continue
        hub = circuit.bus[bank.own_bus]
        for string in bank.strings:
            battery = circuit.battery[string]
            links = [c for c in circuit.conductors if c.circuit == string]
            assert {c.pole for c in links} == {"positive", "negative"}
            assert len({c.length_m for c in links}) == 1
            assert {hub.positive, hub.negative} <= {n for c in links for n in (c.from_node, c.to_node)}
            assert battery.positive != hub.positive


def test_a_device_per_battery_where_the_family_asks_for_it() -> None:
    """Parallel banks above 500 Ah on boats (ABYC E-11, July 2025), none in cabins unless the installer wants it."""
    asked = 0
    for built in (b for seed in range(40) for b in seeded(seed, most_loads=12)):
        above = built.family.device_per_battery_above_ah()
        for name, spec in built.spec.option.banks.items():
            capacity_ah = spec.parallel * built.catalogue.battery(spec.battery).capacity_ah
            wanted = above is not None and capacity_ah > above.value
            wanted = spec.fuse_per_battery if spec.fuse_per_battery is not None else wanted
            fuses = [d for d in built.circuit.devices if d.key.startswith(f"banks.{name}.s") and d.kind == "fuse"]
            assert len(fuses) == (spec.parallel if wanted and spec.parallel > 1 else 0)
            asked += len(fuses)
    assert asked > 20
