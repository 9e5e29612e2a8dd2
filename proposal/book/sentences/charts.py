"""The words around the time-current charts: how to read one, and what each one says."""

from proposal.book.language import msg

CHARTS_TITLE = msg("When each fuse opens")
CHARTS_LEAD = msg(
    "One chart for each fuse: how fast it opens at which current, and whether that is soon enough for the conductor "
    "behind it. For the installer and the surveyor."
)
CHARTS_READ = msg(
    "Further to the right is a larger current, further down is sooner. The blue band is the fuse: at its thin edge it "
    "may melt, at its thick edge it has surely opened. Its edges are broken where no point of the curve is known and "
    "the heat of the last one is carried on. A fuse whose maker's curve is not in the price book shows the limits of "
    "its class, or none."
)
CHARTS_GOOD = msg(
    "A good fuse has its band right of every diamond, a start that it must let pass, and left of the orange line, "
    "where the conductor comes to harm, at least from the thin upright line on: the least short circuit that it sees. "
    "The thick upright line is the highest short circuit, and must stand left of the dotted one, what the fuse is able "
    "to break. Thin grey bands are the fuses before it and the largest behind it."
)
CHARTS_HEADING = msg("Option {letter}: {title}")
CHARTS_NONE = msg("No fuse stands in option {letter}.")
KEY_ALT = msg("The lines of the charts, each with its meaning.")
KEY_CAPTION = msg("What the lines mean")

ONE = msg("{fuses}:")
OPENS = msg(
    "a short circuit at the far end of {conductor}, {current}, is open within {clears}; the conductor would be harmed "
    "after {stands}."
)
TOO_SLOW = msg(
    "a short circuit at the far end of {conductor}, {current}, may last {clears}; the conductor is harmed after "
    "{stands}."
)
NOT_SURE = msg(
    "a short circuit at the far end of {conductor}, {current}, is so small that nothing says that the fuse opens; the "
    "conductor is harmed after {stands}."
)
NOT_KNOWN = msg(
    "how fast it opens is not known; a short circuit at the far end of {conductor}, {current}, harms the conductor "
    "after {stands}. The maker's curve decides."
)
NO_FAULT = msg("no battery feeds a short circuit through it.")
REMEMBERED = msg("The limits of its class are from memory: the maker's curve decides.")
MUST_PASS = msg("It must let {item} pass: {current} for {duration}.")
ALIKE = msg("Drawn for {first}, which sees the least.")
