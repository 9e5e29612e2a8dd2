"""Words of the table of single failures, which is also the guide to finding faults."""

from proposal.book.language import msg

TITLE = msg("If something fails")
LEAD = msg(
    "One thing fails at a time: what you see, what is dark, what still works, and what to do. Sorted by what you see, "
    "so that a fault can be found from it."
)
READ = msg(
    "Every row is calculated on the same network as everything else: once with the usual loads on, once with all "
    "sources charging, once while the engine is cranked in the cold from its own battery. Things that do the same when "
    "they fail share a row: any one of them may be the cause. A cable counts as failed when it, or a joint at either "
    "end, is open. What a row does not name is as before."
)
HEADING = msg("Option {letter}: if something fails")
SYMPTOMS = {
    "all_dark": msg("Everything is dark"),
    "start_lost": msg("The engine does not turn"),
    "several_dark": msg("Several things are dark"),
    "one_dark": msg("One thing is dark"),
    "battery_off": msg("Nothing is dark, but a battery is off"),
    "charge_lost": msg("A source no longer charges"),
    "weak": msg("Voltage is low, or batteries empty too soon"),
    "unseen": msg("Nothing is seen at first"),
}
TABLE = msg("Option {letter}: {symptom}")
OWN_TABLE = msg("Option {letter}: one load dark, and where to look")
OWN_DO = msg(
    "Only that load is dark and all else is as before: look at its own fuse, then its cables and their joints. Switch "
    "the load off before a new fuse goes in, and take the same rating. A fuse that opens again has a reason: find it "
    "first."
)
COLUMN_CAUSE = msg("Any of these")
COLUMN_SEEN = msg("What is seen and measured")
COLUMN_DO = msg("What to do")
COLUMN_LOAD = msg("Dark")
COLUMN_FUSE = msg("Fuse")
COLUMN_CABLES = msg("Cables")

CAUSES = {
    "bank_off": msg("{item} is off"),
    "switch_open": msg("{item}: switched off, or its contact is open"),
    "battery_out": msg("{item}: the battery itself has failed"),
    "string_out": msg("{item}: one of its batteries is out"),
    "link_open": msg("{item}: open"),
    "link_closed": msg("{item}: stuck closed, or bridged by hand"),
    "link_negative": msg("{item}: its negative is open"),
    "converter_lost": msg("{item}: gives nothing"),
    "panel_feeder": msg("{item}: its feeder is open"),
    "load_circuit": msg("{item}"),
    "source_circuit": msg("{item}: gives nothing"),
    "starter_circuit": msg("{item}: its circuit is open"),
    "contactor_welded": msg("{item}: its contactor is stuck closed"),
    "controller_blind": msg("{item}: the controller of its contactor is blind"),
}
ANY_OF = msg("Look at {items}.")
ITSELF = msg("Or it has failed itself.")
MANAGED = msg("Or its own management has switched it off.")

BUS = msg("{bus}: {after_v} instead of {before_v}; {charging_v} while all sources charge.")
BUS_SAME = msg("{bus}: {after_v} as before; {charging_v} while all sources charge.")
BUS_DEAD = msg("{bus}: nothing instead of {before_v}; {charging_v} while all sources charge.")
BUS_NEVER = msg("{bus}: nothing instead of {before_v}, also while sources work.")
BUS_NO_CHARGE = msg("{bus}: {after_v} instead of {before_v}.")
LOW = msg("Too low for {loads}.")
DARK = msg("Dark: {loads}.")
ENGINE = msg("Engine starts: {verdict}.")
CHARGING = msg("Still charging: {sources}.")
AS_BEFORE = msg("All is as before.")
ALL_BUT = msg("all but {loads}")
ALL = msg("all loads")
CHARGES = msg("{source} {current_a}")
CHARGES_NOTHING = msg("nothing")
INTO = msg("into {banks}")
STARTER = msg("{verdict}, {starter_v}")
EMERGENCY = msg("by the emergency switch: {verdict}, {emergency_v}")
NO_START = msg("no")

WARNED = msg("Warned by {items}.")
NOT_WARNED = msg("No alarm is stated to warn before.")
STRANDED = msg("{sources}: stop at once, there is no battery on it any more and its voltage can destroy what is on.")

DO = {
    "bank_off": msg(
        "Switch off what can wait. Look at the fuse first, then at the joints; a fuse that has opened has seen a short "
        "circuit: find that before a new one goes in."
    ),
    "bank_off.contactor": msg(
        "Do not bridge it. Read what the management and the contactor's controller say: too empty, charge; too full, "
        "stop charging; too cold or too hot, wait. Then look at the fuse and the joints."
    ),
    "bank_off.lithium": msg(
        "Do not bridge it. Read what its management says: too empty, charge; too full, stop "
        "charging; too cold or too hot, wait. Then look at the fuse and the joints."
    ),
    "switch_open": msg(
        "Look at its switch; then at the joints there. Switch it on only with the voltages close together."
    ),
    "switch_open.contactor": msg(
        "Look at its switch and what the controller of its contactor says. Close only with the voltages close together."
    ),
    "battery_out": msg(
        "Open its switch and take it out: a failed battery can heat up on what the others give it. Charge or replace "
        "it; start the engine only from a good one."
    ),
    "string_out": msg(
        "Measure each battery alone, and compare the currents with a clamp meter. Take the bad one out, cover its "
        "leads, and use less until it is replaced."
    ),
    "link_open": msg(
        "Look at its fuses and at what the relay measures. The far side is charged only by what is on it: go easy on "
        "it."
    ),
    "link_closed": msg(
        "Part the sides by hand with the nearest battery switch when nothing charges, or the house empties the "
        "starting battery. Replace the relay; see that the emergency switch is open."
    ),
    "link_negative": msg(
        "Do not run the engine or charge across it: the current looks for another way, through thin leads or the "
        "engine block, and burns it. Repair it first."
    ),
    "converter_lost": msg(
        "Look at its fuses, then at what switches it on. Charge the far side in another way meanwhile."
    ),
    "panel_feeder": msg("Switch all on the panel off, look at its fuse and joints, then switch on one by one."),
    "source_circuit": msg("Look at its fuse, its cables and its own display; measure at its terminals."),
    "source_circuit.alternator": msg(
        "Stop the engine before anything is opened or closed: an alternator without its battery can destroy what is "
        "on. Then look at belt, fuse and joints."
    ),
    "source_circuit.solar": msg("Open the array side first or cover the array; then look at fuse and joints."),
    "source_circuit.shore": msg("Unplug it before you touch anything; then look at fuse and joints."),
    "source_circuit.generator": msg("Stop the generator before you touch anything; then look at fuse and joints."),
    "source_circuit.wind": msg("Brake it first: it must not turn without its battery. Then look at fuse and joints."),
    "starter_circuit": msg("Look at its switch, then feel the joints for heat after a try; measure at the starter."),
    "contactor_welded": msg(
        "Found by the yearly test: command it open and measure across it with one side offset. Until then open the "
        "battery's switch by hand when it must be parted, and do not charge unattended."
    ),
    "controller_blind": msg(
        "Found by the yearly test or by its display. Open the battery's switch by hand and leave it open until the "
        "lead is whole: nothing guards the lithium meanwhile but its own management."
    ),
    "load_circuit": OWN_DO,
}
"""What to do, by cause and by kind of battery or source."""
