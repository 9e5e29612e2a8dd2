"""A machine while it is put together."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.parts.catalogue import Catalogue
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.behaviour.machine import ARRAYS, Array
from proposal.studies.behaviour.patterns import Patterns
from proposal.studies.network.reduced import Reduced


@dataclass
class Rows:
    """Pairs of nodes between which the network is seen: ports first, then what is only watched, then relays."""

    pairs: list[tuple[str, str]] = field(default_factory=list)
    index: dict[tuple[str, str], int] = field(default_factory=dict)

    def row(self, pair: tuple[str, str]) -> int:
        """The number of a pair, new or known."""
        if pair not in self.index:
            self.index[pair] = len(self.pairs)
            self.pairs.append(pair)
        return self.index[pair]


class Draft:
    """What all parts of the assembly read, and the arrays that they fill.

    `reduced` is the network with batteries and relays taken out; `count_ports` of `rows` are ports; `groups` of loads
    by key.
    """

    reduced: Reduced
    count_ports: int
    groups: list[str]

    def __init__(
        self, spec: EffectiveSpec, circuit: Circuit, family: RuleFamily, catalogue: Catalogue, patterns: Patterns,
        step_s: float,
    ) -> None:  # fmt: skip
        self.spec, self.circuit, self.family, self.catalogue = spec, circuit, family, catalogue
        self.patterns, self.step_s = patterns, step_s
        self.scale = circuit.system_v / 12.0
        self.rows = Rows()
        self.arrays: list[Array] = [np.zeros(1) for _ in range(ARRAYS)]
        self.sizes = np.zeros(25)
        self.seasons = tuple(spec.spec.climate.seasons)
        self.by_key = {bank.key: n for n, bank in enumerate(circuit.banks)}
