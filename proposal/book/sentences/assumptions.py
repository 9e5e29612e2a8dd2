"""What was assumed where the survey brought no value, by the codes of `circuit/assumed.py` and of the studies."""

from proposal.book.language import msg

ASSUMPTIONS = {
    "hot_alternator": msg(
        "{item} holds {current_a} for hours in its hot place: half of its nameplate, because no reading is there."
    ),
    "starter_current": msg("The starter draws {current_a} while it cranks, as engines of this size commonly do."),
    "starter_inrush": msg("The first inrush of the starter is {current_a}, a common multiple of its cranking current."),
    "inrush_time": msg("The inrush of {item} lasts {inrush_s}."),
    "relay_joins": msg("{item} joins at {joins_v}."),
    "relay_releases": msg("{item} releases at {releases_v}."),
    "relay_tolerance": msg("The voltages of {item} are true to within {tolerance_v}."),
    "controller_tolerance": msg("What the controller of {item} measures is true to within {tolerance_v}."),
    "battery_resistance": msg(
        "One battery of {item} has {resistance_ohm} inside, for voltage drops: typical of its kind and size."
    ),
    "battery_fault_resistance": msg(
        "One battery of {item} has {resistance_ohm} inside, for short circuits: the low end of its kind and size."
    ),
}

OTHER = msg("A value for {item} that the survey did not bring.")
"""For a code without a sentence of its own."""

FIND_OUT = {
    "hot_alternator": msg(
        "Measure the alternator's current after half an hour at the usual speed, with a clamp meter."
    ),
    "starter_current": msg("Measure it with a clamp meter while the engine cranks."),
    "starter_inrush": msg("Measure it with a clamp meter that holds the peak."),
    "inrush_time": msg("Ask the maker, or record it with a clamp meter."),
    "relay_joins": msg("Read it from the maker's sheet of the relay, or measure it."),
    "relay_releases": msg("Read it from the maker's sheet of the relay, or measure it."),
    "relay_tolerance": msg("Read it from the maker's sheet of the relay, or measure it."),
    "controller_tolerance": msg("Read it from the controller's sheet, or compare its readings with a good meter."),
    "battery_resistance": msg("Ask the battery's maker, or measure the conductance."),
    "battery_fault_resistance": msg("Ask the battery's maker for the short-circuit current."),
}
