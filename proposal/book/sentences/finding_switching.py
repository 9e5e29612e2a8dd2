"""Findings about relays that carry for seconds, cutting off, what drains, sense leads, and sources left alone."""

from dataclasses import replace

from proposal.book.language import msg
from proposal.book.sentences.finding_text import FindingText

SWITCHING: dict[str, FindingText] = {}

_SECONDS = FindingText(
    msg("Relay carries more than it bears for minutes or seconds"),
    msg("Every relay bears what it carries for minutes and seconds, and what it must break"),
    msg("{current_a} flow through it, {case}."),
    msg("It is rated {limit_a} for so long."),
    msg("Its contacts overheat and weld, so that the two sides can no longer be parted."),
    msg("Fit one that is rated {current_a} or more for so long, or have it open while this runs."),
    msg("{current_a} flow through it, {case}; what it bears for so long is not stated."),
)
SWITCHING["relay_overloaded_for_seconds"] = _SECONDS
SWITCHING["relay_overloaded_for_seconds.minutes"] = _SECONDS
SWITCHING["relay_overloaded_for_seconds.seconds"] = replace(
    _SECONDS,
    title=msg("Relay carries too much of the starter's current"),
    do=msg("Have it forced open while the engine cranks, or fit one that is rated {current_a} or more for a start."),
)
SWITCHING["relay_overloaded_for_seconds.opening"] = replace(
    _SECONDS,
    title=msg("Relay cannot break what it may have to"),
    found=msg("When it opens it may have to break {current_a}, {case}."),
    limit=msg("It can break {limit_a}."),
    happens=msg("An arc stands between its contacts; they burn, or weld and stay closed."),
    do=msg("Fit one that breaks {current_a} or more."),
    known=msg("When it opens it may have to break {current_a}, {case}; what it can break is not stated."),
)
SWITCHING["relay_overloaded_for_seconds.not_isolated"] = replace(
    _SECONDS,
    title=msg("House and starter stay joined while the engine is started"),
    found=msg("A resting bank holds the relay closed; {case}, the house falls to {voltage_v}."),
    limit=msg("Equipment must work down to {limit_v}, and no further."),
    happens=msg("Instruments and radios start anew or fail each time the engine is started."),
    do=msg("Use a relay that is forced open while the engine cranks, and connect that input to the starter's lead."),
    known=msg("A resting bank holds the relay closed; {case}, the house falls to {voltage_v}."),
)

SWITCHING["standing_drain_high"] = FindingText(
    msg("The batteries run empty while nobody is there"),
    msg("What flows while nobody is there leaves enough charge for as long as that lasts"),
    msg(
        "With nobody there {drain_a} flow all the time, and the batteries lose {lost_a} by themselves: {taken_ah} in "
        "{left_days}. Of that {first_item} draws {first_a}."
    ),
    msg("{usable_ah} may be used: they last {lasts_days}."),
    msg("The batteries are found empty: lead is spoiled by it, and lithium may not take charge any more."),
    msg("Switch off {first_item} when you leave, or have somebody or the sun charge within {lasts_days}."),
    msg(
        "With nobody there {drain_a} flow all the time, and the batteries lose {lost_a} by themselves. {usable_ah} "
        "may be used: they last {lasts_days}."
    ),
)

_OFF = FindingText(
    msg("Emergency off does not cut the battery off for certain"),
    msg("The emergency off opens the contactor whatever else fails, and no start lets it go"),
    msg("What is meant to cut {bank} off in an emergency does not open its contactor by itself."),
    msg("It must break the coil's own circuit, or be a switch that carries the current."),
    msg("When something burns, the battery goes on feeding it."),
    msg("Let the emergency off break the circuit of a held coil, or fit a switch by hand in the bank's line."),
    msg("How {bank} is cut off in an emergency, from where people are, is not stated."),
)
SWITCHING["emergency_off_defeated"] = _OFF
SWITCHING["emergency_off_defeated.signals_only"] = replace(
    _OFF,
    title=msg("Emergency off only asks a controller"),
    found=msg("The emergency off of {bank} sends a signal to a controller, which then should open the contactor."),
    happens=msg("When the controller has failed or is on fire, the battery goes on feeding the fault."),
    do=msg("Wire it into the circuit of the contactor's coil, so that it opens whatever the controller does."),
)
SWITCHING["emergency_off_defeated.stays_closed"] = replace(
    _OFF,
    title=msg("Contactor stays closed when its control power is lost"),
    found=msg("The contactor of {bank} is of the latching kind, and no switch by hand is in its line."),
    happens=msg("It needs power to open: with its control power gone nothing cuts the battery off."),
    do=msg("Fit a contactor with a held coil, or a switch by hand in the bank's line within easy reach."),
)
SWITCHING["emergency_off_defeated.no_switch"] = replace(
    _OFF,
    title=msg("No switch where one is counted on"),
    found=msg("{bank} is said to be cut off by hand, but there is no switch in its line."),
    do=msg("Fit a battery switch in its line within easy reach, or break the coil's circuit."),
)
SWITCHING["emergency_off_defeated.drops_out"] = replace(
    _OFF,
    title=msg("Contactor lets go while the engine is started"),
    found=msg("Its coil finds {voltage_v}, {case}."),
    limit=msg("Below {limit_v} it lets go."),
    happens=msg("It opens in the middle of a start under full current, closes again, and burns its contacts."),
    do=msg("Feed the coil from the lithium's side, or fit one that lets go below {voltage_v} only."),
    known=msg("Its coil finds {voltage_v}, {case}; at which voltage it lets go is not stated."),
)

SWITCHING["inrush_closes_contactor"] = FindingText(
    msg("Inverter's capacitors are charged with a blow"),
    msg("Capacitors are charged no harder than relays and management systems bear"),
    msg(
        "{first_item} is empty when this closes: {open_v} over {resistance_ohm} let {peak_a} flow at the first moment, "
        "falling within {time_constant_s}."
    ),
    msg("It bears {limit_a}: {limited_by}."),
    msg("The contacts weld, or the battery's management takes it for a short circuit and switches off."),
    msg(
        "Charge the capacitors through a resistor of at least {precharge_ohm} first, for {precharge_s} or longer; it "
        "takes {energy_j}."
    ),
    msg(
        "{first_item} is empty when this closes: {open_v} over {resistance_ohm} let {peak_a} flow at the first moment."
    ),
)

_SENSE = FindingText(
    msg("Controller measures in the wrong place"),
    msg("Everything that decides by a voltage measures it where it must, through a fuse"),
    msg("What it measures is not the voltage of {bank}."),
    msg("It must measure at the battery, on leads of its own, fused where they are taken."),
    msg("It joins and parts at the wrong voltages."),
    msg("Take both sense leads to the battery's own posts, each behind a small fuse."),
    msg("Where its sense leads are taken is not stated; between battery and bus up to {error_v} are lost."),
)
SWITCHING["sense_lead_wrong"] = _SENSE
SWITCHING["sense_lead_wrong.unfused"] = replace(
    _SENSE,
    title=msg("Sense lead without a fuse"),
    found=msg("Its thin sense lead has no fuse where it is taken."),
    limit=msg("Each needs a small fuse at its beginning."),
    happens=msg("A chafed sense lead burns along its whole length: the battery behind it gives all it has."),
    do=msg("Put a small fuse where the lead is taken."),
)
SWITCHING["sense_lead_wrong.at_bus"] = replace(
    _SENSE,
    found=msg("Its sense lead is taken at the bus: {error_v} beside the voltage of {bank}, {case}."),
    limit=msg("It should be true to within {limit_v}."),
    do=msg("Take the sense lead to the positive post of {bank}, behind a small fuse."),
)
SWITCHING["sense_lead_wrong.shared_negative"] = replace(
    _SENSE,
    title=msg("Controller measures against a negative that carries load current"),
    found=msg("Its negative is one in which load current flows: {error_v} off, {case}."),
    limit=msg("It should be true to within {limit_v}."),
    do=msg("Give it a negative of its own to the post of {bank}."),
)

_ALONE = FindingText(
    msg("Alternator can lose its battery"),
    msg("Whatever opens, an alternator keeps a battery that holds its voltage down"),
    msg("When {first_item} {event}, nothing is left that takes what the alternator gives."),
    msg("A running alternator must never be without a battery."),
    msg("Its voltage shoots up for a moment: its diodes and everything that is switched on can be destroyed."),
    msg(
        "Fit a surge absorber at the alternator, and have its field cut before {first_item} opens; never turn a "
        "battery switch while the engine runs."
    ),
    msg("When {first_item} {event}, nothing is left that takes what the alternator gives."),
)
SWITCHING["alternator_loses_battery"] = _ALONE
SWITCHING["alternator_loses_battery.no_battery"] = _ALONE
SWITCHING["alternator_loses_battery.rises"] = replace(
    _ALONE,
    title=msg("Voltage rises when lithium is taken from a working alternator"),
    found=msg(
        "When {first_item} {event}, {current_a} are forced into what is left over {resistance_ohm}: the voltage rises "
        "to {voltage_v}."
    ),
    limit=msg("Equipment bears {limit_v}."),
    happens=msg("Everything that is switched on gets too much voltage until the regulator has answered."),
    do=msg(
        "Bring the way from the alternator through {bank} below {resistance_allowed_ohm}, by thicker conductors or a "
        "larger bank, or have the field cut first."
    ),
)

_DARK_SUN = FindingText(
    msg("Solar controller can lose its battery in sunshine"),
    msg("Every solar controller keeps its battery, or bears losing it"),
    msg("When {first_item} {event} in sunshine, the controller has no battery any more; it does not bear that."),
    msg("Such a controller must have its battery first, and lose it last."),
    msg("The array's voltage reaches what is connected, and can destroy it and the controller."),
    msg(
        "Choose a controller that bears it, or let its lead go to a battery that nothing takes away, such as the lead."
    ),
    msg("When {first_item} {event} in sunshine, the controller has no battery any more."),
)
SWITCHING["solar_loses_battery"] = _DARK_SUN
SWITCHING["solar_loses_battery.itself"] = _DARK_SUN
SWITCHING["solar_loses_battery.by_hand"] = replace(
    _DARK_SUN,
    do=msg("Fit a switch between array and controller, opened before the battery's; or a controller that bears it."),
)

_LOOP = FindingText(
    msg("DC-DC charger feeds itself"),
    msg("No DC-DC charger's output comes back to its input"),
    msg("{first_item} joins both of its sides while it works."),
    msg("Between its two sides there must be no other way."),
    msg("Its {current_a} go round and round: nothing is charged, and {lost_w} turn into heat in it."),
    msg("Take out {first_item}, or block the one while the other works."),
)
SWITCHING["converter_loops"] = _LOOP
SWITCHING["converter_loops.relay"] = _LOOP
SWITCHING["converter_loops.conductor"] = replace(
    _LOOP,
    found=msg("A conductor or a switch joins both of its sides."),
    do=msg("Take out the one or the other."),
)
SWITCHING["converter_loops.converter"] = replace(
    _LOOP,
    title=msg("Two DC-DC chargers feed each other"),
    found=msg("{first_item} runs the other way at the same time."),
    limit=msg("Only one of the two may work at a time."),
    do=msg("Let the one run with the engine only and the other only without it, or take one out."),
    known=msg("{first_item} runs the other way; when either works is not stated. Together {lost_w} would be lost."),
)

SWITCHING["cut_off_darkens"] = FindingText(
    msg("Everything goes dark without warning"),
    msg("Before lithium switches itself off an alarm sounds, or what is needed for safety stays on"),
    msg(
        "When this bank switches itself off, {first_item} goes dark; of what navigation, radio, engine and safety "
        "need, {dark_count} in all."
    ),
    msg("An alarm must sound before, or another battery must feed them."),
    msg("Lights, radio and engine controls fail at the worst moment, with nobody warned."),
    msg("Fit an alarm that sounds before the bank switches itself off, and feed {first_item} from another battery."),
    msg("When this bank switches itself off, {first_item} goes dark; whether an alarm sounds before is not stated."),
)

_BYPASS = FindingText(
    msg("Current that the battery meter does not see"),
    msg("Everything that takes from a bank with a meter goes through its shunt"),
    msg("A negative leads past the shunt of {bank}."),
    msg("All negatives belong behind the shunt."),
    msg("The meter shows more charge than is there."),
    msg("Land that negative behind the shunt, on the bus."),
)
SWITCHING["shunt_bypassed"] = _BYPASS
SWITCHING["shunt_bypassed.path"] = _BYPASS
SWITCHING["shunt_bypassed.landed"] = replace(
    _BYPASS,
    found=msg("Its negative lands on the battery itself: up to {current_a} that the meter of {bank} does not see."),
)

FIND_OUT_SWITCHING: dict[str, str] = {
    "minutes_rating": msg("Read from its sheet what it carries for five minutes."),
    "start_rating": msg("Read from its sheet what it carries for ten seconds."),
    "break_rating": msg("Read from its sheet how much current its contacts can break at this voltage."),
    "opens_while_starting": msg("Find out whether the relay is forced open while the engine cranks."),
    "left_alone": msg("Ask the owner for how long nobody is there and nothing charges, at the most."),
    "self_discharge": msg(
        "What the batteries lose by themselves is remembered, not read: ask their maker for the figure."
    ),
    "emergency_off": msg(
        "Say how the battery is cut off in an emergency, from where people are: by the coil's own circuit, by a "
        "controller, or by hand."
    ),
    "drop_out": msg("Read from the contactor's sheet at which voltage it lets go."),
    "trip_current": msg("Ask the battery's maker at which current its management cuts out at once."),
    "trip_time": msg("Ask the battery's maker how fast its management cuts out."),
    "input_capacitance": msg(
        "Ask the inverter's maker for the capacitance at its input, or whether it charges gently."
    ),
    "precharge": msg("Find out whether the inverter's capacitors are charged gently before this closes."),
    "sense_leads": msg(
        "Follow the sense leads: are they taken at the battery, is each fused there, and has the negative no other use?"
    ),
    "sense_fused": msg("Look whether the relay's sense lead is fused where it is taken, if it has one."),
    "surge_protected": msg("Find out whether the alternator or its regulator bears losing its battery."),
    "survives_without_battery": msg("Ask the controller's maker whether it bears losing its battery in sunshine."),
    "warning": msg("Find out whether an alarm sounds before the bank switches itself off."),
    "runs_with": msg("Find out what switches each of the two DC-DC chargers on."),
}
