"""The table of fuses in time: what each must let pass, when it opens, and what may open before it."""

from proposal.book.language import msg

IN_TIME_TABLE = msg("Option {letter}: fuses in time")
IN_TIME_READ = msg(
    "Each fuse must bear what starts behind it, open before the conductor suffers, open before the one nearer to the "
    "battery, and before lithium cuts itself off. Where no maker's curve tells how fast it is, that stays open."
)
COLUMN_START = msg("Start · bears")
COLUMN_FAR_END = msg("Opens in · conductor stands")
COLUMN_ALONE = msg("Opens alone")
COLUMN_LIT = msg("Before the cut-off")

BEARS = msg("{current_a} for {duration_s} · {limit_a}")
BEARS_OPEN = msg("{current_a} for {duration_s} · not known")
CARRIED = msg("{current_a}, carried for ever")
OPENS = msg("{clears_s} · {stands_s}")
OPENS_NOT = msg("not surely · {stands_s}")
OPENS_OPEN = msg("not known · {stands_s}")
ALONE = msg("before {inner}")
ALONE_NOT = msg("{inner} may be first")
ALONE_OPEN = msg("not known beside {inner}")
LIT = msg("yes")
LIT_NOT = msg("no: {clears_s}, cut off after {trip_s}")
LIT_OPEN = msg("not known")
FROM_MEMORY = msg("{words} (from memory)")
"""For what rests on limits that are remembered: it decides nothing."""
