"""What follows when a condition has lasted: relays switch, managements block, chargers change their stage."""

from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import (
    A_EVENTS,
    ABSORPTION,
    BANK,
    BMS_COLD,
    BMS_HIGH,
    BMS_HIGH_FREE,
    BMS_LOW,
    BMS_LOW_FREE,
    BMS_WARM,
    BULK,
    CHARGE_BLOCKED,
    CLOSED,
    CON_COUNTED,
    CON_DISCHARGING,
    CON_EMPTY,
    CON_FULL,
    CON_JOIN,
    CONDITION,
    DISCHARGE_BLOCKED,
    E_ABSORPTION,
    E_BULK,
    E_CHARGE_BLOCKED,
    E_CHARGE_FREED,
    E_CHATTER,
    E_DISCHARGE_BLOCKED,
    E_DISCHARGE_FREED,
    E_FLOAT,
    E_JOINS,
    E_PARTS,
    EMPTY_LATCH,
    EVENT,
    FLOAT,
    FLOAT_V,
    FULL_LATCH,
    HOUR_COUNT,
    HOUR_FROM_S,
    LATCH_FREE,
    M_AUDIT,
    M_BANK,
    M_COND,
    M_EVENTS,
    M_FLAG,
    M_RELAY,
    M_RS,
    M_SET,
    M_SINCE,
    M_SIZES,
    M_SOURCE,
    M_SOURCE_PORT,
    M_SS,
    M_STATE,
    M_V,
    MOST_EVENTS,
    N_CONDITIONS,
    R_BANK,
    RELAY,
    RELAY_STATE,
    SENSE_ONE,
    SEPARATE,
    SOURCE,
    SOURCE_STATE,
    SRC_ABSORB,
    SRC_TAIL,
    SRC_TIMER,
    STAGE,
    STATE,
    SWITCHED_S,
    SWITCHINGS,
    TROUBLE_PER_H,
    VSR_JOIN,
    VSR_RELEASE,
)
from proposal.studies.behaviour.kernel.conditions import due_s
from proposal.studies.behaviour.kernel.network import rebuild, seen_v


HOUR_S = 3600.0
ROUNDING_S = 1e-6


@both
def note(m, time_s, code, item, cause, volts):  # type: ignore[no-untyped-def]
    """Write an event down, while there is room; all are counted."""
    audit, events = m[M_AUDIT], m[M_EVENTS]
    number = int(audit[A_EVENTS])
    if number < int(m[M_SIZES][MOST_EVENTS]):
        at = number * EVENT
        events[at], events[at + 1], events[at + 2] = time_s, float(code), float(item)
        events[at + 3], events[at + 4] = float(cause), volts
    audit[A_EVENTS] += 1.0


@both
def switch(m, r, closed, time_s, cause):  # type: ignore[no-untyped-def]
    """Close or open a relay; more than so many switchings in an hour are chatter, told once an hour."""
    held, relay = m[M_RS], m[M_RELAY]
    at = r * RELAY_STATE
    held[at + CLOSED] = closed
    held[at + SWITCHED_S] = time_s
    held[at + SWITCHINGS] += 1.0
    if time_s - held[at + HOUR_FROM_S] >= HOUR_S:
        held[at + HOUR_FROM_S], held[at + HOUR_COUNT] = time_s, 0.0
    held[at + HOUR_COUNT] += 1.0
    volts = seen_v(m, int(relay[r * RELAY + SENSE_ONE]))
    note(m, time_s, E_JOINS if closed > 0.0 else E_PARTS, r, cause, volts)
    if held[at + HOUR_COUNT] == m[M_SET][TROUBLE_PER_H] + 1.0:
        note(m, time_s, E_CHATTER, r, cause, volts)
    rebuild(m)


@both
def act(m, base_bank, base_source, k, time_s):  # type: ignore[no-untyped-def]
    """Do what a condition is for."""
    cond = m[M_COND]
    kind, item = int(cond[k * CONDITION]), int(cond[k * CONDITION + 1])
    held, state, bank, gives, source = m[M_RS], m[M_STATE], m[M_BANK], m[M_SS], m[M_SOURCE]
    if kind == VSR_JOIN or kind == CON_JOIN:
        held[item * RELAY_STATE + EMPTY_LATCH] = 0.0
        switch(m, item, 1.0, time_s, kind)
    elif kind == VSR_RELEASE:
        switch(m, item, 0.0, time_s, kind)
    elif kind == CON_FULL or kind == CON_COUNTED:
        held[item * RELAY_STATE + FULL_LATCH] = 1.0
        switch(m, item, 0.0, time_s, kind)
    elif kind == CON_EMPTY or kind == CON_DISCHARGING:
        held[item * RELAY_STATE + EMPTY_LATCH] = 1.0
        switch(m, item, 0.0, time_s, kind)
    elif kind == LATCH_FREE:
        held[item * RELAY_STATE + FULL_LATCH] = 0.0
    elif kind <= BMS_WARM:
        now, at = item * STATE, base_bank + item * BANK
        volts = m[M_V][item]
        if kind == BMS_HIGH:
            state[now + CHARGE_BLOCKED] += 1.0
            if bank[at + SEPARATE] == 0.0:
                state[now + DISCHARGE_BLOCKED] = 2.0
            note(m, time_s, E_CHARGE_BLOCKED, item, kind, volts)
        elif kind == BMS_HIGH_FREE:
            state[now + CHARGE_BLOCKED] -= 1.0
            if state[now + DISCHARGE_BLOCKED] == 2.0:
                state[now + DISCHARGE_BLOCKED] = 0.0
            note(m, time_s, E_CHARGE_FREED, item, kind, volts)
        elif kind == BMS_LOW:
            state[now + DISCHARGE_BLOCKED] = 1.0
            note(m, time_s, E_DISCHARGE_BLOCKED, item, kind, volts)
        elif kind == BMS_LOW_FREE:
            state[now + DISCHARGE_BLOCKED] = 0.0
            note(m, time_s, E_DISCHARGE_FREED, item, kind, volts)
        elif kind == BMS_COLD:
            state[now + CHARGE_BLOCKED] += 2.0
            note(m, time_s, E_CHARGE_BLOCKED, item, kind, volts)
        else:
            state[now + CHARGE_BLOCKED] -= 2.0
            note(m, time_s, E_CHARGE_FREED, item, kind, volts)
    else:
        now = item * SOURCE_STATE
        volts = m[M_V][int(m[M_SOURCE_PORT][item])]
        if kind == SRC_ABSORB:
            gives[now + STAGE] = ABSORPTION
            note(m, time_s, E_ABSORPTION, item, kind, volts)
        elif kind == SRC_TAIL or kind == SRC_TIMER:
            if source[base_source + item * SOURCE + FLOAT_V] > 0.0:
                gives[now + STAGE] = FLOAT
                note(m, time_s, E_FLOAT, item, kind, volts)
        else:
            gives[now + STAGE] = BULK
            note(m, time_s, E_BULK, item, kind, volts)


@both
def flags_moved(m):  # type: ignore[no-untyped-def]
    """Whether any condition has changed since it was last taken note of."""
    flag, since = m[M_FLAG], m[M_SINCE]
    for k in range(int(m[M_SIZES][N_CONDITIONS])):
        if (flag[k] > 0.0) != (since[k] >= 0.0):
            return True
    return False


@both
def take_flags(m, time_s):  # type: ignore[no-untyped-def]
    """Take note of what is true, and since when."""
    flag, since = m[M_FLAG], m[M_SINCE]
    for k in range(int(m[M_SIZES][N_CONDITIONS])):
        if flag[k] > 0.0:
            if since[k] < 0.0:
                since[k] = time_s
        else:
            since[k] = -1.0


@both
def act_due(m, base_bank, base_source, time_s):  # type: ignore[no-untyped-def]
    """Act on every condition whose time has come; True if any did. What acted is looked at afresh."""
    since, acted = m[M_SINCE], False
    for k in range(int(m[M_SIZES][N_CONDITIONS])):
        if since[k] >= 0.0 and due_s(m, base_source, k) <= time_s + ROUNDING_S:
            act(m, base_bank, base_source, k, time_s)
            since[k] = -1.0
            acted = True
    return acted


@both
def next_due_s(m, base_source):  # type: ignore[no-untyped-def]
    """When the next condition that is true will act [s of the run]."""
    since, soonest = m[M_SINCE], 1e18
    for k in range(int(m[M_SIZES][N_CONDITIONS])):
        if since[k] >= 0.0:
            when = due_s(m, base_source, k)
            if when < soonest:
                soonest = when
    return soonest
