"""Solves a published network again by another way: a sparse tableau with the branch currents among the unknowns.

Each load, charger and bounded battery is put on the straight line that its published current says it is on; the linear
system is solved, and the laws are then checked at the solution. A state that fulfils Kirchhoff's laws and every law is
the only solution, since all elements but constant power are monotone.
"""

from typing import Any

import numpy as np

from tests.truth.spice import refuses

EDGE = 1e-7


def solve_again(network: dict[str, Any], published: list[dict[str, Any]]) -> dict[str, float]:
    """Node voltages [V] of a network of the JSON, given the published currents and voltages of its ports.

    Raises AssertionError where the published state breaks a law.
    """
    nodes = [n for n in network["nodes"] if n != network["reference"]]
    row = {node: number for number, node in enumerate(nodes)}
    branches, sources, loads = network["branches"], network["sources"], network["ports"]
    ports = {p["key"]: p["current_a"] for p in published}
    at = {p["key"]: p["voltage_v"] for p in published}
    held = {s["key"] for s in sources if refuses(s, at[s["key"]])}
    lines = [_line(p, ports[p["key"]]) for p in loads]
    for _ in range(200):
        volts = _tableau(row, branches, sources, loads, lines, held)
        across = [_across(volts, p) for p in loads]
        lines = [
            (-p["power_w"] / v, 0.0) if p["law"] == "power" else line
            for p, v, line in zip(loads, across, lines, strict=True)
        ]
        again = _tableau(row, branches, sources, loads, lines, held)
        if max((abs(again[n] - volts[n]) for n in nodes), default=0.0) < 1e-12:
            break
    check_laws(again, network, published)
    return again


def _line(port: dict[str, Any], given_a: float) -> tuple[float, float]:
    """Current at zero volts [A] and slope [A/V] of a port on the line that its current says."""
    if port["law"] == "charger":
        if given_a <= EDGE:
            return 0.0, 0.0
        if given_a >= port["current_a"] - EDGE:
            return port["current_a"], 0.0
        return port["set_v"] / port["droop_ohm"], -1.0 / port["droop_ohm"]
    return (-port["current_a"] if port["law"] == "current" else given_a), 0.0


def _tableau(row, branches, sources, loads, lines, held) -> dict[str, float]:
    """Unknowns: node voltages, branch currents, source currents. One row of zeros and ones for each law."""
    n, b, s = len(row), len(branches), len(sources)
    matrix, right = np.zeros((n + b + s, n + b + s)), np.zeros(n + b + s)

    def stamp(line: int, node: str, value: float) -> None:
        if node in row:
            matrix[line, row[node]] += value

    for number, branch in enumerate(branches):
        current = n + number
        stamp(current, branch["from_node"], 1.0)
        stamp(current, branch["to_node"], -1.0)
        matrix[current, current] = -branch["resistance_ohm"]
        for node, sign in ((branch["from_node"], -1.0), (branch["to_node"], 1.0)):
            if node in row:
                matrix[row[node], current] += sign
    for number, source in enumerate(sources):
        current = n + b + number
        if source["key"] in held:
            matrix[current, current], right[current] = 1.0, -source["accepts_a"]
        else:
            stamp(current, source["positive"], 1.0)
            stamp(current, source["negative"], -1.0)
            matrix[current, current], right[current] = source["resistance_ohm"], source["emf_v"]
        for node, sign in ((source["positive"], 1.0), (source["negative"], -1.0)):
            if node in row:
                matrix[row[node], current] += sign
    for port, (offset_a, slope) in zip(loads, lines, strict=True):
        for node, sign in ((port["positive"], 1.0), (port["negative"], -1.0)):
            if node in row:
                right[row[node]] -= sign * offset_a
                stamp(row[node], port["positive"], sign * slope)
                stamp(row[node], port["negative"], -sign * slope)
    solved = np.linalg.solve(matrix, right)
    return {node: float(solved[number]) for node, number in row.items()}


def _across(volts: dict[str, float], item: dict[str, Any]) -> float:
    return volts.get(item["positive"], 0.0) - volts.get(item["negative"], 0.0)


def check_laws(volts: dict[str, float], network: dict[str, Any], published: list[dict[str, Any]]) -> None:
    """Every published current is what the law asks at the voltages found here."""
    ports = {p["key"]: p["current_a"] for p in published}
    for source in network["sources"]:
        asked_a = (source["emf_v"] - _across(volts, source)) / source["resistance_ohm"]
        if source["accepts_a"] is not None:
            asked_a = max(asked_a, -source["accepts_a"])
        assert abs(asked_a - ports[source["key"]]) < 1e-4, (source["key"], asked_a, ports[source["key"]])
    for port in network["ports"]:
        v = _across(volts, port)
        if port["law"] == "charger":
            asked_a = min(max((port["set_v"] - v) / port["droop_ohm"], 0.0), port["current_a"])
        else:
            asked_a = -port["current_a"] if port["law"] == "current" else -port["power_w"] / v
        assert abs(asked_a - ports[port["key"]]) < 1e-4, (port["key"], asked_a, ports[port["key"]])
