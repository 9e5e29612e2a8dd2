"""Words of the as-built record: cover, first page, what is fitted, parts."""

from proposal.book.language import msg, msgs

# cover
COVER_RECORD = msg("As-built record")
COVER_ENTRIES = msg("Entries")
COVER_ENTRIES_TEXT = msg("{count}, the latest of {date}")
COVER_HANDED_OVER = msg("Handed over")
COVER_BY_ON = msg("{date}, by {by}")
COVER_OPTION = msg("Option built")
COVER_AGREED = msg("Agreed")
COVER_AGREED_TEXT = msg("{date}, by {by}, on revision {revision}")
RUNNING = msg("As-built record · {number} · {date}")
SUBTITLE = msg("As-built record of the battery system {system_v} · {description}")
SUBTITLE_PLAIN = msg("As-built record of the battery system {system_v}")
WARNING = msg("DO NOT ENERGISE")
WARNING_MORE = msg("First: {first}.")
FIRST = {
    "finding": msg("mend the danger that the checks found"),
    "failed_test": msg("mend what failed its test, and test it again"),
    "missing_test": msg("make the safety test that is missing"),
    "defect": msg("mend the dangerous defect"),
    "condemned": msg("ask whoever condemned it"),
}
"""What has to be done first, by kind of hindrance, in a few words."""

# first page
INDEX_TITLE = msg("What is aboard, in two minutes")
INDEX_LEAD = msg(
    "What was fitted in {vessel}, what was measured, and what changed since: for its owner, the surveyor and the next "
    "electrician."
)
DO_NOT_TITLE = msg("What must be done first")
DO_NOT = msgs(
    "Do not switch this system on. {count} thing must be done first:",
    "Do not switch this system on. {count} things must be done first:",
)
HINDRANCES = {
    "finding": msg("Danger found by calculation: {what}, {item}."),
    "failed_test": msg("Failed its test: {what}, {item}."),
    "missing_test": msg("Not tested yet: {what}, {item}."),
    "defect": msg("Dangerous defect: {what}, {item}."),
    "condemned": msg("Condemned by whoever sealed this record; {what}."),
}
WHOLE_SYSTEM = msg("whole system")
HINDRANCES_MORE = msg("And more: they stand among the findings, tests and defects.")
A_TEST = msg("a safety test")
CONDEMNED = msg("the reasons stand in its entries")
ALL_GOOD_TITLE_UNTESTED = msg("No danger is open, but no safety test stands in the record")
ALL_GOOD_TITLE = msg("Nothing in the record speaks against switching it on")
ALL_GOOD = msg(
    "No danger is open, no dangerous defect is left, and no safety test failed or is missing. Faults and advice are on "
    "the page of {findings}."
)
UNDECIDED = msg("Neither found nor ruled out, for want of a figure: {what}, {item}.")
LEFT = msg("{link}: {what}. No danger rests on that.")
LEFT_LINK = msg("Still to be mended")
LEFT_TESTS = msgs("{count} failed test", "{count} failed tests")
LEFT_DEFECTS = msgs("{count} open defect", "{count} open defects")
ALL_GOOD_UNTESTED = msg("No danger is open and no dangerous defect is left. No safety test stands in the record.")
ACCEPTED_TITLE = msg("Dangers that somebody has accepted")
ACCEPTED = msg("{title} was accepted by {name}: {reason}")
SEALED_TITLE = msg("Sealed")
SEALED = msgs(
    "Its {count} entry is closed by seal {seal}.",
    "All {count} entries are closed, the latest by seal {seal}.",
)
SEALED_ITSELF = msgs(
    "These pages are part of seal {seal}, which closes its {count} entry.",
    "These pages are part of seal {seal}; all {count} entries are closed.",
)
OPEN_TITLE = msg("Open: not sealed yet")
OPEN = msgs(
    "{count} entry is not closed by a seal yet, so it can still be changed.",
    "{count} entries are not closed by a seal yet, so they can still be changed.",
)
PICTURE_CAPTION = msg("What is fitted, simply drawn")
PICTURE_ALT = msg("Batteries, charge sources and loads as fitted, {title}, and how they are joined.")
BATTERIES = msg("Batteries")
BANKS = msgs("{count} bank", "{count} banks")
TESTS = msg("Tests passed")
TESTS_OF = msg("{passed} of {all}")
TESTS_NOTE = msg("{failed} failed, {missing} not made, {open} undecided")
DEFECTS = msg("Open defects")
DEFECTS_NOTE = msg("of {all} that were found")
DEFECTS_NONE = msg("none has been found so far")
QUESTIONS_HEADING = msg("Five questions, and where the answer stands")
Q_FITTED = msg("{link} Every battery, cable, fuse and device, with serial numbers, settings and real routes.")
Q_FITTED_LINK = msg("What is fitted?")
Q_PROTECTED_LINK = msg("Is each conductor protected against its fault current?")
Q_PROTECTED = {
    "good": msg("{link} Yes, each of them, by calculation."),
    "open": msg("{link} None is found wanting, but not all can be decided."),
    "bad": msg("{link} No, not all of them."),
}
Q_MEASURED = msg("{link} Each test with its reading beside what was expected.")
Q_MEASURED_LINK = msg("What was measured, when, and by whom?")
Q_CHANGED = msg("{link} Each change is an entry, checked again as a whole; old entries never change.")
Q_CHANGED_LINK = msg("What changed since?")
Q_UNTOUCHED = msg("{link} Anyone can check that, with this program or by hand.")
Q_UNTOUCHED_LINK = msg("Is this file untouched?")
WHO_HEADING = msg("Who fitted it, and who agreed")
WHO_FITTED = msg("Fitted and handed over")
WHO_LICENCE = msg("Licence")
WHO_AGREED = msg("Agreed by the owner")
WHO_AGREED_NONE = msg("nobody's agreement stands in the record")
WHO_LATEST = msg("Latest entry")
WHO_LATEST_TEXT = msg("{date}, by {by}: {title}")
WHO_ADDRESS = msg("Kept at")
SEE_EMERGENCY = msg("{link}: what to do in the first minute, and what to leave alone.")
EMERGENCY_LINK = msg("In an emergency")
SEE_UPKEEP = msg("{link}: what is due, and when.")
UPKEEP_LINK = msg("Upkeep")
CHANGED_HEADING = msg("What changed last")
CHANGED_NOTHING = msg("Nothing has changed since it was handed over.")
CHANGED_ENTRY = msg("{date}, {by}: {title}.")
SEE_DAYS = msg("{link}: on an ordinary day, without charge, and left alone.")
DAYS_LINK = msg("What happens when")
CHANGED_WHAT = msg("Changed: {items}.")
CHANGED_SEE = msg("Everything that changed stands in the {log}.")
LOG_LINK = msg("change log")
OPEN_DEFECTS_HEADING = msg("What is still to be mended")
OPEN_DEFECTS_NONE = msg("No defect is open.")
OPEN_TEST = msg("Failed test: {told}")
OPEN_DEFECT = msg("{severity}, {item}: {what}.")
OPEN_DEFECT_BY = msg("{severity}, {item}: {what}. To be done by {day}.")
UNTOUCHED_HEADING = msg("How to check that this file is untouched")
UNTOUCHED = (
    msg(
        "With this program, on any machine: {verify}. It says whether the archive is intact, who signed it, and which "
        "seals came before."
    ),
    msg("By hand, in the folder of the archive: {sums}, then {tags}. Every line must end in OK."),
    msg(
        "Whoever changes a file can change the lists of sums with it. So compare the sum of {seal} with one that was "
        "kept elsewhere: the installer's list of seals, or a later seal, which names the sum of the one before."
    ),
)

# what is fitted
FITTED_TITLE = msg("What is fitted")
FITTED_LEAD = msg(
    "Everything that was fitted, with part, serial number, settings and where it runs; what is not as it was proposed, "
    "and why; and what was turned down."
)
FITTED_READ = msg(
    "Current and protection of each conductor and device stand on the page of {cables}. Where “not recorded” stands, "
    "the record says nothing of its own, and the calculation takes the item as it was designed."
)
CABLES_LINK = msg("cables and protection")
KINDS = {
    "battery": msg("Batteries"),
    "source": msg("Charge sources"),
    "device": msg("Fuses, switches, relays and buses"),
    "controller": msg("Controllers"),
    "conductor": msg("Conductors"),
    "load": msg("Loads"),
    "other": msg("Other equipment"),
}
"""Groups of what is fitted, in this order."""
KIND_TABLES = {
    "battery": msg("Batteries as fitted"),
    "source": msg("Charge sources as fitted"),
    "device": msg("Fuses, switches, relays and buses as fitted"),
    "controller": msg("Controllers as fitted"),
    "conductor": msg("Conductors as laid"),
    "load": msg("Loads as fitted"),
    "other": msg("Other equipment as fitted"),
}
SERIAL = msg("serial {serial}")
FIRMWARE = msg("firmware {firmware}")
SETTING = msg("{name}: {value}")
PATHS = {
    "routes": msg("Cable run"),
    "loads": msg("Load"),
    "sources": msg("Charge source"),
    "banks": msg("Battery bank"),
    "buses": msg("Bus"),
    "links": msg("Link"),
    "panels": msg("Panel"),
    "climate": msg("Climate and places"),
    "engine": msg("Engine"),
    "vessel": msg("Vessel"),
    "client": msg("Owner"),
    "system": msg("System"),
    "mains": msg("Mains side"),
    "bonding": msg("Earth and hull"),
    "survey": msg("Survey"),
    "limits": msg("Limits"),
    "consents": msg("Consent in writing"),
    "parts": msg("Part"),
    "proposal": msg("Papers"),
}
"""First words of a path of the spec."""
LEAVES = {"consents": {"given": msg("given on"), "where": msg("kept in")}}
"""Last words of a path that say too little by themselves, by section."""
NO_PART = msg("not named")
NOT_TIGHTENED = msg("no reading")
NOT_RECORDED = msg("not recorded")
BANK_AT = msg("{title}, {place}")
CONDUCTOR_BETWEEN = msg("{title} {pole}, {start} to {end}")
DEVIATIONS_HEADING = msg("What was fitted otherwise, and why")
DEVIATIONS_TABLE = msg("Proposed and fitted, with the reason")
DEVIATIONS_NONE = msg("Everything was fitted as it was proposed.")
DEVIATIONS_SEE = msg("What that does to currents, findings and drawing stands on the page of {difference}.")
DIFFERENCE_LINK = msg("proposal and as built")
NO_REASON = msg("No reason was given.")
NOTHING_THERE = msg("nothing")
TURNED_DOWN_HEADING = msg("Options that were turned down")
TURNED_DOWN_TABLE = msg("What else was proposed, and why it was not chosen")
TURNED_DOWN_NONE = msg("No other option was proposed.")

# parts
PARTS_TITLE = msg("Parts to order again")
PARTS_LEAD = msg("What the system is made of, part by part and metre by metre, for repair and replacement.")
PARTS_NO_PRICE = msg(
    "Prices are left out: they were agreed between owner and installer for one day, and say nothing about what is "
    "aboard. Equipment that was there before and stayed is not in this list."
)
PARTS_TABLE = msg("Material, without prices")

COLUMN_NO = msg("No.")
COLUMN_WHAT = msg("What")
COLUMN_PART = msg("Fitted")
COLUMN_SERIAL = msg("Serial, firmware")
COLUMN_SETTINGS = msg("Settings")
COLUMN_TORQUE = msg("Tightened to")
COLUMN_ROUTE = msg("Where it runs")
COLUMN_WHEN = msg("When, entry")
COLUMN_NOTE = msg("Note")
COLUMN_PROPOSED = msg("Proposed")
COLUMN_FITTED = msg("Fitted")
COLUMN_BECAUSE = msg("Because")
COLUMN_ENTRY = msg("Entry")
COLUMN_OPTION = msg("Option")
WHEN_ENTRY = msg("{date}, entry {entry}")
