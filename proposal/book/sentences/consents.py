"""Sentences of the sheet of consents and limits: whose word is needed, and where others' work begins."""

from proposal.book.language import msg
from proposal.frozen import frozen


@frozen
class ConsentText:
    """One consent: whose word it is, and what they agree to, with the figures of the option."""

    who: str
    what: str


CONSENTS: dict[str, ConsentText] = {
    "lithium_with_lead": ConsentText(
        msg("The makers of both batteries"),
        msg("{bank} may be joined with {lead}; many warranties leave that out."),
    ),
    "series": ConsentText(
        msg("The maker of the lithium batteries"),
        msg("{series_count} of {bank} may stand in series; the data sheet does not say so."),
    ),
    "lithium_insurer": ConsentText(
        msg("The insurer"),
        msg("Lithium batteries that hold {energy_wh} may be aboard, fitted as drawn here."),
    ),
    "alternator_regulator": ConsentText(
        msg("The maker of engine or alternator"),
        msg("{source} may be limited to {limited_a} by another regulator; its nameplate says {nameplate_a}."),
    ),
    "mains_electrician": ConsentText(
        msg("The electrician for the mains side"),
        msg("They take over everything at mains voltage, and say where it begins."),
    ),
    "holes": ConsentText(
        msg("The builder or the surveyor"),
        msg("{run_count} circuits leave the space of their batteries: where holes in bulkheads and frames may be."),
    ),
}
OTHER = ConsentText(msg("Somebody else"), msg("A consent without words yet."))

TITLE = msg("Consents and limits")
LEAD = msg(
    "Whose word in writing is needed before anything is ordered, where the electrician's part begins, and what all of "
    "this rests on."
)
LEAD_RECORD = msg(
    "Whose word in writing is needed and whether it is there, where the electrician's part begins, and what all of "
    "this rests on."
)
LINK = msg("consents and limits")
NEEDED_HEADING = msg("Needed in writing")
NEEDED_TABLE = msg("Consents, and whether the paper is there")
NEEDED_NONE = msg("Nothing here needs anybody's consent in writing, as far as the calculation can see.")
NEEDED_WANTING = msg("Not all of them are there yet. Order nothing that a paper is about until it is there.")
NEEDED_WANTING_RECORD = msg("Not all of them are there. Ask for those that are missing.")
NEEDED_ALL = msg("All of them are there.")
OTHER_HEADING = msg("Further papers")
OTHER_TABLE = msg("Papers that the installer names besides")
STATES = {
    "there": msg("There"),
    "asked": msg("Asked for"),
    "missing": msg("Not asked for yet"),
}
STATE_THERE = msg("There, of {date}")
STATE_PLACE = msg("kept: {where}")
COLUMN_WHO = msg("Whose word")
COLUMN_WHAT = msg("For what")
COLUMN_OPTIONS = msg("Options")
COLUMN_PAPER = msg("The paper")

MAINS_HEADING = msg("Where the mains side begins")
MAINS_NONE = msg("There is no mains voltage here.")
MAINS_BEGINS = msg("It begins at {begins_at}. From there on it is the work of {by}, and not part of what stands here.")
MAINS_BEGINS_ONLY = msg("It begins at {begins_at}. Who is responsible for it from there on is not stated yet.")
MAINS_BY_ONLY = msg("It is the work of {by}. Where it begins is not stated yet: agree on a terminal, plug or switch.")
MAINS_UNKNOWN = msg("Who is responsible for it, and where it begins, is not stated yet. Agree on both before the work.")
MAINS_RULE = msg("Nobody else opens, joins or extends anything at mains voltage, and no earth conductor is ever cut.")

BASIS_HEADING = msg("What this rests on")
BASIS_SURVEYED = msg("Surveyed")
BASIS_SURVEYED_BY = msg("{date}, by {by}")
BASIS_NOT_SURVEYED = msg("no survey is dated")
BASIS_STAYS = msg("Fitted today and kept")
BASIS_MEASURED = msg("Measured")
BASIS_MEASURED_ONE = msg("{what}: {reading}")
BASIS_UNKNOWN = msg("Not known yet")
BASIS_ASSUMED = msg("Assumed")
BASIS_UNDECIDED = msg("Undecided")
BASIS_OPTION = msg("{option}: {count}")
BASIS_OPTION_LINK = msg("option {letter}")
BASIS_FITTED_LINK = msg("as fitted")
BASIS_NOTHING = msg("nothing")
BASIS_NOTE = msg(
    "What was neither surveyed nor measured is taken from the makers' sheets, or assumed. The page of {numbers} says "
    "which is which, and how to find out."
)
