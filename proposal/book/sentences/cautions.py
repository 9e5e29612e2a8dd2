"""The cautions that always show, and the deference to codes, makers and licensed practice."""

from proposal.book.language import msg
from proposal.frozen import frozen


@frozen
class Caution:
    """A caution: a few words, and what they mean. `anchor` is its place on the page."""

    anchor: str
    title: str
    text: str
    short: str = ""
    """For the first page, where only the three that matter most stand."""


@frozen
class CautionGroup:
    """Cautions that belong together."""

    anchor: str
    title: str
    cautions: tuple[Caution, ...]


STORED_ENERGY = Caution(
    "stored-energy",
    msg("Stored energy."),
    msg(
        "A battery cannot be switched off. A spanner across its posts can weld, burn and throw molten metal, and the "
        "battery can burst. Use insulated tools, take off rings and watches, and cover every live post you are not "
        "working on."
    ),
    msg("A battery cannot be switched off: a spanner across its posts can weld, burn and make it burst."),
)
ORDER = Caution(
    "order",
    msg("The order of switching off."),
    msg(
        "Stop every charge source first: solar at the array side, then the engine with its alternator, then chargers. "
        "Then the loads. Then take each battery's negative off first, and put it on last."
    ),
    msg(
        "First every charge source, then the loads, then each battery's negative; never take the battery from a "
        "running alternator or a live solar controller."
    ),
)
CONSENT = Caution(
    "consent",
    msg("Lead and lithium together."),
    msg(
        "Joining the two is outside many makers' warranties and outside some insurers' terms. Get their word in "
        "writing first, and keep it with the papers."
    ),
    msg("Joining them is outside many makers' warranties and some insurers' terms: get their word in writing first."),
)
LITHIUM_ALONE = Caution(
    "consent",
    msg("Warranty and insurance."),
    msg(
        "Battery makers and insurers have terms for how a bank is built, charged and protected. Get their word on this "
        "arrangement in writing first, and keep it with the papers."
    ),
    msg("Get the word of the battery makers and of your insurer on this arrangement in writing first."),
)
PROVE_DEAD = Caution(
    "prove-dead",
    msg("Prove it dead."),
    msg(
        "Before you touch a conductor, measure it with a meter that you have just tried on a live one. An open switch "
        "or a dark lamp proves nothing."
    ),
)
ALTERNATOR = Caution(
    "alternator",
    msg("Alternator."),
    msg(
        "Never disconnect a battery from a running alternator, and never turn its last battery switch off while the "
        "engine runs: the voltage jumps and can destroy electronics."
    ),
)
SOLAR = Caution(
    "solar",
    msg("Solar."),
    msg(
        "Never take the battery from a solar controller while the array is live. Open the array side first; in "
        "daylight an array is always live."
    ),
)
DIFFERENT_RULES = Caution(
    "different-rules",
    msg("Lead and lithium follow different rules."),
    msg(
        "Lead wants to be kept full and dies of standing empty. Lithium wants to stand half full, must not be charged "
        "when frozen, and can switch itself off without asking."
    ),
)
CUT_OFF = Caution(
    "cut-off",
    msg("Lithium can switch itself off."),
    msg(
        "Its management system opens when a limit is passed. Know what goes dark then, hear the alarm that comes "
        "before, and leave the settings as they are on the sheet."
    ),
)
GAS = Caution(
    "gas",
    msg("Gas."),
    msg(
        "Lead batteries give off hydrogen while they charge, most of it near the end, and it burns with the smallest "
        "spark. Keep the vents open, no flame and no smoking, and air the box before you work in it."
    ),
)
ACID = Caution(
    "acid",
    msg("Acid."),
    msg("Vented lead batteries hold sulphuric acid: wear goggles and gloves, and have water at hand."),
)
FIRE = Caution(
    "fire",
    msg("If a battery gets hot, swells, smokes or smells."),
    msg(
        "Switch off charging, open the battery switch if you can reach it safely, get people out into the open air and "
        "call for help. Smoke of a lithium battery is poisonous and can explode."
    ),
)
LIFTING = Caution(
    "lifting",
    msg("Weight."),
    msg("Batteries are heavier than they look. Two people or a lift; and hold them down again before you move off."),
)
MAINS = Caution(
    "mains",
    msg("Mains and shore power."),
    msg(
        "Everything at mains voltage, from the shore inlet to the inverter's outlets, is the work of a qualified "
        "person. It can kill, and it is not part of this work unless a line says so. Never cut or leave out an "
        "earth conductor."
    ),
)
FUSES = Caution(
    "fuses",
    msg("Fuses."),
    msg(
        "Replace a fuse only by one of the same class, rating and voltage. A larger one turns the cable into the fuse. "
        "Find out why it blew before you fit the next."
    ),
)
SETTINGS = Caution(
    "settings",
    msg("Settings."),
    msg(
        "Chargers, relays and the management system are set to work together. Changing one voltage can overcharge a "
        "bank or keep two banks joined; write down what you change."
    ),
)
CHANGES = Caution(
    "changes",
    msg("Later changes."),
    msg(
        "What is calculated here holds for the equipment and lengths that are named. A stronger alternator, another "
        "battery or a longer cable changes currents, fuses and drops: have it checked again."
    ),
)
MUST_NOT_TOUCH = Caution(
    "hands-off",
    msg("What not to touch."),
    msg(
        "The main fuses, the contactor and its controller, the links between banks and everything ahead of the battery "
        "switches: leave them to the installer."
    ),
)

FIRST_PAGE = (STORED_ENERGY, ORDER, CONSENT)
"""The three that stand on the first page; without lead and lithium together the last is `LITHIUM_ALONE`."""

GROUPS = (
    CautionGroup("work", msg("Before anyone works on it"), (STORED_ENERGY, ORDER, PROVE_DEAD, LIFTING)),
    CautionGroup("charging", msg("While it charges"), (ALTERNATOR, SOLAR, GAS, ACID, FIRE)),
    CautionGroup("lithium", msg("Lead and lithium"), (CONSENT, DIFFERENT_RULES, CUT_OFF)),
    CautionGroup("years", msg("In the years after"), (FUSES, SETTINGS, CHANGES, MUST_NOT_TOUCH)),
    CautionGroup("mains-work", msg("Mains"), (MAINS,)),
)

INSTALLER_TITLE = msg("From {installer}")
DEFERENCE_TITLE = msg("What stands above these pages")
DEFERENCE = msg(
    "These pages are a design aid. The codes that hold where you are, the makers' instructions and the judgement of a "
    "licensed or qualified person stand above them and decide."
)
DEFERENCE_FULL = (
    msg(
        "What stands here was calculated from what was surveyed, measured and assumed; it is a design aid and not an "
        "approval."
    ),
    msg(
        "The codes that hold where the vessel is, or where it is registered, come first; where they and these "
        "pages differ, they hold."
    ),
    msg(
        "The makers' instructions for batteries, chargers, fuses, engine and vessel come before the general rules used "
        "here."
    ),
    msg(
        "A licensed or otherwise qualified person decides on site, does the work or inspects it, and answers for it; "
        "what is required differs from country to country."
    ),
    msg(
        "Rules are cited by name and clause and told in own words, never quoted. Editions differ: buy the one in force "
        "and read it there."
    ),
)
TITLE = msg("Cautions")
LEAD = msg(
    "What can hurt you or the vessel, and how to keep clear of it. Please read this before you sign, and keep it with "
    "the batteries."
)
LEAD_RECORD = msg(
    "What can hurt you or the vessel, and how to keep clear of it. Please read this before you touch anything, and "
    "keep it with the batteries."
)
