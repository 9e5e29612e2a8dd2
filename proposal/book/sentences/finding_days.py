"""Findings that only the days can show: checks 56 to 71, but for what stands in `finding_lasting`."""

from dataclasses import replace

from proposal.book.language import msg
from proposal.book.sentences.finding_text import FindingText

DAYS: dict[str, FindingText] = {}

DAYS["relay_chatters"] = FindingText(
    msg("Relay that switches to and fro"),
    msg("No relay or contactor switches to and fro"),
    msg("It switches {switch_count} times within {within_s} ({during}, {clock_s}). That is day {day_count} of it."),
    msg("It should switch a few times a day, and keep to what it has decided for a while."),
    msg("Each switching burns its contacts a little: they wear out early, or weld together."),
    msg("Let it wait {hold_to_s} between two switchings. Or let it release only below {release_to_v}."),
    msg(
        "It switches {switch_count} times within {within_s} ({during}, {clock_s}). For how long it waits between two "
        "switchings is assumed."
    ),
)

DAYS["load_collapses"] = FindingText(
    msg("Load that pulls its own voltage down until it stops"),
    msg("Every load that draws more as voltage falls still finds enough voltage"),
    msg(
        "Its voltage falls to {voltage_v}, and it cannot go on ({during}, {clock_s}). It wants {power_w}. That is day "
        "{day_count} of it."
    ),
    msg("With the batteries and cables as they are then, no voltage gives it that much power."),
    msg("It stops in the middle of its work, and may start and stop again and again."),
    msg(
        "Let it switch itself off below {set_to_v}. Or give it thicker or shorter cables, or more battery behind them."
    ),
)

_UNFILLED = FindingText(
    msg("Lithium bank that is never filled"),
    msg("Every lithium bank is filled at least once a month"),
    msg("It is not full once in {longest_days} or longer; what charges it reaches {charge_v} at most."),
    msg("It should be full at least every {limit_days}, and {set_to_v} fill it."),
    msg("Its cells drift apart, and its meter no longer knows how full it is."),
    msg("Set what charges it to {set_to_v}."),
    msg("It is not full once in {longest_days} or longer; what charges it reaches {charge_v} at most."),
)
DAYS["bank_never_full"] = _UNFILLED
DAYS["bank_never_full.voltage"] = _UNFILLED
DAYS["bank_never_full.energy"] = replace(
    _UNFILLED,
    found=msg("It is not full once in {longest_days} or longer, though {charge_v} would fill it."),
    limit=msg("It should be full at least every {limit_days}."),
    do=msg("Fill it at least every {limit_days}, from shore or with the engine, or give it a larger array."),
)

_MISSED = FindingText(
    msg("Lithium that is not joined at dusk"),
    msg("At dusk the lithium is joined before the lead carries the night"),
    msg(
        "The bus falls past {bank}, and it is not joined ({during}, {clock_s}). They are {difference_v} apart by then."
    ),
    msg("Its rule joins only while both are within {rule_v} of each other."),
    msg(
        "The lead carries the night by itself: it is emptied, though the lithium is full, and the engine starts on it."
    ),
    msg("Let it join whenever the bus is at or below the lithium plus {set_to_v}, with no lower limit."),
    msg("The bus falls past {bank}, {difference_v} apart ({during}, {clock_s}); its rule joins within {rule_v}."),
)
DAYS["join_missed"] = _MISSED
DAYS["join_missed.rule"] = _MISSED
DAYS["join_missed.hold"] = replace(
    _MISSED,
    limit=msg("It waits {holds_s} between two switchings. The bus falls past the lithium within {falls_s}."),
    do=msg(
        "Let it wait less than {falls_s} between two switchings. Let it join whenever the bus is at or below the "
        "lithium plus {set_to_v}."
    ),
)

_OPENED = FindingText(
    msg("Lithium whose management acts in ordinary use"),
    msg("In ordinary use no lithium bank has to protect itself"),
    msg("Its highest cell makes its management end charging at {voltage_v} ({during}, {clock_s})."),
    msg("Its management is there for emergencies: settings around it are to act first."),
    msg("Charging ends before it is full, or the source that charges it loses its battery."),
    msg("Set what charges it to {set_to_v} or less, so that its highest cell stays in bounds."),
    msg(
        "Its highest cell reaches its limit while the battery is at {voltage_v} ({during}, {clock_s}). How far its "
        "cells differ is assumed."
    ),
)
DAYS["management_opens"] = _OPENED
DAYS["management_opens.cell_high"] = replace(_OPENED, title=msg("Lithium that ends its own charging"))
DAYS["management_opens.cell_low"] = replace(
    _OPENED,
    title=msg("Lithium that switches itself off when it is empty"),
    found=msg(
        "Its management switches it off at {voltage_v} ({during}, {clock_s}). It does so {cut_off_count} times in the "
        "year."
    ),
    happens=msg("Everything that it feeds goes dark at once."),
    do=msg("Let its contactor open, or loads be switched off, at {set_to_v}, before the management does."),
)
DAYS["management_opens.cold"] = replace(
    _OPENED,
    title=msg("Lithium that cannot be charged for the cold"),
    found=msg("Its management ends charging for the cold ({during}, {clock_s}). Its place gets down to {coldest_c}."),
    limit=msg("It is charged only where it is warm enough for its cells."),
    happens=msg("Sun and engine charge nothing while loads go on emptying it."),
    do=msg("Move it to a warmer place, or use a battery that heats itself."),
)
DAYS["management_opens.current"] = replace(
    _OPENED,
    title=msg("Lithium that switches itself off under load"),
    found=msg("More is drawn than its management lets through ({during}, {clock_s})."),
    happens=msg("Everything that it feeds goes dark at once."),
    do=msg("Do not run the largest loads together, or use batteries that give more. It gives {limit_a} for hours."),
)

DAYS["source_stranded"] = FindingText(
    msg("Charge source that loses its battery while it works"),
    msg("No charge source loses its battery while it works, or what is joined to it bears what comes"),
    msg("When the lithium is parted while it charges hard, the bus goes up to {peak_v}."),
    msg("What is connected bears {limit_v}."),
    msg("Lamps and electronics that are on at that moment are destroyed, and the source may be."),
    msg("Let it be stopped before its battery is parted, or keep a lead battery on its side that nothing takes away."),
    msg("When the lithium is parted, the bus goes up to {peak_v}; what is connected bears {limit_v}."),
)

_NEVER = FindingText(
    msg("Relay that never joins"),
    msg("Every relay joins and parts as it is meant to"),
    msg(
        "On an ordinary day of any season it never joins, though its side is charged. What it senses reaches "
        "{highest_v} at most; it joins at {joins_v}."
    ),
    msg("It is there to join the two sides whenever one of them is charged."),
    msg("What lies behind it is never charged, or never used."),
    msg("Let it join at {set_to_v} or less. Look at its setting, its sense lead and which side it senses."),
    msg(
        "On an ordinary day of any season it never joins, though its side is charged. What it senses reaches "
        "{highest_v} at most; it joins at {joins_v}."
    ),
)
DAYS["relay_never_switches"] = _NEVER
DAYS["relay_never_switches.joins"] = _NEVER
DAYS["relay_never_switches.parts"] = replace(
    _NEVER,
    title=msg("Relay that never parts"),
    found=msg(
        "On an ordinary day of any season it never parts. What it senses stays above {lowest_v}; it releases at "
        "{releases_v}."
    ),
    limit=msg("It is there to part the two sides when nothing charges."),
    happens=msg("Both sides are one battery: the house empties the one that starts the engine."),
    do=msg("Let it release at {set_to_v} or more. Look at its setting, its sense lead and which side it senses."),
    known=msg("It never parts. What it senses stays above {lowest_v}; it releases at {releases_v}."),
)

DAYS["lead_poorly_kept"] = FindingText(
    msg("Lead bank that is seldom full"),
    msg("Every lead bank is full about once a week, and loses little to sulphation"),
    msg(
        "It is full {full_per_month} times a month on average. In the poorest month it is full {fewest_count} times. "
        "Its longest time without is {longest_days}."
    ),
    msg("About {limit_per_month} full charges a month keep it well."),
    msg("It sulphates slowly: each year it holds a little less."),
    msg("Charge it until it is full at least once a week, or give it more sun or a longer absorption."),
    msg("It is full {full_per_month} times a month on average; about {limit_per_month} keep it well."),
)
DAYS["lead_poorly_kept.seldom"] = DAYS["lead_poorly_kept"]
DAYS["lead_poorly_kept.sulphated"] = replace(
    DAYS["lead_poorly_kept"],
    title=msg("Lead bank that sulphates"),
    found=msg("In one year sulphation takes {sulphated_share} of what it holds."),
    limit=msg("More than {limit_share} a year is too much."),
)

DAYS["lithium_held_high"] = FindingText(
    msg("Lithium held full in the warmth"),
    msg("No lithium bank is held full and warm for long"),
    msg("It is held above {voltage_v}, and warm, for {high_warm_h} of the year. {source} floats at {float_v}."),
    msg("Beyond {limit_h} a year it is felt."),
    msg("It ages faster than by use: nothing breaks, but it holds less some years earlier."),
    msg("Let what charges it float at {float_to_v} or less, or part it when it is full."),
    msg("It is held above {voltage_v}, and warm, for {high_warm_h} of the year."),
)

DAYS["water_to_top"] = FindingText(
    msg("Lead bank that wants water"),
    msg("No vented lead bank boils away the acid above its plates within a year"),
    msg("Charging takes {water_l} of water out of it in a year."),
    msg("What stands above its plates, about {reserve_l}, lasts {lasts_days}."),
    msg("Where plates fall dry they are lost, and hydrogen fills the space above them."),
    msg("Look into its cells and top them up with pure water at least every {lasts_days}."),
)
