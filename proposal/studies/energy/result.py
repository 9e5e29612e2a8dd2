"""Energy of an option, by season and by bank."""

from typing import Literal

from proposal.frozen import frozen


@frozen
class Day:
    """A day of a season: what each load uses and each source gives [Wh].

    What is missing comes from the engine's alternator, or where there is none from the generator: `engine_wh` in
    `engine_h`; `made_up_by` names which.
    """

    season: str
    loads_wh: tuple[tuple[str, float], ...]
    sources_wh: tuple[tuple[str, float], ...]
    loss_wh: float
    engine_wh: float
    engine_h: float | None
    """None where neither engine nor generator can make it up."""
    made_up_by: Literal["engine", "generator", ""]

    @property
    def use_wh(self) -> float:
        """All loads together [Wh]."""
        return sum(wh for _, wh in self.loads_wh)

    @property
    def free_wh(self) -> float:
        """All sources apart from the engine [Wh]."""
        return sum(wh for _, wh in self.sources_wh)

    @property
    def balance_wh(self) -> float:
        """Given less used and lost [Wh]."""
        return self.free_wh + self.engine_wh - self.use_wh - self.loss_wh


@frozen
class BankEnergy:
    """What a bank holds: rated and usable charge [Ah] at its coldest usual temperature, with the shares behind it."""

    bank: str
    nominal_v: float
    capacity_ah: float
    usable_share: float
    temperature_share: float

    @property
    def usable_ah(self) -> float:
        """Usable charge [Ah]."""
        return self.capacity_ah * self.usable_share * self.temperature_share

    @property
    def usable_wh(self) -> float:
        """Usable energy [Wh]."""
        return self.usable_ah * self.nominal_v


@frozen
class Autonomy:
    """Days without charge of one bank or of all that serve the house (`bank` "house")."""

    bank: str
    usable_wh: float
    use_wh_per_day: float
    days: float | None
    critical_only_days: float | None


@frozen
class Charging:
    """Hours of one source to refill what is usable of the house banks, loads running."""

    source: str
    charge_ah: float
    current_a: float
    hours_h: float | None


@frozen
class Energy:
    """All of it."""

    days: tuple[Day, ...]
    worst_season: str
    banks: tuple[BankEnergy, ...]
    autonomy: tuple[Autonomy, ...]
    charging: tuple[Charging, ...]
    battery_mass_kg: float
    standing_drain_a: float
