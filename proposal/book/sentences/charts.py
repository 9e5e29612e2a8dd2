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
KEY_CAPTION = msg("What the lines mean.")

ONE = msg("{fuses}:")
OPENS = msg(
    "a short circuit at the far end of {conductor}, {current_a}, is open within {clears_s}; the conductor would be "
    "harmed after {stands_s}."
)
OPENS_NEAR = msg(
    "of all short circuits on {conductor} one of {current_a} is the hardest: it is open within {clears_s}; the "
    "conductor would be harmed after {stands_s}."
)
TOO_SLOW = msg(
    "a short circuit at the far end of {conductor}, {current_a}, may last {clears_s}; the conductor is harmed after "
    "{stands_s}."
)
TOO_SLOW_NEAR = msg(
    "a short circuit of {current_a} on {conductor} may last {clears_s}; the conductor is harmed after {stands_s}."
)
NOT_SURE = msg(
    "a short circuit at the far end of {conductor}, {current_a}, is so small that nothing says that the fuse opens; "
    "the conductor is harmed after {stands_s}."
)
NOT_KNOWN = msg(
    "how fast it opens is not known; a short circuit at the far end of {conductor}, {current_a}, harms the conductor "
    "after {stands_s}."
)
CARRIED = msg(
    "a short circuit at the far end of {conductor}, {current_a}, is no more than the conductor carries for hours, and "
    "does it no harm."
)
THROUGH = msg("Through the fuse flows {through_a} of it.")
NO_FAULT = msg("no battery feeds a short circuit through it.")
NO_PART = msg("no part was found for this place.")
WANTING = {
    "fuse_curve": msg("Undecided: the maker's curve decides."),
    "conductor_heating": msg("Undecided: heat that leaves the conductor meanwhile is not counted."),
    "insulation_compound": msg("Undecided: it depends on what the insulation is made of."),
}
MUST_PASS = msg("It must let {item} pass: {current} for {duration}.")
ALIKE = msg("Drawn for {first}, which sees the least.")
