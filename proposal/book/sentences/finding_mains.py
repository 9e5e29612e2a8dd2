"""Findings about the bilge pump, the mains side, and bonds to earth and hull: checks 47, 53 and 54."""

from dataclasses import replace

from proposal.book.language import msg
from proposal.book.sentences.finding_text import FindingText

MAINS: dict[str, FindingText] = {}

_PUMP = FindingText(
    msg("Bilge pump not to be relied on"),
    msg("The bilge pump has the right fuse, days in reserve, and an alarm that calls before it is too late"),
    msg("Its fuse is rated {rating_a}."),
    msg("The pump's maker allows {limit_a} at most."),
    msg("A blocked pump draws too little to open such a fuse: it burns out, and may set fire to what is around it."),
    msg("Fit a fuse of {limit_a}."),
    msg("Its fuse is rated {rating_a}."),
)
MAINS["bilge_pump_at_risk"] = _PUMP
MAINS["bilge_pump_at_risk.fuse_large"] = replace(_PUMP, title=msg("Fuse of the bilge pump larger than allowed"))
MAINS["bilge_pump_at_risk.blocked"] = replace(
    _PUMP,
    title=msg("Blocked bilge pump does not open its fuse"),
    found=msg("Blocked, the pump draws {blocked_a}; its fuse is rated {rating_a}."),
    limit=msg("Such a fuse surely opens from {clears_above_a} on."),
    do=msg("Fit a smaller fuse, of {largest_a} at most. The pump's own running current must still pass."),
    known=msg("Its fuse is rated {rating_a}. Blocked, the pump draws {blocked_a}."),
)
MAINS["bilge_pump_at_risk.reserve"] = replace(
    _PUMP,
    title=msg("Bilge pump runs its bank flat too soon"),
    found=msg(
        "With no charge, {bank} lasts {reserve_h}: all that stays on when nobody is aboard takes {day_wh} a day of "
        "{usable_wh}."
    ),
    limit=msg("It should last {limit_h} from full."),
    happens=msg("The pump stops while the vessel lies alone, and nobody notices before she is down by the head."),
    do=msg("Give it a bank of {capacity_needed_ah} in all, or take other loads off this bank."),
)
MAINS["bilge_pump_at_risk.no_alarm"] = replace(
    _PUMP,
    title=msg("No alarm for high water"),
    found=msg("No load of this system calls when the water rises."),
    limit=msg("A bilge pump has an alarm with a float switch of its own beside it."),
    happens=msg("A pump that is blocked, stuck or outrun by a leak is noticed when the cabin sole floats."),
    do=msg("Fit a float switch above the pump's own, with a siren that is fed ahead of the battery switch."),
)
MAINS["bilge_pump_at_risk.unnamed"] = replace(
    _PUMP,
    title=msg("Bilge pump and alarm not named"),
    found=msg("Loads are always on, and nobody says which of them is the bilge pump."),
    limit=msg("Pump and alarm must be known to be judged."),
    happens=msg("A pump with the wrong fuse, or with no alarm beside it, is noticed when it is too late."),
    do=msg("Say in the spec what each load that is always on serves."),
)

_MAINS = FindingText(
    msg("Mains side not safe beside the battery system"),
    msg("Mains earth, inlet, inverter and cases are as they must be beside the battery system"),
    msg("Mains earth and the battery system's negative are not joined."),
    msg("Aboard a boat they are joined, in one place."),
    msg("A mains fault into the battery system then opens nothing, and every metal case can be live."),
    msg("Have the electrician join mains earth and DC negative in one place."),
    msg("{point_count} facts about the mains side are not stated."),
)
MAINS["mains_unsafe"] = _MAINS
MAINS["mains_unsafe.earth"] = replace(_MAINS, title=msg("Mains earth not joined to the negative"))
MAINS["mains_unsafe.inlet"] = replace(
    _MAINS,
    title=msg("Shore inlet without a residual-current device"),
    found=msg("The inlet of shore power has no residual-current device."),
    limit=msg("It must part both conductors when {trips_a} go astray."),
    happens=msg("A leak to earth goes on for ever: it can kill whoever touches a case, or swims beside the hull."),
    do=msg("Have the electrician fit one for {trips_a} at the inlet."),
)
MAINS["mains_unsafe.neutral"] = replace(
    _MAINS,
    title=msg("Inverter's neutral stays bonded on shore power"),
    found=msg("The bond of neutral and earth in the inverter does not open when shore power is on."),
    limit=msg("Neutral and earth are joined at the source that feeds at the time, and nowhere else."),
    happens=msg("Part of the current returns by the earth; residual-current devices trip or fail to see a fault."),
    do=msg("Have the electrician set or fit the transfer, so that the bond follows the source."),
)
MAINS["mains_unsafe.case"] = replace(
    _MAINS,
    title=msg("Case conductor too small"),
    found=msg("The conductor from its case to earth has {area_mm2}, its DC conductor {dc_mm2}."),
    limit=msg("It is one size below the DC conductor at the least: {needed_mm2} or more."),
    happens=msg("If a live DC lead touches the case, this conductor burns before the DC fuse opens."),
    do=msg("Lay {size} from the case to the common earth."),
)
MAINS["mains_unsafe.unknown"] = replace(
    _MAINS,
    title=msg("Mains side safe beside the battery system"),
    found=msg("Facts about the mains side are not stated."),
    limit=msg("Each must be known before anybody works beside it."),
    do=msg("Ask the electrician, and write down the answers in the spec."),
    happens=msg("A fault at mains voltage can reach people who think that they touch a battery system."),
)

_BONDING = FindingText(
    msg("System not tied to earth or hull as it must be"),
    msg("The system is joined to earth or hull in one place, and does not leak into either"),
    msg("The negative is joined to earth or hull in {bond_count} places."),
    msg("It is joined in one place."),
    msg("Load current finds its way through hull, shaft and shielding, and eats metal under water."),
    msg("Keep the joint at the main negative and open the others. Safety earths stay as they are: never cut one."),
    msg("{point_count} facts about earth and hull are not stated."),
)
MAINS["bonding_wrong"] = _BONDING
MAINS["bonding_wrong.several"] = replace(_BONDING, title=msg("Negative joined to earth in several places"))
MAINS["bonding_wrong.shore"] = replace(
    _BONDING,
    title=msg("Shore earth with nothing against corrosion"),
    found=msg("The earth of the shore cable is joined to the hull's metal with nothing in between."),
    limit=msg("A galvanic isolator or an isolating transformer stands in it."),
    happens=msg("Every boat on the same pontoon becomes one battery, and shaft and hull are its anode."),
    do=msg("Have the electrician fit a galvanic isolator that fails safe, or a transformer. Never cut the earth."),
)
MAINS["bonding_wrong.hull"] = replace(
    _BONDING,
    title=msg("Positive leaks into the hull"),
    found=msg("Between positive and hull {leak_ohm} were measured."),
    limit=msg("On a metal hull it is {limit_ohm} at least."),
    happens=msg("Direct current into the hull can eat through plating within weeks."),
    do=msg("Switch off circuit by circuit until the reading rises to {limit_ohm}, and mend what leaks."),
)
MAINS["bonding_wrong.unknown"] = replace(
    _BONDING,
    title=msg("System tied to earth and hull as it must be"),
    found=msg("Facts about earth and hull are not stated."),
    limit=msg("Each must be known before anything is joined to them."),
    do=msg("Look and measure, and write down the answers in the spec."),
)

FIND_OUT_MAINS: dict[str, str] = {
    "what_it_serves": msg("Say in the spec which load that is always on is the bilge pump, and which the alarm."),
    "maker_fuse": msg("Read from the pump, or ask its maker, how large its fuse may be."),
    "locked_rotor": msg("Ask the pump's maker what it draws when it is blocked, or measure it for a second."),
    "mains_facts": msg(
        "Ask the electrician: is mains earth joined to the negative, is there a residual-current device at the inlet, "
        "does the inverter's neutral bond open on shore power, and how large is the conductor from its case?"
    ),
    "bonding_facts": msg(
        "Count the joints of negative and earth, and look what stands in the earth of the shore cable."
    ),
    "bonding_facts_metal": msg(
        "Count the joints of negative and hull, look what stands in the earth of the shore cable, and measure from "
        "positive to hull with everything switched on."
    ),
}
