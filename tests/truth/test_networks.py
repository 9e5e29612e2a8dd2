"""The published networks, solved again by two other ways: a tableau made for these tests, and ngspice (Debian)."""

import json
import random
from dataclasses import asdict
from functools import cache
from pathlib import Path

import pytest

from proposal.results.codec import plain
from proposal.results.evaluate import evaluate
from proposal.results.studied import case_row, fault_rows, least_fault_rows, network_row
from proposal.spec.loading import load_project
from proposal.studies.faults.least import least_networks
from tests.generate import seeded
from tests.truth.again import check_laws, solve_again
from tests.truth.spice import Deck, run

PROJECTS = Path(__file__).parents[2] / "projects"
SEEDS = range(25)
"""Each seed makes a spec with two options: fifty circuits."""


@cache
def published(name: str) -> list[dict]:
    return plain(evaluate(load_project(PROJECTS / name), {}, "a test").results)["options"]


@cache
def generated(seed: int) -> list[dict]:
    """What the JSON would hold of the networks of a generated spec, unrounded."""
    options = []
    for built in seeded(seed, most_loads=14):
        design = built.design()
        flow = design.flow
        least = least_networks(design.circuit, built.family)
        networks = (*flow.networks.values(), design.fault_network, *least.values())
        options.append(
            {
                "cases": [plain_unrounded(case_row(flow.networks[k], s)) for k, s in flow.solutions.items()],
                "network": [plain_unrounded(network_row(n)) for n in networks],
                "faults": [plain_unrounded(f) for f in fault_rows(design)],
                "least_faults": [plain_unrounded(f) for f in least_fault_rows(design.least_faults)],
            }
        )
    return options


def plain_unrounded(row) -> dict:
    return json.loads(json.dumps(asdict(row)))


def cases_of(option: dict) -> list[tuple[dict, dict]]:
    networks = {n["case"]: n for n in option["network"]}
    return [(case, networks[case["id"]]) for case in option["cases"] if case["solved"]]


def volts_of(case: dict) -> dict[str, float]:
    return {n["node"]: n["voltage_v"] for n in case["nodes"] if n["voltage_v"] is not None}


def options_of(source: str | int) -> list[dict]:
    return published(source) if isinstance(source, str) else generated(source)


@pytest.mark.parametrize("source", ["marram", "skarn", "frostbit", "dunlin", *range(12)])
def test_anybody_who_solves_the_published_network_again_finds_the_same(source):
    # published numbers have nine significant digits; generated ones are whole
    tolerance_v = 1e-6 if isinstance(source, str) else 1e-9
    for option in options_of(source):
        for case, network in cases_of(option):
            again = solve_again(network, case["ports"])
            for node, volts in volts_of(case).items():
                if node != network["reference"]:
                    assert again[node] == pytest.approx(volts, abs=tolerance_v), (case["id"], node)


def flow_agrees(source: str | int, folder: Path) -> None:
    cases = [pair for option in options_of(source) for pair in cases_of(option)]
    for (case, network), found in zip(cases, run([Deck.of(n, c) for c, n in cases], folder), strict=True):
        check_laws(found.volts, network, case["ports"])
        for node, volts in volts_of(case).items():
            # 1e-6 relative, or a microvolt for nodes near the reference
            assert found.volts[node] == pytest.approx(volts, rel=1e-6, abs=1e-6), (case["id"], node)
        given = {p["key"]: p["current_a"] for p in case["ports"]}
        carried = {b["key"]: b["current_a"] for b in case["branches"]}
        # 1e-6 of the largest current; published figures are rounded, and a small one is what large ones leave over
        least_a = 1e-6 * max(1.0, *(abs(a) for a in given.values()))
        assert found.amps == pytest.approx(given | carried, rel=1e-6, abs=least_a), case["id"]


def faults_agree(source: str | int, folder: Path, most: int) -> None:
    for option in options_of(source):
        network = next(n for n in option["network"] if n["case"] == "fault")
        faults = option["faults"]
        chosen = random.Random(7).sample(faults, min(most, len(faults)))  # noqa: S311 - a choice of nodes, no secret
        decks = [Deck.of(network, short=(fault["node"], fault["mate"])) for fault in chosen]
        for fault, found in zip(chosen, run(decks, folder), strict=True):
            assert abs(found.amps["short"]) == pytest.approx(fault["current_a"], rel=1e-6), fault["node"]
            feeds = {f["key"]: f["current_a"] for f in fault["feeds"]}
            fed = {key: found.amps[key] for key in feeds}
            assert fed == pytest.approx(feeds, rel=1e-6, abs=1e-6 * fault["current_a"]), fault["node"]


@pytest.mark.reference
@pytest.mark.slow
@pytest.mark.parametrize("source", ["marram", "skarn", "frostbit", "dunlin", *SEEDS])
def test_load_flow_agrees_with_ngspice(source, tmp_path):
    flow_agrees(source, tmp_path)


def least_faults_agree(source: str | int, folder: Path, most: int) -> None:
    for option in options_of(source):
        networks = {n["case"]: n for n in option["network"]}
        mates = {f["node"]: f["mate"] for f in option["faults"]}
        rows = option["least_faults"]
        chosen = random.Random(7).sample(rows, min(most, len(rows)))  # noqa: S311 - a choice of rows, no secret
        decks = [
            Deck.of(networks[f"least_fault.{row['bank']}"], short=(row["node"], mates[row["node"]])) for row in chosen
        ]
        for row, found in zip(chosen, run(decks, folder), strict=True):
            assert abs(found.amps["short"]) == pytest.approx(row["current_a"], rel=1e-6), row
            assert abs(found.amps[row["fuse"]]) == pytest.approx(row["through_fuse_a"], rel=1e-6), row


@pytest.mark.reference
@pytest.mark.slow
@pytest.mark.parametrize("source", ["marram", "skarn", "frostbit", "dunlin", *SEEDS])
def test_least_fault_currents_agree_with_ngspice(source, tmp_path):
    least_faults_agree(source, tmp_path, 1000 if isinstance(source, str) else 8)


@pytest.mark.reference
@pytest.mark.slow
@pytest.mark.parametrize("source", ["marram", "skarn", "frostbit", "dunlin", *SEEDS])
def test_fault_currents_agree_with_ngspice(source, tmp_path):
    faults_agree(source, tmp_path, 1000 if isinstance(source, str) else 8)


@pytest.mark.reference
@pytest.mark.nightly
@pytest.mark.parametrize("source", range(3000, 3100))
def test_many_circuits_agree_with_ngspice(source, tmp_path):
    flow_agrees(source, tmp_path)
    faults_agree(source, tmp_path, 30)
    least_faults_agree(source, tmp_path, 30)


@pytest.mark.reference
def test_the_comparison_can_fail(tmp_path):
    case, network = next(pair for pair in cases_of(generated(0)[0]) if pair[0]["id"] == "charging")
    busiest = max(case["branches"], key=lambda b: abs(b["current_a"]))["key"]
    branches = [
        b | {"resistance_ohm": b["resistance_ohm"] * (1.01 if b["key"] == busiest else 1)} for b in network["branches"]
    ]
    found = run([Deck.of(network | {"branches": branches}, case)], tmp_path)[0]
    volts = volts_of(case)
    assert {node: found.volts[node] for node in volts} != pytest.approx(volts, rel=1e-6, abs=1e-6)
    charger = next(p["key"] for p in network["ports"] if p["law"] == "charger")
    ports = [p | {"current_a": p["current_a"] + (0.01 if p["key"] == charger else 0.0)} for p in case["ports"]]
    check_laws(volts, network, case["ports"])
    with pytest.raises(AssertionError):
        check_laws(volts, network, ports)


def test_numbers_alone_reach_the_simulator():
    evil = "x) .control shell touch x .endc"
    item = {"key": evil, "positive": evil, "negative": "r"}
    network = {
        "reference": "r", "nodes": [evil, "r"],
        "branches": [{"key": evil, "from_node": evil, "to_node": "r", "resistance_ohm": 1.0}],
        "sources": [item | {"emf_v": 1.0, "resistance_ohm": 1.0, "accepts_a": None}],
        "ports": [item | {"law": "power", "current_a": 0.0, "power_w": 0.1, "set_v": 0.0, "droop_ohm": 1.0}],
    }  # fmt: skip
    case = {"ports": [{"key": evil, "current_a": 0.1, "voltage_v": 0.5}], "nodes": [{"node": evil, "voltage_v": 0.5}]}
    deck = Deck.of(network, case)
    assert len(deck.lines) == 8
    assert not any("shell" in line or "control" in line for line in deck.lines)


@pytest.mark.parametrize("source", ["marram", "skarn", "frostbit", "dunlin", *range(25)])
def test_kirchhoff_and_power_hold_on_every_case(source):
    for option in options_of(source):
        for case in option["cases"]:
            given_w = sum(abs(p["current_a"] * p["voltage_v"]) for p in case["ports"])
            assert case["kirchhoff_a"] < 1e-6
            assert abs(case["power_error_w"]) < 1e-6 * max(given_w, 1.0)
