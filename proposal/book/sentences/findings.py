"""What each finding says: what was found, its limit, what happens, what to do; what to find out where undecided.

Fields are the values that the rules emit. A finding with several causes has sentences for each, under `id.cause`.
"""

from proposal.book.language import msg
from proposal.book.sentences.finding_banks import BANKS
from proposal.book.sentences.finding_charging import CHARGING
from proposal.book.sentences.finding_circuits import CIRCUITS
from proposal.book.sentences.finding_days import DAYS
from proposal.book.sentences.finding_fitting import FIND_OUT_FITTING, FITTING
from proposal.book.sentences.finding_gas import GAS
from proposal.book.sentences.finding_ladder import LADDER
from proposal.book.sentences.finding_lasting import FIND_OUT_DAYS, LASTING
from proposal.book.sentences.finding_links import LINKS
from proposal.book.sentences.finding_mains import FIND_OUT_MAINS, MAINS
from proposal.book.sentences.finding_protection import PROTECTION
from proposal.book.sentences.finding_switching import FIND_OUT_SWITCHING, SWITCHING
from proposal.book.sentences.finding_text import FindingText
from proposal.book.sentences.finding_timing import TIMING

FINDINGS: dict[str, FindingText] = {
    **PROTECTION,
    **TIMING,
    **LINKS,
    **BANKS,
    **CHARGING,
    **GAS,
    **CIRCUITS,
    **FITTING,
    **LADDER,
    **MAINS,
    **SWITCHING,
    **DAYS,
    **LASTING,
}

UNKNOWN_CHECK = msg("A check without words yet")
UNKNOWN = FindingText(UNKNOWN_CHECK, UNKNOWN_CHECK, "", "", "", "")

FIND_OUT: dict[str, str] = {
    **FIND_OUT_FITTING,
    **FIND_OUT_MAINS,
    **FIND_OUT_SWITCHING,
    **FIND_OUT_DAYS,
    "edition": msg("The limit is remembered, not read: compare it with your edition of the rule, and decide by that."),
    "short_circuit_current": msg("Ask the maker of {bank} for the short-circuit current, or measure its resistance."),
    "part": msg("Choose a part for it: the price book has none that fits. Then check again."),
    "fuse_curve": msg("Ask the maker of {part} for its time-current curve, and enter it in the price book."),
    "inrush_time": msg("How long the inrush of {item} lasts is assumed: ask its maker, or record it."),
    "insulation_compound": msg("Find out what the insulation of {conductor} is made of, and enter it with the cable."),
    "conductor_heating": msg(
        "Heat that leaves the conductor meanwhile may save it: ask the cable's maker for how long {conductor} stands "
        "{current_a}."
    ),
    "trip_current": msg(
        "Ask the maker of {bank} at which current, and after what time, its management cuts the battery off."
    ),
    "fuse_rating": msg("Choose a fuse for it: the price book has none that fits. Then check again."),
    "discharge_limit": msg("Ask the battery's maker for the highest current it gives for hours."),
    "charge_limit": msg("Ask the battery's maker for the highest charge current."),
    "lithium_charge_limit": msg("Ask the maker of {limited_item} for the highest charge current."),
    "peak_limit": msg("Ask the battery's maker for the peak current, and for how long it is allowed."),
    "peak_time": msg("Ask the battery's maker for how long the peak current is allowed."),
    "relay_thresholds": msg(
        "Read from the relay's sheet at which voltages it joins and releases, and how true they are, or measure it."
    ),
    "relay_make_rating": msg("Read from the relay's sheet on how much current its contacts can close."),
    "resting_voltage": msg("Measure the voltage of {bank}, full and rested for some hours."),
    "controller_input_limit": msg("Read from the sheet of the solar controller how much voltage it bears."),
    "module_fuse_max": msg("Read from the sheet of the modules the largest fuse that they may stand behind."),
    "voltage_coefficient": msg(
        "Read from the sheet of the modules how much their voltage rises for each kelvin of cold: a usual figure is "
        "taken here."
    ),
    "touchable": msg(
        "Look whether bare live parts of the array side can be touched, at the modules and the controller."
    ),
    "battery_resistance": msg("Ask the maker of {bank} for the resistance of a battery, or measure it."),
    "rest_voltages": msg(
        "Measure each battery at rest before they are joined, or charge each one full by itself first."
    ),
    "balancer_current": msg("Read from the sheet of the balancer how much it moves in a day."),
    "compensation": msg(
        "Find out whether {source} compensates its voltage by the battery's temperature, and by how much."
    ),
    "lead_absorption_time": msg(
        "Ask the battery's maker how long absorption is to last, and set {source} to it. The figure here is remembered "
        "from makers' manuals."
    ),
    "lead_charge_voltage": msg("Ask the battery's maker for its charge voltage; what is usual is remembered only."),
    "stopping": msg("Find out whether the management of {bank} can stop it, and how."),
    "stop_times": msg(
        "Find out how long it goes on after it is asked to stop, how long its field takes to die, and how long the "
        "contactor of {bank} waits before it opens."
    ),
    "highest_voltages": msg("Ask the makers of the {device_count} devices on its side how much voltage they bear."),
    "sense_place": msg("Find out whether it measures its voltage at the battery or at its own terminals."),
    "charge_logic": msg(
        "Read how it ends absorption, by time or by tail current, and below which voltage it begins to charge anew."
    ),
    "cold_cut_off": msg("Ask the battery's maker whether its management ends charging when it is too cold for it."),
    "vent_openings": msg("Measure the free area of the low and of the high opening."),
    "gas_led_outside": msg("Find out where gas from the battery would go, and whether it could reach people."),
    "series_facts": msg(
        "Ask the battery's maker how many may stand in series, how they are kept balanced, and how much voltage the "
        "switch of their management can part."
    ),
    "coil_drive": msg("Find out how the controller drives the coil: holding it, or by pulses."),
    "coil_voltage": msg("Read from the relay for which voltage its coil is made."),
    "controller_settings": msg("Read from the contactor's controller at which voltages it opens, and set them."),
    "management_voltages": msg(
        "Ask the battery's maker at which voltages its management ends charging and discharging."
    ),
    "inverter_cut_out": msg("Read from the inverter's sheet at which voltage it switches itself off."),
    "lithium_float": msg("Ask the maker of {bank} at which voltage it may be held for weeks."),
    "starter_current": msg("What the starter draws is assumed: measure it with a clamp meter while the engine cranks."),
    "minimum_cranking_voltage": msg(
        "Ask the engine's maker for the lowest voltage at the starter that still starts it."
    ),
}
"""What to find out, by the code of the figure that is wanting."""

NOT_DECIDED = msg("Not decided: {title}")
IF_SO = msg("If it is so: {happens}")
OTHER_FIND_OUT = msg("Find out the missing figure, then check again.")
