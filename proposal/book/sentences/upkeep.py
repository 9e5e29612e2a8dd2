"""Words of the upkeep list: its page, and the events of the calendar."""

from proposal.book.language import msg
from proposal.frozen import frozen

TITLE = msg("Upkeep")
LEAD = msg("What has to be looked at, how often, and when next. The calendar file holds the same dates.")
READ = msg(
    "The dates count from the hand-over, or from the day on which the record says that a task was done last. What the "
    "makers of batteries and devices ask for comes first."
)
TABLE = msg("Upkeep of this vessel, by the next date")
COLUMN_TASK = msg("What")
COLUMN_DO = msg("How it is done")
COLUMN_ITEMS = msg("On")
COLUMN_EVERY = msg("How often")
COLUMN_LAST = msg("Last done")
COLUMN_DUE = msg("Next due")
COLUMN_SOURCE = msg("Source")
LAST = msg("{date}, {by}")
NEVER = msg("not yet")
DONE = msg("done, not due again")
ONCE = msg("once")
EVERY = msg("every {every_days}")
AND_MORE = msg("and {count} more")

EVENT = msg("{vessel}: {task}")
EVENT_ITEMS = msg("On: {items}.")
EVENT_RECORD = msg("When it is done, tell {installer}, or write it into record {number} (its name there: {code}).")
CALENDAR = msg("Upkeep of {vessel}")


@frozen
class UpkeepText:
    """A task in a few words, and how it is done, with the task's figures as fields."""

    title: str
    do: str


TASKS = {
    "retorque_first": UpkeepText(
        msg("Tighten fresh joints once more"),
        msg(
            "A month after they were made, or after {run_h} of running if that comes first: everything off and proven "
            "dead, each nut and terminal to its maker's torque, and a new mark across nut and stud."
        ),
    ),
    "alarms": UpkeepText(
        msg("Try every alarm"),
        msg("Press its test or bring about what it warns of: it must be heard where people are, and asleep."),
    ),
    "bilge_pump": UpkeepText(
        msg("Try the bilge pump"),
        msg("Lift its float with all battery switches open: it must run and throw water. Clean its strainer."),
    ),
    "standing_drain": UpkeepText(
        msg("Read the standing drain"),
        msg("Everything off that is not meant to stay on: the meter must read what the test sheet says, no more."),
    ),
    "lead_charged": UpkeepText(
        msg("Bring lead to full"),
        msg(
            "Charge it to the end, until its current has fallen to almost nothing, and leave it full: lead that stands "
            "partly empty is spoilt. Where a finding asks for it more often, that holds."
        ),
    ),
    "water": UpkeepText(
        msg("Water in vented lead"),
        msg("After a full charge: pure water up to the mark in every cell, never acid. Goggles and gloves."),
    ),
    "lithium_stored": UpkeepText(
        msg("Store lithium half full"),
        msg("Where it is left alone: between {low_share} and {high_share}, cut off from everything that draws."),
    ),
    "thermal": UpkeepText(
        msg("Look for warm joints"),
        msg(
            "After half an hour under a heavy steady load, with a thermal camera: no joint more than {warmer_c} warmer "
            "than its own conductor {distance_m} away. A warm one is taken apart, cleaned and made anew."
        ),
    ),
    "retorque": UpkeepText(
        msg("Tighten all joints"),
        msg("Everything off and proven dead: each nut and terminal to its maker's torque; look at every mark."),
    ),
    "vents": UpkeepText(
        msg("Look through the vents"),
        msg("Inlet and outlet of the battery space open, no nest, no paint, no locker stuffed in front of them."),
    ),
    "start_battery": UpkeepText(
        msg("Test the start battery"),
        msg("Fully charged and rested: its conductance, and its voltage while the engine is cranked cold."),
    ),
    "emergency_off": UpkeepText(
        msg("Try the emergency off"),
        msg(
            "Engine stopped and every charger off first. Press it: what it opens must open, by its auxiliary contact "
            "or a voltage across it, and stay open until it is set again."
        ),
    ),
    "capacity": UpkeepText(
        msg("Measure the capacity"),
        msg(
            "From full, at a steady current, down to the end that the maker names: less than {least_share} of what is "
            "printed on it, and its days are counted."
        ),
    ),
}
"""By task of the upkeep list."""
