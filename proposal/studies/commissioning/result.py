"""What commissioning should find: each test with the band within which its reading passes."""

from typing import Literal

from proposal.facts import Values
from proposal.frozen import frozen
from proposal.spec.record import TestName

Unit = Literal["V", "A", "K", "N·m", "s", "m", "ohm", ""]
Basis = Literal["calculated", "set", "contact", "fuse", "at_most", "at_least", "maker", "works"]
"""How a band comes about.

calculated, set: the figure, a share and a fixed amount either way. contact: so many volts for each ampere, at most.
fuse: a share above the figure, at most. at_most, at_least: a limit. maker: a share either way of what the maker says.
works: passed or not, no figure.
"""
Outcome = Literal["pass", "fail", "not_measured", "undecided"]
Wanting = Literal[
    "", "value", "passed", "at_current", "more_current", "how_proven", "offset", "maker_figure", "maker_drop",
    "engine_minimum", "relay_settings", "hot_current", "changed_since",
]  # fmt: skip
"""What has to be found out before a test can be judged; empty: nothing."""


@frozen
class Band:
    """From `low` to `high` a reading passes, in the test's unit; None: no bound on that side."""

    low: float | None = None
    high: float | None = None

    def holds(self, value: float) -> bool:
        """Whether a value lies in the band; at its very edge it does, the last bits of arithmetic apart."""
        slack = 1e-9 * max(abs(value), 1e-3)
        return (self.low is None or value >= self.low - slack) and (self.high is None or value <= self.high + slack)


@frozen
class Expected:
    """One test that a vessel needs, or that can be made on it.

    `end`: leg or place of the item. `at_a`: the current [A] with which `expected` and band hold, and with which they
    grow; None: no current bears on them. `values` of the sentence, units in their names. `asked`: an installer of this
    vessel makes it; else it is only judged where somebody made it. `wanting`: what is missing for a verdict.
    """

    test: TestName
    item: str
    end: str
    unit: Unit
    expected: float | None
    band: Band
    basis: Basis
    values: Values
    at_a: float | None = None
    asked: bool = True
    wanting: Wanting = ""


@frozen
class Taken:
    """A reading as numbers, in the unit of its test. `how` is the text by which way it was proven."""

    value: float | None = None
    at_a: float | None = None
    wanted: float | None = None
    passed: bool | None = None
    how: str = ""


@frozen
class Judged:
    """A verdict, and the figures that it was made by: those at the current of the reading."""

    outcome: Outcome
    wanting: Wanting
    expected: float | None
    band: Band
