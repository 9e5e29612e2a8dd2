"""Charge sources as checks see them: what they are set to, cold and hot, and which banks they reach."""

from typing import cast

from proposal.circuit.model import Bank
from proposal.frozen import frozen
from proposal.parts.lead import REFERENCE_C
from proposal.rules.finding import Evidence
from proposal.rules.paths import all_but, banks_at, reach
from proposal.spec.equipment import SourceBase
from proposal.spec.options import ConverterLink


@frozen
class Charger:
    """A charge source or DC-DC output: its setting at 25 °C [V], what is written about it, the banks on its side.

    `banks` are those that closed relays and contactors join it to; hand switches for emergencies are open. `link` is
    what is written about a DC-DC charger.
    """

    key: str
    positive: str
    charge_v: float
    written: SourceBase | None
    banks: tuple[Bank, ...]
    link: ConverterLink | None = None

    @property
    def senses(self) -> str | None:
        """Where it measures its voltage; None: not stated."""
        return getattr(self.written or self.link, "senses", None)

    @property
    def stopped_by(self) -> str | None:
        """What ends its charging when lithium asks; None: not stated."""
        return getattr(self.written or self.link, "stopped_by", None)

    def has(self, bank: Bank) -> bool:
        """Whether it charges a bank."""
        return any(b.key == bank.key for b in self.banks)

    @property
    def compensation_v_per_k(self) -> float | None:
        """Change of its voltage with the battery's temperature [V/K]; None: not stated. A DC-DC charger has none."""
        return self.written.compensation_v_per_k if self.written is not None else 0.0

    def at_v(self, temperature_c: float, setting_v: float | None = None) -> float:
        """Its voltage [V] with a battery at a temperature: U = U_25 + c·(T − 25 °C); no c where none is stated."""
        volts = self.charge_v if setting_v is None else setting_v
        return volts + (self.compensation_v_per_k or 0.0) * (temperature_c - REFERENCE_C)


def chargers(evidence: Evidence) -> tuple[Charger, ...]:
    """All charge sources, then the outputs of DC-DC chargers, in the order of the circuit."""
    circuit = evidence.circuit
    found = [(s.key, s.positive, s.charge_v) for s in circuit.sources]
    found += [(c.key, c.out_positive, c.charge_v) for c in circuit.converters]
    link = evidence.spec.option.dc_dc
    return tuple(
        Charger(
            key, node, charge_v, _written(evidence, key), joined_banks(evidence, node),
            link if key == "links.dc_dc" else None,
        )
        for key, node, charge_v in found
    )  # fmt: skip


def _written(evidence: Evidence, key: str) -> SourceBase | None:
    return cast("SourceBase | None", evidence.spec.spec.sources.get(key.split(".", 1)[1]))


def joined_banks(evidence: Evidence, node: str) -> tuple[Bank, ...]:
    """Banks that a positive node is joined to with every relay closed."""
    circuit = evidence.circuit
    memo = ("joined_banks", node)
    if memo not in circuit.memo:
        circuit.memo[memo] = banks_at(circuit, reach(evidence.positive, node, all_but(*evidence.emergency)))
    return cast("tuple[Bank, ...]", circuit.memo[memo])


def coldest_c(evidence: Evidence, banks: tuple[Bank, ...]) -> float:
    """Coldest that a battery of some banks gets [°C]."""
    return min(evidence.circuit.place[bank.place].coldest_c for bank in banks)


@frozen
class Highest:
    """Highest voltage that a charger drives its side to [V], what makes it so, and at which temperature [°C].

    `setting_v` is what it is set to for it at 25 °C; `added_v` what its compensation adds in the cold.
    """

    volts: float
    cause: str
    setting_v: float
    added_v: float
    temperature_c: float


def highest(evidence: Evidence, charger: Charger) -> Highest:
    """The higher of absorption and equalising, compensated at the coldest of its banks; at 25 °C where it is warmer."""
    cold_c = min(REFERENCE_C, coldest_c(evidence, charger.banks)) if charger.banks else REFERENCE_C
    added_v = charger.at_v(cold_c) - charger.charge_v
    equalise_v = charger.written.equalise_v if charger.written is not None else None
    cause, setting_v = "charge", charger.charge_v
    if equalise_v is not None and equalise_v > setting_v:
        cause, setting_v = "equalise", equalise_v
    elif added_v > 0.0:
        cause = "compensation"
    return Highest(setting_v + added_v, cause, setting_v, added_v, cold_c)
