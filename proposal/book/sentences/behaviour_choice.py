"""Words of the one sentence that says which option to take, and why: a clause for each thing that decided."""

from proposal.book.language import msg

TITLE = msg("Take option {letter}")
TITLE_UNSURE = msg("Option {letter} is ahead, but not surely")
TITLE_LEAST_BAD = msg("Option {letter} comes nearest to what you asked for")
TITLE_EQUAL = msg("The days do not tell the options apart")
TITLE_ONE_GOOD = msg("It does what you asked for")
TITLE_ONE_BAD = msg("It does not do all that you asked for")

CHOICE = msg("Option {letter} ({title}): {clauses}.")
CHOICE_RECORD = msg("As fitted: {clauses}.")
EQUAL = msg("Options {letters} do equally well in all that was simulated and cost the same: {clauses}.")
OPTION = msg("option {letter}")
LIST_AND = msg("and")
SEPARATOR = msg(";")
DANGER = msg("in {others} a danger is open that nobody has accepted")

DANGER_RECORD = msg("a danger is open that nobody has accepted")
STARTS = msg("left alone for {day}, its engine still starts, with {margin} more at the starter than it needs")
STARTS_PLAIN = msg("left alone for {day}, its engine still starts")
STARTS_PERHAPS = msg("left alone for {day}, its engine perhaps still starts")
STARTS_NOT = msg("left alone for {day}, its engine does not start any more")
OTHERS_FAIL = msg("that of {others} does not")
OTHERS_PERHAPS = msg("that of {others} only perhaps")

DARK = msg("without charge, what is needed stays on for {days}")
DARK_MORE = msg("without charge, what is needed stays on for more than {days}")
DARK_UNSURE = msg(
    "without charge, what is needed stays on for {days}, give or take {uncertain}, and you asked for {wanted}"
)
DARK_SHORT = msg("without charge, what is needed is dark after {days}, though you asked for {wanted}")
OTHER_DARK = msg("in {other} for {days} only")

ENGINE = msg("the engine runs {hours} on an ordinary day")
ENGINE_MORE = msg("the engine must run {hours} on an ordinary day, more than the {accepted} that you accept")
ENGINE_NONE = msg("no engine has to run on an ordinary day")
OTHER_ENGINE = msg("in {other} {hours}")

NEEDED_LOST = msg("in an ordinary year something needed is dark for {hours}")
OTHER_NEEDED_LOST = msg("in {other} something needed is dark for {hours} of an ordinary year")

CHEAPER = msg("it costs {price}, {others}")
OTHER_PRICE = msg("{other} {price}")
DEARER = msg("for that it costs {price} and not {others}")
PRICE_OF = msg("{price} ({other})")
SAME_OTHERWISE = msg("{others} do the same in all that was asked")
SAME_OTHERWISE_ONE = msg("{others} does the same in all that was asked")
PRICE = msg("it costs {price}")
MISSES = msg("Mind that even so {clauses}.")
UNSURE = msg("It is ahead by less than tolerances leave open; do not rely on it before it has been measured.")
