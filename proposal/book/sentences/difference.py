"""Words of what is otherwise: between two revisions, two states of a record, or proposal and what was fitted."""

from proposal.book.language import msg

TITLE = msg("What is otherwise")
TITLE_OF_RECORD = msg("What is not as proposed")
LEAD = msg("From {before} to {after}: what was set otherwise, what follows from it, and what it costs.")
LEAD_OF_RECORD = msg(
    "The option was computed again with what was really fitted. Here stands what was set otherwise than proposed, and "
    "what follows from it."
)
STATE = msg("revision {revision} {state}")
AS_PROPOSED = msg("as proposed")
AS_RECORDED = msg("as its record says now")
AS_AFTER_ENTRY = msg("as it stood after entry {number} of its record")
AS_SEALED = msg("as sealed in {name}")
AS_RESULTS = msg("of the results in {name}")
COVER_KIND = msg("Two states of one vessel compared")
COVER_BEFORE = msg("Before")
COVER_AFTER = msg("After")
RUNNING = msg("No. {number}: what is otherwise")

NOTHING_TITLE = msg("Nothing is otherwise")
NOTHING = msg("Every figure of both is the same.")
NOTHING_SET_TITLE = msg("Nothing was set otherwise")
NOTHING_SET = msg("No part, size, length, place or setting is another one.")

FIGURES_HEADING = msg("The figures that decide")
FIGURES_TABLE = msg("Figures that decide, of both")
CAUSES_HEADING = msg("What was set otherwise")
CAUSES_TABLE = msg("Parts, sizes, lengths, places and settings that are others")
FOLLOWS_HEADING = msg("What follows from it")
FOLLOWS_TABLE = msg("Figures that move with it")
FOLLOWS_READ = msg(
    "Of items on which nothing was set otherwise only the main figures are told, and only where they move by more than "
    "a twentieth. All of it, the smallest change too, stands in the data."
)
FOLLOWS_NONE = msg("No figure moves so far that a reader would see it.")
FINDINGS_HEADING = msg("Findings")
FINDINGS_NONE = msg("No finding came, went or is another.")
FINDINGS_TABLES = {
    "new": msg("Findings that are new"),
    "changed": msg("Findings with other figures"),
    "gone": msg("Findings that are gone"),
}
FINDINGS_DAYS = msg("Findings of the simulated days are left out: only one side has its days.")
PRICE_HEADING = msg("Price")
PRICE_NONE = msg("No line of the price is another.")
PRICE_TABLE = msg("Lines of the price that are others, and the totals")
PRICE_CURRENCIES = msg("One is in {before}, the other in {after}: amounts in two currencies are not compared.")
CONSENTS_HEADING = msg("Consents in writing")
CONSENTS_TABLE = msg("Whose word is needed now, no longer, or has come")
TESTS_HEADING = msg("Tests")
TESTS_TABLE = msg("Tests with another outcome or reading")
ABOUT_HEADING = msg("By what both were computed")
ABOUT_TABLE = msg("Rules, revision and tool")
SHEETS_HEADING = msg("In the drawing")
SHEETS_READ = msg(
    "A cloud and a triangle stand round each item that is marked. The letter in the triangle says what it is: {new} "
    "new, {changed} changed, {removed} removed."
)
SHEET_BEFORE = msg("Single-line drawing before, with marks")
SHEET_AFTER = msg("Single-line drawing now, with marks")
PICTURE_BEFORE = msg("The picture before, with marks at batteries and charge sources")
PICTURE_AFTER = msg("The picture now, with marks at batteries and charge sources")
SHEETS_TITLE = msg("In the drawing")
SHEETS_LEAD = msg("The drawings of both states, with marks at what is otherwise.")
SHEETS_NONE = msg("A file of results holds no circuit, so that state cannot be drawn here.")

COLUMN_FIGURE = msg("Figure")
COLUMN_WHAT = msg("What")
COLUMN_BEFORE = msg("Before")
COLUMN_AFTER = msg("After")
COLUMN_PROPOSED = msg("As proposed")
COLUMN_FITTED = msg("As fitted")
COLUMN_MORE = msg("More or less")
COLUMN_TEST = msg("Test")
COLUMN_LINE = msg("Line")
COLUMN_QUANTITIES = msg("Quantity")
SAME = msg("the same")
NEW = msg("{item} · new")
REMOVED = msg("{item} · removed")
NO_FIGURE = msg("it was not there, or is not there any more")
NO_TITLE = msg("The option as a whole")

FIGURES = {
    "price": msg("Price with {tax_name}"),
    "start": msg("Does the engine start? {case}"),
    "autonomy": msg("Without charge: {bank}"),
    "autonomy_critical": msg("Without charge, critical loads alone: {bank}"),
    "engine_day": msg("Engine or generator, to make up for a day: {season}"),
    "no_charge.critical_dark_days": msg("Without charge, as simulated, until something needed goes dark"),
    "no_charge.first_dark_days": msg("Without charge, as simulated, until anything goes dark"),
    "left_alone": msg("Does the engine start after the longest time left alone?"),
    "year.engine_h": msg("Engine running to charge, in a year"),
    "year.generator_h": msg("Generator running, in a year"),
    "year.critical_dark_h": msg("Something needed is dark, in a year"),
    "nights_low": msg("Nights in a year that end low"),
    "ten_years": msg("Cost over ten years, in the usual case"),
    "highest_fault": msg("Highest fault current"),
    "least_fault": msg("Least fault current through a fuse"),
    "largest_drop": msg("Largest voltage drop, there and back"),
    "standing_drain": msg("Drawn while nobody is there"),
    "mass": msg("Weight of the batteries"),
    "dangers": msg("Dangers"),
    "faults": msg("Faults"),
    "undecided": msg("Points undecided"),
}
"""Figures that decide, by code."""
START_WORDS = msg("{verdict}, {starter_v}")
AT = msg("{figure}, {item}")

FIELDS = {
    "ampacity_a": msg("may carry"),
    "always_on": msg("always on"),
    "away": msg("runs with nobody there"),
    "battery_c": msg("temperature of the battery"),
    "bundled_count": msg("conductors in its bundle"),
    "bus": msg("fed from"),
    "capacity_ah": msg("capacity"),
    "charge_share": msg("charge at this voltage"),
    "charge_v": msg("charges to"),
    "chemistry": msg("kind of battery"),
    "clears_least_s": msg("opens on the least fault after"),
    "closing_a": msg("first current when it closes"),
    "cold_v": msg("in the cold"),
    "cranking_current_a": msg("current while cranking"),
    "cranking_a": msg("current of the starter"),
    "critical": msg("critical"),
    "current_a": msg("current"),
    "design_current_a": msg("current that it is sized for"),
    "difference_v": msg("voltage between both sides"),
    "distance_limit_m": msg("may be so far from its source"),
    "distance_m": msg("distance from its source"),
    "drop_limit_share": msg("may lose, there and back"),
    "drop_v": msg("voltage lost along it"),
    "energy_wh": msg("energy"),
    "fault_a": msg("highest fault current there"),
    "fault_from_a": msg("highest fault current at its first end"),
    "fault_to_a": msg("highest fault current at its far end"),
    "full_v": msg("voltage when full"),
    "fuse_class": msg("class"),
    "highest_v": msg("highest voltage"),
    "hot_v": msg("in the heat"),
    "insulation_c": msg("insulation bears"),
    "interrupt_a": msg("breaking capacity"),
    "joins_within": msg("joins while apart less than"),
    "kind": msg("kind"),
    "largest_a": msg("largest rating that fits"),
    "lasting_a": msg("current that lasts"),
    "least_fault_a": msg("least fault current"),
    "least_fault_from_a": msg("least fault current at its first end"),
    "least_fault_to_a": msg("least fault current at its far end"),
    "least_supply_v": msg("least voltage of its coil while cranking"),
    "length_m": msg("length"),
    "limit_a": msg("highest current that it may see"),
    "loop_drop_share": msg("loses, there and back"),
    "loop_drop_v": msg("voltage lost there and back"),
    "lowest_v": msg("lowest voltage"),
    "mass_kg": msg("weight"),
    "minimum_v": msg("least voltage that the starter needs"),
    "minutes_a": msg("current for minutes"),
    "nominal_v": msg("nominal voltage"),
    "opening_a": msg("most that it has to break"),
    "parallel_count": msg("batteries in parallel"),
    "part_title": msg("part"),
    "place": msg("place"),
    "place_c": msg("hottest there"),
    "rating_a": msg("rating"),
    "resistance_20c_ohm": msg("resistance at 20 °C"),
    "resistance_ohm": msg("resistance"),
    "role": msg("serves"),
    "ruled_by": msg("what rules it"),
    "seconds_a": msg("current for seconds"),
    "series_count": msg("batteries in series"),
    "settles_a": msg("current that it settles to"),
    "short_circuit_a": msg("short-circuit current"),
    "size": msg("size"),
    "smallest_a": msg("smallest rating that fits"),
    "tolerance_v": msg("give or take"),
    "usable_ah": msg("of which usable"),
    "usual_v": msg("voltage with ordinary loads on"),
    "value_v": msg("set to"),
    "voltage_max_v": msg("made for up to"),
    "wanted_a": msg("has to carry"),
    "warm_c": msg("gets as warm as"),
    "wh_per_day": msg("takes in a day"),
}
"""Words for the fields of items; a field without words is told in the data alone."""
NOT_TOLD = frozenset(
    (
        "circuit", "from_node", "to_node", "part_id", "table_a", "temperature_factor", "bundle_factor", "design_case",
        "fuses", "guards", "warm_case", "wanted_case", "resistance_assumed", "temperature_share", "usable_share",
        "tolerance_assumed", "unstated", "lowest_case", "highest_case", "lasting_case", "minutes_case", "seconds_case",
        "opening_case", "area_mm2", "pole", "purpose", "low_v", "high_v",
    )
)  # fmt: skip
"""Fields that a reader of pages does not miss; all of them stand in the data."""
MAIN = frozenset(
    (
        "size", "part_title", "rating_a", "fuse_class", "interrupt_a", "ampacity_a", "design_current_a",
        "loop_drop_share", "wanted_a", "fault_a", "least_fault_a", "lowest_v", "usual_v", "closing_a", "opening_a",
        "energy_wh", "usable_ah", "short_circuit_a", "wh_per_day",
    )
)  # fmt: skip
"""What is told of items on which nothing was set otherwise."""
RESTING = {
    "rest_full": msg("full, at rest"),
    "rest_half": msg("half full, at rest"),
    "rest_low": msg("down to the planned rest, at rest"),
}
SETTING = msg("{setting}: {field}")
RULINGS = {
    "voltage": msg("bears the voltage"),
    "breaking": msg("breaks the highest fault"),
    "rating": msg("rating fits"),
    "must_pass": msg("lets starts pass"),
    "far_end": msg("opens on a fault at the far end"),
    "selective": msg("opens before the one nearer to the battery"),
    "cut_off": msg("opens before lithium cuts itself off"),
}
"""What is asked of a fuse."""
HOLDS = {"passes": msg("yes"), "fails": msg("no"), "undecided": msg("not decided")}
JOINING = msg("when it joins ({situation}): {field}")
ABOUT = {
    "made_by": msg("Computed by"),
    "revision": msg("Revision"),
    "date": msg("Date"),
    "system_v": msg("System"),
    "wanted_days": msg("Days wanted without charge"),
    "rule_family_title": msg("Rules"),
    "rule_edition": msg("Edition of the rules"),
    "title": msg("Option"),
    "arrangement": msg("Arrangement"),
}
NOT_ASKED = msg("not asked for")
STATE_NONE = msg("Not needed")
