"""Words of the page about the days: titles, headings, tables, figures. Events and the choice have their own."""

from proposal.book.language import msg, msgs

TITLE = msg("What happens, day by day")
LEAD = msg(
    "Every option lives through the same days on the computed network that sized its cables. Here is what happens "
    "when, how long it lasts, and whether the engine starts."
)
LEAD_RECORD = msg(
    "The vessel as fitted lives through days on the computed network of its cables. Here is what happens when, and how "
    "long it lasts."
)
LEAD_NO_ENGINE = msg(
    "Every option lives through the same days on the computed network that sized its cables. Here is what happens "
    "when, and how long it lasts."
)
LINK = msg("what happens, day by day")
SEE = msg("{choice}. How that comes about: {link}.")

BASIS_TITLE = msg("What the simulated days rest on")
BASIS_LEAD = msg("Many years by chance, what was assumed and from where, and how all of it was computed.")
BASIS_LINK = msg("what the simulated days rest on")
BASIS_SEE = msg("Assumptions with their sources, and how it was computed: {link}.")

# the figures that decide
START = msg("Will it start after being left alone?")
START_FIGURE = msg("{verdict}, {starter_v}")
START_NOTE = msg("left alone for {day} with nothing charging; the starter needs {minimum_v}, {margin} {spare}")
START_NOTE_PLAIN = msg("left alone for {day} with nothing charging")
SPARE, SHORT = msg("to spare"), msg("too little")
START_UNTIL = msg("it surely starts for {until}")
START_NEVER = msg("it never surely starts")
NEEDED_DARK = msg("Without charge, until something needed goes dark")
FIRST_DARK = msg("Without charge, until something goes dark")
MORE_THAN = msg("more than {days}")
DARK_NOTE = msg("{season}, used as usual, give or take {uncertain}; you asked for {wanted}")
DARK_NOTE_FIRST = msg(
    "{season}, used as usual, give or take {uncertain}; first goes {load}, after {first}; you asked for {wanted}"
)
ENGINE = msg("Engine or generator running")
ENGINE_NOTE = msg("an ordinary day, {season}; you accept {accepted}")
ENGINE_NOTE_FREE = msg("an ordinary day, {season}")
PER_DAY = msg("{hours} a day")
NIGHTS = msg("Nights with little left, in a year")
NIGHTS_NOTE = msg("below {share} of the charge; in nine of ten of {count} simulated years {most} at the most")
NIGHTS_NOTE_PLAIN = msg("below {share} of the charge")

# how sure
UNCERTAIN_TITLE = msg("What “perhaps” and “uncertain” mean here")
UNCERTAIN = msg(
    "A figure is called uncertain where it passes or fails by less than {tolerance}: so much can thresholds, sensors "
    "and batteries differ from what their makers state. Take it as not sure, whichever way it fell."
)

# sections
NEGLECT_HEADING = msg("Nobody aboard, nothing charging")
NEGLECT_READ = msg(
    "Everyone leaves and nothing charges any more. What stays on: {left_on}. Which battery is empty when, and does the "
    "engine still start?"
)
NEGLECT_READ_PLAIN = msg(
    "Everyone leaves and nothing charges any more; only what is always on stays on. Which battery is empty when, and "
    "does the engine still start?"
)
NEGLECT_NONE = msg("Option {letter}: there is no engine to start, or nothing to be left on, so it was not simulated.")
NEGLECT_TABLE = msg("Left alone: which battery is empty, and whether the engine starts")
NEGLECT_EMPTY_ROW = msg("Empty after")
NEGLECT_LOWEST_ROW = msg("Charge left at the end")
NEGLECT_DAY_ROW = msg("Start on day {day}")
NEGLECT_UNTIL_ROW = msg("Surely starts for")
NEGLECT_UNTIL_NONE = msg("never")
BANK_FIGURE = msg("{bank}: {figure}")
NOT_EMPTY = msg("not in {followed}")
CAPTION_NEGLECT = msg("Option {letter}: left alone")
ALT_EMPTIED = msg("{bank} is empty after {days}.")
ALT_NOT_EMPTIED = msg("{bank} is not empty in {followed}.")
ALT_STARTS = msg("The engine surely starts for {days}.")
ALT_NEVER_STARTS = msg("The engine never surely starts.")

NO_CHARGE_HEADING = msg("Days without charge, and what goes dark first")
NO_CHARGE_READ = msg(
    "Use goes on as usual in the season that is tightest, {season}, and nothing charges. Loads go dark one after "
    "the other; those that are needed are marked."
)
NO_CHARGE_TABLE = msg("Without charge: how long until something is dark")
NO_CHARGE_FIRST_ROW = msg("First load dark after")
NO_CHARGE_CRITICAL_ROW = msg("First needed load dark after")
NO_CHARGE_SPREAD_ROW = msg("These may differ by")
NO_CHARGE_ORDER = msg("Option {letter}: what goes dark, in this order")
NO_CHARGE_LOAD = msg("{load}")
NO_CHARGE_CRITICAL = msg("{load}, which is needed")
NO_CHARGE_AT = msg("At {voltage}.")
CAPTION_NO_CHARGE = msg("Option {letter}: nothing charging, used as usual")
ALT_FIRST_DARK = msg("{load} is the first to go dark, after {time}.")
ALT_CRITICAL_DARK = msg("Something needed is dark after {days}.")
ALT_NOTHING_DARK = msg("Nothing goes dark in {followed}.")

DAY_HEADING = msg("An ordinary day")
DAY_READ = msg(
    "One ordinary day of each season, after days of the same kind. The numbers on a drawing are those of the list "
    "of that day."
)
SEASON_HEADING = msg("An ordinary day: {season}")
CAPTION_DAY = msg("Option {letter}, {season}: voltage, currents, charge, and what is joined")
ALT_DAY = msg("Option {letter}, an ordinary day, {season}: {finding}")
ALT_DAY_QUIET = msg("nothing joins or parts, nothing goes dark")
ALT_DAY_COUNTS = msg("{joins} times something joins, {dark} times a load goes dark, the engine runs {engine_h}")
CAPTION_ENERGY = msg("Option {letter}, {season}: where the energy of the day comes from and goes")
ALT_ENERGY = msg("Option {letter}, {season}: {given} given by charge sources, {used} used by loads, {lost} lost.")
EVENTS_TITLE = msg("Option {letter}, {season}: what happens when")
ON_PAPER = msg("The site tells every season, the printed document only the tightest: {season}.")

CUT_OFF_HEADING = msg("If the lithium switches itself off at the worst moment")
CUT_OFF_READ = msg(
    "Its own management may part a lithium battery at any time. Three bad moments, and what the rest of the system "
    "does in the same instant."
)
CUT_OFF_TABLE = msg("The lithium parts: what stays on")
SITUATIONS = {
    "charging_hard": msg("While it is being charged hard"),
    "inverter_full": msg("While the inverter gives all it can"),
    "night_passage": msg("Under way at night, nothing charging"),
}
CUT_OFF_VOLTS = msg("{bank}: {before_v} before, {after_v} after.")
CUT_OFF_PEAK = msg("The voltage leaps to {peak_v}; what is connected bears {limit_v}.")
CUT_OFF_DARK = msg("Dark: {loads}.")
CUT_OFF_ALL_ALIVE = msg("Everything stays on.")
CUT_OFF_COLLAPSED = msg("Cannot be fed any more: {loads}.")
CUT_OFF_WARNED = {"true": msg("It warns before."), "false": msg("Nothing warns before.")}

CRANKING_HEADING = msg("Starting the engine after each of these days")
CRANKING_TABLE = msg("Voltage at the starter, cold, by state and by what feeds it")
CRANKING_CELL = msg("{verdict}: {starter_v}, {margin} {spare}")
CRANKING_CELL_PLAIN = msg("{verdict}: {starter_v}")
CRANKING_DEAD = msg("{verdict}: nothing feeds it")
AFTER = {"no_charge": msg("After days without charge"), "neglect": msg("After being left alone")}
AFTER_SEASON = msg("After an ordinary day, {season}")
WAYS = {
    "own_bank": msg("its own battery alone"),
    "joined": msg("batteries joined as they then are"),
    "lithium": msg("the lithium too"),
    "emergency": msg("by the emergency switch"),
}

RECHARGE_HEADING = msg("How long the sources take to recharge")
RECHARGE_TABLE = msg("From used to full, loads running as usual")
RECHARGE_MORNING = msg("{source}, from an ordinary morning")
RECHARGE_DEEP = msg("{source}, from deeply used")
RECHARGE_CELL = msg("{hours} from {from_share}; asked for {mean_share} of its rating, {peak_share} at most")
RECHARGE_CELL_HOT = msg(
    "{hours} from {from_share}; asked for {mean_share} of its rating, {peak_share} at most; {hottest_c} hot"
)
RECHARGE_NEVER = msg("not in {followed}")

CARE_HEADING = msg("Are the batteries kept well?")
CARE_READ = msg(
    "Lead wants to be full often, or it hardens (sulphation). Lithium does not want to stand full for long, least of "
    "all warm."
)
CARE_TABLE = msg("A year of care")
FULL_ROW = msg("Lead: full charges a month")
FEWEST_ROW = msg("Lead: full charges in the poorest month")
LONGEST_ROW = msg("Lead: longest time without a full charge")
SULPHATED_ROW = msg("Lead: lost to sulphation in the year")
WATER_ROW = msg("Lead: water used up in the year")
LEAD_LOWEST_ROW = msg("Lead: lowest charge")
HIGH_ROW = msg("Lithium: held high in the year")
HIGH_WARM_ROW = msg("Lithium: of that, while warm")
CUT_OFFS_ROW = msg("Lithium: switched itself off")
LITHIUM_LOWEST_ROW = msg("Lithium: lowest charge")
TIMES = msgs("{count} time", "{count} times")

YEAR_HEADING = msg("A year, and many years")
YEAR_READ = msg(
    "One ordinary year, and {count} years whose weather, ageing and tolerances are drawn by chance from a fixed seed."
)
YEAR_TABLE = msg("One ordinary year")
SPREADS_HEADING = msg("Many years")
YEARS_TABLE = msg("{count} simulated years: the middle one, and between what nine of ten lie")
YEAR_ENGINE_ROW = msg("Engine running")
YEAR_GENERATOR_ROW = msg("Generator running")
YEAR_NIGHTS_ROW = msg("Nights with little left")
YEAR_DARK_ROW = msg("Something dark")
YEAR_CRITICAL_ROW = msg("Something needed dark")
YEAR_SUN_ROW = msg("Sun used")
YEAR_UNUSED_ROW = msg("Sun not used, batteries full")
YEAR_LOADS_ROW = msg("Used by the loads")
YEAR_CYCLES_ROW = msg("Full cycles")
YEAR_DEPTH_ROW = msg("Taken out on an ordinary day")
YEAR_DEEPEST_ROW = msg("Taken out at most")
YEAR_LIFE_ROW = msg("Expected life")
LIFE = msg("{bank}: {years} years, ended by {by}")
LIFE_BY = {"cycles": msg("cycles"), "calendar": msg("age"), "sulphation": msg("sulphation")}
QUANTITIES = {
    "engine_h": msg("Engine running in a year"),
    "generator_h": msg("Generator running in a year"),
    "nights_low": msg("Nights with little left in a year"),
    "dark_h": msg("Something dark in a year"),
    "critical_dark_h": msg("Something needed dark in a year"),
    "full_charges_per_month": msg("Full charges a month"),
    "equivalent_cycles": msg("Full cycles in a year"),
    "deepest_share": msg("Taken out at most"),
    "life_years": msg("Expected life in years"),
}
QUANTITIES_ALONE = {
    "engine_h": msg("engine running"),
    "generator_h": msg("generator running"),
    "nights_low": msg("nights with little left"),
    "dark_h": msg("something dark"),
    "critical_dark_h": msg("something needed dark"),
    "full_charges_per_month": msg("full charges"),
    "equivalent_cycles": msg("cycles"),
    "deepest_share": msg("taken out at most"),
    "life_years": msg("expected life"),
}
SPREAD = msg("{middle} ({low} to {high})")
SPREAD_SAME = msg("{middle} in all")
CAPTION_YEARS = msg("Option {letter}: how the simulated years differ")
ALT_YEARS = msg(
    "Option {letter}: in the middle year the engine runs {middle}; in nine of ten between {low} and {high}."
)
ALT_YEARS_PLAIN = msg("Option {letter}: how the figures fall over the simulated years.")

COST_HEADING = msg("What it costs over the years")
COST_READ = msg(
    "Today's price, batteries bought anew when their life is over, and what running the engine or generator for "
    "charging costs: over {years} years, at today's prices. In brackets the ends of what the simulated years leave "
    "open. Not counted: {unstated}."
)
COST_READ_ALL = msg(
    "Today's price, batteries bought anew when their life is over, and what running the engine or generator for "
    "charging costs: over {years} years, at today's prices. In brackets the ends of what the simulated years leave "
    "open."
)
COST_TABLE = msg("Cost over the years")
COST_TODAY_ROW = msg("Price today")
COST_BATTERIES_ROW = msg("New batteries")
COST_TIMES_ROW = msg("How often batteries are bought anew")
COST_RUNNING_ROW = msg("Engine or generator for charging")
COST_TOTAL_ROW = msg("All together")
UNSTATED_WORDS = {
    "battery_price": msg("batteries whose price is not known"),
    "battery_age": msg("how old the batteries are that stay"),
    "engine_cost": msg("hours of the engine"),
    "generator_cost": msg("hours of the generator"),
    "unpriced_lines": msg("what has no price yet"),
}

WHAT_IF_HEADING = msg("What if?")
WHAT_IF_TITLE = msg("Use more or less, carry more or fewer batteries, more or less sun")
WHAT_IF_NOTE = msg(
    "In {season}. Each position was simulated; the sliders stop there and nothing is guessed in between. Days are "
    "followed for {followed} at the most."
)
AXES = {"use": msg("Daily use"), "bank": msg("House batteries"), "solar": msg("Solar")}
ANSWER_AUTONOMY = msg("With the season's sun, engine off, until something is dark")
ANSWER_NO_CHARGE = msg("With no charge at all, until something is dark")
ANSWER_ENGINE = msg("Engine or generator a day")
ANSWER_STARTS = msg("Starts after being left alone")
ANSWER_UNTIL = msg("Left alone, surely starts for")
AT_LEAST = msg("{days} or more")
WHAT_IF_TABLE = msg("One thing changed, all else as proposed")
WHAT_IF_TABLE_RECORD = msg("One thing changed, all else as fitted")
WHAT_IF_FITTED = msg("As fitted")
WHAT_IF_AXIS = msg("{axis}: {factor}")
WHAT_IF_PROPOSED = msg("As proposed")
WHAT_IF_COLUMN = msg("Changed")

STEPS_HEADING = msg("The day, state by state")
STEPS_READ = msg("The single-line drawing in each state of the day, with the currents that flow then.")
STEPS_FACE = msg("Option {letter}: {title}")
STEPS_TITLE = msg("Option {letter}, {season}")
STEP_TITLE = msg("{time}, {state}.")

TROUBLES_HEADING = msg("Troubles that the days brought to light")
TROUBLES_TABLE = msg("Nothing of this is left quiet")
TROUBLES_NONE = msg("The days brought no trouble to light.")
COLUMN_TROUBLE = msg("What happens")
COLUMN_WHEN = msg("When")
COLUMN_OPTION = msg("Option")

ASSUMED_HEADING = msg("What these days rest on")
ASSUMED_READ = msg("Figures that nobody stated for this vessel, and where each comes from.")
ASSUMED_TABLE = msg("What was assumed")
COLUMN_ASSUMED = msg("What was taken")
COLUMN_SOURCE = msg("From where")

COMPUTED_HEADING = msg("How it was computed")
COMPUTED_READ = msg(
    "The same network that sized the cables is followed step by step; every joining and parting is found inside its "
    "step. Charge and energy are kept in books: what goes in must come out or be there at the end."
)
COMPUTED_TABLE = msg("The books of each run")
COMPUTED_STEP_ROW = msg("Step of the days")
COMPUTED_YEARS_STEP_ROW = msg("Step of the many years")
COMPUTED_SEED_ROW = msg("Seed of chance")
COMPUTED_COUNT_ROW = msg("Simulated years")
COMPUTED_TOLERANCE_ROW = msg("A margin below this is uncertain")
COMPUTED_CHARGE_ROW = msg("Charge lost by the books in the year")
COMPUTED_ENERGY_ROW = msg("Energy lost by the books in the year")
COMPUTED_SWITCHINGS_ROW = msg("Joinings and partings in the year")
COMPUTED_CAPPED_ROW = msg("Steps with more events than are followed")
COMPUTED_UNSETTLED_ROW = msg("Steps whose network did not settle")
COMPUTED_ERROR_ROW = msg("Error of the longer step of the many years")
COMPUTED_ERROR = msg("{quantity} {error}")

COLUMN_WHAT = msg("What")
COLUMN_OF_OPTION = msg("Option {letter}")
NONE_HERE = msg("none")
