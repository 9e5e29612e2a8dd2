"""What the days show. Frozen; units in the names; a person's sentence is made from codes and values in `book/`.

Times run from the beginning of a run, which is midnight by local solar time unless a row says otherwise.
"""

from typing import Literal

from proposal.facts import Values
from proposal.frozen import frozen

Quantity = Literal["voltage_v", "current_a", "charge_share", "closed", "stage", "temperature_c"]
"""voltage_v: of a bus or bank; current_a: what a bank or source gives, of `loads` what all take; closed: of a relay or
a bank's management, 1 or 0; stage: of a charge source, 0 off, 1 full current, 2 absorption, 3 float."""
EventCode = Literal[
    "relay_joins", "relay_parts", "sun_begins", "sun_ends", "engine_on", "engine_off", "absorption", "float", "bulk",
    "charge_blocked", "discharge_blocked", "charge_freed", "discharge_freed", "bank_full", "bank_low", "load_dark",
    "load_back", "collapse", "chatter",
]  # fmt: skip
CrankingFrom = Literal["own_bank", "joined", "lithium", "emergency"]
Verdict = Literal["starts", "fails", "uncertain"]
"""uncertain: the margin is below what the thresholds' and sensors' tolerances leave open, or a figure is assumed."""


@frozen
class Trace:
    """One line of a timeline: values at equal steps of the day's `sample_s`."""

    item: str
    quantity: Quantity
    values: tuple[float, ...]


@frozen
class Event:
    """Something that happened. `values` has `cause` where there are several, and the figures of its sentence.

    `margin_v`: by how much it was decided, None where no voltage decided; `uncertain`: by less than tolerances allow.
    """

    time_s: float
    code: EventCode
    item: str
    values: Values
    margin_v: float | None = None
    uncertain: bool = False


@frozen
class EnergyFlow:
    """Energy of a day at one item [Wh]: given by sources, taken by loads, into and out of banks, lost on the way."""

    item: str
    role: Literal["source", "load", "bank_in", "bank_out", "loss"]
    energy_wh: float


@frozen
class BranchCurrent:
    """Current of one branch, bank, load or source at an instant [A]; branches from their from-node to their to-node."""

    item: str
    current_a: float


@frozen
class Scene:
    """The system at one instant: a step of the storyboard.

    `code` says what the state is about: night, morning, charging, full, dusk, engine. `open_devices` are relays that
    are open.
    """

    code: str
    time_s: float
    open_devices: tuple[str, ...]
    branches: tuple[BranchCurrent, ...]
    buses_v: tuple[tuple[str, float], ...]
    banks_share: tuple[tuple[str, float], ...]
    banks_a: tuple[tuple[str, float], ...]
    sources_a: tuple[tuple[str, float], ...]
    loads_a: float


@frozen
class Audit:
    """How well a run's books close.

    `charge_error_share`: charge in banks less what flowed, over what flowed (compensated sums); `energy_error_share`:
    given less used, lost and stored, over what was given; `switchings` of all relays; `capped` instants at which a step
    had more events than are followed; `unsettled` steps whose network did not settle.
    """

    steps: int
    charge_error_share: float
    energy_error_share: float
    switchings: int
    capped: int
    unsettled: int


@frozen
class Day:
    """An ordinary day of a season, after days of the same kind."""

    season: str
    sample_s: float
    traces: tuple[Trace, ...]
    events: tuple[Event, ...]
    energy: tuple[EnergyFlow, ...]
    scenes: tuple[Scene, ...]
    engine_h: float
    audit: Audit


@frozen
class Dark:
    """A load that goes dark: when, and whether it is needed for safety."""

    item: str
    time_s: float
    critical: bool
    voltage_v: float


@frozen
class NoCharge:
    """How long the system lasts with nothing charging and ordinary use, and what goes dark in which order.

    `first_dark_days` of a load that is not critical, `critical_dark_days`: None where it did not happen in
    `followed_days`.
    `uncertain_days`: how far the answer moves with battery capacity and thresholds at the ends of their tolerance.
    """

    season: str
    followed_days: float
    first_dark_days: float | None
    critical_dark_days: float | None
    uncertain_days: float
    order: tuple[Dark, ...]
    traces: tuple[Trace, ...]
    sample_s: float
    events: tuple[Event, ...]


@frozen
class StartOnDay:
    """Whether the engine starts after so many days."""

    day: float
    starter_v: float | None
    minimum_v: float | None
    margin_v: float | None
    verdict: Verdict
    fed_by: CrankingFrom


@frozen
class Emptied:
    """When a bank was empty (its cut-off, or the charge at which it is called flat); None: not in that time."""

    bank: str
    days: float | None
    lowest_share: float
    lowest_v: float


@frozen
class Neglect:
    """Nobody aboard, nothing charging, a load left on: which bank is empty when, does the engine still start.

    `starts_until_days`: the last day on which it surely starts from its own bank as joined by itself; None: on none.
    """

    season: str
    left_on: str
    followed_days: float
    emptied: tuple[Emptied, ...]
    starts: tuple[StartOnDay, ...]
    starts_until_days: float | None
    traces: tuple[Trace, ...]
    sample_s: float
    events: tuple[Event, ...]


@frozen
class CutOff:
    """Lithium switches itself off at a bad moment.

    situation: charging_hard, inverter_full, night_passage. `peak_v`: the highest that the bus reaches while a source's
    field dies away; None without such a source. `alive` and `dark`: loads that go on and that do not.
    """

    situation: Literal["charging_hard", "inverter_full", "night_passage"]
    bank: str
    bus: str
    before_v: float
    after_v: float
    peak_v: float | None
    limit_v: float
    before_a: float
    alive: tuple[str, ...]
    dark: tuple[str, ...]
    collapsed: tuple[str, ...]
    warned: bool | None


@frozen
class Cranking:
    """The starter's voltage on the state after a day: `after` is a season's id, no_charge or neglect."""

    after: str
    day: float
    fed_by: CrankingFrom
    temperature_c: float
    starter_v: float | None
    minimum_v: float | None
    margin_v: float | None
    verdict: Verdict


@frozen
class Recharge:
    """Real hours of one source from the depth of an ordinary morning, and from the usable depth, until it is full.

    `hours_h` None: not in `followed_h`. `mean_share` and `peak_share` of its nameplate that it is asked for.
    """

    source: str
    from_share: float
    to_share: float
    hours_h: float | None
    followed_h: float
    hottest_c: float | None
    mean_share: float
    peak_share: float


@frozen
class LeadCare:
    """How a lead bank is kept over a year: full charges, the longest time without, sulphation, gas, water."""

    bank: str
    full_charges_per_month: float
    longest_without_full_days: float
    sulphated_share: float
    gassed_ah: float
    water_l: float
    lowest_share: float


@frozen
class LithiumCare:
    """How a lithium bank is kept over a year: hours held high, cycles; lowest charge."""

    bank: str
    high_h: float
    high_warm_h: float
    cut_offs: int
    lowest_share: float


@frozen
class BankYear:
    """Wear of one bank in a year. `life_years` by the stated rule of thumb, the shorter of cycles and calendar."""

    bank: str
    equivalent_cycles: float
    mean_depth_share: float
    deepest_share: float
    life_years: float
    life_by: Literal["cycles", "calendar", "sulphation"]


@frozen
class Year:
    """One year of ordinary weather."""

    engine_h: float
    generator_h: float
    nights_low: int
    low_share: float
    dark_h: float
    critical_dark_h: float
    solar_wh: float
    unused_solar_wh: float
    loads_wh: float
    banks: tuple[BankYear, ...]
    lead: tuple[LeadCare, ...]
    lithium: tuple[LithiumCare, ...]
    monthly_full: tuple[tuple[str, tuple[int, ...]], ...]
    audit: Audit


@frozen
class Spread:
    """How a quantity falls over the seeded years: 21 quantiles, from least to most by steps of a twentieth."""

    quantity: Literal[
        "engine_h", "generator_h", "nights_low", "dark_h", "critical_dark_h", "full_charges_per_month",
        "equivalent_cycles", "deepest_share", "life_years",
    ]  # fmt: skip
    item: str
    quantiles: tuple[float, ...]


@frozen
class Years:
    """Seeded years: weather, ageing and tolerances drawn.

    `step_error`: what the coarser step makes of each quantity, as a share of it.
    """

    count: int
    seed: int
    step_s: float
    spreads: tuple[Spread, ...]
    step_error: tuple[tuple[str, float], ...]
    audit: Audit


@frozen
class WhatIf:
    """Autonomy and start over a grid of daily use × bank size × solar, as factors of what is proposed.

    The lists are flat, use slowest, solar fastest. `autonomy_days`: with the season's sun, until something goes dark,
    at most `followed_days`; `engine_h_per_day`; `starts`: 1 starts, 0 fails, 0.5 uncertain, after the neglect.
    """

    use_factors: tuple[float, ...]
    bank_factors: tuple[float, ...]
    solar_factors: tuple[float, ...]
    season: str
    followed_days: float
    autonomy_days: tuple[float, ...]
    no_charge_days: tuple[float, ...]
    engine_h_per_day: tuple[float, ...]
    starts: tuple[float, ...]
    starts_until_days: tuple[float, ...]


@frozen
class Trouble:
    """Something that must never be quiet, with time and place; `run`: a season's id, no_charge, neglect or year.

    `item` is a relay, load, bank or charge source. `values` by code, of which any may be missing:
    chatter count, within_s · collapse power_w, voltage_v · bank_never_full longest_days, charge_v ·
    charger_never_restarts restart_v, lowest_v, lowest_share · absorption_held held_h, loads_a ·
    absorption_cut_short after_h, relay · join_missed difference_v, rule_v, falls_s (how fast the bus fell past the
    bank) · management_opens cause (cell_high, cell_low, cold, current), voltage_v · source_stranded peak_v, limit_v ·
    never_joins, never_parts days.
    """

    code: Literal[
        "chatter", "collapse", "bank_never_full", "charger_never_restarts", "absorption_held", "absorption_cut_short",
        "join_missed", "management_opens", "source_stranded", "never_joins", "never_parts",
    ]  # fmt: skip
    item: str
    run: str
    time_s: float
    values: Values


@frozen
class DayAssumption:
    """A figure that the days rest on and nobody stated."""

    item: str
    code: str
    values: Values
    source: str
    clause: str
    status: Literal["corroborated", "from memory", "common practice", "definition"]


@frozen
class Behaviour:
    """Everything that the days of one option show."""

    seed: int
    step_s: float
    days: tuple[Day, ...]
    no_charge: NoCharge
    neglect: Neglect | None
    cut_offs: tuple[CutOff, ...]
    cranking: tuple[Cranking, ...]
    recharge: tuple[Recharge, ...]
    year: Year
    years: Years
    what_if: WhatIf
    troubles: tuple[Trouble, ...]
    assumptions: tuple[DayAssumption, ...]
    tolerance_v: float
    """Root-sum-square of threshold, sensor and hysteresis: a margin below it is uncertain."""
