"""The published networks, solved again by two other ways: a tableau made for these tests, and ngspice (Debian)."""

import json
import random
from dataclasses import asdict
from functools import cache
from pathlib import Path

import pytest

from proposal.results.codec import plain
from proposal.results.evaluate import evaluate
from proposal.results.studied import case_row, fault_rows, network_row
from proposal.spec.loading import load_project
from tests.generate import seeded
from tests.truth.again import check_laws, solve_again
from tests.truth.spice import Deck

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
        options.append(
            {
                "cases": [plain_unrounded(case_row(flow.networks[k], s)) for k, s in flow.solutions.items()],
                "network": [plain_unrounded(network_row(n)) for n in (*flow.networks.values(), design.fault_network)],
                "faults": [plain_unrounded(f) for f in fault_rows(design.faults)],
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


@pytest.mark.parametrize("source", ["marram", "skarn", *range(12)])
def test_anybody_who_solves_the_published_network_again_finds_the_same(source):
    # published numbers have nine significant digits; generated ones are whole
    tolerance_v = 1e-6 if isinstance(source, str) else 1e-9
    for option in options_of(source):
        for case, network in cases_of(option):
            again = solve_again(network, case["ports"])
            for node, volts in volts_of(case).items():
                if node != network["reference"]:
                    assert again[node] == pytest.approx(volts, abs=tolerance_v), (case["id"], node)


@pytest.mark.reference
@pytest.mark.slow
@pytest.mark.parametrize("source", ["marram", "skarn", *SEEDS])
def test_load_flow_agrees_with_ngspice(source, tmp_path):
    for option in options_of(source):
        deck = Deck()
        cases = cases_of(option)
        for case, network in cases:
            deck.add(network, {p["key"]: (p["current_a"], p["voltage_v"]) for p in case["ports"]})
        solved, _ = deck.run(tmp_path)
        for (case, network), found in zip(cases, solved, strict=True):
            check_laws(found, network, case["ports"])
            for node, volts in volts_of(case).items():
                # 1e-6 relative, or a microvolt for nodes near the reference
                assert found[node] == pytest.approx(volts, rel=1e-6, abs=1e-6), (case["id"], node)


@pytest.mark.reference
@pytest.mark.slow
@pytest.mark.parametrize("source", ["marram", "skarn", *SEEDS])
def test_fault_currents_agree_with_ngspice(source, tmp_path):
    for option in options_of(source):
        network = next(n for n in option["network"] if n["case"] == "fault")
        faults = option["faults"]
        chosen = random.Random(7).sample(faults, min(8, len(faults)))  # noqa: S311 - a choice of nodes, no secret
        deck = Deck()
        for fault in chosen:
            deck.add(network, short=(fault["node"], fault["mate"]))
        _, currents = deck.run(tmp_path)
        for fault, amps in zip(chosen, currents, strict=True):
            assert abs(amps) == pytest.approx(fault["current_a"], rel=1e-6), fault["node"]


@pytest.mark.parametrize("source", ["marram", "skarn", *range(25)])
def test_kirchhoff_and_power_hold_on_every_case(source):
    for option in options_of(source):
        for case in option["cases"]:
            given_w = sum(abs(p["current_a"] * p["voltage_v"]) for p in case["ports"])
            assert case["kirchhoff_a"] < 1e-6
            assert abs(case["power_error_w"]) < 1e-6 * max(given_w, 1.0)
