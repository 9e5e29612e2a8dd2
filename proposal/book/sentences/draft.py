"""The comments in the draft of a record's entry: what each section is for, in plain words."""

from proposal.book.language import msg

HAND_OVER_TITLE = msg("Fitted and handed over")
CHANGE_TITLE = msg("Change")
VISIT_TITLE = msg("Visit")

HAND_OVER = (
    msg("What was really fitted, measured and handed over. Everything below stands as it was designed."),
    msg("Go through it aboard, and write what is true: where an item is another than proposed, say so under `is`,"),
    msg("and why under `because`. A line that begins with # is not read: take the # away when you fill it in."),
    msg("Once this entry is sealed it never changes; what comes later is a new entry."),
)
LATER = (
    msg("What was changed, found, measured or mended since the entry before. Only what is new stands here."),
    msg("A line that begins with # is not read: take the # away when you fill it in."),
    msg("Once this entry is sealed it never changes; what comes later is a new entry."),
)
AGREED = (msg("The revision that the client signed."),)
TURNED_DOWN = (msg("The options that were not chosen, and why: the next owner will ask."),)
FITTED = (
    msg("Each item as it was fitted. `is`: the part by its name in the price book, or the size of a conductor."),
    msg("Where something else was fitted, put it there and say why: because: \"…\". Parts that are not in the price"),
    msg("book go into `parts` of spec.yaml. More that can stand here: firmware, settings (as read back from the"),
    msg("device), route_as_run, fitted_on, note."),
)  # fmt: skip
FITTED_LATER = (
    msg("Items that are others now, by their key in the schedules; the rest stays as it was."),
)  # fmt: skip
CHANGES = (
    msg("Values of spec.yaml that turned out otherwise, by their path there: a longer route, a changed rating."),
    msg("`now` is what stands there now, `add` one more entry of a list, `removed: yes` that it is gone."),
)  # fmt: skip
MEASURED = (
    msg("The test sheet. Fill in what you read, with its unit, and take the # away; `at` is the current that flowed."),
    msg("A test that was not made stays a comment: the record then says that it was not measured. Where a danger"),
    msg("hangs on it, the record says so on its first page until it is made."),
)
MEASURED_LATER = (msg("What was measured again, or for the first time; first what the vessel has not passed yet."),)
PHOTOS = (
    msg("Photos, best of what is hidden afterwards. The files, JPEG or PNG, go into record/photos."),
    msg("Where they were taken is removed from them, unless you write keep_location: yes."),
)
DEFECTS = (
    msg("What is not as it should be, or still has to be done. It stays open until an entry mends it."),
    msg("severity is danger, fault or advice. With a danger open the record says: do not energise."),
)
MENDED = (msg("Defects of earlier entries, by name, that are done with."),)
ACCEPTED = (msg("Findings that somebody accepts, by name and with a reason. They stay visible."),)
UPKEEP = (msg("Upkeep that was done, by its name in the upkeep list."),)
NOTES = (msg("Anything else that the next one should know."),)

BATTERIES = msg("Batteries")
SOURCES = msg("Charge sources and chargers")
CONTROLLERS = msg("Controllers")
PROTECTION = msg("Fuses")
SWITCHING = msg("Switches, relays and shunts")
BARS = msg("Bus bars")
CABLES = msg("Conductors, positive and negative")
LOADS = msg("Loads and the engine")

NO_PART = msg("no part was found for it: say under `is` what was fitted")
OPEN_DEFECT = msg("still open: {what}")
EXAMPLES = {
    "because": msg("why, in a few words"),
    "length": msg("measured along the route as run"),
    "photo": msg("What it shows"),
    "defect": msg("What is wrong"),
    "mended": msg("What was done"),
    "accepted": msg("why it is tolerable here"),
    "note": msg("a sentence"),
}
EXPECTED_BETWEEN = msg("expected {low} to {high}")
EXPECTED_LEAST = msg("expected at least {low}")
EXPECTED_MOST = msg("expected at most {high}")
EXPECTED_YES = msg("passed: yes or no")
EXPECTED_MAKER = msg("ask the maker for the figure, and put it under `wanted`")
OF_A_DANGER = msg("a danger hangs on it")
