"""Titles, headings and sentences of the pages that a client reads: first page, comparison, options."""

from proposal.book.language import msg, msgs

# first page
INDEX_TITLE = msg("Your proposal in two minutes")
INDEX_LEAD_ONE = msg(
    "One way to fit the batteries of {vessel}: what it costs, what it does, and what you need to decide."
)
INDEX_LEAD = msg(
    "The ways to fit the batteries of {vessel}: what each costs, what it does, and what you need to decide."
)
DANGER_TITLE = msg("Not to be built like this")
DANGER_OF_OPTION = msg("Option {letter} has {count} that nobody has accepted: {titles}.")
DANGER_ACCEPTED = msg("Option {letter}: {title} was accepted by {name}: {reason}")
DANGER_REFUSED = msg("Option {letter}: {name} wants to accept {title}; nobody can. It must be mended.")
DANGER_ACCEPTED_TITLE = msg("Dangers that somebody has accepted")
DANGER_TITLES_MORE = msg("{titles} and others")
NO_DANGER_TITLE = msg("No open danger")
NO_DANGER = msg("The checks found no danger in either option. Faults and advice are on the page of {findings}.")
NO_DANGER_ONE = msg("The checks found no danger. Faults and advice are on the page of {findings}.")
OPTION_HEADING = msg("Option {letter}: {title}")
READ_OPTION = msg("More about {option}")
PRICE = msg("Price")
PRICE_NOTE = msg("with {tax_name}: material, labour and contingency")
PRICE_NOTE_UNPRICED = msgs(
    "with {tax_name}; {count} line has no price yet", "with {tax_name}; {count} lines have no price yet"
)
WITHOUT_CHARGE = msg("Without any charge")
WITHOUT_CHARGE_NOTE = msg("{season}, used as usual; you asked for {wanted_days}")
WITHOUT_CHARGE_NOTE_BOTH = msg(
    "{season}, used as usual, the bank that starts the engine counted in; you asked for {wanted_days}"
)
WITHOUT_CHARGE_NONE = msg("no use to reckon with")
START = msg("Will the engine start?")
START_WORD_AND_VOLTS = msg("{verdict}, {starter_v}")
START_NOTE = msg("cold, from {banks} alone; it needs {minimum_v}")
START_NOTE_UNKNOWN = msg("cold, from {banks} alone; ask the engine's maker what it needs")
START_NOTE_NOTHING = msg("cold; nothing feeds the starter")
DARK = msg("What goes dark first")
DARK_RESERVE = msg("After {first} it is used up and separates. Then {reserve} alone carries on for {then}.")
DARK_RESERVE_CRITICAL = msg(
    "After {first} it is used up and separates. Then {reserve} alone carries on for {then}, or {critical} with only "
    "the critical loads on."
)
DARK_NOTE_CRITICAL = msg("With only the critical loads on, {days} are left.")
WEIGHT = msg("Weight of the batteries")
WEIGHT_NOTE = msg("all of them together")
ENGINE_TIME = msg("Engine running")
GENERATOR_TIME = msg("Generator running")
GENERATOR_TIME_NOTE = msg("{season}: what the other sources do not bring")
MADE_UP_BY = {"engine": msg("engine"), "generator": msg("generator")}
ENGINE_TIME_NOTE = msg("{season}; you accept {accepted}")
ENGINE_TIME_NONE = msg("Cannot be made up")
ENGINE_TIME_NONE_NOTE = msg("{season}: the charge sources do not cover the use")
PER_DAY = msg("{hours} a day")
CRITICAL_HEADING = msg("What must not go dark")
CRITICAL = msg("These are named as critical, and are kept to the stricter limits: {loads}.")
CRITICAL_NONE = msg("No load is named as critical. Tell us if one is: navigation lights, radio, pumps, alarms.")
ALWAYS_ON = msg("Always on, ahead of the battery switches: {loads}.")
CAUTIONS_TITLE = msg("Three cautions")
ALL_CAUTIONS = msg("All cautions")
DECIDE = msg("What you decide")
DECIDE_OPTION = msg("Which option: {options}. They stand {compare} on the next page.")
SIDE_BY_SIDE = msg("side by side")
DECIDE_ONE = msg("Whether it is built like this: option {options}.")
DECIDE_FINDINGS = msg(
    "What is done about what the checks found in option {letter}, or who accepts it: {counts}; see {findings}."
)
FINDINGS_LINK = msg("findings")
DECIDE_UNKNOWN = msg("Who finds out what is not known yet: {points}. Some results rest on it; see {numbers}.")
NUMBERS_LINK = msg("how every number was reached")
DECIDE_CONSENT = msg("That those whose word in writing is needed give it before anything is ordered: see {consents}.")
DECIDE_TERMS = msg("Whether you agree to the terms of payment and warranty: {terms}.")
PRICE_LINK = msg("price and terms")
OPTION_NAME = msg("{letter} ({title})")
OR = msg(" or ")
DECIDE_VALID = msg("By when: this price holds for {valid_days} from {date}.")
SIGN = msg(
    "We agree to option ____ of proposal {number}, revision {revision}, of {date}, at the price named there, and have "
    "read its findings and cautions."
)
SIGN_ONE = msg(
    "We agree to proposal {number}, revision {revision}, of {date}, at the price named there, and have read its "
    "findings and cautions."
)
PICTURE_CAPTION = msg("Option {letter}, simply drawn")
PICTURE_ALT = msg("Batteries, charge sources and loads of option {letter}, {title}, and how they are joined.")

# comparison
COMPARE_TITLE = msg("The options side by side")
COMPARE_LEAD = msg("What differs between the options, and for whom each is the right one.")
COMPARE_TABLE = msg("Figures that are not the same in all options")
COMPARE_HEADING = msg("What differs")
COMPARE_SAME = msg("Alike in both, and so not in the table: {rows}.")
COMPARE_SAME_MANY = msg("Alike in all, and so not in the table: {rows}.")
OPTION_COLUMN = msg("Option {letter}")
QUESTION_COLUMN = msg("What")
CHOOSE_CHEAPER = msg("Price decides: it costs least, {price}.")
CHOOSE_LONGER = msg("You want to stay longest without charge: {days}.")
CHOOSE_LIGHTER = msg("Weight matters: its batteries are the lightest, {mass}.")
CHOOSE_START = msg("The start must not depend on the house: the engine has a battery of its own.")
CHOOSE_SAFER = msg("You want the fewest open points: the checks found no danger and no fault in it.")
CHOOSE_STRONGER_START = msg("The strongest start counts: {starter_v} at the starter in the cold.")
BANKS_ROW = msg("Batteries")
BANK_ENTRY = msg("{title}: {batteries}")
ARRANGEMENT_ROW = msg("How they are joined")
PRICE_ROW = msg("Price with {tax_name}")
MATERIAL_ROW = msg("Material")
LABOUR_ROW = msg("Labour")
USABLE_ROW = msg("Usable energy for the house")
DAYS_ROW = msg("Without any charge, used as usual")
CRITICAL_DAYS_ROW = msg("Without any charge, critical loads only")
BALANCE_ROW = msg("A day's balance, {season}")
ENGINE_ROW = msg("Engine or generator running a day, {season}")
START_ROW = msg("At the starter, {case}")
DRAIN_ROW = msg("Drain with everything switched off")
MASS_ROW = msg("Weight of the batteries")
DARK_ROW = msg("What goes dark first")
DANGERS_ROW = msg("Dangers found")
FAULTS_ROW = msg("Faults found")
UNDECIDED_ROW = msg("Points undecided")
FAULT_CURRENT_ROW = msg("Largest short-circuit current")
JOIN_ROW = msg("Largest current at joining two banks")

# option
OPTION_TITLE = msg("Option {letter}: {title}")
OPTION_TITLE_RECORD = msg("What it does: {title}")
DRAWING_HEADING = msg("Drawing")
DRAWING_CAPTION = msg("Single-line drawing of option {letter}")
DRAWING_CAPTION_MORE = msg("Single-line drawing of option {letter}, continued")
DRAWING_ALT = msg(
    "Every battery, fuse, switch, relay, bus, charge source and load of option {letter}, {title}, joined by single "
    "lines."
)
DRAWING_CAPTION_RECORD = msg("Single-line drawing, as fitted")
DRAWING_CAPTION_MORE_RECORD = msg("Single-line drawing, as fitted, continued")
DRAWING_ALT_RECORD = msg(
    "Every battery, fuse, switch, relay, bus, charge source and load as fitted, {title}, joined by single lines."
)
DRAWING_MISSING = msg("The drawing of this option is not part of this book.")
DRAWING_READ = msg(
    "Each line stands for a positive conductor with its negative beside it. The letters and numbers are the same in "
    "every table of this book and on the labels. W: conductor. F: fuse. Q: switch, or contactor (a switch that a "
    "controller moves). K: relay, or controller. X: bus (the common bar of several circuits). B: shunt (it measures "
    "what flows). G: battery, or what makes power. T: charger or inverter. M: starter. E: load."
)
MEANS_HEADING = msg("What it means for you")
MIND_HEADING = msg("What you keep to")
CHOOSE_HEADING = msg("Choose it if")
OPTION_FINDINGS = msg("The checks found {counts}; each is told on the page of {findings}.")
OPTION_NO_FINDINGS = msg("The checks found nothing to object to; what was tested stands on the page of {findings}.")
BATTERIES_HEADING = msg("Batteries")
BATTERIES_TABLE = msg("The batteries, what they hold, and what of it can be used")
BATTERIES_NOTE = msg(
    "Usable: what a bank holds, times the share that can be used without wearing it out early, times what is left of "
    "that at the coldest of its place."
)
ENERGY_HEADING = msg("Energy in each season")
ENERGY_TABLE = msg("A day's energy, by season")
ENERGY_WORST = msg("The tightest season: {season}.")
ENERGY_ENGINE = msg("What is missing then is made up by {engine_h} of {made_up_by} a day; you accept {accepted}.")
ENERGY_ENGINE_MORE = msg(
    "What is missing then would need {engine_h} of {made_up_by} a day, more than the {accepted} that you accept."
)
ENERGY_GENERATOR = msg("What is missing then is made up by {engine_h} of generator a day.")
ENERGY_NO_ENGINE = msg("The charge sources do not cover the use then, and neither engine nor generator makes it up.")
ENERGY_COVERED = msg("The charge sources cover the use then without engine or generator.")
LOADS_TABLE = msg("What uses the energy in a day, {season}")
AUTONOMY_HEADING = msg("How long without charge")
AUTONOMY_TABLE = msg("How long each bank lasts when nothing charges")
CHARGE_HEADING = msg("How long to charge")
CHARGE_TABLE = msg("Hours of each source alone, from used to full, loads running")
CHARGE_NEVER = msg("does not keep up with the loads")
START_HEADING = msg("Starting the engine")
START_TABLE = msg("The starter in the cold")
START_VERDICT_WORDS = {
    "starts": msg("It starts: the voltage at the starter stays above what it needs, with some to spare."),
    "uncertain": msg(
        "It may start: the voltage is near or below what is safe to rely on, and only the engine's maker knows what is "
        "enough."
    ),
    "fails": msg("It does not start: too little voltage is left at the starter."),
    "unknown": msg("Whether it starts is not known: a value is missing."),
}
"""What a verdict on the start means."""

# columns of these pages
COUNT_OF_PART = msg("{count} × {part}")
SERIES_OF_PART = msg("{series} × {part} in series")
STRINGS_OF_PART = msg("{count} strings of {series} × {part} in series")
ENGINE_NONE = msg("cannot")
COLUMN_NO = msg("No.")
COLUMN_BANK = msg("Bank")
COLUMN_BATTERIES = msg("Batteries")
COLUMN_ROLE = msg("Serves")
COLUMN_CAPACITY = msg("Holds")
COLUMN_SHARE = msg("To be used")
COLUMN_COLD = msg("Left in the cold")
COLUMN_USABLE = msg("Usable")
COLUMN_MASS = msg("Weight")
COLUMN_PLACE = msg("Place")
COLUMN_SEASON = msg("Season")
COLUMN_USE = msg("Used")
COLUMN_LOSS = msg("Lost in charging")
COLUMN_SUN = msg("Sun")
COLUMN_WIND = msg("Wind")
COLUMN_SHORE = msg("Shore or generator")
COLUMN_ENGINE = msg("Engine or generator")
COLUMN_ENGINE_H = msg("Running for")
COLUMN_BALANCE = msg("Left over")
COLUMN_LOAD = msg("Load")
COLUMN_PER_DAY = msg("A day")
COLUMN_WHILE_ON = msg("While on")
COLUMN_CRITICAL = msg("Critical")
COLUMN_DAYS = msg("Used as usual")
COLUMN_CRITICAL_DAYS = msg("Critical loads only")
COLUMN_USED_A_DAY = msg("Used a day")
COLUMN_SOURCE = msg("Charge source")
COLUMN_CHARGE = msg("To refill")
COLUMN_CURRENT = msg("Current left for it")
COLUMN_HOURS = msg("Takes")
COLUMN_CASE = msg("When")
COLUMN_FED_BY = msg("Fed by")
COLUMN_STARTER_V = msg("At the starter")
COLUMN_NEEDS = msg("It needs")
COLUMN_VERDICT = msg("Starts?")
COLUMN_CRANKING = msg("Draws")
COLUMN_BATTERY_C = msg("Battery at")
CRITICAL_YES = msg("critical")
ALWAYS_YES = msg("always on")
NO_MINIMUM = msg("ask the maker")
