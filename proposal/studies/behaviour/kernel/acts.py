"""What follows when a condition has lasted: relays switch, managements block, chargers change their stage."""

from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import *
from proposal.studies.behaviour.kernel.conditions import due_s
from proposal.studies.behaviour.kernel.network import fold_relays, rebuild

HOUR_S = 3600.0
ROUNDING_S = 1e-6


@both
def note(f, o, t, time_s, code, item, cause, volts):
    """Write an event down, while there is room; all are counted."""
    audit, events = o[M_AUDIT], o[M_EVENTS]
    number = int(f[audit + A_EVENTS])
    if number < o[SIZES + MOST_EVENTS]:
        at = number * EVENT
        f[events + at], f[events + at + 1], f[events + at + 2] = time_s, float(code), float(item)
        f[events + at + 3], f[events + at + 4] = float(cause), volts
    f[audit + A_EVENTS] += 1.0


@both
def switch(f, o, t, r, closed, time_s, cause):
    """Close or open a relay; more than so many switchings in an hour are chatter, told once an hour."""
    held, relay = o[M_RS], o[M_RELAY]
    at = r * RELAY_STATE
    f[held + at + CLOSED] = closed
    f[held + at + SWITCHED_S] = time_s
    f[held + at + SWITCHINGS] += 1.0
    if time_s - f[held + at + HOUR_FROM_S] >= HOUR_S:
        f[held + at + HOUR_FROM_S], f[held + at + HOUR_COUNT] = time_s, 0.0
    f[held + at + HOUR_COUNT] += 1.0
    volts = f[o[M_V] + int(f[relay + r * RELAY + SENSE_ONE])]
    note(f, o, t, time_s, E_JOINS if closed > 0.0 else E_PARTS, r, cause, volts)
    if f[held + at + HOUR_COUNT] == f[o[M_SET] + TROUBLE_PER_H] + 1.0:
        note(f, o, t, time_s, E_CHATTER, r, cause, volts)
    fold_relays(f, o, t)
    rebuild(f, o, t)


@both
def act(f, o, t, base_bank, base_source, k, time_s):
    """Do what a condition is for."""
    kind, item = o[WATCHES + k * CONDITION], o[WATCHES + k * CONDITION + 1]
    held, state, bank, gives, source = o[M_RS], o[M_STATE], o[M_BANK], o[M_SS], o[M_SOURCE]
    if kind == VSR_JOIN or kind == CON_JOIN:
        f[held + item * RELAY_STATE + EMPTY_LATCH] = 0.0
        switch(f, o, t, item, 1.0, time_s, kind)
    elif kind == VSR_RELEASE:
        switch(f, o, t, item, 0.0, time_s, kind)
    elif kind == CON_FULL or kind == CON_COUNTED:
        # holds the voltage of the bus, from which it has to fall before lithium may join again
        volts = f[o[M_V] + int(f[o[M_RELAY] + item * RELAY + SENSE_ONE])]
        f[held + item * RELAY_STATE + FULL_LATCH] = volts if volts > 1.0 else 1.0
        switch(f, o, t, item, 0.0, time_s, kind)
    elif kind == CON_EMPTY or kind == CON_DISCHARGING:
        f[held + item * RELAY_STATE + EMPTY_LATCH] = 1.0
        switch(f, o, t, item, 0.0, time_s, kind)
    elif kind == LATCH_FREE:
        f[held + item * RELAY_STATE + FULL_LATCH] = 0.0
    elif kind <= BMS_WARM:
        now, at = item * STATE, base_bank + item * BANK
        volts = f[o[M_V] + item]
        if kind == BMS_HIGH:
            f[state + now + CHARGE_BLOCKED] += 1.0
            if f[bank + at + SEPARATE] == 0.0:
                f[state + now + DISCHARGE_BLOCKED] = 2.0
            note(f, o, t, time_s, E_CHARGE_BLOCKED, item, kind, volts)
        elif kind == BMS_HIGH_FREE:
            f[state + now + CHARGE_BLOCKED] -= 1.0
            if f[state + now + DISCHARGE_BLOCKED] == 2.0:
                f[state + now + DISCHARGE_BLOCKED] = 0.0
            note(f, o, t, time_s, E_CHARGE_FREED, item, kind, volts)
        elif kind == BMS_LOW:
            f[state + now + DISCHARGE_BLOCKED] = 1.0
            note(f, o, t, time_s, E_DISCHARGE_BLOCKED, item, kind, volts)
        elif kind == BMS_LOW_FREE:
            f[state + now + DISCHARGE_BLOCKED] = 0.0
            note(f, o, t, time_s, E_DISCHARGE_FREED, item, kind, volts)
        elif kind == BMS_COLD:
            f[state + now + CHARGE_BLOCKED] += 2.0
            note(f, o, t, time_s, E_CHARGE_BLOCKED, item, kind, volts)
        else:
            f[state + now + CHARGE_BLOCKED] -= 2.0
            note(f, o, t, time_s, E_CHARGE_FREED, item, kind, volts)
    else:
        now = item * SOURCE_STATE
        volts = f[o[M_V] + int(f[o[M_SOURCE_PORT] + item])]
        if kind == SRC_ABSORB:
            f[gives + now + STAGE] = ABSORPTION
            note(f, o, t, time_s, E_ABSORPTION, item, kind, volts)
        elif kind == SRC_TAIL or kind == SRC_TIMER:
            if f[source + base_source + item * SOURCE + FLOAT_V] > 0.0:
                f[gives + now + STAGE] = FLOAT
                note(f, o, t, time_s, E_FLOAT, item, kind, volts)
        else:
            f[gives + now + STAGE] = BULK
            note(f, o, t, time_s, E_BULK, item, kind, volts)


@both
def next_due(f, o, t, base_source):
    """Find when the next condition that is true will act [s of the run]."""
    since, soonest = o[M_SINCE], 1e18
    for k in range(o[SIZES + N_CONDITIONS]):
        if f[since + k] >= 0.0:
            when = due_s(f, o, t, base_source, k)
            if when < soonest:
                soonest = when
    f[o[M_AUDIT] + A_DUE_S] = soonest


@both
def take_flags(f, o, t, base_source, time_s):
    """Take note of what is true, since when, and when the first of it will act."""
    flag, since = o[M_FLAG], o[M_SINCE]
    for k in range(o[SIZES + N_CONDITIONS]):
        if f[flag + k] > 0.0:
            if f[since + k] < 0.0:
                f[since + k] = time_s
        else:
            f[since + k] = -1.0
    next_due(f, o, t, base_source)


@both
def act_due(f, o, t, base_bank, base_source, time_s):
    """Act on every condition whose time has come; True if any did. What acted is looked at afresh."""
    since, acted = o[M_SINCE], False
    for k in range(o[SIZES + N_CONDITIONS]):
        if f[since + k] >= 0.0 and due_s(f, o, t, base_source, k) <= time_s + ROUNDING_S:
            act(f, o, t, base_bank, base_source, k, time_s)
            f[since + k] = -1.0
            acted = True
    next_due(f, o, t, base_source)
    return acted
