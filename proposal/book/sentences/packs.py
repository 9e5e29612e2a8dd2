"""Words of the packs that are made of the record's pages: for a sale, for the insurer, for a claim of warranty."""

from proposal.book.language import msg
from proposal.frozen import frozen


@frozen
class PackWords:
    """A pack's cover and first page; `questions`: what it answers, each on a page of the record."""

    title: str
    subtitle: str
    running: str
    lead: str
    questions: tuple[tuple[str, str], ...]


LINK = msg("Page: {title}.")
QUESTIONS = msg("What these pages answer")
EXCERPT = msg(
    "These pages are a choice from the as-built record of {date}, number {number}. The whole record holds every "
    "calculation, drawing and entry; where the two differ, the record holds."
)

PACKS = {
    "sale": PackWords(
        msg("For whoever buys"),
        msg("Battery system {system_v} as fitted, its age, its state and its history"),
        msg("For whoever buys · {number} · {date}"),
        msg("What the buyer of {vessel} and the buyer's surveyor want to know about her battery system."),
        (
            ("fitted", msg("What is fitted, with serial numbers and real routes?")),
            ("tests", msg("What was measured, by whom, and did it pass?")),
            ("protection", msg("Is each conductor protected against its fault current?")),
            ("defects", msg("What is known to be wrong, and what was mended?")),
            ("upkeep", msg("What upkeep was done, and what is due next?")),
            ("log", msg("What was changed since the hand-over?")),
            ("emergency", msg("How is it cut off in an emergency?")),
            ("photos", msg("What do the hidden parts look like?")),
        ),
    ),
    "insurer": PackWords(
        msg("For the insurer"),
        msg("Battery system {system_v}: protection, securing, ventilation, tests"),
        msg("For the insurer · {number} · {date}"),
        msg("What an insurer and a surveyor ask of the battery system of {vessel}."),
        (
            ("protection", msg("Which fault current flows where, and can each fuse break it?")),
            ("findings", msg("What did all checks find, and who accepted what?")),
            ("tests", msg("What was measured, by whom, and did it pass?")),
            ("fitted", msg("What is fitted, and what is not as it was proposed?")),
            ("photos", msg("How are batteries, vents and joints fitted?")),
            ("consents", msg("Whose word in writing is needed, and is it there?")),
            ("defects", msg("What is still open?")),
            ("log", msg("What changed since, and was it checked again?")),
        ),
    ),
    "warranty": PackWords(
        msg("For a claim of warranty"),
        msg("Battery system {system_v}: parts, serial numbers, settings, tests"),
        msg("For a claim of warranty · {number} · {date}"),
        msg("What makers ask when something of {vessel} fails: what, since when, how set, how tested, how kept."),
        (
            ("fitted", msg("Which part, which serial number, set how, fitted when?")),
            ("tests", msg("Was it tested when it was fitted, and with what result?")),
            ("ladder", msg("Do the settings of all devices fit together?")),
            ("consents", msg("Did the maker agree to how it is used?")),
            ("upkeep", msg("Was it looked after?")),
            ("defects", msg("What failed, and when was it found?")),
            ("log", msg("What was changed since the hand-over?")),
        ),
    ),
}
"""By pack."""

ASKED_HEADING = msg("Protection, securing, ventilation: how the checks went")
ASKED_TABLE = msg("What is checked, and how it went on this vessel as fitted")
COLUMN_CHECKED = msg("What is checked")
COLUMN_WENT = msg("How it went")
GROUPS = {
    "protection": msg("Protection against fault currents"),
    "switching": msg("Cutting off"),
    "securing": msg("Securing and joints"),
    "ventilation": msg("Ventilation and gas"),
    "batteries": msg("Batteries and charging"),
    "mains": msg("Mains side"),
}

SERIALS_HEADING = msg("Parts with their serial numbers")
SERIALS_TABLE = msg("Parts by designation")
SERIALS_NONE = msg("No serial number stands in the record.")
COLUMN_NO = msg("No.")
COLUMN_PART = msg("Part")
COLUMN_SERIAL = msg("Serial number")
COLUMN_FIRMWARE = msg("Firmware")
COLUMN_SINCE = msg("Fitted on")

BANKS_HEADING = msg("The batteries and their age")
BANKS_TABLE = msg("Batteries by bank")
COLUMN_BANK = msg("Bank")
COLUMN_CHEMISTRY = msg("Kind")
COLUMN_CAPACITY = msg("Capacity")
COLUMN_PLACE = msg("Stands in")
COLUMN_CAPACITY_READ = msg("Capacity last measured")
NOT_READ = msg("not yet")

DONE_HEADING = msg("Upkeep that was done")
DONE_TABLE = msg("Upkeep by task")
DONE_NONE = msg("No upkeep stands in the record yet.")
COLUMN_TASK = msg("Task")
COLUMN_LAST = msg("Last done")
COLUMN_BY = msg("By")
COLUMN_DUE = msg("Next due")
