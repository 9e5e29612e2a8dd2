"""Words of the emergency card: on its page, on paper, and short, for the code on the battery box."""

from proposal.book.language import msg

TITLE = msg("Emergency card")
LEAD = msg("One page for the battery box, and for where people are. Read it now, not when you need it.")

PEOPLE_TITLE = msg("Smoke, fire, a hiss or a sharp smell: people first")
PEOPLE = (
    msg("Everybody out into the open air and upwind, and call for help. No battery is worth going back for."),
    msg("Cut off only what you reach in seconds and without breathing smoke."),
)

ORDER_HEADING = msg("Cut everything off, in this order")
STEPS = {
    "stop_alternator": msg("Stop the engine and keep its key: {items}."),
    "stop_shore": msg("Switch off and unplug the shore lead: {items}."),
    "stop_generator": msg("Stop the generator: {items}."),
    "stop_wind": msg("Brake or tie it, so that it cannot turn: {items}."),
    "stop_solar_switch": msg("Open the switch of the array: {items}."),
    "stop_solar": msg("Cover the array, it has no switch: {items}. Not at hand? Go on."),
    "stop_converters": msg("Switch it off: {items}."),
    "off_coil": msg("Press “{title}”: it opens {items}."),
    "off_signal": msg(
        "Press “{title}”: it asks the controller to open {items}. That is only a request: go on with the switches."
    ),
    "off_signal_alone": msg("Press “{title}”. That is only a request: go on with the switches."),
    "off_stays": msg("Press “{title}”. {items} stays closed all the same when its power is lost: go on."),
    "off_alone": msg("Press “{title}”, and go on with the switches."),
    "off_hand_switch": msg("Open “{title}” by hand."),
    "open_contactor": msg("Open it at its controller: {items}."),
    "emergency_open": msg("See that it is open: {items}. Closed, it joins what the others part."),
    "open_switch": msg("Open {items}."),
}
"""One step each, after what the switching plan and the emergency-off say; `items` names what is handled."""

ALIVE_HEADING = msg("What stays alive")
ALIVE = msg("With every switch open these go on running, fed by {bank}: {loads}. That is meant so: let them run.")
ALIVE_NOTHING = msg("Nothing goes on running when every switch is open.")
POSTS = msg("The batteries stay live up to their fuses and switches, whatever you open: nobody can switch them off.")

WHAT_HEADING = msg("What it is")
SYSTEM = msg("System")
SYSTEM_TEXT = msg("{vessel}: {system_v} direct current")
BANK_TEXT = msg("{chemistry}, {capacity_ah}, in: {place}")
MAINS = msg("Mains")
MAINS_TEXT = msg("There is mains voltage as well: nobody but a qualified person touches it.")
CALL = msg("Call")
CARD = msg("This card")
CARD_TEXT = msg("{number}, revision {revision}, as fitted on {date}")

DANGERS_HEADING = msg("Fire, gas, water")
FIRE_LITHIUM = msg(
    "{banks}, lithium. Hot, swollen or smoking: its smoke is poisonous and can explode. Out, shut the hatch or door "
    "behind you, and tell the fire service that these are lithium iron phosphate batteries. They can flare up again "
    "hours later."
)
FIRE_LEAD = msg(
    "{banks}, lead. Fire beside it: fumes of acid, and cases that burst. Keep away from the box; put out what burns "
    "around it from a distance."
)
GAS = msg(
    "{banks}, lead. Hissing, or a smell of rotten eggs: it is overcharged and gives off hydrogen. Stop what charges "
    "it, air the space, no flame, and touch no switch and no lug in its box until it is quiet."
)
ACID = msg("{banks}, vented. Acid on skin or in eyes: rinse with clean water at once and for long, then see a doctor.")
FLOOD = msg(
    "Water reaches the batteries: let the pumps run and cut off the rest. Salt water on live posts makes poisonous "
    "gas: stay out of the space and air it. What was under water stays off until somebody qualified has looked at it."
)
FLOOD_NO_PUMP = msg(
    "Water reaches the batteries: cut everything off. Salt water on live posts makes poisonous gas: stay out of the "
    "space and air it. What was under water stays off until somebody qualified has looked at it."
)

NEVER_HEADING = msg("Never")
NEVER_ALTERNATOR = msg("Never take the batteries from a running alternator: stop the engine first.")
NEVER_SOLAR = msg("Never take the battery from a solar controller while its array is live.")
NEVER_WIND = msg("Never take the battery from a wind generator that turns.")
NEVER_BRIDGE = msg("Never bridge {items}, nor a battery that has switched itself off: it had a reason.")
NEVER_OWN = msg("Never wake by force a lithium battery that has switched itself off: it had a reason.")
NEVER_FUSE = msg("Never bridge a fuse, and never fit a larger one.")
NEVER_TOOL = msg("Never lay a tool or any metal across the posts of a battery.")
NEVER_BACK = msg("Never switch it on again after fire, smoke or water before somebody qualified has looked at it.")

CODE_CAPTION = msg("The same as plain text, without any network: point a telephone's camera at it.")
CODE_ALT = msg("A square code that holds the text of this card: what to cut off, in which order, and whom to call.")
RECORD_CODE_CAPTION = msg("Leads to the record on the web: {address}")
RECORD_CODE_ALT = msg("A square code that holds a web address.")

# the short form
SHORT_HEAD = msg("EMERGENCY: {vessel}, {system_v} DC")
SHORT_PEOPLE = msg("Smoke or heat: people out first, upwind, call for help.")
SHORT_ORDER = msg("CUT OFF IN THIS ORDER:")
SHORT_ALIVE = msg("Stays live: {loads}; the batteries themselves.")
SHORT_POSTS = msg("The batteries themselves stay live.")
SHORT_BATTERIES = msg("Batteries: {banks}.")
SHORT_PLACE = msg("{place}: {banks}")
SHORT_LITHIUM = msg("Lithium smoke is poisonous and can explode. Can flare up again.")
SHORT_LEAD = msg("Lead hissing: hydrogen. No flame, touch no switch in its box, air it.")
SHORT_FLOOD = msg("Salt water on posts: poisonous gas, keep out.")
SHORT_NEVER_ALTERNATOR = msg("Never part batteries from a running engine.")
SHORT_NEVER_SOLAR = msg("Never part a live array's controller from its battery.")
SHORT_NEVER_BACK = msg("Do not switch on again unseen by somebody qualified.")
SHORT_CALL = msg("CALL {installer} {telephone}")
SHORT_CARD = msg("{number} {revision}, {date}")
SHORT_STEPS = {
    "stop_alternator": (msg("Stop engine, keep key"), msg("Stop engine, keep key")),
    "stop_shore": (msg("Unplug shore: {items}"), msg("Unplug shore")),
    "stop_generator": (msg("Stop generator: {items}"), msg("Stop generator")),
    "stop_wind": (msg("Brake wind generator: {items}"), msg("Brake wind generator")),
    "stop_solar_switch": (msg("Open array switch: {items}"), msg("Open array switch")),
    "stop_solar": (msg("Cover array: {items}"), msg("Cover array")),
    "stop_converters": (msg("Switch off: {items}"), msg("Switch off DC-DC chargers")),
    "off_coil": (msg("Press: {title}"), msg("Press emergency off")),
    "off_signal": (msg("Press: {title}"), msg("Press emergency off")),
    "off_signal_alone": (msg("Press: {title}"), msg("Press emergency off")),
    "off_stays": (msg("Press: {title}"), msg("Press emergency off")),
    "off_alone": (msg("Press: {title}"), msg("Press emergency off")),
    "off_hand_switch": (msg("Open by hand: {title}"), msg("Open the emergency switch")),
    "open_contactor": (msg("Open at controller: {items}"), msg("Open every contactor at its controller")),
    "emergency_open": (msg("Must be open: {items}"), msg("Emergency parallel switch must be open")),
    "open_switch": (msg("Open: {items}"), msg("Open every battery switch")),
}
"""A step with what is handled, and the same where there is no room for names."""
