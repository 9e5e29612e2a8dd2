"""The words about short circuits: how strong, how weak, and from where."""

from proposal.book.language import msg

FAULTS_BASIS = msg(
    "Highest: every source feeds, batteries full and warm, conductors at 20 °C; this is what a fuse must be able to "
    "break. First peak and settled: the same by the battery clause of {standard}, as far as it is publicly described "
    "and from memory; they decide nothing. Least: one bank alone, cold, aged and nearly empty, conductors as hot as "
    "their insulation bears; this must still open the fuse."
)
FAULTS_TABLE = msg("Option {letter}: short-circuit currents where conductors end, highest and least")
COLUMN_HIGHEST = msg("Highest")
COLUMN_OPEN_OVER_OHM = msg("Open voltage / resistance")
COLUMN_FED_BY = msg("Fed by")
COLUMN_STANDARD = msg("First peak / settled")
COLUMN_LEAST = msg("Least")
COLUMN_ALONE = msg("From")
FED = msg("{source} {current}")
AND_MORE = msg("and more")
NONE_ALONE = msg("no bank alone")
