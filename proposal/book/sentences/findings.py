"""What each finding says: what was found, its limit, what happens, what to do; what to find out where undecided.

Fields are the values that the rules emit. A finding with several causes has sentences for each, under `id.cause`.
"""

from dataclasses import dataclass, replace

from proposal.book.language import msg


@dataclass(frozen=True, slots=True)
class FindingText:
    """Sentences of one check.

    `title` names the objection and `passed` what holds where it does not fire, both without fields. `found` and
    `limit` are in measured terms, `happens` is the consequence, `do` the remedy. `known`: what is known of an undecided
    one.
    """

    title: str
    passed: str
    found: str
    limit: str
    happens: str
    do: str
    known: str = ""


FINDINGS: dict[str, FindingText] = {}

FINDINGS["positive_unfused"] = FindingText(
    msg("Conductor without a fuse near its source"),
    msg("Every positive conductor has a fuse near each source that feeds it"),
    msg("{distance_m} of positive conductor can be fed from {source} with no fuse on the way."),
    msg("At most {limit_m} may be unfused here."),
    msg(
        "If its insulation chafes through on that stretch, nothing stops the current: it glows and sets fire to what "
        "it touches."
    ),
    msg(
        "Fit a fuse within {limit_m} of {source}; today it is {excess_m} too far. Or lay {size}, which carries all "
        "that {source} can give."
    ),
)

FINDINGS["link_fused_one_end"] = FindingText(
    msg("Link between two sources fused at one end only"),
    msg("Every link between two sources is fused at both ends"),
    msg("{fed_by} feeds {end} of this link with no fuse there; a short circuit there brings {fault_a}."),
    msg("Each end behind which a battery lies needs its own fuse."),
    msg("A fault near that end is fed by the other side with nothing in the way."),
    msg("Fit a fuse of {smallest_a} to {largest_a} at that end."),
)

_OVERLOADED = FindingText(
    msg("Conductor or fuse does not fit the current"),
    msg("Every conductor carries its current, and its fuse guards it"),
    msg("{current_a} flow here for hours, {case}."),
    msg("It may carry {limit_a}, heat and bundling considered."),
    msg("The insulation ages, softens and fails; in a bundle it takes its neighbours along."),
    msg("Reduce what it carries to {limit_a}, or lay a larger one. The smallest size that will do is {size}."),
)
FINDINGS["conductor_overloaded"] = _OVERLOADED
FINDINGS["conductor_overloaded.current"] = _OVERLOADED
FINDINGS["conductor_overloaded.own_fuse"] = replace(
    _OVERLOADED,
    found=msg("The fuse is rated {current_a}; it guards {conductor}."),
    limit=msg("The largest that may guard it is {limit_a}."),
    happens=msg("A fault lets through more than the conductor bears, and the fuse does not open in time."),
    do=msg("Fit a fuse of {limit_a} or less, or lay a larger conductor. The smallest size for this fuse is {size}."),
)
FINDINGS["conductor_overloaded.fuses_together"] = replace(
    _OVERLOADED,
    found=msg("The {fuse_count} fuses that feed {end} of it let {current_a} through together."),
    limit=msg("Its ampacity allows {limit_a}."),
    happens=msg("Each fuse sees only its own part of a fault, and none opens in time."),
    do=msg(
        "Fit a fuse of {limit_a} or less for this conductor itself, or lay a larger one. The smallest size that will "
        "do is {size}."
    ),
)

_BREAKS = FindingText(
    msg("Fuse cannot break the short-circuit current"),
    msg("Every fuse can break the short-circuit current at its place"),
    msg("A short circuit at this fuse brings {needed_a}, all sources feeding."),
    msg("It can break {interrupt_a}."),
    msg("It does not open cleanly: it bursts or goes on arcing, and the fault is fed on."),
    msg("Fit one of a class that breaks {needed_a} or more."),
    msg(
        "A short circuit here brings {needed_a}, of which {assumed_a} rest on a battery whose maker states no figure: "
        "{bank}. The fuse can break {interrupt_a}."
    ),
)
FINDINGS["breaking_capacity_low"] = _BREAKS
FINDINGS["breaking_capacity_low.fault"] = _BREAKS
FINDINGS["breaking_capacity_low.no_part"] = replace(
    _BREAKS,
    found=msg(
        "The price book has no fuse for this place. A short circuit here brings {needed_a}, and the system reaches "
        "{highest_v}."
    ),
    limit=msg("Ratings from {smallest_a} to {largest_a} would fit the conductor and its current."),
    happens=msg("Without a fuse that fits, the circuit must not be built."),
    do=msg("Add a fuse to the price book that breaks {needed_a} at {highest_v}, or divide the circuit."),
)
FINDINGS["breaking_capacity_low.table"] = replace(
    _BREAKS,
    found=msg("It can break {interrupt_a}; the batteries behind it are rated {cranking_a} for cold cranking."),
    limit=msg("For such batteries the rule asks for {needed_a} or more."),
    do=msg("Fit one of a class that breaks {needed_a} or more."),
)

FINDINGS["battery_without_device"] = FindingText(
    msg("Large parallel bank without a fuse for each battery"),
    msg("Every large parallel bank has a fuse for each battery"),
    msg("{battery_count} in parallel hold {capacity_ah}; {without_count} of them have no fuse of their own."),
    msg("Above {limit_ah} each needs its own."),
    msg("When one battery fails inside, all the others empty themselves into it."),
    msg("Fit a fuse on the post of each battery."),
)

_VOLTAGE = FindingText(
    msg("Device not made for this voltage"),
    msg("Every device is rated for the highest voltage of the system, and breaks it from either side"),
    msg("It is rated for {rating_v} direct current."),
    msg("The system reaches {highest_v} while it charges."),
    msg("When it opens under load, the arc may not go out."),
    msg("Fit one that is rated for {highest_v} direct current or more."),
    msg("It must bear {highest_v} and carry {wanted_a}; no part is chosen for it."),
)
FINDINGS["device_voltage_low"] = _VOLTAGE
FINDINGS["device_voltage_low.rating"] = _VOLTAGE
FINDINGS["device_voltage_low.polarised"] = replace(
    _VOLTAGE,
    found=msg("This breaker has a direction, and current can come from either side of it."),
    limit=msg("It breaks {highest_v} in one direction only."),
    do=msg("Fit a fuse, or a breaker without polarity."),
)

FINDINGS["equalising_current_high"] = FindingText(
    msg("Too much current at the moment when two sides are joined"),
    msg("What flows when two sides are joined is borne by all that it passes"),
    msg("{situation}: {difference_v} apart over {resistance_ohm} let {current_a} flow at the first moment."),
    msg("{limited_item} bears {limit_a}: {limited_by}."),
    msg("Contacts weld, so that the sides can no longer be parted; or a fuse or the lithium takes itself out."),
    msg(
        "Join only when the sides are less than {difference_allowed_v} apart. Or add {resistance_more_ohm} to the "
        "loop, for example by a longer link."
    ),
    msg(
        "{situation}: {difference_v} apart over {resistance_ohm} let {current_a} flow; what {limited_item} bears is "
        "not known."
    ),
)

FINDINGS["relay_overloaded_by_charging"] = FindingText(
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
        "It parts only when {bank} has fallen to {parts_at_share} of its charge, or a load pulls it down."
    ),
    msg(
        "Set it to release above {releases_above_v} and to join above {joins_above_v}, or use a DC-DC charger in its "
        "place."
    ),
    msg("{bank} rests full at about {rest_v}; the relay releases at {releases_v}, give or take {tolerance_v}."),
)
FINDINGS["relay_thresholds_fooled"] = _FOOLED
FINDINGS["relay_thresholds_fooled.stays_joined"] = _FOOLED
FINDINGS["relay_thresholds_fooled.joins_at_rest"] = replace(
    _FOOLED,
    found=msg(
        "{bank} rests full at {rest_v}; the relay joins at {joins_v} and releases at {releases_v}, give or take "
        "{tolerance_v}."
    ),
    limit=msg("It must not join below {joins_above_v}, and must release above {releases_above_v}."),
    happens=msg(
        "It joins with nothing charging and stays joined: the starting battery is emptied along with the house."
    ),
)
FINDINGS["relay_thresholds_fooled.never_joins"] = replace(
    _FOOLED,
    found=msg("It joins at {joins_v}, give or take {tolerance_v}; the highest charge voltage set is {charge_v}."),
    limit=msg("To join for sure it must be set below {joins_below_v}."),
    happens=msg("The far side is never charged."),
    do=msg("Set it to join below {joins_below_v}, or raise the charge voltage if the batteries allow it."),
)
FINDINGS["relay_thresholds_fooled.chatters"] = replace(
    _FOOLED,
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
FINDINGS["coil_driven_wrong"] = _COIL
FINDINGS["coil_driven_wrong.kind"] = _COIL
FINDINGS["coil_driven_wrong.voltage"] = replace(
    _COIL,
    found=msg("The coil is made for {coil_v}."),
    limit=msg("The system has {system_v}."),
    happens=msg("It does not close for certain, or it burns."),
    do=msg("Fit one with a coil for {system_v}."),
)

FINDINGS["bank_without_switch"] = FindingText(
    msg("Bank without a switch"),
    msg("Every bank can be taken out by hand"),
    msg("Nothing lets anyone take this bank of {capacity_ah} out by hand."),
    msg("Each bank needs a switch near it that is easy to reach; a contactor does not count."),
    msg("In a fire or a flood the current cannot be stopped, and nobody can work safely on what is behind it."),
    msg("Fit a battery switch in its positive conductor, close to the bank. It must carry {wanted_a}."),
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
FINDINGS["battery_limit_exceeded"] = _LIMIT
FINDINGS["battery_limit_exceeded.discharge"] = _LIMIT
FINDINGS["battery_limit_exceeded.charge"] = replace(
    _LIMIT,
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
FINDINGS["battery_limit_exceeded.peak"] = replace(
    _LIMIT,
    found=msg(
        "For some seconds each battery string gives {current_a}, {case}. Counted with {strings_out} of them out of "
        "service."
    ),
    limit=msg("Its maker allows {limit_a} at the peak."),
)
FINDINGS["battery_limit_exceeded.peak_time"] = replace(
    _LIMIT,
    found=msg("Each battery string gives {current_a} for {time_s}, {case}."),
    limit=msg("Above {limit_a} its maker allows {limit_s} only."),
    do=msg("Start the engine from another battery, or choose one that bears it for longer."),
    known=msg("Each battery string gives {current_a} for {time_s}, {case}; for how long it bears that is not stated."),
)

FINDINGS["lithium_feeds_shorted_lead"] = FindingText(
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
FINDINGS["alternator_overloaded"] = _ALTERNATOR
FINDINGS["alternator_overloaded.acceptance"] = _ALTERNATOR
FINDINGS["alternator_overloaded.fuse"] = replace(
    _ALTERNATOR,
    found=msg("The fuse of the alternator is rated {rating_a}; its nameplate says {nameplate_a}."),
    limit=msg("The fuse needs {needed_a} or more."),
    happens=msg("It opens in use, the alternator loses its battery while it runs, and its voltage jumps."),
    do=msg("Fit a fuse of {needed_a} or more, with a conductor to match."),
    known=msg("The fuse of the alternator needs {needed_a} or more; no part is chosen for it."),
)

FINDINGS["array_voltage_high"] = FindingText(
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

_ALWAYS_ON = FindingText(
    msg("What must stay on can go dark"),
    msg("What must stay on has a fuse of its own and a feed that does not switch itself off"),
    msg("It is fed only from a bank that can switch itself off."),
    msg("Pumps, alarms and memories need a bank that stays."),
    msg("It is dead when it is wanted, and nobody notices before."),
    msg(
        "Feed it, fused and ahead of the battery switch, from a bank that cannot switch itself off. Here that is "
        "{better_bank}."
    ),
)
FINDINGS["always_on_at_risk"] = _ALWAYS_ON
FINDINGS["always_on_at_risk.cut_off"] = _ALWAYS_ON
FINDINGS["always_on_at_risk.no_fuse"] = replace(
    _ALWAYS_ON,
    found=msg("Its conductor has no fuse; it draws {current_a}."),
    limit=msg("What is ahead of the battery switch needs a fuse of its own."),
    happens=msg("A fault in it cannot be switched off, and a larger fuse before it lets the cable burn."),
    do=msg("Fit a fuse where its conductor leaves the bank, as the maker of the pump or alarm asks."),
)

_RETURN = FindingText(
    msg("Negative conductor not as it must be"),
    msg("Every negative is as large as its positive, and all banks share one negative"),
    msg("The negative is {fitted}, {area_mm2}."),
    msg("Its positive has {needed_mm2}."),
    msg(
        "The return carries all that went out: it heats first, and in a short circuit it can burn before the fuse "
        "opens."
    ),
    msg("Lay a negative of {size}."),
)
FINDINGS["return_smaller"] = _RETURN
FINDINGS["return_smaller.smaller"] = _RETURN
FINDINGS["return_smaller.no_common_negative"] = replace(
    _RETURN,
    found=msg("The negative of this bank is not joined to the common negative."),
    limit=msg("All banks need one common negative."),
    happens=msg("Current finds its way back through hull, engine or shielding; meters and protection read wrong."),
    do=msg("Join its negative to the common negative with a conductor as large as its positive."),
)

_DROP = FindingText(
    msg("Too little voltage arrives"),
    msg("Voltage lost on the way stays within the limit"),
    msg(
        "{drop_v} are lost on the way out and back, {case}: {drop_share} of the system's voltage. Its own conductors "
        "lose {own_drop_v} of it."
    ),
    msg("At most {limit_v} may be lost here."),
    msg("Motors run slow and hot, lights dim, electronics restart."),
    msg(
        "Mend what loses it, a larger conductor first. Own conductors of {size} will do. Or shorten the run to "
        "{length_m}."
    ),
)
FINDINGS["voltage_drop_high"] = _DROP
FINDINGS["voltage_drop_high.drop"] = _DROP
FINDINGS["voltage_drop_high.collapse"] = replace(
    _DROP,
    found=msg("It finds no voltage at which it can run, {case}."),
    limit=msg("What draws constant power takes more current the lower the voltage, until none is left."),
    happens=msg("It switches itself off, and may do so again and again."),
    do=msg("Lay larger conductors on its way, or give it a stronger bank."),
)
FINDINGS["voltage_drop_high.no_supply"] = replace(
    _DROP,
    found=msg("Nothing feeds it, {case}."),
    limit=msg("It should run then."),
    happens=msg("It stays dark."),
    do=msg("Give it a bus that a bank feeds then."),
)

_STARTER = FindingText(
    msg("Too little voltage at the starter"),
    msg("The starter gets enough voltage in the cold"),
    msg("{voltage_v} are left at the starter's own terminals while it draws {cranking_a} in the cold."),
    msg("It needs {limit_v}."),
    msg("The engine turns too slowly to fire, or the starter's own relay drops out and chatters."),
    msg("Find {lacking_v}: a stronger or warmer battery, or {resistance_less_ohm} less in cables, switch and joints."),
    msg("{voltage_v} are left at the starter while it draws {cranking_a} in the cold; {limit_v} would be safe."),
)
FINDINGS["starter_voltage_low"] = _STARTER
FINDINGS["starter_voltage_low.voltage"] = _STARTER
FINDINGS["starter_voltage_low.no_supply"] = replace(
    _STARTER,
    found=msg("Nothing feeds the starter, which draws {cranking_a}."),
    limit=msg("A bank must be joined to it when the engine is cranked."),
    happens=msg("The engine does not turn."),
    do=msg("Join the starter to a bank that is there while the engine is cranked."),
)

UNKNOWN_CHECK = msg("A check without words yet")
UNKNOWN = FindingText(UNKNOWN_CHECK, UNKNOWN_CHECK, "", "", "", "")

FIND_OUT: dict[str, str] = {
    "short_circuit_current": msg("Ask the maker of {bank} for the short-circuit current, or measure its resistance."),
    "part": msg("Choose a part for it: the price book has none that fits. Then check again."),
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
    "coil_drive": msg("Find out how the controller drives the coil: holding it, or by pulses."),
    "coil_voltage": msg("Read from the relay for which voltage its coil is made."),
    "starter_current": msg("Measure with a clamp meter what the starter draws while it cranks."),
    "minimum_cranking_voltage": msg(
        "Ask the engine's maker for the lowest voltage at the starter that still starts it."
    ),
}
"""What to find out, by the code of the figure that is wanting."""

OTHER_FIND_OUT = msg("Find out the missing figure, then check again.")
