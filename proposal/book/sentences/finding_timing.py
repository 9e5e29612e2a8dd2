"""Findings about fuses in time: checks 7 to 9."""

from dataclasses import replace

from proposal.book.language import msg
from proposal.book.sentences.finding_text import FindingText

TIMING: dict[str, FindingText] = {}

_CLASS = msg(
    "How fast {part} is, at every current that can flow here, nobody states for certain. Fuses of its kind that this "
    "concerns: {fuse_count}."
)
"""What is known where nothing but the curve is wanting, for all fuses of one class."""
_CURVE_DECIDES = msg("Only the maker's curve decides.")

_MELTS = FindingText(
    msg("A start can melt the fuse"),
    msg("Every start and inrush leaves the fuses whole"),
    msg("{item} draws up to {current_a} through it for {duration_s}, all batteries warm, full and joined."),
    msg("Rated {rating_a}, it surely bears {limit_a} so long: two thirds of what may melt it."),
    msg("It opens one day in the middle of a start, or ages with each one until it does."),
    msg(
        "Fit one that does not melt below {needed_a} in {duration_s}. In the price book that is {better}. "
        "It costs {price}. The conductor behind it must then be {size} at least. That costs {extra_price} more."
    ),
    msg(
        "{item} draws up to {current_a} through it for {duration_s}. It is rated {rating_a}. "
        "As far as is known it surely bears {limit_a} so long."
    ),
)
TIMING["start_melts_fuse"] = _MELTS
TIMING["start_melts_fuse.inrush"] = _MELTS
TIMING["start_melts_fuse.start"] = replace(
    _MELTS,
    found=msg("The start of the engine draws up to {current_a} through it for {duration_s}."),
    known=msg(
        "The start of the engine draws up to {current_a} through it for {duration_s}. It is rated {rating_a}. "
        "As far as is known it surely bears {limit_a} so long."
    ),
)
TIMING["start_melts_fuse.joining"] = replace(
    _MELTS,
    title=msg("Joining two banks can melt the fuse"),
    found=msg(
        "When {item} joins two banks up to {current_a} flow through it at first; until that has fallen it heats as "
        "much as they would in {duration_s}."
    ),
    happens=msg("It opens one day when the banks are joined, or ages with each time until it does."),
    known=msg(
        "When {item} joins two banks up to {current_a} flow through it, for what amounts to {duration_s}. It is rated "
        "{rating_a}. As far as is known it surely bears {limit_a} so long."
    ),
)
TIMING["start_melts_fuse.class"] = replace(_MELTS, found=_CLASS, limit=_CURVE_DECIDES, known=_CLASS)

_OUTLASTS = FindingText(
    msg("A short circuit spoils the conductor before the fuse opens"),
    msg("Every fuse opens a short circuit before the conductor suffers"),
    msg(
        "A short circuit at the far end of {conductor} brings {current_a}; {through_a} of it flow through this fuse, "
        "which takes up to {clears_s} to open."
    ),
    msg("{area_mm2} of its kind stand that for {stands_s}."),
    msg("Its insulation softens and burns along its whole length, before anything switches off."),
    msg(
        "Lay {least_size} at least. Or shorten it to {length_m}. Or fit a fuse that is faster: in the price book that "
        "is {better}. It costs {price}."
    ),
    msg(
        "A short circuit on {conductor} brings {current_a}, and {area_mm2} of its kind stand that for {stands_s}. "
        "As far as is known the fuse takes up to {clears_s} to open."
    ),
)
TIMING["fault_outlasts_conductor"] = _OUTLASTS
TIMING["fault_outlasts_conductor.far_end"] = _OUTLASTS
TIMING["fault_outlasts_conductor.near_end"] = replace(
    _OUTLASTS,
    found=msg(
        "A short circuit on {conductor} brings up to {current_a}; {through_a} of it flow through this fuse, which "
        "takes up to {clears_s} to open."
    ),
)
TIMING["fault_outlasts_conductor.never"] = replace(
    _OUTLASTS,
    title=msg("A short circuit does not open the fuse"),
    found=msg(
        "A short circuit at the far end of {conductor} brings {current_a}; {through_a} of it flow through this fuse, "
        "which does not surely open at so little."
    ),
    do=msg(
        "Shorten it to {length_m}. Or fit a fuse that opens at less: in the price book that is {better}. "
        "It costs {price}."
    ),
)
TIMING["fault_outlasts_conductor.class"] = replace(_OUTLASTS, found=_CLASS, limit=_CURVE_DECIDES, known=_CLASS)

_SELECTIVE = FindingText(
    msg("The fuse nearer to the battery can open first"),
    msg("Of two fuses in series the outer one opens first, and before lithium cuts itself off"),
    msg("At {current_a} {outer} takes up to {clears_s} to open; {inner} may melt after {melts_s}."),
    msg("The outer one must have opened before the inner one melts."),
    msg("One fault on a branch then takes everything along that hangs on {inner}."),
    msg("Choose {inner} with {slower_a} or more if its conductor allows it. Otherwise choose {outer} faster."),
    msg("{outer} stands behind {inner}, and a short circuit there brings {fault_a}."),
)
TIMING["fuses_not_selective"] = _SELECTIVE
TIMING["fuses_not_selective.curves"] = _SELECTIVE
TIMING["fuses_not_selective.ratings"] = replace(
    _SELECTIVE,
    found=msg(
        "{outer} is rated {outer_rating_a}, and {inner}, of the same class, {inner_rating_a}; {current_share} of what "
        "flows through the first comes through the second."
    ),
    limit=msg("Of one class, the one that carries more times its rating melts first: {least_inner_a} is too little."),
)
TIMING["fuses_not_selective.class"] = replace(
    _SELECTIVE, happens=msg("One fault on a branch then takes everything along that hangs on the inner fuse."),
    found=_CLASS, limit=_CURVE_DECIDES, known=_CLASS,
)  # fmt: skip
_DARK = replace(
    _SELECTIVE,
    title=msg("One fault can black out everything"),
    found=msg("At {current_a} through this fuse {bank} cuts itself off after {trip_s}; it takes up to {clears_s}."),
    limit=msg("The fuse must have opened before the battery's own management does."),
    happens=msg("Nothing else feeds this bus: a short circuit on one branch leaves it dark, and all that hangs on it."),
    do=msg(
        "Fit a fuse that is faster at that current: in the price book that is {better}. It costs {price}. Otherwise "
        "keep what must not go dark on another battery."
    ),
    known=msg(
        "A short circuit behind it brings {fault_a}. {bank} cuts itself off at {current_a} through it, after {trip_s}."
    ),
)
TIMING["fuses_not_selective.cut_off"] = _DARK
