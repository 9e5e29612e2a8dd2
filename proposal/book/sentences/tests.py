"""Words of commissioning: what each test is, how it is made, and what came out."""

from proposal.book.language import msg, msgs

GROUPS = {
    "still": msg("Before it is switched on"),
    "live": msg("Switched on, nothing running"),
    "load": msg("Under load"),
    "engine": msg("The engine"),
    "guards": msg("What has to step in"),
}
GROUP_OF = {
    "battery_moves": "still", "torque": "still", "rest_spread": "still", "insulation": "still", "polarity": "still",
    "standing_drain": "live", "sense": "live", "relay_joins": "live", "relay_releases": "live", "relay_delay": "live",
    "load_drop": "load", "device_drop": "load", "shunt": "load", "sharing": "load", "joint_rise": "load",
    "cranking_drop": "engine", "starter_voltage": "engine", "alternator_hot": "engine",
    "contactor_open": "guards", "stops_high": "guards", "stops_low": "guards", "stops_cold": "guards",
    "emergency_off": "guards", "pump_main_off": "guards", "pump_lithium_off": "guards", "alarm": "guards",
}  # fmt: skip
"""In which group a test stands, in the order in which an installer makes them."""

TITLES = {
    "load_drop": msg("Voltage lost on the way to a load"),
    "device_drop": msg("Voltage lost in a contact or fuse"),
    "cranking_drop": msg("Voltage lost on the way to the starter"),
    "starter_voltage": msg("Voltage at the starter while it cranks"),
    "torque": msg("Nuts and screws at their torque"),
    "joint_rise": msg("Joints that stay cool"),
    "standing_drain": msg("What flows with everything switched off"),
    "sense": msg("What is displayed and sensed is right"),
    "relay_joins": msg("Relay joins at its voltage"),
    "relay_releases": msg("Relay parts at its voltage"),
    "relay_delay": msg("Relay waits as long as it is set to"),
    "shunt": msg("Battery meter against a clamp meter"),
    "sharing": msg("Batteries in parallel share alike"),
    "rest_spread": msg("Batteries alike before they are joined"),
    "contactor_open": msg("Contactor really opens"),
    "alternator_hot": msg("Alternator when it is hot"),
    "stops_high": msg("Lithium too full: it is stopped"),
    "stops_low": msg("Lithium too empty: it is stopped"),
    "stops_cold": msg("Lithium too cold: charging is stopped"),
    "emergency_off": msg("Emergency off cuts the battery off"),
    "pump_main_off": msg("Works with the main switches off"),
    "pump_lithium_off": msg("Works with the lithium off"),
    "alarm": msg("Alarm is heard in time"),
    "battery_moves": msg("Battery is held down"),
    "insulation": msg("Hull is apart from the positive"),
    "polarity": msg("Outlets are wired the right way round"),
}

HOW = {
    "load_drop": msg(
        "Let it run alone. Measure at the posts of the battery that feeds it and at its own terminals, one right "
        "after the other; the difference counts. Write down the current as well: the drop grows with it."
    ),
    "device_drop": msg(
        "Let as much flow as you can. Put both probes on the studs of the device itself and read millivolts; write "
        "down the current."
    ),
    "cranking_drop": msg(
        "With fuel cut off, let somebody crank. One probe on the battery's post, the other on the starter's own stud "
        "of the same pole."
    ),
    "starter_voltage": msg("With fuel cut off, let somebody crank. Measure at the starter's own studs."),
    "torque": msg(
        "Every nut and screw at the figure of its maker, then a mark across nut and stud, so that one look shows "
        "whether it has moved. Write down those of the heavy joints."
    ),
    "joint_rise": msg(
        "After half an hour at the highest current that lasts, compare the joint with its own cable a forearm's length "
        "away. A joint that is warmer has a bad contact."
    ),
    "standing_drain": msg("Everything off as when nobody is aboard. Read the current at the battery's post."),
    "sense": msg(
        "Read the display, and at the same moment a good meter on the posts of the battery itself. Write down how far "
        "they are apart."
    ),
    "relay_joins": msg("Let what it senses rise slowly and read the voltage at which it joins."),
    "relay_releases": msg("Let what it senses fall slowly and read the voltage at which it parts."),
    "relay_delay": msg("Time it from the moment at which the voltage is reached."),
    "shunt": msg("Read the meter's current and a clamp's at the same moment: the clamp's is the current beside it."),
    "sharing": msg(
        "Half full, after ten minutes at a fifth of the capacity an hour or more. Clamp each battery's own cable; the "
        "current of all together stands beside it."
    ),
    "rest_spread": msg(
        "At rest, before the last link is made: the difference between the highest and the lowest battery."
    ),
    "contactor_open": msg(
        "By its auxiliary contact; or by the voltage across it with one side set off from the other. No voltage across "
        "it proves nothing while both sides are equal."
    ),
    "alternator_hot": msg("After thirty minutes of charging, hot, at the engine speed that is usual."),
    "stops_high": msg(
        "Let the controller believe that the battery is too full. The alarm comes first, then the charge sources stop, "
        "then it opens."
    ),
    "stops_low": msg("Let the controller believe that the battery is too empty. The alarm comes first, then it opens."),
    "stops_cold": msg("Cool its sensor, or let it believe that it is cold. Nothing may charge any more."),
    "emergency_off": msg("Press it, and prove that the battery is off. Then see what still works, and that it should."),
    "pump_main_off": msg("Open every main switch and let it run, by its float or sensor."),
    "pump_lithium_off": msg("With the lithium off, let it run, by its float or sensor."),
    "alarm": msg("Set it off by its own sensor and listen where people are: at the helm, and asleep."),
    "battery_moves": msg("Pull it sideways, to the front and up with twice its weight, and measure how far it moves."),
    "insulation": msg(
        "Everything switched on at the panel, the batteries' own leads off. Measure between positive and hull."
    ),
    "polarity": msg("Whoever answers for the mains side tests every outlet that this system feeds."),
}

PASSES = {
    "band": msg("{low} to {high}"),
    "most": msg("{high} at most"),
    "least": msg("{low} or more"),
    "works": msg("yes"),
    "maker": msg("what its maker says"),
    "set": msg("what it is set to"),
    "open": msg("its auxiliary contact says so, or {low} or more across it"),
}
AT = msg("{passes} at {at_a}")
EXPECTED = msg("{passes}; computed {expected}")
BEYOND = msg("{passes}; computed {expected}, which is more than passes")
SHORT = msg("{passes}; computed {expected}, which is less than passes")

OUTCOMES = {
    "pass": msg("passed"),
    "fail": msg("failed"),
    "not_measured": msg("not measured"),
    "undecided": msg("cannot be judged"),
}
WANTING = {
    "value": msg("a figure with its unit is wanting"),
    "passed": msg("whether it passed is not said"),
    "at_current": msg("the current that flowed is wanting"),
    "more_current": msg("too little current flowed; measure again with more"),
    "how_proven": msg("by which way it was proven is not said: by its auxiliary contact, or by voltage with an offset"),
    "offset": msg("both sides may have been equal; measure again with one side set off, or by its auxiliary contact"),
    "maker_figure": msg("the maker's figure is wanting"),
    "maker_drop": msg("the fuse's maker must say what it loses at this current; the figure here is a usual one"),
    "engine_minimum": msg("the engine's maker must say how much its starter needs"),
    "relay_settings": msg("what it is set to is not stated"),
    "changed_since": msg("it passed in its day, but what it is held against was changed since; measure again"),
    "hot_current": msg("what it gives when it is hot is assumed; state what you measure"),
}
"""What has to be found out before a test can be judged."""

ENDS = {
    "positive": msg("positive leg"),
    "negative": msg("negative leg"),
    "emergency": msg("over the emergency switch"),
}
"""Ends that the computation names; others are told as they were written."""

FROM = msg("{item}, from {battery}")
"""A load whose drop is measured from the posts of one of several banks."""
PLACE = msg("{item}, {end}")
WHOLE = msg("the whole system")
BY_PROOF = msg("{text} ({how})")
READ_AT = msg("{value} at {at_a}")
SAID = {True: msg("yes"), False: msg("no")}
TAKEN = msg("{date}, {by}")
TAKEN_WITH = msg("{date}, {by}, with {instrument}")
CAME_OUT = msg("{read}: {outcome}")
BEFORE = msg("{now}. Before: {earlier}")
EARLIER_BAND = msg("{read} on {date}, {outcome}; {band} passed then")
EARLIER = msg("{read} on {date}, {outcome}")
DANGER_GROUP = msg("{title} · a danger rests on it")
VERDICT = msg("{outcome}: {wanting}")

TITLE = msg("Tests: expected and measured")
SHEET_TITLE = msg("Test sheet")
LEAD = msg("What was measured when the system was put to work and since, beside what the computation expects.")
SHEET_LEAD = msg(
    "What to measure when the system is put to work, and what passes. For the installer, to be filled in aboard."
)
KEY_PASSED = msg("Passed")
KEY_FAILED = msg("Failed")
KEY_MISSING = msg("Not measured")
KEY_OPEN = msg("Cannot be judged")
KEY_NOTE = {
    "pass": msgs("test", "tests"),
    "fail": msgs("test; mend it and measure again", "tests; mend it and measure again"),
    "not_measured": msgs("test still to be made", "tests still to be made"),
    "undecided": msgs("reading that lacks something", "readings that lack something"),
}
FAILED_DANGERS = msg("A danger rests on what failed or is missing")
FAILED_DANGER = msg("{test}, {place}: {verdict}.")
MISSING_DANGER = msg("{test}: not measured yet ({places}).")
FAILED_FIGURE = msg("{test}, {place}: {verdict}. Read {read}; {passes} passes.")
FAILED_OTHERS = msg("Failed, with no danger resting on it")
ALL_GOOD = msg("Every test has passed.")
NO_DANGER = msg("No test on which a danger rests has failed or is missing.")
NO_TESTS = msg("There are no tests to show.")
OPTION_HEADING = msg("Option {letter}: what to measure")
OPTION_COUNT = msg(
    "{asked_count} readings for this option. On {danger_count} of them a danger rests: without them it is not handed "
    "over."
)
READ = msg(
    "Bands are of the computation for this vessel, with the tolerance that practice allows. Where a current stands "
    "beside a band, measure at whatever current flows and write it down: the band grows with it."
)
GROUP_TABLE = msg("{group}: expected and measured")
SHEET_TABLE = msg("Option {letter}, {group}: what to measure")
COLUMN_PLACE = msg("Where")
COLUMN_PASSES = msg("Passes")
COLUMN_READ = msg("Read")
COLUMN_TAKEN = msg("When, by whom, with what")
COLUMN_MEASURED = msg("Measured")
HOW_HEADING = msg("How each test is made")
HOW_TABLE = msg("How each test is made, what passes by which source, and which checks rest on it")
COLUMN_TEST = msg("Test")
COLUMN_HOW = msg("How")
COLUMN_SOURCE = msg("Tolerance and source")
COLUMN_CHECKS = msg("Checks")
