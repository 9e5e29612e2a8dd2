"""Findings about the batteries of one bank: checks 22, 23 and 25 to 29."""

from dataclasses import replace

from proposal.book.language import msg
from proposal.book.sentences.finding_text import FindingText

BANKS: dict[str, FindingText] = {}

_UNEVEN = FindingText(
    msg("Batteries in parallel that share unevenly"),
    msg("The batteries of every bank share its current evenly"),
    msg(
        "Of the current of the whole bank {battery} gives {most_share}, where {even_share} would be even: the longest "
        "way to a battery has {spread_share} more resistance than the mean of all."
    ),
    msg("Up to {limit_share} more is good practice."),
    msg(
        "{battery} gives {current_a} when everything is on, and is cycled deeper each day than its neighbours: it ages "
        "first, and then drags the whole bank down."
    ),
    msg("Give each battery leads of the same length and size to the bus of the bank."),
    msg(
        "With a usual resistance of such batteries {battery} would give {most_share} of the current, where "
        "{even_share} would be even; nobody states the real one."
    ),
)
BANKS["parallel_paths_uneven"] = _UNEVEN
BANKS["parallel_paths_uneven.leads"] = _UNEVEN
BANKS["parallel_paths_uneven.same_end"] = replace(
    _UNEVEN,
    do=msg(
        "Take the main leads from both ends of the chain, the positive from the first battery and the negative from "
        "the last: then it is {both_ends_share}. Leads of one length from each battery to a bus are better still."
    ),
)
BANKS["parallel_paths_uneven.links"] = replace(
    _UNEVEN,
    do=msg(
        "Link the batteries with {size} at least, or give each one leads of the same length and size to a bus of the "
        "bank."
    ),
)
BANKS["parallel_paths_uneven.own_bus"] = replace(
    _UNEVEN,
    do=msg("No link is large enough: give each battery leads of the same length and size to a bus of the bank."),
)

_UNEQUAL = FindingText(
    msg("Batteries of one bank joined while unequal"),
    msg("The batteries of every bank are brought to one voltage before they are joined"),
    msg("At rest its batteries are {difference_v} apart, as measured: {apart_share} of their charge."),
    msg("Up to {limit_v} they may be joined as they are."),
    msg("At the moment of joining {current_a} flow from one battery into the other, through {resistance_ohm} only."),
    msg("Charge each one full by itself, let them rest, and join them when they are less than {limit_v} apart."),
    msg("It has {battery_count} batteries."),
)
BANKS["batteries_joined_unequal"] = _UNEQUAL
BANKS["batteries_joined_unequal.parallel"] = _UNEQUAL
BANKS["batteries_joined_unequal.series"] = replace(
    _UNEQUAL,
    happens=msg(
        "In series they all get the same current: the fullest is overcharged before the others are full, and the "
        "emptiest is drained below empty."
    ),
)

BANKS["tapped_mid_bank"] = FindingText(
    msg("Load fed from the middle of a bank in series"),
    msg("Every load is fed from the whole of its bank"),
    msg("It draws {current_a} from one half of {bank}: {uneven_ah} a day that the other half does not give."),
    msg("Batteries in series must give the same charge."),
    msg("One half is drained deeper each day while the other is overcharged; both die early."),
    msg("Feed it from the whole bank through a converter for {power_w} or more."),
    msg("It draws {current_a} from one half of {bank}: {uneven_ah} a day that the balancer has to make up."),
)

_SERIES = FindingText(
    msg("Lithium batteries in series as they may not be"),
    msg("Lithium batteries stand in series only with their maker's leave, balanced, with a switch that can part them"),
    msg("{battery_count} batteries stand in series."),
    msg("The maker allows {allowed_count}."),
    msg("One battery reaches its limit before the others; it may be charged or drained past what its cells bear."),
    msg("Use one battery of the whole voltage, or a make that may be joined in series."),
    msg("{battery_count} batteries stand in series, on a system that reaches {voltage_v}."),
)
BANKS["series_not_allowed"] = _SERIES
BANKS["series_not_allowed.leave"] = replace(_SERIES, title=msg("More lithium batteries in series than allowed"))
BANKS["series_not_allowed.balancing"] = replace(
    _SERIES,
    title=msg("Lithium batteries in series that nothing balances"),
    limit=msg("They need something that keeps them equally charged."),
    do=msg(
        "Fit a balancer across the {battery_count} batteries, as their maker asks, or use one of the whole voltage."
    ),
)
BANKS["series_not_allowed.switch"] = replace(
    _SERIES,
    title=msg("Switch of the battery's management too weak for the string"),
    found=msg("The string reaches {voltage_v}."),
    limit=msg("The switch in each battery can part {limit_v} at most."),
    happens=msg("When one battery takes itself out, its switch bears the whole string: it fails and stays closed."),
    do=msg("Use batteries whose management parts {voltage_v} or more, or one battery of the whole voltage."),
)

_NEVER_FULL = FindingText(
    msg("Lead bank that is never full"),
    msg("Every lead bank is filled within a fortnight, at the voltage that it needs"),
    msg(
        "{source}, set to {charge_v}, brings {voltage_v} to its posts at {temperature_c}; {lost_v} are lost on the "
        "way. In the simulated year its longest time without a full charge is {longest_days}."
    ),
    msg("At that temperature it needs {limit_v} or more."),
    msg("What is never quite full sulphates: it loses capacity month by month and does not get it back."),
    msg(
        "Set {source} to {set_v} at {reference_c}, compensated by {per_kelvin_v} for each kelvin above. The lithium "
        "that is joined bears {lithium_limit_v} only: part it first."
    ),
    msg("{source}, set to {charge_v}, brings {voltage_v} to its posts at {temperature_c}; it needs {limit_v}."),
)
BANKS["lead_never_full"] = _NEVER_FULL
BANKS["lead_never_full.voltage"] = replace(_NEVER_FULL, title=msg("Lead bank charged with too little voltage"))
BANKS["lead_never_full.no_source"] = replace(
    _NEVER_FULL,
    title=msg("Lead bank that nothing charges"),
    found=msg(
        "No charge source reaches it, with every relay closed. In the simulated year its longest time without a full "
        "charge is {longest_days}."
    ),
    limit=msg("It needs a source of its own, or a link to one."),
    do=msg("Charge it through a relay or a DC-DC charger from the side that has sources."),
)
BANKS["lead_never_full.energy"] = replace(
    _NEVER_FULL,
    found=msg(
        "{season}: not full for {empty_days}. A day's charge lacks {lacking_wh} of what is used. Only {surplus_wh} a "
        "day are left to fill it."
    ),
    limit=msg("Lead wants a full charge at least every {limit_days}."),
    do=msg(
        "Fill it at least every {limit_days}: with a larger array, or a source that runs when it is told to. {source} "
        "would have to run {hours_h}."
    ),
)
BANKS["lead_never_full.days"] = replace(
    _NEVER_FULL,
    title=msg("Lead bank that goes too long without a full charge"),
    found=msg(
        "In the simulated year its longest time without a full charge is {longest_days}; it is full {full_per_month} "
        "times a month on average."
    ),
    limit=msg("Lead wants a full charge at least every {limit_days}."),
    do=msg(
        "Fill it at least every {limit_days}: with a larger array, or a source that runs when it is told to. {source} "
        "would have to run {hours_h}. Let absorption last until it takes no more."
    ),
)
BANKS["lead_never_full.time"] = replace(
    _NEVER_FULL,
    title=msg("Absorption too short for the lead bank"),
    known=msg(
        "{source} ends absorption after {hours_h}. A bank of {capacity_ah} that takes {current_a} when absorption "
        "begins wants about {needed_h}."
    ),
)

_FREEZES = FindingText(
    msg("Lead bank that can freeze"),
    msg("No lead bank gets so cold that its acid freezes"),
    msg("Its place gets as cold as {coldest_c}; used down to {lowest_share} its acid freezes at {freezes_c}."),
    msg("With a margin it should not get below {limit_c}."),
    msg("Ice bursts the cells; the acid runs out when it thaws."),
    msg("Keep it above {needed_share} of its charge in frost, or its place above {limit_c}."),
    msg("Its place gets as cold as {coldest_c}; used down to {lowest_share} its acid freezes at {freezes_c}."),
)
BANKS["lead_freezes"] = _FREEZES
BANKS["lead_freezes.year"] = replace(
    _FREEZES,
    found=msg(
        "Its place gets as cold as {coldest_c}; in the simulated year it falls to {lowest_share} of its charge, and "
        "its acid then freezes at {freezes_c}."
    ),
)
BANKS["lead_freezes.neglect"] = replace(
    _FREEZES,
    found=msg(
        "Its place gets as cold as {coldest_c}; left alone with a load on, it falls to {lowest_share} of its charge, "
        "and its acid then freezes at {freezes_c}."
    ),
    do=msg(
        "Charge it, or take it to a warm place, before it is left in frost: above {needed_share} it does not freeze."
    ),
)

BANKS["lead_overheats"] = FindingText(
    msg("Lead bank overcharged in the heat"),
    msg("In the heat no lead bank is charged with more than it then bears"),
    msg("{source} charges with {set_v} when the bank is at {hottest_c}; right would be {right_v}."),
    msg("That is {excess_v} too much; up to {limit_v} do little harm."),
    msg("It gasses, heats itself further and takes more current the hotter it gets, until it boils dry or burns."),
    msg(
        "Measure its temperature and compensate by {per_kelvin_v} for each kelvin above {reference_c}, or charge with "
        "no more than {allowed_v}, or put it in a cooler place."
    ),
    msg(
        "{source} charges with {set_v}, as far as is known, when the bank is at {hottest_c}; right would be {right_v}."
    ),
)
