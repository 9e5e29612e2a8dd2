"""Words of the voltage ladder and of the settings sheet."""

from proposal.book.language import msg

SETTINGS = {
    "absorption": msg("charges to"),
    "float": msg("then holds"),
    "equalise": msg("equalises at"),
    "restarts_below": msg("begins anew below"),
    "opens_above": msg("opens above"),
    "opens_below": msg("opens below"),
    "joins": msg("joins at"),
    "releases": msg("releases at"),
    "cuts_above": msg("ends charging at"),
    "cuts_below": msg("ends discharging at"),
    "input_min": msg("gives up below"),
    "input_max": msg("bears at most"),
    "bears": msg("bears at most"),
}
"""What each setting is, after the name of the device."""

WHY = {
    "absorption": msg("fills the batteries"),
    "float": msg("keeps them full without boiling them"),
    "equalise": msg("brings the cells of a lead battery to one level, now and then"),
    "restarts_below": msg("a new charge begins once so much is used"),
    "opens_above": msg("keeps lithium from being overcharged, before its own management has to"),
    "opens_below": msg("keeps a rest in the lithium, before its own management cuts it off"),
    "joins": msg("something charges: both sides may share"),
    "releases": msg("nothing charges any more: the sides must part"),
    "rest_full": msg("full, at rest"),
    "rest_half": msg("half full, at rest"),
    "rest_low": msg("down to the planned rest, at rest"),
    "cuts_above": msg("the battery's own last guard against overcharge"),
    "cuts_below": msg("the battery's own last guard against emptying"),
    "input_min": msg("saves what is left in the batteries"),
    "input_max": msg("more destroys it"),
    "bears": msg("more destroys it"),
    "joins_below": msg("joins only while the bus is no more than this above the lithium"),
}
"""What each setting is for."""

TITLE = msg("Voltages and settings")
LEAD = msg(
    "Every voltage at which something charges, joins, parts or gives up, on one axis, and the sheet from which they "
    "are set. For the one who sets the devices, and for the one who checks them."
)
HEADING = msg("Option {letter}: voltage ladder")
READ = msg(
    "Each row is one setting: a tick where it is set, a bar for how far it may be off, a line for what cold and heat "
    "make of it. What must act first has to stand clear of what acts next. A triangle and a number mark two that "
    "do not."
)
CAPTION = msg("Voltage ladder of option {letter}")
CAPTION_MORE = msg("Voltage ladder of option {letter}, continued")
ALT_CLEAR = msg("Option {letter}: every setting has its room; no two stand in each other's way.")
ALT_OVERLAP = msg("Option {letter}: settings stand in each other's way: {titles}.")
ALT_UNDECIDED = msg("Option {letter}: no two settings stand in each other's way as far as they are stated.")
CLEAR = msg("No two settings stand in each other's way.")
CLEAR_SO_FAR = msg("As far as the settings are stated, no two of them stand in each other's way.")
SHEET_TABLE = msg("Option {letter}: settings sheet")
COLUMN_DEVICE = msg("Device")
COLUMN_SETTING = msg("Setting")
COLUMN_VALUE = msg("Voltage")
COLUMN_TOLERANCE = msg("Give or take")
COLUMN_COLD_HOT = msg("Cold / hot")
COLUMN_WHY = msg("What for, and from where")
JOINS_BELOW = msg("joins while apart less than")
ASSUMED = msg("{tolerance}, assumed")
UNSTATED = msg("not stated")
NOTE = msg(
    "Cold and hot: at the coldest and hottest place of the batteries. A tolerance that nobody states is assumed as "
    "good practice lets it pass; measure it when the system is commissioned."
)
