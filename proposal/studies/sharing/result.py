"""How strings in parallel share."""

from proposal.frozen import frozen


@frozen
class StringShare:
    """One string of a bank.

    `share` of a current drawn from the whole bank at rest; `path_ohm`: the resistance that such a share is worth, its
    own and that of its leads [Ω]. `usual_a`: what it gives when everything is on; `most_a`: most in any lasting case
    [A], with that `case`.
    """

    key: str
    share: float
    path_ohm: float
    usual_a: float
    most_a: float
    case: str


@frozen
class StringOut:
    """A string is out in a case: most that another gives [A], voltage where the main leads leave [V], loads lost."""

    key: str
    case: str
    current_a: float
    voltage_v: float | None
    dark: tuple[str, ...]


@frozen
class Chain:
    """A chain: resistance of a battery without the fuse at its post [Ω]; its spread by where its main leads leave."""

    battery_ohm: float
    same_end: float
    both_ends: float


@frozen
class Sharing:
    """The strings of one bank. `spread`: largest path resistance over the mean of all, less 1."""

    bank: str
    spread: float
    strings: tuple[StringShare, ...]
    chain: Chain | None

    @property
    def hardest(self) -> StringShare:
        """The string that gives most of the bank's current."""
        return max(self.strings, key=lambda s: (s.share, s.key))
