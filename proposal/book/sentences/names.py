"""Words for the codes that results carry: kinds, poles, purposes, cases, verdicts, states of a source."""

from proposal.book.language import msg, msgs

SEVERITIES = {"danger": msg("Danger"), "fault": msg("Fault"), "advice": msg("Advice")}
UNDECIDED = msg("Undecided")

DANGERS = msgs("{count} danger", "{count} dangers")
FAULTS = msgs("{count} fault", "{count} faults")
ADVICE = msgs("{count} piece of advice", "{count} pieces of advice")
UNDECIDED_COUNT = msgs("{count} point undecided", "{count} points undecided")

POINT_KINDS = {
    "load": msg("{item}"),
    "charger": msg("{item}, its terminals"),
    "starter": msg("{item}, at the starter"),
    "controller_supply": msg("{item}, its supply"),
    "controller_sense": msg("{item}, where it senses"),
    "relay_from": msg("{item}, side that it starts from"),
    "relay_to": msg("{item}, side that it leads to"),
}
"""Points whose voltage is told, by kind."""
DEVICE_KINDS = {
    "fuse": msg("Fuse"),
    "switch": msg("Battery switch"),
    "contactor": msg("Contactor"),
    "vsr": msg("Voltage-sensitive relay"),
    "shunt": msg("Shunt with meter"),
    "main_bus": msg("Main bus"),
    "start_bus": msg("Start bus"),
    "panel_bus": msg("Panel"),
    "bank_bus": msg("Battery bus"),
    "unswitched_bus": msg("Bus ahead of the switch"),
}

DEVICE_WORDS = {
    "fuse": msg("fuse"),
    "switch": msg("battery switch"),
    "contactor": msg("contactor"),
    "vsr": msg("voltage-sensitive relay"),
    "shunt": msg("shunt"),
}
DEVICE_PHRASE = msg("{designation} ({kind}, {title})")
"""A device in a sentence: F1 (fuse, Lead bank)."""

BUS_TITLES = {
    "main_bus": msg("Main bus"),
    "start_bus": msg("Start bus"),
    "panel_bus": msg("Switch panel"),
    "bank_bus": msg("{bank}: bus of its batteries"),
    "unswitched_bus": msg("{bank}: bus ahead of the switch"),
}
"""Buses that have no name of their own."""

LINK_TITLES = {
    "vsr": msg("Relay between start and house"),
    "contactor": msg("Contactor link"),
    "switch": msg("Switched link"),
    "dc_dc": msg("DC-DC charger"),
    "": msg("Link between two buses"),
}
"""Links that have no name of their own, by what stands in them."""

CONTROLLER = msg("{bank}: controller of the contactor")
CONTROLLER_LEADS = {
    "supply": msg("{bank}: supply of the contactor's controller"),
    "sense": msg("{bank}: sense lead of the contactor's controller"),
}
ENGINE = msg("Engine")

POLES = {"positive": msg("positive"), "negative": msg("negative")}
POLE_SIGNS = {"positive": "+", "negative": "\u2212"}

PURPOSES = {
    "bank": msg("battery bank to its bus"),
    "string": msg("battery to the bus of its bank"),
    "link": msg("link between two buses"),
    "feeder": msg("feeder of a panel"),
    "load": msg("supply of a load"),
    "source": msg("charge source to its bus"),
    "starter": msg("starter of the engine"),
    "sense": msg("thin lead of a controller"),
}

CHEMISTRIES = {
    "flooded": msg("lead, vented"),
    "agm": msg("lead, AGM"),
    "gel": msg("lead, gel"),
    "lithium": msg("lithium (LiFePO4)"),
}

ROLES = {"house": msg("house"), "start": msg("engine start"), "both": msg("house and engine start")}

SOURCE_KINDS = {
    "solar": msg("solar"),
    "alternator": msg("alternator"),
    "shore": msg("shore charger"),
    "generator": msg("generator charger"),
    "wind": msg("wind generator"),
}

CASES = {
    "rest": msg("at rest"),
    "usual": msg("all ordinary loads on"),
    "charging": msg("all sources charging"),
    "reserve": msg("lithium separated, loads on"),
    "rated": msg("its own rated current"),
    "cranking": msg("cranking cold, own battery alone"),
    "cranking_joined": msg("cranking cold, batteries joined"),
    "cranking_emergency": msg("emergency start from the house"),
    "charging_full_lead": msg("all sources charging, lead full"),
    "charging_alone": msg("charging alone"),
    "fault": msg("short circuit"),
}
"""Load-flow cases by id; those of one load are below."""

CASES_OF_LOAD = {"full": msg("{load} at full"), "surge": msg("{load} starting")}
"""Cases of one load, by the first part of their id."""
CASE_OTHER = msg("another case")

TEMPERATURES = {
    "hot": msg("hottest, and warmed by their current"),
    "cold": msg("coldest"),
    "20": msg("20 °C"),
    "limit": msg("their limit"),
}

SITUATIONS = {
    "near_empty": msg("Its own bank empty, the other side being charged"),
    "far_empty": msg("Its own bank full, the other side empty"),
}
"""How a relay may find its two sides when it joins them."""

RULED_BY = {
    "free": msg("nothing limits the difference"),
    "rule": msg("its controller waits for less"),
    "hand": msg("joined by hand, whatever the difference"),
    "not_sensed": msg("does not happen: it does not sense the charged side"),
    "below_threshold": msg("does not happen: nothing lifts that side to its threshold"),
    "dead": msg("does not happen: one side has no battery"),
}
"""What settles the difference at which a relay joins."""

LIMITED_BY = {
    "relay_make": msg("more welds its contacts when they close"),
    "lithium_charge": msg("the highest charge current of the battery"),
    "lithium_peak": msg("the peak current of the battery"),
    "lithium_discharge": msg("the highest current that the battery gives for longer than its peak"),
    "management": msg("above that its management system switches off"),
    "fuse": msg("what the fuse holds for so long"),
}

VERDICTS = {
    "starts": msg("Yes"),
    "uncertain": msg("Perhaps"),
    "fails": msg("No"),
    "unknown": msg("Not known"),
}
"""Whether the engine starts."""

OUTCOMES = {
    "passed": msg("Passed"),
    "failed": msg("Not met"),
    "undecided": msg("Undecided"),
    "to_be_tested": msg("To be tested"),
    "not_applicable": msg("Not applicable"),
}
"""How an option stands towards a code note."""

BECAUSE = {
    "found_nothing": msg("{looked} items looked at, nothing found"),
    "fired": msg("{looked} items looked at, see the findings"),
    "figure_missing": msg("{looked} items looked at; a figure is missing, see the findings"),
    "remembered": msg("{looked} items looked at, nothing found; but rule and limit are remembered, not read"),
    "no_check": msg("no calculation shows it"),
    "nothing_there": msg("no item here that the calculation could look at"),
    "kind": msg("made for another kind of vessel"),
    "absent": msg("what it is about is not aboard"),
}
"""Why an option stands so towards a code note; `looked` counts an item for each check that looked at it."""

STATUSES = {
    "corroborated": msg("two sources agree"),
    "from memory": msg("from memory, check your edition"),
    "common practice": msg("common practice, no source"),
    "definition": msg("by definition"),
}
"""How sure the tool is of a value or a rule."""

_EDITION = "check your edition"
"""Clauses that send the reader there already."""
FROM_MEMORY = msg("from memory")


def status(found: str, clause: str) -> str:
    """Words for a status, without sending to the edition twice."""
    if found == "from memory" and _EDITION in clause:
        return FROM_MEMORY
    return STATUSES.get(found, STATUSES["common practice"])


GROUPS = {
    "battery": msg("Batteries"),
    "cable": msg("Cables and lugs"),
    "protection": msg("Fuses and their holders"),
    "switching": msg("Switches, relays, shunts and buses"),
    "charging": msg("Chargers, controllers and inverters"),
    "other": msg("Other material"),
    "labour": msg("Labour"),
    "contingency": msg("Contingency"),
}
"""Groups of the bill of materials."""

UNITS = {
    "piece": msg("pc"),
    "metre": msg("m"),
    "hour": msg("h"),
    "lug": msg("pc"),
    "holder": msg("pc"),
    "sum": "",
}
"""Units of price lines."""

LINE_TITLES = {
    "lugs": msg("Lugs with heat-shrink for {part}"),
    "holder": msg("Holder for {part}"),
    "no_part": msg("Not in the price book yet: {item}"),
    "survey": msg("Survey"),
    "batteries": msg("Fitting and securing the batteries"),
    "devices": msg("Fitting fuses, switches, relays and buses"),
    "conductors": msg("Cutting, crimping, laying and labelling the cables"),
    "commissioning": msg("Commissioning and test sheet"),
    "documents": msg("Drawings and documents"),
    "contingency": msg("For what hidden runs bring"),
}
"""Price lines that are not a part by itself, by the note they carry."""

COILS = {"held": msg("held"), "latching": msg("latching")}
SIDES = {"house": msg("house"), "start": msg("engine start")}
KINDS_OF_VESSEL = {"boat": msg("boat"), "camper": msg("camper"), "cabin": msg("cabin")}
HOUSE = msg("All house batteries together")
ENDS = {"from": msg("its first end"), "to": msg("its far end")}
SECTIONS = {
    "mains": msg("Mains side"),
    "bonding": msg("Earth and hull"),
    "routes": msg("Cable runs"),
}
"""Sections of a spec that a finding is about as a whole."""

UNNAMED = msg("an item without a name")

ITEM_FIELDS = frozenset(
    (
        "item",
        "bank",
        "better_bank",
        "lead",
        "contactor",
        "conductor",
        "source",
        "fed_by",
        "limited_item",
        "first_item",
        "lower_item",
        "upper_item",
        "outer",
        "inner",
    )
)
"""Fields of a fact that hold an item's key."""

EVENTS = {
    "management": msg("switches itself off"),
    "relay": msg("opens"),
    "switch": msg("is switched off by hand"),
}
"""What takes a battery away."""

RUNS = {
    "day": msg("An ordinary day"),
    "no_charge": msg("The days without charge"),
    "neglect": msg("The time left alone"),
    "year": msg("The year"),
}
"""What was simulated, where it is not a season: that has the installer's own words."""

VALUE_WORDS: dict[str, dict[str, str]] = {
    "during": RUNS,
    "event": EVENTS,
    "limited_by": LIMITED_BY,
    "situation": SITUATIONS,
    "driven_as": COILS,
    "fitted": COILS,
    "end": ENDS,
    "chemistry": CHEMISTRIES,
    "pole": POLES,
    "role": ROLES,
    "side": SIDES,
}
"""Words for the text values of facts, by field."""
