"""What happens when one thing fails. Frozen; units in the names."""

from typing import Literal

from proposal.frozen import frozen

Symptom = Literal["all_dark", "start_lost", "several_dark", "one_dark", "battery_off", "charge_lost", "weak", "unseen"]
Cause = Literal[
    "bank_off",
    "switch_open",
    "battery_out",
    "string_out",
    "link_open",
    "link_closed",
    "link_negative",
    "converter_lost",
    "panel_feeder",
    "load_circuit",
    "source_circuit",
    "starter_circuit",
    "contactor_welded",
    "controller_blind",
]


@frozen
class BusChange:
    """Voltage between a bus' poles [V] with the usual loads on: before, with the failure, and while all sources charge.

    None where nothing feeds it.
    """

    bus: str
    before_v: float | None
    after_v: float | None
    charging_v: float | None


@frozen
class Failure:
    """One failure; `items` are all those of which any one alone does this, of `item` or on the way to it.

    `dead` loads have no voltage; `low` ones find less than their drop limit leaves of the system's voltage, and did not
    before. `lost` sources charge nothing any more; `stranded` ones have lost their battery while they work. `charging`
    sources still give current [A], `charged` banks still take it [A]. `banks_off` no longer feed what they fed.
    `starter_v`: at the starter's terminals from its own battery [V]; `emergency_v` with the emergency switch closed.
    """

    cause: Cause
    symptom: Symptom
    item: str
    items: tuple[str, ...]
    dead: tuple[str, ...] = ()
    low: tuple[str, ...] = ()
    lost: tuple[str, ...] = ()
    stranded: tuple[str, ...] = ()
    banks_off: tuple[str, ...] = ()
    buses: tuple[BusChange, ...] = ()
    charging: tuple[tuple[str, float], ...] = ()
    charged: tuple[tuple[str, float], ...] = ()
    starter_v: float | None = None
    emergency_v: float | None = None
