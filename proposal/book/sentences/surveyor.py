"""Titles, headings and sentences of the tables for installer and surveyor: price, cables, findings, codes, numbers."""

from proposal.book.language import msg, msgs

# price
PRICE_TITLE = msg("Bill of materials and price")
PRICE_LEAD = msg("What is bought and what is done for each option, line by line. Prices are in {currency}.")
PRICE_TABLE = msg("Option {letter}: material, labour and price")
PRICE_UNPRICED_TITLE = msg("Lines without a price")
PRICE_UNPRICED = msgs(
    "{count} line of option {letter} has no price yet, and is not in the total: {titles}.",
    "{count} lines of option {letter} have no price yet, and are not in the total: {titles}.",
)
PRICE_BASIS_HEADING = msg("What the price rests on")
PRICE_BASIS = (
    msg(
        "The lengths measured on the survey, with a little added for ends and bends; cable is priced by the metre, "
        "lugs apart."
    ),
    msg("Equipment that stays is not priced; it is judged, and named with the numbers."),
    msg("Each line is rounded once; the totals are the sums of the rounded lines."),
    msg("Contingency is for what hidden runs and old fastenings bring."),
    msg("Joinery, mains work and changes to the engine are not included unless a line names them."),
)
PRICE_VALID = msg("The price holds for {valid_days} from {date}.")
PRICE_TERMS_HEADING = msg("Terms")
COLUMN_ITEM = msg("Item")
COLUMN_FOR = msg("For")
COLUMN_QUANTITY = msg("Quantity")
COLUMN_UNIT_PRICE = msg("Unit price")
COLUMN_AMOUNT = msg("Amount")
TOTAL_MATERIAL = msg("Material")
TOTAL_LABOUR = msg("Labour")
TOTAL_CONTINGENCY = msg("Contingency")
TOTAL_NET = msg("Before tax")
TOTAL_TAX = msg("{tax_name}, {tax_share}")
TOTAL = msg("Total")
NO_PRICE = msg("no price yet")
ITEMS_MORE = msg("and more")

# cables and protection
CABLES_TITLE = msg("Cables and protection")
CABLES_LEAD = msg(
    "Every conductor, fuse, switch, relay and bus, with the currents that decide, for the installer and the "
    "surveyor. System: {system_v} DC; rules: {rules}."
)
CABLES_OPTION = msg("Option {letter}: {title}")
CABLES_BASIS = msg(
    "Current: the largest that lasts, over all cases. May carry: for hours, at the hottest of its place and bundled as "
    "it lies. Lost on the way: over the whole loop, from the best battery post to the load and back. Short circuit: at "
    "either end, all sources feeding, batteries full and warm. Fuses: all that end the stretch in which it lies, from "
    "whichever side."
)
LAY_TABLE = msg("Option {letter}: conductors to cut and lay")
LAY_TABLE_RECORD = msg("Conductors as laid")
WHY_TABLE = msg("Option {letter}: what decided each conductor")
FUSES_TABLE = msg("Option {letter}: each fuse, what its place asks for, and what it guards")
DEVICES_TABLE = msg("Option {letter}: what each device must carry, and why it was chosen")
SWITCHING_TABLE = msg("Option {letter}: contactors, relays and switches, each current beside its rating")
SURGES_TABLE = msg("Option {letter}: capacitors charged from nothing, at most")
COIL_HELD = msg("held: {coil_w}, {coil_ah_per_day} a day; opens without control power.")
COIL_LATCHING = msg("latching: {coil_w}, {coil_ah_per_day} a day; stays as it is without control power.")
COIL_START = msg("Lets go below {drop_out_v}; finds {least_supply_v} at a start.")
COLUMN_DEVICE = msg("Device")
COLUMN_HOURS_RATED = msg("For hours")
COLUMN_MINUTES_RATED = msg("For minutes")
COLUMN_START_RATED = msg("At a start")
COLUMN_CLOSING = msg("Closing")
COLUMN_OPENING = msg("Opening")
COLUMN_COIL = msg("Coil")
COLUMN_CAPACITORS = msg("Capacitors of")
COLUMN_THROUGH = msg("Through")
COLUMN_FALLS = msg("Falls within")
COLUMN_ENERGY = msg("Energy")
COLUMN_GENTLY = msg("Resistor and time")
JOINS_TABLE = msg("Option {letter}: first current when two banks are joined")
LAY_HEADING = msg("Option {letter}: conductors")
FUSES_HEADING = msg("Option {letter}: fuses")
DEVICES_HEADING = msg("Option {letter}: switches, relays and buses")
FAULTS_HEADING = msg("Option {letter}: short circuits and joining")
NO_JOINS = msg("Nothing in this option joins two banks.")
COLUMN_NO = msg("No.")
COLUMN_CIRCUIT = msg("Circuit")
COLUMN_FROM = msg("From")
COLUMN_TO = msg("To")
COLUMN_POLE = msg("Pole")
COLUMN_SIZE = msg("Size")
COLUMN_LENGTH = msg("Length")
COLUMN_PLACE = msg("Place, hottest")
COLUMN_TOGETHER = msg("Bundled")
COLUMN_CURRENT = msg("Current")
COLUMN_WHEN = msg("When")
COLUMN_CARRIES = msg("May carry")
COLUMN_LIMIT = msg("Limit")
COLUMN_LOST_LIMIT = msg("Lost on the way / limit")
COLUMN_ENDS = msg("Ends of")
COLUMN_OPTION = msg("Option {letter}")
COLUMN_NOMINAL = msg("Nominal")
COLUMN_BANK = msg("Bank")
COLUMN_FAULT_BREAKS = msg("Short circuit / breaks")
COLUMN_DISTANCE_MOST = msg("From source / at most")
COLUMN_FAULT = msg("Short circuit, from and to")
COLUMN_FUSES = msg("Fuses")
COLUMN_DECIDED = msg("Decided by")
COLUMN_PART = msg("Part")
COLUMN_RATING = msg("Rating")
COLUMN_ALLOWED = msg("Allowed")
COLUMN_FAULT_HERE = msg("Short circuit")
COLUMN_UP_TO = msg("Up to")
COLUMN_GUARDS = msg("Guards")
COLUMN_KIND = msg("Kind")
COLUMN_NEEDED = msg("Needed")
COLUMN_AT = msg("At")
COLUMN_RESISTANCE = msg("Resistance")
COLUMN_RELAY = msg("Relay")
COLUMN_SITUATION = msg("Situation")
COLUMN_DIFFERENCE = msg("Apart")
COLUMN_FIRST = msg("First current")
LASTING_AND_CRANKING = msg("{lasting}; {cranking} cranking")
NO_LIMIT = msg("no limit given")
LIMITED = msg("{limit}, {item}: {why}")
NO_PART = msg("not in the price book")
NOT_STATED = msg("not stated")
FROM_TO = msg("{smallest} to {largest}")
WITH_PLACE = msg("{place}, {place_c}")

# findings
FINDINGS_TITLE = msg("Findings")
FINDINGS_LEAD = msg(
    "What the checks object to, the worst first: danger to people or vessel, fault that makes it fail, advice that "
    "makes it better. Undecided: a value is missing, and it says what to find out."
)
FINDINGS_COUNTS = msg("The checks found {counts}.")
FINDINGS_OPTION_NONE = msg("Option {letter}: nothing to object to")
FINDINGS_TABLE = msg("Option {letter}: findings")
CHECKS_HEADING = msg("What was tested")
CHECKS_TABLE = msg("Every check, how often it was made, and how it went")
CHECK_GOOD = msg("{tested} tested, all good")
CHECK_NOT_MET = msg("{tested} tested, {fired} not met, {undecided} undecided")
CHECK_NOTHING = msg("nothing to test")
CHECKS_NOTE = msg(
    "A check that found nothing to test does not concern this system. What is not in this list was not tested: see the "
    "test sheet on the page of {codes}."
)
CODES_LINK = msg("code notes")
COLUMN_SEVERITY = msg("Severity")
COLUMN_WHERE = msg("Where")
COLUMN_FOUND = msg("What was found")
COLUMN_DO = msg("What to do")
COLUMN_SOURCE = msg("Source")
COLUMN_CHECK = msg("Check")
COLUMN_NUMBER = msg("No.")
ACCEPTED = msg("Accepted by {name}: {reason}")
REFUSED = msg("{name} wants to accept this; nobody can. It must be mended.")
ACCEPTANCES_TABLE = msg("Option {letter}: what somebody accepts by name")
COLUMN_BY = msg("By")
COLUMN_REASON = msg("Reason")
COLUMN_STANDS = msg("How it stands")
ACCEPTANCE_STANDS = {
    "accepted": msg("Accepted; it stays among the findings."),
    "refused": msg("Nobody can accept this: it must be mended."),
    "idle": msg("Nothing of the kind was found: take the entry out."),
    "not_asked": msg("Only the days can show it, and they were not asked for."),
}
WHOLE_OPTION = msg("the whole option")

# code notes
CODES_TITLE = msg("Code notes")
CODES_LEAD = msg(
    "Rule family: {family}, for {applies_to}. Editions: {edition}. Each topic in own words, and how that is met."
)
CODES_TESTED = msg("Tested by calculation")
CODES_TESTED_TABLE = msg("Topics that the calculation tests")
CODES_SHEET = msg("For the test sheet")
CODES_SHEET_TABLE = msg("Topics to be looked at and tested on site")
CODES_SHEET_NOTE = msg(
    "No calculation shows these, or it could not decide them. They are looked at on site and ticked off by the one who "
    "signs the test sheet; where a limit is only remembered, the edition in force is read first."
)
CODES_APART = msg("Not applicable")
CODES_APART_TABLE = msg("Topics that are about something else")
CODES_STANDS = msg("{outcome}: {because}")
COLUMN_CHECKED_FOR = msg("Checked for")
COLUMN_OPTIONS = msg("Options")
COLUMN_WHY = msg("Why")
COLUMN_AS_FITTED = msg("As fitted")
CODES_READ = msg(
    "Editions and jurisdictions differ. The edition in force, read in full, is what holds; nothing here is quoted from "
    "one."
)
COLUMN_TOPIC = msg("Topic")
COLUMN_ASKS = msg("What it asks")
COLUMN_TICK = msg("Seen, by")

# numbers
NUMBERS_TITLE = msg("How every number was reached")
NUMBERS_LEAD = msg(
    "Formulas, inputs, sources, what was assumed and what was turned down: so that anyone can check it again."
)
FORMULAS_HEADING = msg("Formulas")
FORMULAS_TABLE = msg("What is calculated, how, and from what")
SURVEY_HEADING = msg("From the survey")
SURVEY_BY = msg("Survey of {date} by {by}.")
SURVEY_DATE_ONLY = msg("Survey of {date}.")
SURVEY_NONE = msg("No survey is dated.")
MEASURED_TABLE = msg("What was measured")
STAYS_TABLE = msg("What is fitted and stays")
UNKNOWN_HEADING = msg("What is not known yet")
UNKNOWN_TABLE = msg("To be found out, and how")
ASSUMED_HEADING = msg("Assumed, because it is not known")
ASSUMED_TABLE = msg("Option {letter}: values that were assumed")
ASSUMED_NOTE = msg("Results that use one of these rest on it. Bring the value, and they are calculated again.")
ASSUMED_NONE = msg("Nothing had to be assumed in option {letter}.")
SOURCES_TABLE = msg("Option {letter}: sources of these values, by the letter in the table")
AMPACITY_HEADING = msg("Option {letter}: what each conductor may carry")
AMPACITY_TABLE = msg("Option {letter}: table value × temperature factor × bundle factor, and resistance")
BANKS_HEADING = msg("Option {letter}: batteries")
BANKS_TABLE = msg("Option {letter}: electrical data of the banks")
REJECTED_HEADING = msg("Option {letter}: what was turned down")
REJECTED_TABLE = msg("Option {letter}: candidates turned down, and why")
REJECTED_NOTE = msg("Where several were turned down for one kind of reason, the figures are those of the last of them.")
REJECTED_NONE = msg("Nothing was turned down in option {letter}.")
CASES_HEADING = msg("Option {letter}: solved network")
CASES_TABLE = msg("Option {letter}: cases of the load flow")
CASES_NOTE = msg(
    "The network of each case, with all its nodes, branches, sources and the solution, is in the file results.json "
    "beside these pages. The last two columns are what Kirchhoff's laws leave over: nearly nothing, or the solution is "
    "wrong."
)
VOLTAGES_HEADING = msg("Option {letter}: voltages at loads and where something senses")
VOLTAGES_TABLE = msg("Option {letter}: voltage at the pins, over all cases that last")
VOLTAGES_NOTE = msg("The voltage of each of these points in every single case, starting too, is in results.json.")
SHARING_HEADING = msg("Option {letter}: batteries in parallel")
SHARING_TABLE = msg("Option {letter}: how the batteries of a bank share its current")
SHARING_OUT_TABLE = msg("Option {letter}: one battery of a bank out")
SHARING_NOTE = msg(
    "A path is a battery with its leads: its resistance is what the share is worth that the solved network gives it. "
    "Where all paths of a bank are alike, one battery out stands for any."
)
COLUMN_POINT = msg("Point")
COLUMN_USUAL = msg("All on")
COLUMN_LOWEST = msg("Lowest")
COLUMN_HIGHEST = msg("Highest")
COLUMN_WHEN = msg("When")
COLUMN_BATTERY = msg("Battery")
COLUMN_PATH = msg("Path")
COLUMN_PART_OF_ALL = msg("Share")
COLUMN_GIVES_MOST = msg("Most it gives")
COLUMN_OTHERS_GIVE = msg("Most that another gives")
COLUMN_MAKER_ALLOWS = msg("Maker allows")
COLUMN_AT_LEADS = msg("At the main leads")
COLUMN_GOES_DARK = msg("Goes dark")
COLUMN_WARMED = msg("Warms to")
NOTHING_DARK = msg("nothing")
MADE_BY = msg("Made by {made_by}; results version {version}.")
COLUMN_LETTER = msg("Letter")
COLUMN_WHAT = msg("What")
COLUMN_FORMULA = msg("Formula")
COLUMN_INPUTS = msg("From")
COLUMN_READING = msg("Reading")
COLUMN_FITTED = msg("Fitted")
COLUMN_CONDITION = msg("Condition")
COLUMN_HOW = msg("How to find out")
COLUMN_ASSUMED = msg("Assumed")
COLUMN_TABLE = msg("Table")
COLUMN_HEAT = msg("Heat")
COLUMN_BUNDLE = msg("Bundle")
COLUMN_OHM = msg("At 20 °C")
COLUMN_DROP = msg("Own drop")
COLUMN_CLASS = msg("Insulation")
COLUMN_CHOSEN = msg("Chosen")
COLUMN_TURNED_DOWN = msg("Turned down")
COLUMN_BECAUSE = msg("Because")
COLUMN_FOR_CASE = msg("Case")
COLUMN_TEMPERATURE = msg("Conductors at")
COLUMN_NODES = msg("Nodes")
COLUMN_BRANCHES = msg("Branches")
COLUMN_KIRCHHOFF = msg("Current left over")
COLUMN_POWER = msg("Power left over")
COLUMN_OPEN = msg("Open relays and switches")
COLUMN_FULL_V = msg("Full, at rest")
COLUMN_INSIDE = msg("Resistance")
COLUMN_SHORT = msg("Short circuit")
COLUMN_COLD = msg("Left in the cold")
COLUMN_SHARE = msg("Usable")
RESISTANCE_ASSUMED = msg("assumed")
COLLAPSED = msg("not solved: {items} found too little voltage")
NONE_OPEN = msg("none")
UNKNOWN_NONE = msg("The survey names nothing that is not known.")

# book
BOOK_SUBTITLE = msg("Battery system {system_v} · {description}")
BOOK_SUBTITLE_PLAIN = msg("Battery system {system_v}")
RUNNING = msg("{number} · revision {revision} · {date}")
COVER_NUMBER = msg("Proposal")
COVER_NUMBER_TEXT = msg("{number}, revision {revision}")
COVER_DATE = msg("Date")
COVER_VALID = msg("Price holds for")
COVER_SYSTEM = msg("System")
COVER_SYSTEM_TEXT = msg("{system_v} direct current, {kind}")
COVER_RULES = msg("Rules")
COVER_OPTIONS = msg("Options")
COVER_OPTION = msg("{letter}: {title}")
COVER_CONTACT = msg("Contact")
