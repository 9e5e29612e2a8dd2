"""What switching devices meet, and what happens when one opens. Frozen; units in the names."""

from typing import Literal

from proposal.frozen import frozen

Event = Literal["management", "relay", "switch"]
Kind = Literal["contactor", "vsr", "switch"]
CHARGING = ("charging", "charging_full_lead")
"""Cases of the load flow in which every source works."""


@frozen
class Peak:
    """A largest current [A] and the case or situation in which it flows; empty where none does."""

    current_a: float = 0.0
    case: str = ""


@frozen
class Coil:
    """A relay's coil while it is closed, or a latching one's electronics.

    `ah_per_day` with the contactor closed all day [Ah]. `least_v`: lowest voltage at its supply while the engine
    cranks and it is closed [V], with the case; None: never closed then. `unpowered`: what it does when its control
    power is lost.
    """

    kind: Literal["held", "latching"]
    rated_v: float | None
    current_a: float
    power_w: float
    ah_per_day: float
    drop_out_v: float | None
    least_v: float | None
    least_case: str
    unpowered: Literal["opens", "stays"]


@frozen
class Switched:
    """A contactor, relay or switch: largest currents for hours, for up to five minutes, for the seconds of a start.

    `closing`: first current when it joins two sides (relays), `opening`: largest lasting current that it may have to
    break. `currents`: of every case that was solved.
    """

    key: str
    kind: Kind
    lasting: Peak
    minutes: Peak
    seconds: Peak
    closing: Peak
    opening: Peak
    coil: Coil | None
    currents: tuple[tuple[str, float], ...]


@frozen
class Store:
    """Capacitors behind a load's terminals [F]; `gentle`: charged gently, by itself or otherwise; None: not known."""

    load: str
    capacitance_f: float | None
    gentle: bool | None
    resistor_ohm: float | None


@frozen
class Surge:
    """Capacitors charged from nothing when something closes: a relay, or a lithium bank alone on a dead bus.

    `peak_a` through `through`, a relay or a battery string: i₀ = U/R [A], of `open_v` and `loop_ohm`. `limit_a` is what
    that bears for `limit_s` (None: at all). `time_constant_s`, `energy_j` (½CU²) and `above_s`, for how long the limit
    is passed, are None without a capacitance. `resistor_ohm`: the least that keeps it within the limit, with
    `precharge_s` to 95 %; `stated_ohm`: the one that is there, reckoned in.
    """

    load: str
    through: str
    kind: Literal["relay_make", "management"]
    open_v: float
    loop_ohm: float
    peak_a: float
    limit_a: float | None
    limit_s: float | None
    capacitance_f: float | None
    time_constant_s: float | None
    energy_j: float | None
    above_s: float | None
    gentle: bool | None
    resistor_ohm: float | None
    stated_ohm: float | None
    precharge_s: float | None


@frozen
class Loss:
    """What is left of a charge source's batteries when something opens while it works.

    `left`: keys of the banks that stay joined to it. `voltage_v`: at its terminals, its current forced into them, hot:
    E + I·R [V]; None with no bank left.
    """

    source: str
    event: Event
    item: str
    left: tuple[str, ...]
    current_a: float
    resistance_ohm: float | None
    voltage_v: float | None


@frozen
class Dark:
    """Loads that find no voltage when a lithium bank has switched itself off, ordinary loads on; and the starter."""

    bank: str
    loads: tuple[str, ...]
    starter: bool


@frozen
class Switching:
    """All of it, in the order of the circuit."""

    devices: tuple[Switched, ...]
    surges: tuple[Surge, ...]
    losses: tuple[Loss, ...]
    darks: tuple[Dark, ...]
