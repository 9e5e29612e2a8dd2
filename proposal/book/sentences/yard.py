"""Words of the index of a yard: its pages, and the states of a vessel."""

from proposal.book.language import msg, msgs

TITLE = msg("Yard index")
SUBTITLE = msgs("{count} vessel on {today}", "{count} vessels on {today}")
DEFERENCE = msg(
    "This index tells what each project and record says, computed as it stands. It is no inspection: local rules, "
    "makers' instructions and the licensed person who signs come first."
)
RUNNING = msg("as of {today}")

STATUS = {
    "proposal": msg("proposal"),
    "fitted": msg("fitted, not sealed"),
    "sealed": msg("sealed"),
    "do_not_energise": msg("do not energise"),
    "mistakes": msg("has mistakes"),
}
ARCHIVE_ALONE = msg("{status}; only its archives are here")

COLUMN_VESSEL = msg("Vessel")
COLUMN_NUMBER = msg("Number")
COLUMN_KIND = msg("Kind")
COLUMN_STATUS = msg("Stands")
COLUMN_OPTIONS = msg("Option")
COLUMN_RECORD = msg("Record")
COLUMN_OPEN = msg("Open findings")
COLUMN_TESTS = msg("Tests and defects")
COLUMN_UPKEEP = msg("Upkeep")
COLUMN_RULES = msg("Rules")
COLUMN_PRICE = msg("Price")
COLUMN_FOLDER = msg("Folder")
COLUMN_PART = msg("Part")
COLUMN_FITTED = msg("Fitted in")
COLUMN_PROPOSED = msg("Proposed for")
COLUMN_FUSE = msg("Fuse")
COLUMN_BREAKS = msg("Can break")
COLUMN_FAULT = msg("Fault current today")
COLUMN_IS = msg("It is")
COLUMN_FINDING = msg("Finding")
COLUMN_SEVERITY = msg("How grave")
COLUMN_FIRES = msg("Open in")
COLUMN_UNDECIDED = msg("Undecided in")
COLUMN_ACCEPTED = msg("Accepted in")
COLUMN_DUE = msg("Due")
COLUMN_TASK = msg("What")
COLUMN_ITEMS = msg("On")
COLUMN_LAST = msg("Last done")
COLUMN_WHAT = msg("What is open")
COLUMN_BY = msg("To be done by")
COLUMN_PLACE = msg("Where")
COLUMN_WRONG = msg("What is wrong")
COLUMN_RIGHT = msg("What would be right")

VESSELS_TITLE = msg("Vessels")
VESSELS_LEAD = msg(
    "One row for each vessel: how it stands, what is open, when somebody has to come back. Of a proposal the findings "
    "of all its options count, each once; of a fitted vessel those of what was fitted."
)
VESSELS_TABLE = msg("All vessels, by folder")
VESSELS_NONE = msg("There is no project in this folder: no folder in it has a file spec.yaml.")
FIGURE_VESSELS = msg("Vessels")
FIGURE_VESSELS_NOTE = msg("{fitted} with a record, {proposed} still proposals")
FIGURE_STOPPED = msg("Do not energise")
FIGURE_STOPPED_NOTE = msg("a danger, or a test of one that failed or is missing")
FIGURE_FUSES = msg("Fuses under fault current")
FIGURE_FUSES_NOTE = msg("fitted ones; {unknown} more are not stated")
FIGURE_OVERDUE = msg("Upkeep overdue")
FIGURE_OVERDUE_NOTE = msgs("on {count} vessel", "on {count} vessels")
FIGURE_OVERDUE_NONE = msg("no task is late")
FIGURE_MISTAKES = msg("Projects with mistakes")
FIGURE_MISTAKES_NOTE = msg("nothing is known of them until they are mended")
NUMBER = msg("{number}, revision {revision}")
OPTION_FITTED = msg("{letter}: {title}")
ENTRIES = msgs("{count} entry", "{count} entries")
SEALS = msgs("{count} seal", "{count} seals")
ARCHIVES = msgs("{count} archive", "{count} archives")
ACCEPTED = msg("{count} accepted")
FAILED = msgs("{count} test failed", "{count} tests failed")
MISSING = msgs("{count} test missing", "{count} tests missing")
DEFECTS = msgs("{count} defect open", "{count} defects open")
OVERDUE = msg("{count} overdue")
NEXT_DUE = msg("next {date}")
PRICE_OF = msg("{letter} {price}")
NOTHING = msg("none")

PARTS_TITLE = msg("Parts: {group}")
PARTS_LEAD = msg(
    "Which vessels have this part, how many of it and where. What stays aboard counts; of a proposal stands which "
    "option asks for it."
)
PARTS_TABLE = msg("{group}: each part and the vessels that have it")
VESSEL_COUNT = msgs("{count} vessel: {names}", "{count} vessels: {names}")
HAS = msg("{vessel} {amount}")
HAS_WHERE = msg("{vessel} {amount} ({items})")
PIECES = msg("{count}\u00a0×")
METRES = msg("{count}\u00a0m")

FUSES_TITLE = msg("Fuses under fault current")
FUSES_LEAD = msg(
    "Fuses and breakers that a short circuit can tear open: they break less than may flow at their place, as it is "
    "computed today. Those of which nobody states what they break come after."
)
FUSES_TABLE = msg("Fuses against the fault current at their place")
FUSES_NONE = msg("Every fuse breaks the largest fault current at its place.")
UNDER = msg("under the fault current")
UNKNOWN = msg("what it breaks is not stated")
IS_FITTED = msg("fitted")
IS_PROPOSED = msg("proposed, option {letter}")

FINDINGS_TITLE = msg("Findings by kind")
FINDINGS_LEAD = msg(
    "What the checks object to, and in which vessels. Of a proposal it may be one option alone that has it."
)
FINDINGS_TABLE = msg("Each kind of finding and the vessels that have it, the gravest first")
FINDINGS_NONE = msg("No check objects to anything in any vessel.")

UPKEEP_TITLE = msg("Upkeep due")
UPKEEP_LEAD = msg("Tasks of fitted vessels that are overdue on {today}, and those due in the {within_days} after it.")
UPKEEP_TABLE = msg("Upkeep by the day on which it is due")
UPKEEP_NONE = msg("No upkeep is due.")
UPKEEP_MORE = msg("Later dates are in upkeep.csv.")
IS_OVERDUE = msg("{date}, overdue")
NEVER = msg("not yet")

OPEN_TITLE = msg("Failed tests and open defects")
OPEN_LEAD = msg("Tests that failed, tests of dangers that nobody made, and defects that nobody has mended.")
OPEN_TABLE = msg("What is open on fitted vessels")
OPEN_NONE = msg("No test failed or is missing, and no defect is open.")
TEST_FAILED = msg("Test failed: {test}, {item}")
TESTS_MISSING = msg("Tests missing: {tests}")
TEST_AT = msg("{test} ({items})")
WHOLE_SYSTEM = msg("the whole system")
DEFECT = msg("Defect: {what}")

MISTAKES_TITLE = msg("Projects with mistakes")
MISTAKES_LEAD = msg(
    "Projects that could not be computed, each with its first mistakes, and folders that could not be read."
)
MISTAKES_TABLE = msg("Mistakes by folder")
MISTAKES_NONE = msg("Every project could be computed.")
MISTAKES_MORE = msgs("{count} more mistake in this project", "{count} more mistakes in this project")
PLACE = msg("{file}, line {line}, column {column}")
UNREAD = msg("this folder could not be read: {why}")

FILES_HEADING = msg("The same as files")
FILES = msg(
    "Beside these pages lie vessels.csv, parts.csv, findings.csv and upkeep.csv for a spreadsheet, and yard.json with "
    "everything. A text that a spreadsheet would take for a formula begins with an apostrophe there."
)
