"""Findings about place and fitting: checks 43 to 45."""

from dataclasses import replace

from proposal.book.language import msg
from proposal.book.sentences.finding_text import FindingText

FITTING: dict[str, FindingText] = {}

FITTING["not_ignition_protected"] = FindingText(
    msg("Part that can ignite vapour or gas"),
    msg("What stands where petrol vapour or gas can collect is protected against igniting it"),
    msg("It is not protected against igniting what is around it, and it stands here: {place}."),
    msg("Where petrol vapour or gas can collect, every electrical part must be tested not to ignite it."),
    msg("The smallest spark of a contact or brush is enough for an explosion."),
    msg("Fit one that is marked as ignition-protected, or move it to a place that is closed off from the vapour."),
    msg("{item_count} parts stand here: {place}. The first of them is {first_item}."),
)

_LOOSE = FindingText(
    msg("Battery not safe where it stands"),
    msg("Every battery is held, and stands clear of fuel parts and bilge water"),
    msg("It moves {moved_m} when it is pulled with twice its weight."),
    msg("It may move {limit_m} at most."),
    msg("In a seaway or a crash it tears its cables off, shorts, or falls on somebody."),
    msg("Hold it down with straps or a tray that bear twice its weight. All of this bank together weighs {mass_kg}."),
    msg("It may move {limit_m} at most when it is pulled with twice its weight."),
)
FITTING["battery_loose"] = _LOOSE
FITTING["battery_loose.moves"] = replace(_LOOSE, title=msg("Battery can move"))
FITTING["battery_loose.fuel"] = replace(
    _LOOSE,
    title=msg("Battery close to metal fuel parts"),
    found=msg("The nearest metal part of tank, filter or fuel line is {distance_m} away."),
    limit=msg("Closer than {limit_m} it must be shielded."),
    happens=msg("A spanner or a loose lead between post and pipe burns a hole in the fuel line."),
    do=msg("Move the battery, or shield the metal within {limit_m} with something that does not conduct."),
)
FITTING["battery_loose.bilge"] = replace(
    _LOOSE,
    title=msg("Battery where bilge water reaches it"),
    found=msg("It stands below the level that bilge water can reach."),
    limit=msg("Batteries stand in a dry place above it."),
    happens=msg("Water shorts the posts, and the pump dies when it is wanted most."),
    do=msg("Raise it above the highest bilge water, the vessel heeled too."),
)

_CROWDED = FindingText(
    msg("Connection crowded, bare or unsupported"),
    msg("Studs have room for their lugs, live posts are covered, conductors are held"),
    msg("{lug_count} lugs share {pin_count} posts or pins here."),
    msg("A stud holds {limit_count} lugs at most."),
    msg("The lugs at the top sit badly, get hot and work loose."),
    msg("Fit a bus bar beside it and lead the smaller conductors there."),
)
FITTING["terminals_crowded"] = _CROWDED
FITTING["terminals_crowded.stud"] = replace(_CROWDED, title=msg("Too many lugs on a stud"))
FITTING["terminals_crowded.bar"] = replace(
    _CROWDED,
    title=msg("Bus bar without room for its conductors"),
    found=msg("{landed_count} connections land on it; it has room for {room_count}."),
    limit=msg("Each connection needs a place of its own."),
    do=msg("Fit {bar_count} such bars side by side, joined by a strap for the whole current, or one with more studs."),
)
FITTING["terminals_crowded.bare"] = replace(
    _CROWDED,
    title=msg("Live posts not covered"),
    found=msg("Posts and positive studs are not covered."),
    limit=msg("Every live post has a cover that does not conduct."),
    happens=msg("A dropped spanner welds itself fast across the posts; the battery can burst."),
    do=msg("Fit a boot on each post and stud, and a lid over the bars."),
    known=msg("Every live post must have a cover that does not conduct."),
)
FITTING["terminals_crowded.hanging"] = replace(
    _CROWDED,
    title=msg("Conductors not held"),
    found=msg("Along this run the conductors hang free for up to {gap_m}."),
    limit=msg("They are held every {limit_m} at least."),
    happens=msg("They swing and chafe until the insulation is through."),
    do=msg("Clip them every {limit_m}: about {clip_count} clips on this run."),
    known=msg("Of {route_count} runs nobody says how they are held; every {limit_m} is asked for."),
)

FIND_OUT_FITTING: dict[str, str] = {
    "ignition_protection": msg(
        "Look for the mark of ignition protection on each part there, or ask its maker. Then write it down in the spec."
    ),
    "battery_place": msg(
        "Pull each battery with twice its weight and measure how far it moves. Measure how close the nearest metal "
        "fuel part is, and see whether bilge water can reach it."
    ),
    "battery_movement": msg("Pull each battery with twice its weight and measure how far it moves."),
    "terminal_covers": msg("Look whether every live post and stud has a cover."),
    "supports": msg("Measure the largest gap between the clips along each run."),
}
