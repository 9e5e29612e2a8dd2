"""Findings about settings that stand in each other's way: check 55."""

from dataclasses import replace

from proposal.book.language import msg
from proposal.book.sentences.finding_text import FindingText

LADDER: dict[str, FindingText] = {}

_OVERLAP = FindingText(
    msg("A setting that cannot do what it is for"),
    msg("Every voltage that is set has its room between its neighbours"),
    msg(
        "{lower_item} acts at {lower_v}, give or take {lower_tolerance_v}; {upper_item} at {upper_v}, give or take "
        "{upper_tolerance_v}."
    ),
    msg("The first must lie below the second; the room between them is {margin_v}."),
    msg("Whichever acts first, the other one never does its work."),
    msg("Set them apart."),
)
LADDER["settings_overlap"] = _OVERLAP

LADDER["settings_overlap.controller"] = replace(
    _OVERLAP,
    title=msg("Voltages at which the contactor opens are not stated"),
    found=msg("Nobody states at which voltages the contactor opens."),
    limit=msg("Both must be known: above all charging, and above what empties the lithium."),
    do=msg("Read them from its controller, set them, and write them down."),
    happens=msg("It may open in the middle of every charge, or only after the lithium has switched itself off."),
)
LADDER["settings_overlap.management"] = replace(
    _OVERLAP,
    title=msg("Voltages at which the battery switches itself off are not stated"),
    found=msg("Nobody states at which voltages the battery's own management ends charging and discharging."),
    limit=msg("Both must be known: everything else has to act before it does."),
    do=msg("Ask its maker, and set everything else to act first."),
    happens=msg("It may switch itself off in the middle of every charge, or before anything else has given up."),
)
LADDER["settings_overlap.inverter"] = replace(
    _OVERLAP,
    title=msg("Voltage at which the inverter gives up is not stated"),
    found=msg("Nobody states at which voltage the inverter gives up."),
    limit=msg("It must give up before the lithium is cut off."),
    do=msg("Read it from its sheet, and set it higher if it can be set."),
    happens=msg("It may go on drawing until the lithium is cut off, and then empty what is left."),
)

LADDER["settings_overlap.opens_in_charge"] = replace(
    _OVERLAP,
    title=msg("The contactor opens before charging is finished"),
    found=msg(
        "{lower_item} charges to {lower_v}, give or take {lower_tolerance_v}; the contactor opens above {upper_v}, "
        "give or take {upper_tolerance_v}."
    ),
    limit=msg("Charging must end below the voltage that opens the contactor; the room between them is {margin_v}."),
    happens=msg("The lithium is cut off at the end of every charge and is never full."),
    do=msg("Let the contactor open above {set_to_v}, or charge to no more than {charge_to_v}."),
)
LADDER["settings_overlap.opens_after_management"] = replace(
    _OVERLAP,
    title=msg("The battery switches itself off before the contactor opens"),
    found=msg(
        "The contactor opens above {lower_v}, give or take {lower_tolerance_v}; the battery's own management ends "
        "charging at {upper_v}, give or take {upper_tolerance_v}."
    ),
    limit=msg("The contactor must open first; the room between them is {margin_v}."),
    happens=msg(
        "The battery's own switch breaks the charge current, which it should do only when all else has failed."
    ),
    do=msg("Let the contactor open above {set_to_v} and not later."),
)
LADDER["settings_overlap.opens_at_rest"] = replace(
    _OVERLAP,
    title=msg("The contactor opens on a full battery at rest"),
    found=msg(
        "The full lithium rests at {lower_v}; the contactor opens above {upper_v}, give or take {upper_tolerance_v}."
    ),
    limit=msg("It must open well above the resting voltage; the room between them is {margin_v}."),
    happens=msg("A full battery is cut off although nothing is wrong."),
    do=msg("Let the contactor open above {set_to_v} at the least."),
)
LADDER["settings_overlap.opens_below_management"] = replace(
    _OVERLAP,
    title=msg("The empty battery switches itself off before the contactor opens"),
    found=msg(
        "The battery's own management ends discharging at {lower_v}, give or take {lower_tolerance_v}; the contactor "
        "opens below {upper_v}, give or take {upper_tolerance_v}."
    ),
    limit=msg("The contactor must open first; the room between them is {margin_v}."),
    happens=msg("The lithium switches itself off, and often has to be woken by a charger before it works again."),
    do=msg("Let the contactor open below {set_to_v}."),
)
LADDER["settings_overlap.opens_too_early"] = replace(
    _OVERLAP,
    title=msg("The contactor opens while much is left"),
    found=msg(
        "The contactor opens below {lower_v}, give or take {lower_tolerance_v}; lithium with the planned rest in it "
        "still stands at {upper_v}."
    ),
    limit=msg("It must open below that; the room between them is {margin_v}."),
    happens=msg("It may open with {left_share} left in the battery, even with no load on it."),
    do=msg("Let the contactor open below {set_to_v}."),
)
LADDER["settings_overlap.window_empty"] = replace(
    _OVERLAP,
    title=msg("The contactor has no voltage at which it stays closed"),
    found=msg(
        "It opens below {lower_v}, give or take {lower_tolerance_v}, and above {upper_v}, give or take "
        "{upper_tolerance_v}."
    ),
    limit=msg("There must be room between the two; it is {margin_v}."),
    happens=msg("It opens and closes without end, or stays open."),
    do=msg("Let it open below {set_to_v} at the most."),
)
LADDER["settings_overlap.trips_management"] = replace(
    _OVERLAP,
    title=msg("Charging makes the battery switch itself off"),
    found=msg(
        "{lower_item} charges to {lower_v}, give or take {lower_tolerance_v}; the battery's own management ends "
        "charging at {upper_v}, give or take {upper_tolerance_v}."
    ),
    limit=msg("Charging must end below that; the room between them is {margin_v}."),
    happens=msg("The battery switches itself off under full charge, and an alternator may lose its only battery."),
    do=msg("Charge to no more than {charge_to_v}."),
)
LADDER["settings_overlap.float_above_absorption"] = replace(
    _OVERLAP,
    title=msg("Float is set above absorption"),
    found=msg("It charges to {upper_v} and then holds {lower_v}."),
    limit=msg(
        "What it holds must be less than what it charges to; the room between them is {margin_v}, tolerances taken off."
    ),
    happens=msg("The battery is never left to rest: it gases, dries out or ages."),
    do=msg("Set float well below {set_to_v}."),
)
LADDER["settings_overlap.equalise_below_absorption"] = replace(
    _OVERLAP,
    title=msg("Equalising is set below absorption"),
    found=msg("It charges to {lower_v} and equalises at {upper_v}."),
    limit=msg(
        "Equalising must be above what it charges to; the room between them is {margin_v}, tolerances taken off."
    ),
    happens=msg("Equalising does nothing."),
    do=msg("Set equalising above {set_to_v}, or switch it off."),
)
LADDER["settings_overlap.restarts_in_float"] = replace(
    _OVERLAP,
    title=msg("The charger starts anew as soon as it floats"),
    found=msg("It holds {upper_v} and begins anew below {lower_v}, give or take {lower_tolerance_v}."),
    limit=msg("It must begin anew only well below what it holds."),
    happens=msg("It goes through a whole charge again and again, and the battery is overcharged."),
    do=msg("Let it begin anew below {set_to_v} or lower."),
)
LADDER["settings_overlap.float_below_rest"] = replace(
    _OVERLAP,
    title=msg("Float is too low to hold the battery full"),
    found=msg("It holds {upper_v}, give or take {upper_tolerance_v}; {bank} rests full at {lower_v}."),
    limit=msg("It must hold more than that; the room between them is {margin_v}."),
    happens=msg("The battery is not kept full while it is on charge, and loses its capacity in weeks."),
    do=msg("Set float above {set_to_v}."),
    known=msg("It holds {upper_v}, give or take {upper_tolerance_v}; {bank} rests full at about {lower_v}."),
)
LADDER["settings_overlap.float_above_hold"] = replace(
    _OVERLAP,
    title=msg("Float keeps the lithium brim full"),
    found=msg("It holds {float_v}, give or take {tolerance_v}."),
    limit=msg("{bank} bears at most {limit_v} for good."),
    happens=msg("Lithium that is held full for weeks ages early."),
    do=msg("Set float to no more than {set_to_v}, or part the lithium once it is full."),
    known=msg("It holds {float_v}, give or take {tolerance_v}; the trade holds {bank} at {set_to_v} or less."),
)
LADDER["settings_overlap.joins_above_charge"] = replace(
    _OVERLAP,
    title=msg("One charge source alone does not make the relay join"),
    found=msg(
        "The relay joins at {lower_v}, give or take {lower_tolerance_v}; {source} may reach no more than {reaches_v} "
        "in the heat."
    ),
    limit=msg("Every source that it senses must reach further; the room between them is {margin_v} as set."),
    happens=msg("While that source works alone, the other side is not charged."),
    do=msg("Set the relay to join below {set_to_v}."),
)
LADDER["settings_overlap.releases_at_float"] = replace(
    _OVERLAP,
    title=msg("The relay lets go while the charger floats"),
    found=msg(
        "The relay releases at {lower_v}, give or take {lower_tolerance_v}; {source} holds {upper_v}, give or take "
        "{upper_tolerance_v}."
    ),
    limit=msg("It must release below what the charger holds; the room between them is {margin_v} as set."),
    happens=msg("The other side is not kept full, and the relay may open and close all day."),
    do=msg("Set the relay to release below {set_to_v}, or hold a higher voltage."),
)
LADDER["settings_overlap.inverter_outlasts"] = replace(
    _OVERLAP,
    title=msg("The inverter does not give up before the lithium is cut off"),
    found=msg(
        "{bank} is cut off at {lower_v}, give or take {lower_tolerance_v}; the inverter gives up only at {upper_v}. "
        "At full load {drop_v} are lost on the way to it."
    ),
    limit=msg("The inverter must give up first."),
    happens=msg(
        "The largest load aboard goes on until the lithium is cut off under full current, and then empties any battery "
        "that is left."
    ),
    do=msg("Set the inverter to switch itself off at {set_to_v} or more, or let the contactor's controller stop it."),
)
LADDER["settings_overlap.inverter_stops_early"] = replace(
    _OVERLAP,
    title=msg("The inverter gives up while much is left"),
    found=msg("The inverter gives up at {lower_v}; {bank} with the planned rest in it still stands at {upper_v}."),
    limit=msg("It must give up below that."),
    happens=msg("It switches itself off with {left_share} left in the battery, even at no load."),
    do=msg("Set it to {set_to_v} or less."),
    known=msg("The inverter gives up at {lower_v}; {bank} with the planned rest in it stands at about {upper_v}."),
)
