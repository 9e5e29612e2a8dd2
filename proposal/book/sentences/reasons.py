"""Why a size or part was chosen, and why a candidate was turned down: the codes of `design/`."""

from proposal.book.language import msg

AS_FITTED = msg("as fitted")
"""In a record, in which everything that stands there is fixed."""
CONDUCTORS = {
    "smallest_allowed": msg("smallest size allowed"),
    "ampacity": msg("current: {current_a}, {case}"),
    "drop": msg("voltage drop to {item}"),
    "cranking_drop": msg("voltage drop while cranking"),
    "collapse": msg("{item} found too little voltage"),
    "fuse": msg("its fuse: no rating below {smallest_a} will do"),
    "fuses_of_others": msg("fuses on one side let {through_a} through"),
    "start_melts_fuse": msg("its fuse must let a start pass: no rating below {rating_a} does"),
    "fault_outlasts": msg("it must stand a short circuit at its far end until {fuse} opens"),
    "pinned": msg("fitted today and kept, or fixed by the installer"),
}
"""What decided the size of a conductor."""

DEVICES = {
    "fuse_window": msg("lowest rating from {smallest_a} to {largest_a} that breaks {fault_a} at {highest_v}"),
    "lacks_least": msg("of those from {smallest_a} to {largest_a} none meets every demand for certain; it lacks least"),
    "no_fuse_fits": msg("nothing in the price book from {smallest_a} to {largest_a} breaks {fault_a} at {highest_v}"),
    "rating": msg("smallest that carries {wanted_a}, {case}, and {cranking_a} while cranking"),
    "no_part_fits": msg("nothing in the price book carries {wanted_a} at {highest_v}, and {cranking_a} while cranking"),
    "rating_and_studs": msg("smallest that carries {wanted_a}, {case}, with {studs} connections"),
    "several_bars": msg("carries {wanted_a}, {case}; {studs} connections need more than one bar"),
    "pinned": msg("fitted today and kept, or fixed by the installer"),
}
"""What decided a fuse, switch, relay, shunt or bus."""

REJECTED = {
    "smallest_allowed": msg("smaller than allowed"),
    "ampacity": msg("does not carry {current_a}, {case}"),
    "drop": msg("{item} would lose {drop_v} on the way, {case}; {limit_v} are allowed"),
    "cranking_drop": msg("the starter would lose {drop_v} on the way; {limit_v} are allowed"),
    "collapse": msg("{item} would find too little voltage"),
    "fuse": msg("no fuse of {smallest_a} or more may guard it"),
    "fuses_of_others": msg("the fuses on one side let {through_a} through"),
    "pinned": msg("another one is fitted today and kept"),
    "voltage_rating": msg("rated for {rating_v}; the system reaches {highest_v}"),
    "breaking_capacity": msg("breaks {interrupt_a}; a short circuit here brings {fault_a}"),
    "melts_at_start": msg("{item} draws {current_a} for {duration_s}; it surely bears {limit_a} so long"),
    "opens_late": msg("takes up to {clears_s} to open at {current_a}; {conductor} stands that for {stands_s}"),
    "never_opens": msg("does not surely open at {current_a}"),
    "not_selective": msg("may melt before {outer} has opened"),
    "slower_than_cut_off": msg("takes up to {clears_s}; {bank} cuts itself off after {trip_s}"),
    "curve_unknown": msg("how fast it is nobody states"),
    "no_rating": msg("no rating from {smallest_a} to {largest_a}"),
    "not_first": msg("would do too; the chosen one comes first by rating, breaking capacity and price"),
    "lacks_least": msg("does not meet every demand for certain"),
    "start_melts_fuse": msg("no fuse behind which it may lie lets a start pass"),
    "fault_outlasts": msg("does not stand a short circuit at its far end until {fuse} opens"),
    "cranking_rating": msg("carries {rating_a} for the seconds of a start; {cranking_a} flow"),
    "make_rating": msg("its contacts may close on {rating_a}; {joining_a} flow when the two sides are joined"),
    "no_fuse_fits": msg("no rating from {smallest_a} to {largest_a} fits"),
    "no_part_fits": msg("does not carry {wanted_a} at {highest_v}"),
    "rating": msg("carries less than {wanted_a}, {case}"),
    "rating_and_studs": msg("too few connections: {studs} are needed"),
    "several_bars": msg("too few connections: {studs} are needed"),
}
"""Why a candidate was turned down."""

OTHER = msg("for a reason that has no words yet")
"""For a code without a sentence; a test asserts that none is missing."""
