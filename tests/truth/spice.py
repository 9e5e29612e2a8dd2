"""Writes published networks as decks for ngspice, runs them in one batch and reads voltages and currents back.

Nodes are numbers and elements are counted: no text of a user ever reaches a deck, in which it could start programs.
"""

import subprocess
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

OPTIONS = ".options reltol=1e-9 abstol=1e-8 vntol=1e-9 gmin=1e-18 itl1=2000"
NO_CURRENT_A = 1e-9
AT_CORNER_V = 1e-7


def refuses(source: dict[str, Any], volts: float) -> bool:
    """Whether a battery would take more than it accepts at a voltage."""
    accepts_a = source["accepts_a"]
    return accepts_a is not None and volts - source["emf_v"] > accepts_a * source["resistance_ohm"] + AT_CORNER_V


@dataclass
class Deck:
    """One network as a netlist, with a meter (a source of no voltage) in every branch, source and load.

    Laws with corners are written as the straight line on which the published state says that they stand, for ngspice
    finds no way round corners; whether they stand there is for the test to ask of the voltages that come back. The
    search begins at the published voltages, since a constant power has a second, lower operating point.
    """

    network: dict[str, Any]
    lines: list[str] = field(default_factory=list)
    node: dict[str, int] = field(default_factory=dict)
    meters: dict[str, str] = field(default_factory=dict)
    used: int = 0
    elements: int = 0

    @classmethod
    def of(
        cls, network: dict[str, Any], case: dict[str, Any] | None = None, short: tuple[str, str] | None = None
    ) -> "Deck":
        """A network in the state of a solved case of the JSON, or as it stands with two nodes shorted ("short")."""
        deck = cls(network)
        deck.node[network["reference"]] = 0
        for node in network["nodes"]:
            if node != network["reference"]:
                deck.node[node] = deck._fresh()
        state = {p["key"]: (p["current_a"], p["voltage_v"]) for p in case["ports"]} if case else {}
        for r in network["branches"]:
            inner = deck._fresh()
            deck._add("R", deck.node[r["from_node"]], inner, f"{r['resistance_ohm']!r}")
            deck.meters[r["key"]] = deck._add("V", inner, deck.node[r["to_node"]], "0")
        for s in network["sources"]:
            if s["key"] in state and refuses(s, state[s["key"]][1]):
                deck._current(s, -s["accepts_a"])
            else:
                deck._behind(s, s["emf_v"], s["resistance_ohm"])
        for p in network["ports"]:
            deck._port(p, state.get(p["key"]))
        for row in case["nodes"] if case else ():
            if row["voltage_v"] is not None and deck.node[row["node"]]:
                deck.lines.append(f".nodeset v({deck.node[row['node']]})={row['voltage_v']!r}")
        if short is not None:
            deck.meters["short"] = deck._add("V", deck.node[short[0]], deck.node[short[1]], "0")
        return deck

    def _fresh(self) -> int:
        self.used += 1
        return self.used

    def _add(self, letter: str, one: int, other: int, value: str) -> str:
        self.elements += 1
        self.lines.append(f"{letter}{self.elements} {one} {other} {value}")
        return f"{letter}{self.elements}"

    def _meter(self, item: dict[str, Any]) -> int:
        """A node behind which the current that flows on into an item's positive node is measured."""
        inner = self._fresh()
        self.meters[item["key"]] = self._add("V", inner, self.node[item["positive"]], "0")
        return inner

    def _current(self, item: dict[str, Any], given_a: float) -> None:
        self._add("I", self.node[item["negative"]], self._meter(item), f"{given_a!r}")

    def _behind(self, item: dict[str, Any], volts: float, ohm: float) -> None:
        inner, source = self._meter(item), self._fresh()
        self._add("V", source, self.node[item["negative"]], f"{volts!r}")
        self._add("R", source, inner, f"{ohm!r}")

    def _port(self, port: dict[str, Any], state: tuple[float, float] | None) -> None:
        if port["law"] == "current" or state is None:
            assert port["law"] == "current"
            self._current(port, -port["current_a"])
        elif port["law"] == "power":
            positive, negative = self.node[port["positive"]], self.node[port["negative"]]
            across = f"v({positive})-v({negative})" if negative else f"v({positive})"
            self._add("B", self._meter(port), negative, f"i={port['power_w']!r}/max({across},0.5)")
        else:
            wanted_a = (port["set_v"] - state[1]) / port["droop_ohm"]
            if wanted_a <= NO_CURRENT_A:
                self._current(port, 0.0)
            elif wanted_a >= port["current_a"]:
                self._current(port, port["current_a"])
            else:
                self._behind(port, port["set_v"], port["droop_ohm"])


@dataclass(frozen=True)
class Found:
    """Node voltages [V] by node, and currents [A] by branch, source and load; "short" where two nodes were shorted."""

    volts: dict[str, float]
    amps: dict[str, float]


def run(decks: list[Deck], folder: Path) -> list[Found]:
    """Operating points of all decks, in one process.

    Raises AssertionError where ngspice finds none: its exit code says nothing.
    """
    for number, deck in enumerate(decks):
        text = "\n".join(["a network", *deck.lines, OPTIONS, ".end", ""])
        (folder / f"deck{number}.cir").write_text(text, encoding="ascii")
    steps = [f"source deck{n}.cir\nop\nwrite deck{n}.raw all\ndestroy all\nremcirc" for n in range(len(decks))]
    control = "\n".join(["control", ".control", "set filetype=ascii", *steps, "quit 0", ".endc", ".end", ""])
    (folder / "control.cir").write_text(control, encoding="ascii")
    done = subprocess.run(
        ["ngspice", "-b", "-n", "control.cir"], cwd=folder, capture_output=True, text=True, timeout=600, check=False
    )
    assert "aborted" not in done.stderr.lower(), done.stderr[-2000:]
    found = []
    for number, deck in enumerate(decks):
        raw = folder / f"deck{number}.raw"
        assert raw.exists(), f"no operating point: {done.stderr[-2000:]}"
        value = _read(raw)
        volts = {node: value[f"v({n})"] if n else 0.0 for node, n in deck.node.items()}
        found.append(Found(volts, {key: value[f"i({name.lower()})"] for key, name in deck.meters.items()}))
    return found


def _read(path: Path) -> dict[str, float]:
    lines = path.read_text(encoding="ascii").splitlines()
    names_at, values_at = lines.index("Variables:"), lines.index("Values:")
    names = [line.split()[1] for line in lines[names_at + 1 : values_at]]
    values = [float(line.split()[-1]) for line in lines[values_at + 1 :] if line.strip()]
    return dict(zip(names, values, strict=True))
