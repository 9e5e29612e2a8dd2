"""Findings about charge sources and their settings: checks 10, 30 to 40."""

from dataclasses import replace

from proposal.book.language import msg
from proposal.book.sentences.finding_text import FindingText

CHARGING: dict[str, FindingText] = {}

_STRINGS = FindingText(
    msg("Solar strings not protected from each other"),
    msg("No solar string can be fed by the others beyond what it bears, and no high voltage can be touched"),
    msg("The other strings can drive {current_a} back into one of the {strings}."),
    msg("Its modules bear {limit_a}."),
    msg("A shaded or damaged string is fed by the others: its modules and leads burn, and no fuse opens."),
    msg("Put a fuse of no more than {limit_a} into each string, made for the voltage of the array."),
    msg("The other strings can drive {current_a} back into one of the {strings}."),
)
CHARGING["solar_strings_unprotected"] = _STRINGS
CHARGING["solar_strings_unprotected.backfed"] = _STRINGS
CHARGING["solar_strings_unprotected.fuse_too_large"] = replace(
    _STRINGS,
    title=msg("Fuse of the solar strings too large for their modules"),
    found=msg("The fuse of each string is rated {rating_a}."),
)
CHARGING["solar_strings_unprotected.touch"] = replace(
    _STRINGS,
    title=msg("Solar voltage that can be touched"),
    found=msg("The array reaches {voltage_v} at {coldest_c}, and bare parts of it can be touched."),
    limit=msg("Up to {limit_v} bare parts do little harm to dry hands."),
    happens=msg("Direct current of this voltage holds on to whoever touches it, and its arcs do not go out."),
    do=msg("Cover every live part, use touch-proof connectors and a switch made for {voltage_v} or more."),
    known=msg("The array reaches {voltage_v} at {coldest_c}; up to {limit_v} bare parts do little harm."),
)

_ALTERNATOR = FindingText(
    msg("Alternator or its fuse asked for too much"),
    msg("Every alternator is held to what it gives hot, and its fuse does not open under it"),
    msg("The batteries draw {current_a} from it, {case}; its nameplate says {nameplate_a}."),
    msg("It gives {limit_a} for hours."),
    msg("Lithium takes all that an alternator gives: it runs at full load until its windings or diodes burn."),
    msg(
        "Limit it to {limit_a} with a regulator that watches its temperature, or feed the lithium through a DC-DC "
        "charger."
    ),
)
CHARGING["alternator_overloaded"] = _ALTERNATOR
CHARGING["alternator_overloaded.acceptance"] = replace(
    _ALTERNATOR, title=msg("Alternator asked for more than it gives hot")
)
CHARGING["alternator_overloaded.fuse"] = replace(
    _ALTERNATOR,
    title=msg("Fuse of the alternator too small"),
    found=msg("The fuse of the alternator is rated {rating_a}; its nameplate says {nameplate_a}."),
    limit=msg("The fuse needs {needed_a} or more."),
    happens=msg("It opens in use, the alternator loses its battery while it runs, and its voltage jumps."),
    do=msg("Fit a fuse of {needed_a} or more, with a conductor to match."),
    known=msg("The fuse of the alternator needs {needed_a} or more; no part is chosen for it."),
)

CHARGING["array_voltage_high"] = FindingText(
    msg("Solar array too high for its controller in the cold"),
    msg("Every solar array stays within its controller's voltage, in the cold too"),
    msg("The array reaches {voltage_v} at {coldest_c}."),
    msg("Its controller bears {limit_v}."),
    msg("On a bright, cold morning the controller is destroyed."),
    msg(
        "Choose a controller for {voltage_v} or more, or modules in series with {open_circuit_allowed_v} together at "
        "most."
    ),
    msg("The array reaches {voltage_v} at {coldest_c}."),
)
