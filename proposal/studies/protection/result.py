"""What feeds a conductor from each of its ends."""

from typing import Literal

from proposal.frozen import frozen

UNGUARDED = ("starter", "string")
"""Purposes of conductors that the fuses of others do not count for: cranking alone, and the box of a bank."""


@frozen
class Feed:
    """Something that can feed a fault: through a fuse, or straight from a battery or a current-limited source.

    `distance_m` is the unfused conductor between it and this conductor's end. `limited_a`: where only current-limited
    sources lie behind a fuse, or for a source itself, what they give together [A].
    """

    kind: Literal["fuse", "battery", "source"]
    key: str
    distance_m: float
    limited_a: float | None = None


@frozen
class Feeds:
    """What feeds one conductor from its from-end and from its to-end."""

    from_end: tuple[Feed, ...]
    to_end: tuple[Feed, ...]

    @property
    def ends(self) -> tuple[tuple[Feed, ...], tuple[Feed, ...]]:
        """Both ends."""
        return self.from_end, self.to_end

    @property
    def fuses(self) -> tuple[str, ...]:
        """Keys of all fuses that guard it, each once."""
        return tuple({f.key: None for end in self.ends for f in end if f.kind == "fuse"})
