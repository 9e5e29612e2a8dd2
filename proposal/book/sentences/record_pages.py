"""Words of further pages of the record: protection of each conductor, photos, defects, change log and seals."""

from proposal.book.language import msg, msgs

# protection
PROTECTION_TITLE = msg("Is each conductor protected?")
PROTECTION_LEAD = msg(
    "Each conductor beside the fuse that guards it: whether that can break the largest short circuit, and whether it "
    "opens the smallest one before the conductor comes to harm."
)
ANSWERS = {
    "good": msg("Yes: each conductor is protected against its fault current"),
    "open": msg("Not wholly decided: some figures are missing"),
    "bad": msg("No: not every conductor is protected"),
}
ANSWER_GOOD = msg("Nothing in the table below is open or against it.")
ANSWER_BAD = msg("Not protected: {conductors}.")
ANSWER_OPEN = msg("Not decided: {conductors}.")
ANSWER_CURVES = msg("To decide it, ask for the maker's time-current curve of {fuses}.")
ANSWER_FUSE = msg("{fuse}, {part}")
LARGEST = msg("Largest short circuit at a fuse")
LARGEST_NOTE = msg("at {place}, batteries full and warm, all sources feeding")
LEAST = msg("Smallest that a fuse must open")
LEAST_NOTE = msg("far end of {conductor}, one weak battery feeding; fuse {fuse}")
PROTECTION_READ = msg(
    "A fuse must be able to break the largest short circuit, and must open the least one, at the far end of the "
    "conductor, before the insulation is harmed. Both are worked out from what was fitted. A conductor that is fed "
    "from several sides stands here once for each fuse through which a battery feeds it."
)
POSITIVE_TABLE = msg("Positive conductors, and the fuse that guards each")
NEGATIVE_HEADING = msg("Negative conductors")
NEGATIVE_READ = msg("A short circuit returns by the negative, so what opens for the positive opens for both.")
NEGATIVE_TABLE = msg("Negative conductors, each beside its positive")
POSITIVE_HEADING = msg("Positive conductors")
FUSE = msg("{fuse}, {rating}")
NO_FUSE = msg("none")
BEARS_ALWAYS = msg("without end")
NOT_SURELY = msg("not known")
GOOD = msg("Protected: the fuse opens before the conductor comes to harm.")
CARRIED = msg("Protected: the smallest short circuit is no more than it carries for hours.")
WANTING = {
    "fuse_curve": msg("Not decided: only the maker's curve says how fast the fuse opens."),
    "conductor_heating": msg("Not decided: it depends on how much heat leaves the conductor meanwhile."),
    "insulation_compound": msg("Not decided: it depends on what the insulation is made of."),
}
WANTING_OTHER = msg("Not decided: a figure is missing.")
FAILS = msg("Not protected: a short circuit may last longer than the conductor bears.")
NO_PART = msg("Not protected: no fuse is known for this place.")
VOLTAGE = msg("Not protected: the fuse is not made for a voltage as high as this.")
BREAKING = msg("Not protected: the fuse cannot break the largest short circuit.")
TOO_LARGE = msg("Not protected: the fuse is larger than a conductor behind it may have, {largest_a}.")
FOUND = msg("Not in order: {finding}.")
FOUND_OPEN = msg("Not decided: {finding}.")
AHEAD = msg("In order: it lies ahead of the first fuse, and the check on unfused length has nothing against it.")
STARTER = msg("In order: it serves the starter, and the check on unfused length has nothing against it.")
RETURN_GOOD = msg("Protected: at least as thick as its positive.")
RETURN_ALONE = msg("Not decided: no positive of its own is known: look at it.")
RETURN_SMALLER = msg("Thinner than its positive, and no check objects: look at it.")
COLUMN_NO = msg("No.")
COLUMN_CIRCUIT = msg("Circuit")
COLUMN_SIZE = msg("Size")
COLUMN_CARRIES = msg("May carry")
COLUMN_FUSE = msg("Fuse")
COLUMN_BREAKS = msg("Short circuit / fuse breaks")
COLUMN_LEAST = msg("Least at its far end")
COLUMN_OPENS = msg("Opens in / bears it for")
COLUMN_VERDICT = msg("Verdict")
COLUMN_BESIDE = msg("Beside")

# photos
PHOTOS_TITLE = msg("Photos")
PHOTOS_LEAD = msg("What was photographed, by place, with what cannot be seen any more.")
PHOTOS_NONE = msg("No photo stands in the record.")
PHOTO_PLACE_NONE = msg("Without a place")
PHOTO_ALT = msg("Photo: {title}")
PHOTO_OF = msg("{item}: {title}.")
PHOTO_PLAIN = msg("{title}.")
PHOTO_TAKEN = msg("{date}, {by}.")
PHOTO_HIDDEN = msg("Hidden now.")
PHOTO_INVENTED = msg("Invented for demonstration.")
PHOTO_LOCATED = msg("Its file tells where it was taken.")
PHOTOS_INVENTED = msg("These photos are invented for demonstration, each of them.")
PHOTOS_INVENTED_SOME = msg("Some of these photos are invented for demonstration, and are marked so.")
PHOTOS_TABLE = msg("All photos, each with the sum of the file that was taken into the record")
PHOTO_MISSING = msg("not shown here")
COLUMN_PHOTO = msg("Photo")
COLUMN_SHOWS = msg("Shows")
COLUMN_PLACE = msg("Place")
COLUMN_TAKEN = msg("Taken")
COLUMN_MARKS = msg("Mind")
COLUMN_SUM = msg("Sum of the file")

# defects
DEFECTS_TITLE = msg("Defects and things left to do")
DEFECTS_LEAD = msg("What is not as it should be, who has it to do and by when; and what was mended, and how.")
OPEN_HEADING = msg("Still open")
OPEN_TABLE = msg("Open, the worst first")
OPEN_NONE = msg("Nothing is open.")
MENDED_HEADING = msg("Mended")
MENDED_TABLE = msg("Found and mended")
MENDED_NONE = msg("Nothing had to be mended so far.")
MENDED_ON = msg("{date}, {by}, entry {entry}")
NOBODY = msg("nobody named")
NO_DAY = msg("no day set")
COLUMN_SEVERITY = msg("How bad")
COLUMN_DEFECT = msg("What is wrong")
COLUMN_WHERE = msg("Where")
COLUMN_FOUND = msg("Found")
COLUMN_MEND_BY = msg("To be done by")
COLUMN_DOES = msg("By whom")
COLUMN_MENDED = msg("Mended")
COLUMN_HOW = msg("How")

# change log
LOG_TITLE = msg("Change log")
LOG_LEAD = msg(
    "Each entry of the record, the latest first. After each one everything was calculated and checked again. An entry "
    "that a seal has closed never changes; what is new is a new entry."
)
ENTRY_KINDS = {"hand_over": msg("Hand-over"), "change": msg("Change"), "visit": msg("Visit")}
ENTRY_HEADING = msg("{kind}, {date}: {title}")
ENTRY_NUMBER = msg("Entry")
ENTRY_BY = msg("By")
ENTRY_BY_LICENCE = msg("{by}, {licence}")
ENTRY_CHANGED = msg("Changed")
ENTRY_NEW = msg("Findings that came")
ENTRY_GONE = msg("Findings that went")
ENTRY_DANGERS = msg("Open dangers after it")
ENTRY_WITH = msg("Came with it")
ENTRY_READINGS = msgs("{count} reading", "{count} readings")
ENTRY_PHOTOS = msgs("{count} photo", "{count} photos")
ENTRY_DEFECTS = msgs("{count} defect found", "{count} defects found")
ENTRY_MENDED = msgs("{count} mended", "{count} mended")
ENTRY_SEAL = msg("Closed by")
ENTRY_SEAL_NUMBER = msg("seal {seal}")
ENTRY_SEAL_DATED = msg("seal {seal} of {date}")
ENTRY_OPEN = msg("no seal yet")
ENTRY_FILE = msg("Its file")
ENTRY_SUM = msg("Sum of its file")
ENTRY_NONE = msg("none")
ENTRY_NOTHING = msg("nothing")
FINDING_AT = msg("{title}: {item}")
SEALS_HEADING = msg("Seals")
SEALS_TABLE = msg("Seals so far; the sum of its {file} stands for everything in a seal")
SEALS_NONE = msg("No seal has been made of this record before.")
COLUMN_SEAL = msg("Seal")
COLUMN_DATE = msg("Date")
COLUMN_NAME = msg("Name")
COLUMN_ENTRIES = msg("Entries")
COLUMN_SEAL_SUM = msg("Sum")
SEAL_ITSELF = msg("this archive itself: the sum of {file} beside it")
