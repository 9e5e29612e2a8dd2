"""Switching study → result rows: contactors, relays and switches beside their ratings, and capacitor surges."""

from typing import Any

from proposal.circuit.model import Circuit
from proposal.results.model import SurgeResult, SwitchedResult
from proposal.studies.switching.result import Surge, Switched, Switching


def switched_rows(switching: Switching, circuit: Circuit) -> tuple[SwitchedResult, ...]:
    """One row for each contactor, relay and switch, in the order of the circuit."""
    return tuple(_switched(met, circuit.device[met.key].part) for met in switching.devices)


def _switched(met: Switched, part: Any) -> SwitchedResult:
    def rated(name: str) -> float | None:
        value: float | None = getattr(part, name, None)
        return value

    coil = met.coil
    return SwitchedResult(
        key=met.key,
        kind=met.kind,
        lasting_a=met.lasting.current_a,
        lasting_case=met.lasting.case,
        rating_a=rated("rating_a"),
        minutes_a=met.minutes.current_a,
        minutes_case=met.minutes.case,
        five_minutes_a=rated("five_minutes_a"),
        seconds_a=met.seconds.current_a,
        seconds_case=met.seconds.case,
        cranking_a=rated("cranking_a"),
        closing_a=met.closing.current_a,
        closing_situation=met.closing.case,
        make_a=rated("make_a"),
        opening_a=met.opening.current_a,
        opening_case=met.opening.case,
        break_a=rated("break_a"),
        coil=coil.kind if coil is not None else None,
        coil_v=coil.rated_v if coil is not None else None,
        coil_w=coil.power_w if coil is not None else None,
        coil_ah_per_day=coil.ah_per_day if coil is not None else None,
        drop_out_v=coil.drop_out_v if coil is not None else None,
        least_supply_v=coil.least_v if coil is not None else None,
        unpowered=coil.unpowered if coil is not None else None,
    )


def surge_rows(switching: Switching) -> tuple[SurgeResult, ...]:
    """One row for each way in which capacitors are charged from nothing."""
    return tuple(_surge(surge) for surge in switching.surges)


def _surge(surge: Surge) -> SurgeResult:
    return SurgeResult(
        surge.load, surge.through, surge.kind, surge.open_v, surge.loop_ohm, surge.peak_a, surge.limit_a, surge.limit_s,
        surge.capacitance_f, surge.time_constant_s, surge.energy_j, surge.resistor_ohm, surge.precharge_s, surge.gentle,
    )  # fmt: skip
