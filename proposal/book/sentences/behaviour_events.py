"""Sentences of what happens: events of a timeline, states of a storyboard, troubles, and where they come about."""

from proposal.book.language import msg

EVENTS = {
    "relay_joins": msg("{item} joins. The voltage is {voltage_v}."),
    "relay_joins.contactor": msg("{bank} joins. The voltage is {voltage_v}."),
    "relay_joins.bus_lifted": msg("Charging lifts the voltage; {bank} joins. It is {voltage_v}."),
    "relay_joins.bus_below": msg("The voltage is near enough to that of the battery; {bank} joins. It is {voltage_v}."),
    "relay_joins.nearly_equal": msg("Both sides are nearly equal; {bank} joins. The voltage is {voltage_v}."),
    "relay_joins.charged_again": msg("Charging brings {bank} back, and it joins. The voltage is {voltage_v}."),
    "relay_joins.threshold": msg("{item} joins start and house: one side is lifted to {voltage_v}."),
    "relay_parts": msg("{item} parts. The voltage is {voltage_v}."),
    "relay_parts.contactor": msg("{bank} parts. The voltage is {voltage_v}."),
    "relay_parts.full": msg("{bank} is full and parts. The voltage is {voltage_v}."),
    "relay_parts.empty": msg("{bank} is down to what it may give, and parts. The voltage is {voltage_v}."),
    "relay_parts.discharging": msg("{bank} would pour itself into the lead, and parts. The voltage is {voltage_v}."),
    "relay_parts.counted": msg("{bank} is full by its counted charge, and parts. The voltage is {voltage_v}."),
    "relay_parts.threshold": msg("{item} parts start and house: the voltage is down to {voltage_v}."),
    "sun_begins": msg("The sun begins to charge."),
    "sun_ends": msg("The sun is gone."),
    "engine_on": msg("The engine is started to charge. The charge is at {charge_share}."),
    "engine_on.generator": msg("The generator is started. The charge is at {charge_share}."),
    "engine_off": msg("The engine is stopped after {hours_h}."),
    "engine_off.generator": msg("The generator is stopped after {hours_h}."),
    "absorption": msg("{item} has reached its voltage, {voltage_v}, and now holds it."),
    "float": msg("{item} takes the batteries for full and goes back to {voltage_v}."),
    "bulk": msg("{item} charges with all it has."),
    "charge_blocked": msg("The management of {item} lets no more charge in."),
    "charge_blocked.cell_high": msg("A cell of {item} is high; its management lets no more charge in, at {voltage_v}."),
    "charge_blocked.cold": msg("{item} is too cold to be charged; its management lets no charge in."),
    "discharge_blocked": msg("The management of {item} gives nothing more."),
    "discharge_blocked.cell_low": msg("{item} is empty; its management gives nothing more, at {voltage_v}."),
    "charge_freed": msg("{item} may be charged again."),
    "discharge_freed": msg("{item} gives again."),
    "bank_full": msg("{item} is full."),
    "bank_low": msg("{item} is low. Its charge is {charge_share}."),
    "load_dark": msg("{item} goes dark at {voltage_v}."),
    "load_back": msg("{item} works again."),
    "collapse": msg("{item} asks for more than can reach it; its voltage breaks down. It is {voltage_v}."),
    "chatter": msg("{item} opens and closes again and again. It did so {count} times in {within_s}."),
}
"""By code, or by code and cause or kind of item."""
AGAIN_AND_AGAIN = msg("{item} joins and parts again and again, until {until}.")
EVENT_OTHER = msg("Something happens at {item}.")
MARGIN = msg("Decided by {margin}.")
UNCERTAIN = msg("Uncertain: decided by {margin} only.")
UNCERTAIN_PLAIN = msg("Uncertain.")

SCENES = {
    "night": msg("at night"),
    "morning": msg("in the morning"),
    "charging": msg("charging"),
    "full": msg("full"),
    "dusk": msg("at dusk"),
    "engine": msg("engine running"),
}
SCENE_OTHER = msg("another state")
SCENE_LOADS = msg("The loads take {loads}.")
SCENE_GIVES = msg("{item} gives {current}.")
SCENE_TAKES = msg("{item} takes {current}.")
SCENE_SOURCE = msg("{item} brings {current}.")
SCENE_OPEN = msg("Open: {items}.")

TROUBLES = {
    "chatter": msg("{item} opens and closes again and again. It did so {count} times in {within_s}."),
    "collapse": msg("{item} asks for more than can reach it. At {power_w} its voltage breaks down to {voltage_v}."),
    "bank_never_full": msg("{item} is not properly full for {longest_days}. It would need {charge_v}."),
    "charger_never_restarts": msg(
        "{item} stays at its lower voltage and does not begin again. It would restart below {restart_v}. The voltage "
        "only falls to {lowest_v}. The charge meanwhile goes down to {lowest_share}."
    ),
    "absorption_held": msg(
        "{item} holds its high voltage for {held_h}, since it takes what the loads use for charge. They use {loads_a}."
    ),
    "absorption_cut_short": msg("{item} stops its full charge after {after_h}, when the battery beside it parts."),
    "join_missed": msg(
        "{item} misses the moment to join. It joins within {rule_v}. The difference is {difference_v} by the time it "
        "may. The voltage fell past it in {falls_s}."
    ),
    "management_opens": msg("The management of {item} switches it off before anything else does."),
    "management_opens.cell_high": msg(
        "A cell of {item} is high before the rest is full, and its management switches it off at {voltage_v}."
    ),
    "management_opens.cell_low": msg(
        "A cell of {item} is empty before the rest, and its management switches it off at {voltage_v}."
    ),
    "management_opens.cold": msg("{item} is too cold to be charged, and its management switches charging off."),
    "management_opens.current": msg("More flows than {item} allows, and its management switches it off."),
    "source_stranded": msg(
        "When the lithium parts while {item} charges hard, the voltage leaps to {peak_v}. What is connected bears "
        "{limit_v}."
    ),
    "never_joins": msg("{item} never joins. It was followed for {days}."),
    "never_parts": msg("{item} never parts. It was followed for {days}."),
}
"""By code, or by code and cause."""
TROUBLE_OTHER = msg("Something is not as it should be at {item}.")
TROUBLE_RUNS = {
    "no_charge": msg("days without charge"),
    "neglect": msg("left alone"),
    "year": msg("over the year"),
    "years": msg("over the simulated years"),
    "day": msg("an ordinary day"),
    "charging_hard": msg("the lithium off while charged hard"),
    "inverter_full": msg("the lithium off while the inverter gives all it can"),
    "night_passage": msg("the lithium off at night"),
}
TROUBLE_RUN_DAY = msg("an ordinary day, {season}")
TROUBLE_AT_DAY = msg("{run}, at {time}")
TROUBLE_AFTER = msg("{run}, after {days}")
TROUBLE_RUN_OTHER = msg("another run")
