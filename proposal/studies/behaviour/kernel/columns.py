"""Where each number stands in the kernel's flat arrays. Bank and source rows are repeated for each season."""

# --- a bank in a season: parameters of the whole bank, strings in parallel taken together -------------------------
(
    Q_AS, CAP, R0, R1, T1, R2, T2, R_ACCEPT, KNEE, CHARGE_MAX, GAS_A, GAS_V, GAS_PER_V, RATE_POWER, RATE_A, RECOVER_S,
    HYST_V, HYST_SHARE, SELF_A, R_EMPTY, LEAD, HIGH_V, HIGH_FREE_V, LOW_V, LOW_FREE_V, SEPARATE, COLD_C, WARM_C,
    AMBIENT_C, HEATER_W, HEAT_J_PER_K, HEAT_TAU_S, FULL_V, FULL_TAIL_A, SPREAD_V, SULPHATES_PER_S, MANAGED, SURFACE,
) = range(38)  # fmt: skip
BANK = 38

# --- state of a bank -----------------------------------------------------------------------------------------------
(
    S, S_REST, W, V1, V2, Y, WARM, AMPS, MAIN_A, SIDE_A, CHARGE_BLOCKED, DISCHARGE_BLOCKED, FULL_AT_S, SULPHATED,
    IN_AS, OUT_AS, GAS_AS, COULOMB, COULOMB_REST, WORK_J, HEATS, SELF_AS, SEGMENT, CHARGES,
) = range(24)  # fmt: skip
STATE = 24
"""SEGMENT: the piece of its curve on which it was last; CHARGES: which of its two laws an iteration follows."""

# --- what of a bank stays as it is while a step is settled -----------------------------------------------------------
(
    HALF_1, HALF_2, LEFT_1, LEFT_2, RECOVERS, COOLS, BASE_V, PER_AMP, SHARE, USABLE, BASE_OHM, STORES, BEND_OHM,
    SLOPE_S, MAIN_SLOPE_S, RATED_AT_A, RATED,
) = range(17)  # fmt: skip
READY = 17
"""Of both polarisations: left after half the step, and at the instant looked at; then of a whole step."""
READY_FIRST = 2
"""Before the banks: for which step [s] and season it holds."""

# --- a charge source in a season ------------------------------------------------------------------------------------
(
    KIND, LIMIT_A, ABSORB_V, FLOAT_V, RESTART_V, ABSORB_S, TAIL_A, DROOP_OHM, COLD_A, HOT_A, HOT_TAU_S, STOPPABLE,
    FROM_S, FOR_S, LIMB_OHM, HOT_RISE_K, SPACE_C, LEAST_S,
) = range(18)  # fmt: skip
SOURCE = 18
SOLAR, ALTERNATOR, SHORE, GENERATOR, WIND = 0, 1, 2, 3, 4

# --- state of a source ---------------------------------------------------------------------------------------------
STAGE, AVAILABLE, HEAT, GIVES_A, GIVEN_J, UNUSED_J, STOPPED, ON_S, PEAK_A = range(9)
SOURCE_STATE = 9
OFF, BULK, ABSORPTION, FLOAT = 0.0, 1.0, 2.0, 3.0

# --- a relay: voltage-sensitive or a contactor with its controller ---------------------------------------------------
(
    R_KIND, R_OHM, JOINS_V, RELEASES_V, DELAY_S, SENSE_ONE, SENSE_OTHER, HOLD_S, JOINS_BELOW_V, LITHIUM_ABOVE_V,
    JOINS_ABOVE_V, OPENS_ABOVE_V, OPENS_BELOW_V, FULL_SHARE, EMPTY_SHARE, PARTS_A, R_BANK, WAITS_S, COIL_A, FORCED,
    FROM_PORT, TO_PORT, OFFSET_ONE_V, OFFSET_OTHER_V, COIL_PORT,
    EMPTY_JOINS_V, LEAD_BANK,
) = range(27)  # fmt: skip
RELAY = 27
VSR, CONTACTOR = 0.0, 1.0
CLOSED, SWITCHED_S, FULL_LATCH, EMPTY_LATCH, COUNT_KNOWN, SWITCHINGS, HOUR_COUNT, HOUR_FROM_S, COUNT_OFFSET = range(9)
RELAY_STATE = 9

# --- conditions: what is true since when ----------------------------------------------------------------------------
(
    VSR_JOIN, VSR_RELEASE, CON_JOIN, CON_FULL, CON_EMPTY, CON_DISCHARGING, LATCH_FREE, BMS_HIGH, BMS_HIGH_FREE, BMS_LOW,
    BMS_LOW_FREE, BMS_COLD, BMS_WARM, SRC_ABSORB, SRC_TAIL, SRC_TIMER, SRC_RESTART, CON_COUNTED,
) = range(18)  # fmt: skip
CONDITION = 2
"""Kind, item."""

# --- a load ---------------------------------------------------------------------------------------------------------
L_PORT, L_GROUP, L_CONSTANT_POWER, L_OHM, L_CUT_V, L_BACK_V, L_CRITICAL, L_CURRENT, L_IDLE_W = range(9)
LOAD = 9
LIT, DARK_S, TAKEN_J, DARK_SINCE = range(4)
LOAD_STATE = 4

# --- a DC-DC charger ------------------------------------------------------------------------------------------------
C_IN, C_OUT, C_LIMIT_A, C_SET_V, C_DROOP_OHM, C_EFFICIENCY, C_WITH_ENGINE, C_LEAST_IN_V = range(8)
CONVERTER = 8

# --- settings of a run, floats ----------------------------------------------------------------------------------------
(
    STEP_S, LOW_LOAD_V, ENGINE_MODE, ENGINE_BELOW, ENGINE_MOST_S, ENGINE_FROM_S, ENGINE_UNTIL_S, ENGINE_STOP,
    NIGHT_LOW, USES_ENGINE, USES_GENERATOR, SCALE, TOLERANCE, NIGHT_FROM_S, LEAK_S, TROUBLE_PER_H, START_S, PATTERN_S,
    CUT_BANK, CUT_AT_S, SYSTEM_V, GENERATOR_MOST_S, LOCATES,
    DECK_FROM_S, DECK_FOR_S,
) = range(25)  # fmt: skip

# --- events ---------------------------------------------------------------------------------------------------------
(
    E_JOINS, E_PARTS, E_SUN, E_SUN_ENDS, E_ENGINE_ON, E_ENGINE_OFF, E_ABSORPTION, E_FLOAT, E_BULK, E_CHARGE_BLOCKED,
    E_DISCHARGE_BLOCKED, E_CHARGE_FREED, E_DISCHARGE_FREED, E_BANK_FULL, E_BANK_LOW, E_LOAD_DARK, E_LOAD_BACK,
    E_COLLAPSE, E_CHATTER, E_GENERATOR_ON, E_GENERATOR_OFF,
) = range(21)  # fmt: skip
EVENT = 6
"""Time [s], code, item, cause (the condition's kind), a voltage [V], margin [V]."""

# --- a day's record: of the whole, then of each bank ----------------------------------------------------------------
(
    D_ENGINE_S, D_GENERATOR_S, D_NIGHT_LOW, D_DARK_S, D_CRITICAL_DARK_S, D_SOLAR_J, D_UNUSED_J, D_LOADS_J, D_GIVEN_J,
    D_LOSS_J, D_SWITCHINGS, D_RELAY_LOSS,
) = range(12)  # fmt: skip
DAY = 12
B_LOW, B_HIGH, B_FULL, B_HIGH_S, B_GAS_AS, B_CUT_OFFS, B_IN_AS, B_OUT_AS, B_HIGH_WARM_S = range(9)
DAY_BANK = 9

# --- what a run tells of itself ---------------------------------------------------------------------------------------
(
    A_STEPS, A_CAPPED, A_UNSETTLED, A_EVENTS, A_ITERATIONS, A_REBUILDS, A_GIVEN_J, A_LOADS_J, A_NETWORK_J, A_BANKS_J,
    A_ENGINE_ON, A_ENGINE_TODAY_S, A_GENERATOR_ON, A_GENERATOR_TODAY_S, A_SUBSTEPS, A_TIME_S, A_SETTLED_H,
    A_CONVERTER_J, A_DUE_S, A_BUMPS, A_LOOKED,
) = range(21)  # fmt: skip
AUDIT = 21

# --- the arrays of a machine, in the order in which the kernel is given them ----------------------------------------
(
    M_SIZES, M_SET, M_Z, M_ZG, M_G, M_V, M_I, M_D, M_RHS, M_BANK, M_STATE, M_REST_X, M_REST_V, M_EFF_X, M_EFF_V,
    M_READY, M_SOURCE, M_SS, M_SOURCE_PORT, M_RELAY, M_RS, M_COND, M_SINCE, M_FLAG, M_LOAD, M_LS, M_CONV, M_CS,
    M_GROUP, M_GNOW, M_PAT_I, M_PAT_P, M_PAT_W, M_PAT_ON, M_SUN, M_CLEAR, M_VARIANT, M_ABOARD, M_SEASON, M_COL,
    M_REC, M_EVENTS, M_DAYS, M_AUDIT, M_HOUSE, M_SEEN, M_DOY, M_ZR, M_KEPT,
) = range(49)  # fmt: skip

# --- sizes ------------------------------------------------------------------------------------------------------------
(
    N_BANKS, N_PORTS, N_ALL, N_RELAYS, N_SOURCES, N_GROUPS, N_LOADS, N_CONVERTERS, N_CONDITIONS, N_CURVE, N_EFF,
    N_SEASONS, N_VARIANTS, N_SLOTS, N_DAYS_OF_YEAR, FIRST_DAY, N_DAYS, RECORD_EVERY, RECORD_WIDTH, MOST_EVENTS,
    N_WIND, ALWAYS_ABOARD, N_SEEN, FIRST_RELAY, KEEP_DAYS,
) = range(25)  # fmt: skip
SIZES = 49
"""In the whole numbers that the kernel is given: first where each array begins, from here on the sizes."""
WATCHES = SIZES + 25
"""And from here on the conditions."""

# --- a group: all loads at one pair of bars, or one heavy load; G_HEATS: the bank whose heater it is, else -1 ---------
G_PORT, G_CUT_V, G_HEATS, G_ANY_DARK, G_FIRST, G_COUNT, G_STATIC_A = range(7)
GROUP = 7
G_NOW = 3
"""Amperes, watts, and ohms × watts², of what is on now."""
