"""What a machine takes where nobody states it: each is told as an assumption, or is a matter of method."""

UNSET_V = -1e9
HOUR_S, DAY_S = 3600.0, 86400.0
VSR_DELAY_S = 5.0
HOLDS_S = 30.0
JOINS_BELOW_12V, JOINS_AFTER_EMPTY_12V = 0.1, 13.2
FLOAT_12V, RESTART_12V, ABSORPTION_H = 13.5, 12.8, 2.0
SPEED_SHARE, HOT_AFTER_S, HOT_RISE_K = 0.8, 1800.0, 65.0
SHORE_FROM_S, ENGINE_DAILY_FROM_S, ENGINE_EVENING_FROM_S, ENGINE_UNTIL_S = (
    18 * HOUR_S,
    9 * HOUR_S,
    16.5 * HOUR_S,
    21 * HOUR_S,
)
ENGINE_BELOW, ENGINE_ABOVE = 0.5, 0.25
GENERATOR_MOST_H = 6.0
DECK_FROM_S, DECK_FOR_S = 8 * HOUR_S + 1200.0, 1800.0
"""Around the time at which patterns of use have the deck gear work. Common practice, no source."""
NIGHT_FROM_S, NIGHT_LOW = 6 * HOUR_S, 0.3
BACK_ABOVE_12V, INVERTER_BACK_12V = 1.2, 0.5
LIVED_IN_SHARE = 0.25
HEAT_J_PER_KG_K, HEAT_TAU_S = 1000.0, 8 * HOUR_S
PARTING_SHARE_PER_H = 0.05
CHATTER_PER_HOUR = 6.0
LOW_LOAD_SHARE = 0.8
USUAL_12V = 13.0
END_OF_DISCHARGE_CELL_V = 1.75
"""A lead cell's voltage at the end of the discharge by which its capacity is rated (IEC 60896-11, IEC 61056-1)."""
SETTLED_V = 1e-6
