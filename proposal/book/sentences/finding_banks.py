"""Findings about the batteries of one bank: checks 23, 25, 26 and 27 to 29."""

from dataclasses import replace

from proposal.book.language import msg
from proposal.book.sentences.finding_text import FindingText

BANKS: dict[str, FindingText] = {}

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
