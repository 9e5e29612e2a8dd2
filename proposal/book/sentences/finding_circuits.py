"""Findings about what must stay on, returns, drops and the start: checks 46 to 52."""

from dataclasses import replace

from proposal.book.language import msg
from proposal.book.sentences.finding_text import FindingText

CIRCUITS: dict[str, FindingText] = {}

_ALWAYS_ON = FindingText(
    msg("What must stay on can go dark"),
    msg("What must stay on has a fuse of its own and a feed that does not switch itself off"),
    msg("It is fed only from a bank that can switch itself off."),
    msg("Pumps, alarms and memories need a bank that stays."),
    msg("It is dead when it is wanted, and nobody notices before."),
    msg(
        "Feed it, fused and ahead of the battery switch, from a bank that cannot switch itself off. Here that is "
        "{better_bank}."
    ),
)
CIRCUITS["always_on_at_risk"] = _ALWAYS_ON
CIRCUITS["always_on_at_risk.cut_off"] = _ALWAYS_ON
CIRCUITS["always_on_at_risk.switched"] = replace(
    _ALWAYS_ON,
    title=msg("What must stay on is behind a battery switch"),
    found=msg("Every way to it leads through a hand switch."),
    limit=msg("Pumps and alarms are fed ahead of the battery switch."),
    happens=msg("It is dead when everybody has gone home and the switch is off."),
    do=msg("Feed it ahead of the switch of {better_bank}, with a fuse of its own."),
)
CIRCUITS["always_on_at_risk.no_fuse"] = replace(
    _ALWAYS_ON,
    title=msg("What must stay on has no fuse of its own"),
    found=msg("Its conductor has no fuse; it draws {current_a}."),
    limit=msg("What is ahead of the battery switch needs a fuse of its own."),
    happens=msg("A fault in it cannot be switched off, and a larger fuse before it lets the cable burn."),
    do=msg("Fit a fuse where its conductor leaves the bank, as the maker of the pump or alarm asks."),
)

_RETURN = FindingText(
    msg("Negative conductor not as it must be"),
    msg("Every negative is as large as its positive, and all banks share one negative"),
    msg("The negative is {fitted}, {area_mm2}."),
    msg("Its positive has {needed_mm2}."),
    msg(
        "The return carries all that went out: it heats first, and in a short circuit it can burn before the fuse "
        "opens."
    ),
    msg("Lay a negative of {size}."),
)
CIRCUITS["return_smaller"] = _RETURN
CIRCUITS["return_smaller.smaller"] = replace(_RETURN, title=msg("Negative conductor smaller than its positive"))
CIRCUITS["return_smaller.shared"] = replace(
    _RETURN,
    title=msg("Shared negative too small"),
    found=msg("It brings back {current_a}, {case}, and its own positive carries {own_a}: other circuits return by it."),
    limit=msg("It may carry {limit_a}."),
    happens=msg("It heats for hours, and no fuse stands in a negative."),
)
CIRCUITS["return_smaller.no_common_negative"] = replace(
    _RETURN,
    title=msg("Bank without the common negative"),
    found=msg("The negative of this bank is not joined to the common negative."),
    limit=msg("All banks need one common negative."),
    happens=msg("Current finds its way back through hull, engine or shielding; meters and protection read wrong."),
    do=msg("Join its negative to the common negative with a conductor as large as its positive."),
)

_DROP = FindingText(
    msg("Too little voltage arrives"),
    msg("Voltage lost on the way stays within the limit"),
    msg(
        "{drop_v} are lost on the way out and back, {case}: {drop_share} of the system's voltage. Its own conductors "
        "lose {own_drop_v} of it."
    ),
    msg("At most {limit_v} may be lost here."),
    msg("Motors run slow and hot, lights dim, electronics restart."),
    msg(
        "Mend what loses it, a larger conductor first. Own conductors of {size} will do. {parallel_count} of "
        "{parallel_size} side by side in each pole will do. Or shorten the run to {length_m}. Without its own "
        "conductors {shared_drop_v} are lost already: feed it from a bus nearer to the batteries. Or build the system "
        "for {higher_v}, where the same power loses less."
    ),
)
CIRCUITS["voltage_drop_high"] = _DROP
CIRCUITS["voltage_drop_high.drop"] = replace(_DROP, title=msg("Too much voltage lost on the way"))
CIRCUITS["voltage_drop_high.collapse"] = replace(
    _DROP,
    title=msg("Load finds no voltage at which it runs"),
    found=msg("It finds no voltage at which it can run, {case}."),
    limit=msg("What draws constant power takes more current the lower the voltage, until none is left."),
    happens=msg("It switches itself off, and may do so again and again."),
    do=msg("Lay larger conductors on its way, or give it a stronger bank."),
)
CIRCUITS["voltage_drop_high.no_supply"] = replace(
    _DROP,
    title=msg("Load without a feed"),
    found=msg("Nothing feeds it, {case}."),
    limit=msg("It should run then."),
    happens=msg("It stays dark."),
    do=msg("Give it a bus that a bank feeds then."),
)

_STARTER = FindingText(
    msg("Too little voltage at the starter"),
    msg("The starter gets enough voltage in the cold"),
    msg("{voltage_v} are left at the starter's own terminals while it draws {cranking_a} in the cold."),
    msg("It needs {limit_v}."),
    msg("The engine turns too slowly to fire, or the starter's own relay drops out and chatters."),
    msg("Find {lacking_v}: a stronger or warmer battery, or {resistance_less_ohm} less in cables, switch and joints."),
    msg("{voltage_v} are left at the starter while it draws {cranking_a} in the cold; {limit_v} would be safe."),
)
CIRCUITS["starter_voltage_low"] = _STARTER
CIRCUITS["starter_voltage_low.voltage"] = _STARTER
CIRCUITS["starter_voltage_low.no_supply"] = replace(
    _STARTER,
    title=msg("Starter without a feed"),
    found=msg("Nothing feeds the starter, which draws {cranking_a}."),
    limit=msg("A bank must be joined to it when the engine is cranked."),
    happens=msg("The engine does not turn."),
    do=msg("Join the starter to a bank that is there while the engine is cranked."),
)
