"""What a voltage-sensitive relay does with resting banks: its own thresholds against their voltages."""

from proposal.circuit.model import Bank, SeriesDevice
from proposal.frozen import frozen
from proposal.parts.chemistry import cell_count, charge_share, citation, ocv_v
from proposal.rules.finding import Evidence
from proposal.rules.paths import all_but, banks_at, reach
from proposal.sources import Citation

FULL_SHARE = 1.0
LITHIUM_FULL_SHARE = 0.99
"""The last point of the published curve that is a resting voltage; above it the value is a limit of charging."""
SENSE_V_AT_12V = 0.05
"""How far a sensed voltage may lie off the one that is meant, besides the relay's own tolerance. Common practice."""
NAMES = ("joins_v", "releases_v", "tolerance_v")


@frozen
class Thresholds:
    """Volts at which a relay joins and releases, either way by its tolerance [V]; which of them nobody states.

    `tolerance_v`: that of the relay, `own_v`, and that of what reaches it of the voltage which it should sense.
    """

    joins_v: float
    releases_v: float
    own_v: float
    tolerance_v: float
    assumed: tuple[str, ...]

    @property
    def earliest_join_v(self) -> float:
        """Lowest voltage at which it may join."""
        return self.joins_v - self.tolerance_v

    @property
    def latest_join_v(self) -> float:
        """Lowest voltage at which it surely joins."""
        return self.joins_v + self.tolerance_v

    @property
    def surely_held_v(self) -> float:
        """Voltage above which it may stay joined for good: it need not release before this."""
        return self.releases_v - self.tolerance_v


def thresholds(evidence: Evidence, relay: SeriesDevice) -> Thresholds | None:
    """A relay's thresholds: as declared, else as its part states, else as the circuit assumed; None: it has none."""
    declared = dict(relay.settings)
    found: dict[str, float] = {}
    assumed = []
    for name in NAMES:
        was_assumed = evidence.assumed(relay.key, f"relay_{name[:-2]}")
        stated = getattr(relay.part, name, None)
        if name in declared and not was_assumed:
            found[name] = declared[name]
        elif stated is not None:
            found[name] = stated
        elif name in declared:
            found[name] = declared[name]
            assumed.append(name)
        else:
            return None
    tolerance_v = found["tolerance_v"] + SENSE_V_AT_12V * evidence.scale
    return Thresholds(found["joins_v"], found["releases_v"], found["tolerance_v"], tolerance_v, tuple(assumed))


@frozen
class Resting:
    """A bank at rest: full voltage [V], and whether the figure behind it is surer than memory."""

    bank: Bank
    full_v: float
    sure: bool
    citation: Citation


def resting(evidence: Evidence, bank: Bank) -> Resting:
    """Full resting voltage of a bank [V]: cells in series × the chemistry's curve.

    Lithium: 13.34 V for four cells, the upper end of its plateau of 13.1 to 13.4 V.
    """
    battery = evidence.strings(bank)[0]
    cells = battery.series_count * cell_count(battery.part)
    lithium = bank.chemistry == "lithium"
    share = LITHIUM_FULL_SHARE if lithium else FULL_SHARE
    cited = citation("rest_voltage" if lithium else "full_rest_voltage", bank.chemistry)
    return Resting(bank, ocv_v(bank.chemistry, share, cells), cited.status != "from memory", cited)


def share_at(evidence: Evidence, bank: Bank, rest_v: float) -> float:
    """Charge at which a bank rests at a voltage (0 to 1)."""
    battery = evidence.strings(bank)[0]
    return charge_share(bank.chemistry, rest_v, battery.series_count * cell_count(battery.part))


def banks_joined(evidence: Evidence, relay: SeriesDevice) -> tuple[Bank, ...]:
    """Banks on either side of a relay, contactors closed, other relays open."""
    others = [d.key for d in evidence.devices("vsr") if d.key != relay.key]
    return banks_at(evidence.circuit, reach(evidence.positive, relay.from_node, all_but(*others, *evidence.emergency)))
