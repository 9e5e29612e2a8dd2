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

_NOT_STOPPED = FindingText(
    msg("Charge source that the lithium cannot stop"),
    msg("Every charge source stops when the lithium's management asks, before the battery is parted"),
    msg("Nothing stops it when the management of {bank} asks; it is set to {charge_v}."),
    msg("What charges lithium must end its charging when it is told to."),
    msg("The battery takes itself out at full current: the voltage jumps, and what is on may be destroyed."),
    msg("Lead the management's signal to it: to its remote input, its field or the relay of its feed."),
    msg("It charges {bank} with {charge_v}."),
)
CHARGING["source_not_stopped"] = _NOT_STOPPED
CHARGING["source_not_stopped.nothing"] = _NOT_STOPPED
CHARGING["source_not_stopped.own_sensing"] = replace(
    _NOT_STOPPED,
    found=msg("It heeds only its own voltage, which reaches {voltage_v}."),
    limit=msg("Without a signal it must stay below {limit_v}, well under what makes {bank} take itself out."),
    do=msg("Lead the management's signal to it, or set it so that it never goes above {limit_v}."),
)
CHARGING["source_not_stopped.late"] = replace(
    _NOT_STOPPED,
    title=msg("Charge source that stops too late"),
    found=msg("It goes on for {stops_s} after it is asked, and its field takes {decay_s} to die: {time_s} together."),
    limit=msg("The contactor of {bank} opens after {limit_s}."),
    do=msg("Let the contactor wait {time_s} or more after it has asked, or stop the source sooner."),
)

_BUS = FindingText(
    msg("Charge voltage above what a device bears"),
    msg("Every device bears the highest voltage that charging drives its bus to"),
    msg("{source} drives its supply to {voltage_v}."),
    msg("It bears {limit_v}."),
    msg("It switches itself off, or it is destroyed."),
    msg("Set {source} to {set_to_v} or less, or take the device off while it charges so high."),
    msg(
        "It drives its side to {voltage_v}; equipment for this system usually bears {limit_v}, and for {device_count} "
        "devices nobody states it."
    ),
)
CHARGING["bus_voltage_high"] = _BUS
CHARGING["bus_voltage_high.charge"] = _BUS
CHARGING["bus_voltage_high.equalise"] = replace(
    _BUS,
    title=msg("Equalising voltage above what a device bears"),
    found=msg("{source} equalises with {setting_v}. The cold adds {added_v}. Its supply reaches {voltage_v}."),
)
CHARGING["bus_voltage_high.compensation"] = replace(
    _BUS,
    title=msg("Charge voltage in the cold above what a device bears"),
    found=msg(
        "{source}, set to {setting_v}, adds {added_v} when the batteries are at {temperature_c}: its supply reaches "
        "{voltage_v}."
    ),
)

_TRIPS = FindingText(
    msg("Lithium joined while the lead's voltage is driven up"),
    msg("Nothing drives the bus to where the lithium takes itself out"),
    msg("{source} equalises with {setting_v}. The cold adds {added_v}. The bus reaches {voltage_v}."),
    msg("The lithium takes itself out at {trip_v}; stay below {limit_v}."),
    msg("The battery parts at full charge current; the voltage jumps on all that is left."),
    msg("Lock its contactor open while lead is equalised, or set {source} to {set_to_v} or less."),
    msg("{source} would drive the bus to {voltage_v}."),
)
CHARGING["equalise_trips_lithium"] = _TRIPS
CHARGING["equalise_trips_lithium.equalise"] = _TRIPS
CHARGING["equalise_trips_lithium.compensation"] = replace(
    _TRIPS,
    title=msg("Lithium joined while the cold drives the charge voltage up"),
    found=msg(
        "{source}, set to {setting_v}, adds {added_v} when the batteries are at {temperature_c}: the bus reaches "
        "{voltage_v}."
    ),
    do=msg("Switch the compensation off while lithium is joined, or set {source} to {set_to_v} or less."),
)

_APART = FindingText(
    msg("Charge sources that do not agree"),
    msg("The charge sources of each side agree on their voltage, and it arrives at the batteries"),
    msg("It is set to {charge_v}, {source} to {highest_v}: {difference_v} apart."),
    msg("Sources of one side should be no more than {limit_v} apart."),
    msg("The lower one stops while the other still charges: it gives little, and charging takes longer."),
    msg("Set both to the same voltage."),
    msg("Of its voltage {lost_v} are lost on the way to the batteries while it gives {current_a}."),
)
CHARGING["charge_voltages_apart"] = _APART
CHARGING["charge_voltages_apart.apart"] = _APART
CHARGING["charge_voltages_apart.drop"] = replace(
    _APART,
    title=msg("Charge voltage lost on the way"),
    found=msg(
        "It measures at its own terminals; {lost_v} are lost on the way to the batteries while it gives {current_a}. "
        "Its own cable takes {own_drop_v} of that."
    ),
    limit=msg("More than {limit_v} should not be lost."),
    happens=msg("It believes the batteries full before they are, and takes its current back too early."),
    do=msg("Measure at the battery. Or use {size} for its own cable. Or keep its own cable no longer than {length_m}."),
)
CHARGING["charge_voltages_apart.sensing"] = replace(
    CHARGING["charge_voltages_apart.drop"],
    title=msg("Charge sources that measure in different places"),
    limit=msg("Another source of this side measures at the battery; more than {limit_v} sets the two apart."),
)

_FOOLED = FindingText(
    msg("Charger fooled by what else is joined to it"),
    msg("No charger is fooled by loads, by the link or by the lithium's voltage"),
    msg("It ends absorption when less than {tail_a} flow; the loads alone draw {load_a} on average."),
    msg("It must see what the batteries take, not what the loads draw."),
    msg("It never sees so little: it holds the absorption voltage all day, and the batteries age."),
    msg("Set its tail current to {tail_to_a}, or end absorption by time, or let it measure at the battery's shunt."),
    msg("It charges {bank}."),
)
CHARGING["charger_fooled"] = _FOOLED
CHARGING["charger_fooled.loads"] = _FOOLED
CHARGING["charger_fooled.opening"] = replace(
    _FOOLED,
    title=msg("Charger that believes the lead full when the lithium leaves"),
    found=msg("It ends absorption when less than {tail_a} flow; {bank} is parted during absorption."),
    limit=msg("The lead that is left is full only when it takes less than {lead_a}."),
    happens=msg("At that moment the current falls below its tail: it ends absorption, and the lead is never full."),
    do=msg("Set its tail current to {lead_a} or less, or end absorption by time."),
)
CHARGING["charger_fooled.restart"] = replace(
    _FOOLED,
    title=msg("Charger that does not begin to charge again"),
    found=msg("It begins anew below {restarts_below_v}; {bank} rests above that until {left_share} are left."),
    limit=msg("It should begin before {reserve_share} are left."),
    happens=msg("After a full charge it waits, with sun or shore power there, while the lithium is drained."),
    do=msg("Let it begin anew below {set_to_v}."),
)

CHARGING["charger_fooled.held"] = replace(
    _FOOLED,
    found=msg("It holds absorption for {held_h} of a day, while loads draw {load_a} ({during}, {clock_s})."),
    limit=msg("It should end within {limit_h}, when the batteries take no more."),
    happens=msg("It takes what the loads draw for charge: the batteries are held high for hours, and age."),
)
CHARGING["charger_fooled.cut_short"] = replace(
    _FOOLED,
    title=msg("Charger that believes the lead full when the lithium leaves"),
    found=msg(
        "{bank} loses its absorption after {after_h} ({during}, {clock_s}). In the simulated year its longest time "
        "without a full charge is {longest_days}."
    ),
    limit=msg("The lead that is left is full only when it takes less than {lead_a}."),
    happens=msg("When the lithium is parted the current falls below the charger's tail, and the lead is never full."),
    do=msg("Set its tail current to {lead_a} or less, or end absorption by time."),
)
CHARGING["charger_fooled.waits"] = replace(
    _FOOLED,
    title=msg("Charger that does not begin to charge again"),
    found=msg(
        "It waits for less than {restarts_below_v} and does not charge ({during}, {clock_s}). Its side falls to "
        "{lowest_v} only. Of {bank} {lowest_share} are left by then."
    ),
    limit=msg("It should begin while there is sun or shore power and the batteries have room."),
    happens=msg("After a full charge it waits while the batteries are drained."),
    do=msg("Let it begin anew below {set_to_v}."),
)

CHARGING["lithium_charged_cold"] = FindingText(
    msg("Lithium charged in the cold"),
    msg("No lithium bank is charged when it is too cold for it"),
    msg("Its place gets as cold as {coldest_c}, and neither a heater nor its management looks after it."),
    msg("It is not to be charged below {limit_c}."),
    msg("Metal grows inside the cells: capacity is lost for good, and a cell may short from within."),
    msg("Keep its place above {limit_c}, or use a battery that heats itself or ends charging by itself in the cold."),
    msg("Its place gets as cold as {coldest_c}; it is not to be charged below {limit_c}."),
)
