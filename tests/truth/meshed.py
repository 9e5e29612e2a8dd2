"""Random networks with rings in both poles: what a chart of a strange boat could hold, straight as a network.

Main buses stand in a tree of links, and one link more makes a ring; banks of strings, loads and chargers hang on
them through conductors and fuses of both poles, some loads behind a panel. No code of the circuit or the design step
has a part in it.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field

from proposal.studies.network.result import Emf, Network, Port, Resistor

REFERENCE = "bus0.negative"


@dataclass
class Drawn:
    """What has been drawn so far."""

    rng: random.Random
    nodes: dict[str, None] = field(default_factory=dict)
    resistors: list[Resistor] = field(default_factory=list)
    emfs: list[Emf] = field(default_factory=list)
    ports: list[Port] = field(default_factory=list)

    def pair(self, name: str) -> tuple[str, str]:
        pins = (f"{name}.positive", f"{name}.negative")
        self.nodes |= dict.fromkeys(pins)
        return pins

    def wire(self, key: str, one: str, other: str, least: float = -4.5, most: float = -2.3) -> None:
        """A resistance of 10^least to 10^most Ω."""
        self.nodes |= dict.fromkeys((one, other))
        self.resistors.append(Resistor(key, one, other, 10 ** self.rng.uniform(least, most), 20.0))

    def run(self, name: str, near: tuple[str, str], far: tuple[str, str], most: float = -2.0) -> None:
        """Fuse, conductor out, conductor back."""
        self.wire(f"{name}.fuse", near[0], f"{name}.fused", -4.0, -3.0)
        self.wire(f"{name}.positive", f"{name}.fused", far[0], -4.0, most)
        self.wire(f"{name}.negative", far[1], near[1], -4.0, most)


def meshed(seed: int, *, faulted: bool = False) -> tuple[Network, list[tuple[str, str]]]:
    """A network with at least one ring, and pairs of nodes between which a fault can be.

    `faulted`: as for fault currents, batteries without bounds and nothing but steady currents.
    """
    drawn = Drawn(random.Random(seed))  # noqa: S311 - test data
    rng = drawn.rng
    system_v = rng.choice((12.0, 24.0, 48.0))
    buses = [drawn.pair(f"bus{n}") for n in range(rng.randint(3, 7))]
    links = [(rng.randrange(n), n) for n in range(1, len(buses))]
    links += [tuple(rng.sample(range(len(buses)), 2)) for _ in range(rng.randint(1, 4))]
    for number, (one, other) in enumerate(links):
        drawn.run(f"link{number}", buses[one], buses[other], -2.3)
    for number in range(rng.randint(1, 4)):
        _bank(drawn, f"bank{number}", rng.choice(buses), system_v, bounded=not faulted)
    panels = [drawn.pair(f"panel{n}") for n in range(rng.randint(0, 3))]
    for number, panel in enumerate(panels):
        drawn.run(f"panel{number}.feed", rng.choice(buses), panel)
    for number in range(rng.randint(2, 14)):
        _load(drawn, f"load{number}", rng.choice([*buses, *panels]), system_v, faulted=faulted)
    for number in range(rng.randint(0, 3)):
        _charger(drawn, f"charger{number}", rng.choice(buses), system_v, faulted=faulted)
    nodes = (REFERENCE, *(n for n in drawn.nodes if n != REFERENCE))
    pairs = [(f"{name}.positive", f"{name}.negative") for name in _spots(drawn)]
    made = Network(
        f"meshed {seed}", "20", REFERENCE, nodes, (), tuple(drawn.resistors), tuple(drawn.emfs), tuple(drawn.ports), ()
    )
    return made, pairs


def _spots(drawn: Drawn) -> list[str]:
    names = [n.removesuffix(".positive") for n in drawn.nodes if n.endswith(".positive")]
    return [name for name in names if f"{name}.negative" in drawn.nodes]


def _bank(drawn: Drawn, name: str, bus: tuple[str, str], system_v: float, *, bounded: bool) -> None:
    """Strings to a terminal, one by one to it or in a chain, and the terminal to a bus."""
    rng = drawn.rng
    terminal = drawn.pair(name)
    drawn.run(f"{name}.lead", bus, terminal)
    emf_v, ohm = system_v * rng.uniform(1.0, 1.1), 10 ** rng.uniform(-2.7, -2.0) * system_v / 12.0
    accepts_a = rng.choice((0.0, 10.0, 40.0)) if bounded and rng.random() < 0.4 else None
    before, chained = terminal, rng.random() < 0.4
    for number in range(rng.randint(1, 4)):
        posts = drawn.pair(f"{name}.s{number}")
        drawn.wire(f"{name}.s{number}.plus", posts[0], before[0], -4.0, -3.3)
        drawn.wire(f"{name}.s{number}.minus", before[1], posts[1], -4.0, -3.3)
        drawn.emfs.append(Emf(f"{name}.s{number}", *posts, emf_v, ohm, accepts_a))
        before = posts if chained else terminal


def _load(drawn: Drawn, name: str, bus: tuple[str, str], system_v: float, *, faulted: bool) -> None:
    rng = drawn.rng
    pins = drawn.pair(name)
    drawn.run(name, bus, pins, -1.7)
    amps = rng.choice((0.5, 3.0, 8.0, 20.0)) * rng.uniform(0.5, 1.5) * 12.0 / system_v
    if faulted:
        return
    if rng.random() < 0.5:
        drawn.ports.append(Port(name, *pins, "power", power_w=amps * system_v))
    else:
        drawn.ports.append(Port(name, *pins, "current", amps))


def _charger(drawn: Drawn, name: str, bus: tuple[str, str], system_v: float, *, faulted: bool) -> None:
    rng = drawn.rng
    pins = drawn.pair(name)
    drawn.run(name, bus, pins)
    amps = rng.choice((15.0, 30.0, 60.0)) * rng.uniform(0.8, 1.2)
    if faulted:
        drawn.ports.append(Port(name, *pins, "current", -amps))
    else:
        set_v = system_v * rng.choice((1.15, 1.18, 1.2))
        drawn.ports.append(Port(name, *pins, "charger", amps, set_v=set_v, droop_ohm=0.05 / amps))
