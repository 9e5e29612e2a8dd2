"""Findings of the days about what must last: the engine's start, what goes dark first, how long the engine runs."""

from dataclasses import replace

from proposal.book.language import msg
from proposal.book.sentences.finding_text import FindingText

LASTING: dict[str, FindingText] = {}

LASTING["engine_fails_in_use"] = FindingText(
    msg("The engine does not start after days of ordinary use"),
    msg("After ordinary days, and after the days without charge that are wanted, the engine starts"),
    msg(
        "While it cranks, the starter gets {starter_v} from its own battery ({during}, at {temperature_c}). An "
        "emergency start with the batteries joined by hand gives it {emergency_v}."
    ),
    msg("It needs {limit_v} at its own terminals."),
    msg("The engine does not start on a day on which nothing went wrong."),
    msg(
        "Give the starter a battery of its own, or part loads earlier, so that it gets {lacking_v} more. Until then "
        "join the batteries by hand first."
    ),
    msg(
        "From its own battery the starter gets {starter_v} ({during}, at {temperature_c}); it needs {limit_v}. With "
        "the batteries joined by their relays it gets {joined_v}."
    ),
)

LASTING["engine_fails_after_neglect"] = FindingText(
    msg("Left alone with a load on, the engine does not start any more"),
    msg("The engine starts when somebody comes back, even where a load was left on"),
    msg(
        "With {first_item} left on and nothing charging, the engine does not start after {fails_days}. The starter "
        "then gets {starter_v}. {bank} is empty after {empty_days}. For {until_days} it surely starts."
    ),
    msg("It needs {limit_v} at its own terminals, for as long as nobody is there: {left_days}."),
    msg("Who comes back cannot start the engine, and an emptied lead battery is spoiled."),
    msg(
        "Switch {first_item} off when you leave. Or give the engine a battery that nothing else can empty. Or have the "
        "batteries charged, or looked after, within {until_days}."
    ),
    msg(
        "With {first_item} left on and nothing charging, the starter gets {starter_v} after {fails_days}; it needs "
        "{limit_v}."
    ),
)

LASTING["critical_dark_early"] = FindingText(
    msg("Something needed for safety goes dark too early"),
    msg("What is needed for safety stays on for as long as the client wants without charge"),
    msg("With nothing charging it goes dark after {dark_days}. Its voltage is then {voltage_v}."),
    msg("{wanted_days} without charge are wanted."),
    msg("Lights, radio, instruments or pump are gone when they are needed, and nobody meant to switch them off."),
    msg(
        "Plan with {more_ah} more of usable charge; there are {usable_ah}. Or let other loads be switched off earlier."
    ),
    msg("With nothing charging it goes dark after {dark_days}; {wanted_days} are wanted."),
)
LASTING["house_dark_early"] = replace(
    LASTING["critical_dark_early"],
    title=msg("The house does not last the days that are wanted"),
    passed=msg("The house lasts for as long as the client wants without charge"),
    happens=msg("The client uses less, or runs the engine, sooner than was agreed."),
    do=msg("Plan with {more_ah} more of usable charge; there are {usable_ah}. Or agree on fewer days, or on less use."),
)

LASTING["alternator_hot_for_hours"] = FindingText(
    msg("Alternator that works too hard for hours"),
    msg("No alternator gives more for hours than it gives hot"),
    msg(
        "Recharging, it is asked for {current_a} on average; its nameplate says {nameplate_a}. That goes on for "
        "{hours_h}. It then gets as hot as {hottest_c}."
    ),
    msg("It gives {limit_a} for hours."),
    msg("Its windings and diodes age fast, and it fails on the first long day under engine."),
    msg("Limit it to {limit_a}, with a regulator that watches its temperature."),
    msg("Recharging, it is asked for {current_a} on average; half its nameplate is {limit_a}."),
)

LASTING["engine_hours_beyond"] = FindingText(
    msg("The engine must run longer than is accepted"),
    msg("On an ordinary day the engine runs no longer than the client accepts"),
    msg("An ordinary day wants {hours_h} of engine ({during})."),
    msg("{limit_h} a day are accepted."),
    msg("The client runs the engine more than was agreed, or the batteries are never quite full."),
    msg("Add {more_w} of solar array, which makes up {lacking_wh} a day, or agree on less use or more engine."),
    msg("An ordinary day wants {hours_h} of engine ({during}); {limit_h} are accepted."),
)

LASTING["critical_dark_in_year"] = FindingText(
    msg("In an ordinary year something needed for safety goes dark"),
    msg("In a year of ordinary weather and use nothing that is needed for safety goes dark"),
    msg(
        "It is dark for {dark_h} of the simulated year. Of many seeded years half have more than {median_h}. In "
        "{low_count} nights the batteries are low."
    ),
    msg("More than {limit_h} of the year should not be."),
    msg("Lights, radio, instruments or pump are gone in ordinary use, when nobody expects it."),
    msg(
        "Use less, or charge more. {during}: {lacking_wh} a day are lacking. An array larger by {more_w} makes that "
        "up. Or the engine, running {more_h} a day longer."
    ),
    msg("It is dark for {dark_h} of the simulated year; of many seeded years half have more than {median_h}."),
)
LASTING["house_dark_in_year"] = replace(
    LASTING["critical_dark_in_year"],
    title=msg("In an ordinary year loads go dark"),
    passed=msg("In a year of ordinary weather and use loads are hardly ever dark"),
    found=msg(
        "Loads are dark for {dark_h} of the simulated year. Of many seeded years half have more than {median_h}. In "
        "{low_count} nights the batteries are low."
    ),
    happens=msg("The client finds the refrigerator warm, or runs the engine for longer than was agreed."),
)

FIND_OUT_DAYS: dict[str, str] = {
    "hold_off": msg("Read from its controller how long it waits between two switchings, and enter it."),
    "join_watched": msg("Watch at dusk, on commissioning, whether it joins: it is decided by less than sensors tell."),
    "stranded_peak": msg("Measure on commissioning how high the bus goes when its battery is parted at low current."),
    "lithium_charge_voltage": msg("Ask the battery's maker which voltage fills it."),
    "cell_spread": msg(
        "Measure, near the end of a charge, how far its highest cell is above the mean, or ask the battery's maker."
    ),
    "full_charges": msg("Keep a log of its full charges over a season: it is decided by less than years differ."),
    "float_setting": msg("Read at which voltage each charge source floats, and enter it."),
    "bank_capacity": msg(
        "Measure the capacity of the batteries and what a day uses: the days that are wanted lie within "
        "{uncertain_days} of the answer."
    ),
    "start_joined": msg(
        "Make sure, on commissioning, that the batteries are joined whenever the engine is started: with them joined "
        "it gets {joined_v}."
    ),
    "start_margin": msg("Measure the starter's voltage while it cranks cold, on commissioning: the margin is small."),
    "hot_current": msg("Measure what the alternator gives after half an hour, hot, and enter it."),
    "dark_log": msg(
        "Keep a log of it, and of what is used, in the first season: one year differs from another by more than this."
    ),
    "engine_log": msg("Keep a log of engine hours in the first season: the excess is less than the sum is true to."),
}
