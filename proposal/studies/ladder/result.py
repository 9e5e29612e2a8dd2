"""The voltage ladder: each setting with its tolerance, and what heat and cold make of it."""

from typing import Literal

from proposal.frozen import frozen
from proposal.sources import Citation

Group = Literal["charging", "switching", "rest", "management", "loads"]
Setting = Literal[
    "absorption",
    "float",
    "equalise",
    "restarts_below",
    "opens_above",
    "opens_below",
    "joins",
    "releases",
    "rest_full",
    "rest_half",
    "rest_low",
    "cuts_above",
    "cuts_below",
    "input_min",
    "input_max",
    "bears",
]


@frozen
class Rung:
    """One voltage of one device or bank.

    `value_v` as set, at 25 °C [V]; `tolerance_v` either way; `cold_v` and `hot_v` what its temperature compensation
    makes of it in the coldest and hottest place of the batteries it charges, None without compensation. `low_v` and
    `high_v` are the ends of all that. `tolerance_assumed` where nobody states it. `share`: charge, of a bank at rest.
    """

    item: str
    group: Group
    setting: Setting
    value_v: float
    tolerance_v: float
    tolerance_assumed: bool
    low_v: float
    high_v: float
    cold_v: float | None
    hot_v: float | None
    share: float | None
    citation: Citation


@frozen
class Unstated:
    """A setting that a device has and that nobody states."""

    item: str
    setting: Setting


@frozen
class Ladder:
    """All rungs, by group and in the order of the circuit; what is missing; `joins_below_v` by contactor [V].

    A contactor's `joins_below_v` is a difference between its two sides, so it has no place on the axis.
    """

    rungs: tuple[Rung, ...]
    unstated: tuple[Unstated, ...]
    joins_below_v: dict[str, float]

    def of(self, item: str, setting: Setting) -> Rung | None:
        """The rung of a device's setting; None where nobody states it."""
        return next((r for r in self.rungs if r.item == item and r.setting == setting), None)

    def all(self, *settings: Setting) -> tuple[Rung, ...]:
        """All rungs of these settings."""
        return tuple(r for r in self.rungs if r.setting in settings)
