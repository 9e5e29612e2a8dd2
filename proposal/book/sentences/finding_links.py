"""Findings about links, relays, switches and banks: checks 11 to 24."""

from dataclasses import replace

from proposal.book.language import msg
from proposal.book.sentences.finding_text import FindingText

LINKS: dict[str, FindingText] = {}

LINKS["equalising_current_high"] = FindingText(
    msg("Too much current at the moment when two sides are joined"),
    msg("What flows when two sides are joined is borne by all that it passes"),
    msg("{situation}: {difference_v} apart over {resistance_ohm} let {current_a} flow at the first moment."),
    msg("{limited_item} bears {limit_a}: {limited_by}."),
    msg("Contacts weld, so that the sides can no longer be parted; or a fuse or the lithium takes itself out."),
    msg(
        "Join only when the sides are less than {difference_allowed_v} apart, what the controller may misread "
        "included. Or add {resistance_more_ohm} to the "
        "loop, for example by a longer link."
    ),
    msg(
        "{situation}: {difference_v} apart over {resistance_ohm} let {current_a} flow; what {limited_item} bears is "
        "not known."
    ),
)

LINKS["relay_overloaded_by_charging"] = FindingText(
    msg("Relay or switch too small for the charge current"),
    msg("Every relay and switch carries the charge current that it passes"),
    msg("{current_a} flow through it for hours, {case}."),
    msg("It is rated {limit_a}."),
    msg("It overheats; its contacts weld or burn."),
    msg("Fit one for {current_a} or more, or limit the charge sources."),
    msg("{current_a} flow through it for hours, {case}; no part is chosen for it."),
)

_FOOLED = FindingText(
    msg("The relay's voltages do not fit what it joins"),
    msg("Every voltage-sensitive relay joins and parts as it should"),
    msg("{bank} rests full at {rest_v}; the relay releases at {releases_v}, give or take {tolerance_v}."),
    msg("It parts at rest only if it releases above {releases_above_v}."),
    msg(
        "Once joined it stays joined when nothing charges any more, and the house draws on the starting battery too. "
        "It parts only when {bank} has fallen to {parts_at_share} of its charge. "
        "Loads above {parts_at_a} part it before."
    ),
    msg(
        "Set it to release above {releases_above_v} and to join above {joins_above_v}, or use a DC-DC charger in its "
        "place."
    ),
    msg("{bank} rests full at about {rest_v}; the relay releases at {releases_v}, give or take {tolerance_v}."),
)
LINKS["relay_thresholds_fooled"] = _FOOLED
LINKS["relay_thresholds_fooled.stays_joined"] = replace(_FOOLED, title=msg("Relay stays joined when nothing charges"))
LINKS["relay_thresholds_fooled.joins_at_rest"] = replace(
    _FOOLED,
    title=msg("Relay joins when nothing charges"),
    found=msg(
        "{bank} rests full at {rest_v}; the relay joins at {joins_v} and releases at {releases_v}, give or take "
        "{tolerance_v}."
    ),
    limit=msg("It must not join below {joins_above_v}, and must release above {releases_above_v}."),
    happens=msg(
        "It joins with nothing charging and stays joined: the starting battery is emptied along with the house."
    ),
)
LINKS["relay_thresholds_fooled.never_joins"] = replace(
    _FOOLED,
    title=msg("Relay never joins"),
    found=msg("It joins at {joins_v}, give or take {tolerance_v}; the highest charge voltage set is {charge_v}."),
    limit=msg("To join for sure it must be set below {joins_below_v}."),
    happens=msg("The far side is never charged."),
    do=msg("Set it to join below {joins_below_v}, or raise the charge voltage if the batteries allow it."),
)
LINKS["relay_thresholds_fooled.chatters"] = replace(
    _FOOLED,
    title=msg("Relay opens and closes again and again"),
    found=msg("It joins at {joins_v} and releases at {releases_v}, give or take {tolerance_v}: the two overlap."),
    limit=msg("It must join above {joins_above_v}."),
    happens=msg("It opens and closes again and again, until its contacts burn or weld."),
    do=msg("Set it to join above {joins_above_v}."),
)

_COIL = FindingText(
    msg("Coil driven in the wrong way"),
    msg("Every relay's coil fits what drives it, in kind and voltage"),
    msg("The coil fitted is {fitted}; its controller drives it as {driven_as}."),
    msg("Both must be of one kind."),
    msg("A latching coil that is held burns within seconds; a held one that only gets a pulse opens again."),
    msg("Fit a contactor whose coil is {driven_as}, or change how the controller drives it."),
)
LINKS["coil_driven_wrong"] = _COIL
LINKS["coil_driven_wrong.kind"] = _COIL
LINKS["coil_driven_wrong.voltage"] = replace(
    _COIL,
    title=msg("Coil made for another voltage"),
    found=msg("The coil is made for {coil_v}."),
    limit=msg("The system has {system_v}."),
    happens=msg("It does not close for certain, or it burns."),
    do=msg("Fit one with a coil for {system_v}."),
)

_SWITCH = FindingText(
    msg("Bank without a switch"),
    msg("Every bank can be taken out by hand"),
    msg("Nothing lets anyone take this bank of {capacity_ah} out by hand."),
    msg("Each bank needs a switch near it that is easy to reach; a contactor does not count."),
    msg("In a fire or a flood the current cannot be stopped, and nobody can work safely on what is behind it."),
    msg("Fit a battery switch in its positive conductor, close to the bank. It must carry {wanted_a}."),
)
LINKS["bank_without_switch"] = _SWITCH
LINKS["bank_without_switch.bypassed"] = replace(
    _SWITCH,
    title=msg("Something goes past the switch of a bank"),
    found=msg("With every hand switch off, {first_item} is still joined to this bank of {capacity_ah}."),
    limit=msg("Only what must stay on may be joined ahead of the switch."),
    do=msg("Join {first_item} behind the bank's switch, or give it a switch of its own."),
)

_LIMIT = FindingText(
    msg("Lithium batteries asked for more than their maker allows"),
    msg("No lithium battery is asked for more than its maker allows"),
    msg("Each battery string gives {current_a}, {case}. Counted with {strings_out} of them out of service."),
    msg("Its maker allows {limit_a} for hours."),
    msg("Its management system switches it off just when the power is wanted."),
    msg(
        "Reduce the load, or choose stronger batteries. With these, {strings_needed} in parallel are needed instead of "
        "{strings}."
    ),
    msg("Each battery string gives {current_a}, {case}; the maker's limit is not stated."),
)
LINKS["battery_limit_exceeded"] = _LIMIT
LINKS["battery_limit_exceeded.discharge"] = _LIMIT
LINKS["battery_limit_exceeded.charge"] = replace(
    _LIMIT,
    title=msg("Lithium batteries charged with more than their maker allows"),
    found=msg(
        "Each battery string is charged with {current_a}, {case}. Counted with {strings_out} of them out of service."
    ),
    limit=msg("Its maker allows {limit_a}."),
    happens=msg(
        "Its management system switches it off in the middle of charging, and an alternator may lose its battery."
    ),
    do=msg(
        "Limit the charge sources, or choose batteries that take more. With these, {strings_needed} in parallel are "
        "needed instead of {strings}."
    ),
    known=msg("Each battery string is charged with {current_a}, {case}; the maker's limit is not stated."),
)
LINKS["battery_limit_exceeded.peak"] = replace(
    _LIMIT,
    found=msg(
        "For some seconds each battery string gives {current_a}, {case}. Counted with {strings_out} of them out of "
        "service."
    ),
    limit=msg("Its maker allows {limit_a} at the peak."),
)
LINKS["battery_limit_exceeded.peak_time"] = replace(
    _LIMIT,
    found=msg("Each battery string gives {current_a} for {time_s}, {case}."),
    limit=msg("Above {limit_a} its maker allows {limit_s} only."),
    do=msg("Start the engine from another battery, or choose one that bears it for longer."),
    known=msg("Each battery string gives {current_a} for {time_s}, {case}; for how long it bears that is not stated."),
)

LINKS["battery_limit_exceeded.surge_time"] = replace(
    _LIMIT,
    found=msg(
        "While {item} starts, each battery string gives {current_a} for {time_s}, {case}. Counted with {strings_out} "
        "of them out of service."
    ),
    limit=msg("Above {limit_a} its maker allows {limit_s} only."),
    do=msg(
        "Choose batteries that bear it for longer. With these, {strings_needed} in parallel are needed instead of "
        "{strings}."
    ),
    known=msg(
        "While {item} starts, each battery string gives {current_a} for {time_s}, {case}; that is above the {limit_a} "
        "that it gives for hours."
    ),
)

LINKS["lithium_feeds_shorted_lead"] = FindingText(
    msg("Lithium can feed a failed lead battery"),
    msg("Lithium and lead part by themselves before a failed lead cell is fed for long"),
    msg("Nothing parts {lead} from the lithium by itself while the one feeds the other and no source charges."),
    msg("More than {parts_above_a} for {after_s} must part them."),
    msg(
        "When one lead cell shorts, the lithium at {lithium_v} holds the {cells_left} others at {cell_v} each, with a "
        "current that no fuse notices: the battery boils, gives off gas and can catch fire."
    ),
    msg(
        "Use a controller that opens the contactor on more than {parts_above_a} from lithium into lead for {after_s}, "
        "and set it so."
    ),
    msg("The relay between them may part them, but nobody states its voltages."),
)
