"""Findings about gas and where it goes: checks 41 and 42."""

from dataclasses import replace

from proposal.book.language import msg
from proposal.book.sentences.finding_text import FindingText

GAS: dict[str, FindingText] = {}

GAS["vent_small"] = FindingText(
    msg("Vents too small for the gas of the lead batteries"),
    msg("Every place with lead batteries has vents for the gas of charging"),
    msg("{place_title}: the smaller opening has {opening_cm2}."),
    msg("{capacity_ah} of lead at full charge want {air_m3h} of air, and {needed_cm2} for inlet and outlet each."),
    msg("Hydrogen collects under the lid and the next spark sets it off; the blast throws acid."),
    msg("Make an opening low down and one at the top, of {needed_cm2} each, led outside, or fit a fan for {air_m3h}."),
    msg("{place_title}: {capacity_ah} of lead want {air_m3h} of air, and {needed_cm2} for inlet and outlet each."),
)

_PEOPLE = FindingText(
    msg("Gas of a failing battery can reach people"),
    msg("Nobody sleeps where gas from a failing battery collects, and every charge current can be stopped"),
    msg("{place_title}: {capacity_ah} of lithium stand where people sleep, and nothing leads their gas outside."),
    msg("Gas that a failing cell lets out must not reach people."),
    msg("It is poisonous and burns; asleep, people notice it too late."),
    msg("Move the bank out of the sleeping place, or put it in a tight box with a duct that leads outside."),
    msg("{place_title}: {capacity_ah} of lithium stand where people sleep."),
)
GAS["gas_reaches_people"] = _PEOPLE
GAS["gas_reaches_people.gas"] = _PEOPLE
GAS["gas_reaches_people.bypass"] = replace(
    _PEOPLE,
    title=msg("Charger that bypasses the battery's management"),
    found=msg("Its lead goes past the management system of {bank}; it charges with {charge_v}."),
    limit=msg("Every charge current must go through what can stop it."),
    happens=msg("When a cell is full or too cold the management cannot stop it; the cell gasses and may burn."),
    do=msg("Land its lead where the management's switch or contactor parts it, with a fuse of its own."),
)
