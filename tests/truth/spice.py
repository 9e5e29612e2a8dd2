"""Writes published networks as decks for ngspice and reads the node voltages back. Nodes are numbers: no text of a user
ever reaches a deck."""

import re
import subprocess
from pathlib import Path
from typing import Any


def refuses(source: dict[str, Any], volts: float) -> bool:
    """Whether a battery would take more than it accepts at a voltage."""
    accepts_a = source["accepts_a"]
    return accepts_a is not None and (source["emf_v"] - volts) / source["resistance_ohm"] < -accepts_a - 1e-7


HEAD = ".options reltol=1e-10 abstol=1e-12 vntol=1e-12 gmin=1e-16 itl1=2000\n"


class Deck:
    """Several networks side by side in one deck; they share nothing but the ground."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.nodes: list[dict[str, int]] = []
        self.used = 0
        self.probes: list[str] = []

    def add(
        self,
        network: dict[str, Any],
        state: dict[str, tuple[float, float]] | None = None,
        short: tuple[str, str] | None = None,
    ) -> int:
        """Add a network, perhaps with two nodes shorted through a source of zero volts; returns its number.

        `state` gives current [A] and voltage [V] by port and source key: ngspice finds no way round the corners of
        clipped laws, so each is put on the straight line of its state; whether it belongs there is for the test to ask.
        """
        number = len(self.nodes)
        at = {network["reference"]: 0}
        for node in network["nodes"]:
            if node != network["reference"]:
                self.used += 1
                at[node] = self.used
        self.nodes.append(at)
        name = f"{number}x"
        for k, r in enumerate(network["branches"]):
            self.lines.append(f"R{name}{k} {at[r['from_node']]} {at[r['to_node']]} {r['resistance_ohm']:.17g}")
        for k, s in enumerate(network["sources"]):
            ends = (at[s["positive"]], at[s["negative"]])
            if state is not None and refuses(s, state[s["key"]][1]):
                self.lines.append(f"Ie{name}{k} {ends[0]} {ends[1]} {s['accepts_a']:.17g}")
            else:
                self._behind(f"e{name}{k}", ends, s["emf_v"], s["resistance_ohm"])
        for k, p in enumerate(network["ports"]):
            self._port(f"p{name}{k}", (at[p["positive"]], at[p["negative"]]), p, state)
        if short is not None:
            self.lines.append(f"Vs{number} {at[short[0]]} {at[short[1]]} 0")
            self.probes.append(f"i(vs{number})")
        return number

    def _behind(self, name: str, ends: tuple[int, int], volts: float, ohm: float) -> None:
        self.used += 1
        self.lines.append(f"V{name} {self.used} {ends[1]} {volts:.17g}")
        self.lines.append(f"R{name} {self.used} {ends[0]} {ohm:.17g}")

    def _port(self, name: str, ends: tuple[int, int], port: dict[str, Any], state: Any) -> None:
        p, n = ends
        if port["law"] == "current":
            self.lines.append(f"I{name} {p} {n} {port['current_a']:.17g}")
        elif port["law"] == "power":
            self.lines.append(f"B{name} {p} {n} i={port['power_w']:.17g}/max(v({p})-v({n}),0.5)")
            self.lines.append(f".nodeset v({p})={state[port['key']][1]:.17g}")
        else:
            wanted_a = (port["set_v"] - state[port["key"]][1]) / port["droop_ohm"]
            if wanted_a >= port["current_a"]:
                self.lines.append(f"I{name} {n} {p} {port['current_a']:.17g}")
            elif wanted_a > 0:
                self._behind(name, ends, port["set_v"], port["droop_ohm"])

    def run(self, folder: Path) -> tuple[list[dict[str, float]], list[float]]:
        """Voltages [V] of each network by node, and the currents [A] through the shorts.

        Raises AssertionError where ngspice finds no operating point: its exit code says nothing.
        """
        control = ["op", "set numdgt=15", "set width=200", "print all", *(f"print {p}" for p in self.probes)]
        deck = "a network\n" + HEAD + "\n".join(self.lines) + "\n.control\n" + "\n".join(control) + "\n.endc\n.end\n"
        path = folder / "deck.cir"
        path.write_text(deck, encoding="ascii")
        done = subprocess.run(
            ["ngspice", "-b", "-n", str(path)], capture_output=True, text=True, timeout=120, check=False
        )
        found = dict(re.findall(r"^(\S+) = (\S+)\s*$", done.stdout, re.MULTILINE))
        assert "failed" not in done.stderr.lower(), done.stderr[-2000:]
        volts = [
            {node: (float(found[f"v({k})"] if f"v({k})" in found else found[f"{k}"]) if k else 0.0)
             for node, k in at.items()}
            for at in self.nodes
        ]  # fmt: skip
        return volts, [float(found[p]) for p in self.probes]
