"""What each arrangement is and what it means for its owner, in plain words; with and without an engine."""

from proposal.book.language import msg
from proposal.frozen import frozen


@frozen
class Arrangement:
    """`what` it is; `means` for the days aboard; `mind`, what the owner must keep to; `dark`, what goes dark first.

    `dark_note` says what is left then. `engine` and `no_engine` are added to `means` as the vessel has one or not.
    """

    name: str
    what: str
    means: tuple[str, ...]
    engine: tuple[str, ...]
    no_engine: tuple[str, ...]
    mind: tuple[str, ...]
    dark: str
    dark_note: str


ONE_BANK = Arrangement(
    msg("One bank for everything"),
    msg("All batteries work as one bank, and every circuit is fed from it."),
    (
        msg("There is little to understand and little to fail: no relay, no second bank, one meter that tells all."),
        msg("When the bank is empty, everything goes dark at the same moment."),
    ),
    (msg("The same bank starts the engine, so an evening of careless use can leave you without a start."),),
    (),
    (msg("Read the meter before you leave and before each night; charge in good time."),),
    msg("Everything together"),
    msg("One bank feeds all of it; nothing is held back."),
)

HOUSE_AND_STARTER = Arrangement(
    msg("House bank and starter battery with a voltage-sensitive relay"),
    msg(
        "The house has its own bank and the engine its own battery. A voltage-sensitive relay (a switch that closes by "
        "itself while something charges) joins the two, and parts them when charging stops."
    ),
    (
        msg("Whatever you use in the evening comes out of the house bank alone."),
        msg("Any charge source fills both, without a hand on a switch."),
    ),
    (msg("The engine's battery is kept for the engine, so an empty house bank does not keep you from starting."),),
    (),
    (
        msg("Both banks must take the same charging voltage: the relay joins them as they are."),
        msg("If the relay ever sticks, both sides empty together; its lamp or a meter shows it."),
    ),
    msg("The house circuits"),
    msg("The relay has parted by then, and the starter battery stays out of it."),
)

LEAD_AND_LITHIUM = Arrangement(
    msg("Lead bank on the bus, lithium joined through a contactor"),
    msg(
        "A lead bank is always on the bus (the common bar from which all circuits are fed). A lithium bank does the "
        "daily work; it is joined through a contactor, a heavy switch that its controller opens when the lithium must "
        "be protected."
    ),
    (
        msg("The lithium is used and filled every day; the lead bank rests nearly full."),
        msg(
            "If the lithium separates, nothing goes dark at once: the lead bank carries on, for a shorter time, and an "
            "alarm says so."
        ),
        msg("The lead bank also takes up the charging current at the moment when the lithium separates."),
    ),
    (
        msg(
            "The lead bank starts the engine too, so the start depends on every other load: a bank left with the "
            "lithium separated for days may not start it."
        ),
    ),
    (msg("The lead bank is the reserve: keep it for what must not go dark."),),
    (
        msg(
            "When the alarm says that the lithium has separated, switch off what is not needed and charge the same day."
        ),
        msg("Ask the makers of both batteries for their consent in writing, and keep it with the papers."),
    ),
    msg("The lithium bank"),
    msg("It separates first; then all circuits rest on the lead bank alone."),
)

LEAD_AND_LITHIUM_WITH_STARTER = Arrangement(
    msg("Lead and lithium for the house, and a starter battery of its own"),
    msg(
        "A lead bank is always on the house bus (the common bar from which the house circuits are fed), and a lithium "
        "bank is joined to it through a contactor, a heavy switch that its controller opens when the lithium must be "
        "protected. The engine has a battery of its own; a voltage-sensitive relay joins it while something charges."
    ),
    (
        msg("The lithium is used and filled every day; the lead reserve rests nearly full."),
        msg("If the lithium separates, the house carries on from the lead reserve, for a shorter time."),
    ),
    (msg("The engine starts from a battery that no house load can empty."),),
    (),
    (
        msg("One battery more to carry, to test and to replace in its time."),
        msg(
            "When the alarm says that the lithium has separated, switch off what is not needed and charge the same day."
        ),
        msg("Ask the makers of all batteries for their consent in writing, and keep it with the papers."),
    ),
    msg("The lithium bank"),
    msg("Then the house rests on the lead reserve; the starter battery stays out of it."),
)

LITHIUM_WITH_DC_DC = Arrangement(
    msg("Lithium for the house, lead starter battery, DC-DC charger between them"),
    msg(
        "The house runs on lithium alone. A lead battery starts the engine. Between the two stands a DC-DC charger, "
        "which passes charge one way at a limited current, each side at its own voltage."
    ),
    (
        msg("Lithium and lead are never joined directly, so neither can drag the other down."),
        msg(
            "If the lithium switches itself off, the whole house goes dark at that moment: there is no reserve behind "
            "it."
        ),
    ),
    (msg("The engine's battery is kept for the engine."),),
    (),
    (
        msg("What must never go dark needs a feed that the lithium cannot take away; the drawing shows which it has."),
        msg("The DC-DC charger limits how fast the far side fills."),
    ),
    msg("The house circuits"),
    msg("All at once when the lithium switches itself off; the starter battery stays out of it."),
)

COMPOSED = Arrangement(
    msg("An arrangement composed for this vessel"),
    msg("The banks and the links between them were chosen for this vessel; the drawing shows how they are joined."),
    (msg("Read the drawing from the batteries to the loads: every switch and relay on the way is named there."),),
    (),
    (),
    (msg("Ask before you change anything in it: it is not one of the usual arrangements."),),
    msg("The house circuits"),
    msg("Which bank is left then follows from the drawing."),
)

ARRANGEMENTS = {
    "one_bank": ONE_BANK,
    "house_and_starter": HOUSE_AND_STARTER,
    "lead_and_lithium": LEAD_AND_LITHIUM,
    "lead_and_lithium_with_starter": LEAD_AND_LITHIUM_WITH_STARTER,
    "lithium_with_dc_dc": LITHIUM_WITH_DC_DC,
    "composed": COMPOSED,
}
