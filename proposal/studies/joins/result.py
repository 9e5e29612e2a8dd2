"""First currents at joining."""

from typing import Literal

from proposal.frozen import frozen

Ruled = Literal["free", "rule", "hand", "not_sensed", "below_threshold", "dead"]
"""What settles the voltage at which a relay closes, or why it does not close in a situation (the last three)."""
FUSE_HOLDS_FALLING = 1.5
"""A fuse holds this multiple of its rating while a joining current falls below it. Common practice, no source."""


@frozen
class Join:
    """A relay closes in a situation.

    `difference_v` across it before [V], `resistance_ohm` of the closed loop [Ω], `current_a` at the first moment [A];
    both zero where the situation cannot occur. `free_v`: the difference with nothing to rule it. The current falls to
    `settles_a`, what the emptied side goes on taking, and heats on the way as if the first current flowed for
    `lasts_s`; None: it does not fall. `shares`: part of the
    current in each fuse, relay, switch and battery string, positive from its from-node to its to-node and into a
    battery, for a current through the relay from its from-node to its to-node; `near_empty` flows the other way.
    """

    relay: str
    situation: str
    difference_v: float
    resistance_ohm: float
    current_a: float
    free_v: float = 0.0
    ruled_by: Ruled = "free"
    settles_a: float = 0.0
    lasts_s: float | None = None
    shares: tuple[tuple[str, float], ...] = ()

    @property
    def occurs(self) -> bool:
        """Whether the relay closes in this situation at all."""
        return self.ruled_by in ("free", "rule", "hand")

    @property
    def share(self) -> dict[str, float]:
        """Shares by key."""
        return dict(self.shares)

    def through_a(self, key: str) -> float:
        """First current [A] in a fuse, relay, switch or battery string, without its direction."""
        return self.current_a * abs(self.share.get(key, 0.0))

    @property
    def fuse_holds(self) -> float:
        """Multiple of its rating that a fuse holds of this current: one where it does not fall."""
        return 1.0 if self.lasts_s is None else FUSE_HOLDS_FALLING
