"""What comes from outside in each slot: engines, charge sources, loads, and what is dark."""

from proposal.studies.behaviour.kernel.acts import note
from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import *
from proposal.studies.behaviour.kernel.network import solar_amps

DAY_S = 86400.0
SUN_W = 2.0
DEAD_SHARE = 0.25
MORNING_S, WANT_FACTOR, PAST_WORST = 7.0 * 3600.0, 3.0, 0.1
"""Nobody lets the house go dark for the sake of an hour: in want the engine runs by day, up to three times as long."""


@both
def at_sun(f, o, t, s, day_of_year, hour):
    """What a source's table has at an hour of a day, between its rows."""
    sun, days = o[M_SUN], o[SIZES + N_DAYS_OF_YEAR]
    first = (s * days + day_of_year % days) * 25
    n = int(hour)
    if n > 23:
        n = 23
    low = t[sun + first + n]
    return low + (t[sun + first + n + 1] - low) * (hour - n)


@both
def group_now(f, o, t, n, day, slot, aboard):
    """What a group of loads takes in this slot: amperes, watts, and what constant powers lose on their own wires."""
    group, now_on, loads, held = o[M_GROUP], o[M_GNOW], o[M_LOAD], o[M_LS]
    at = n * GROUP
    f[now_on + n * G_NOW], f[now_on + n * G_NOW + 1], f[now_on + n * G_NOW + 2] = 0.0, 0.0, 0.0
    if f[group + at + G_HEATS] >= 0.0:
        b = int(f[group + at + G_HEATS])
        if f[o[M_STATE] + b * STATE + HEATS] > 0.0:
            season = int(t[o[M_SEASON] + day])
            f[now_on + n * G_NOW + 1] = f[o[M_BANK] + (season * o[SIZES + N_BANKS] + b) * BANK + HEATER_W]
        return
    if f[group + at + G_STATIC_A] > 0.0:
        f[now_on + n * G_NOW] = f[group + at + G_STATIC_A]
    slots, groups = o[SIZES + N_SLOTS], o[SIZES + N_GROUPS]
    variant = int(t[o[M_VARIANT] + day])
    if f[group + at + G_ANY_DARK] == 0.0:
        row = (((1 if aboard else 0) * o[SIZES + N_VARIANTS] + variant) * slots + slot) * groups + n
        f[now_on + n * G_NOW] += t[o[M_PAT_I] + row]
        f[now_on + n * G_NOW + 1] += t[o[M_PAT_P] + row]
        f[now_on + n * G_NOW + 2] += t[o[M_PAT_W] + row]
        return
    count = o[SIZES + N_LOADS]
    row = (((1 if aboard else 0) * o[SIZES + N_VARIANTS] + variant) * slots + slot) * count
    for x in range(int(f[group + at + G_FIRST]), int(f[group + at + G_FIRST] + f[group + at + G_COUNT])):
        if f[held + x * LOAD_STATE + LIT] > 0.0:
            on = t[o[M_PAT_ON] + row + x]
            amps = on * f[loads + x * LOAD + L_CURRENT]
            idle_a = f[loads + x * LOAD + L_IDLE_W]
            if f[loads + x * LOAD + L_CONSTANT_POWER] > 0.0:
                watts = amps * f[o[M_SET] + SYSTEM_V] + idle_a
                f[now_on + n * G_NOW + 1] += watts
                f[now_on + n * G_NOW + 2] += f[loads + x * LOAD + L_OHM] * watts * watts
            else:
                f[now_on + n * G_NOW] += amps
                f[now_on + n * G_NOW + 1] += idle_a


@both
def engines(f, o, t, day, slot_s, aboard):
    """Whether engine and generator run in this slot: every day at their hours, or while the house is low."""
    setting, audit, house, state = o[M_SET], o[M_AUDIT], o[M_HOUSE], o[M_STATE]
    share = 0.0
    for b in range(o[SIZES + N_BANKS]):
        share += f[house + b] * f[state + b * STATE + S]
    of_day = slot_s - day * DAY_S
    for which in range(2):
        uses = f[setting + USES_ENGINE] if which == 0 else f[setting + USES_GENERATOR]
        on_at = A_ENGINE_ON if which == 0 else A_GENERATOR_ON
        today_at = A_ENGINE_TODAY_S if which == 0 else A_GENERATOR_TODAY_S
        before = f[audit + on_at]
        mode = f[setting + ENGINE_MODE] if which == 0 else 2.0
        most_s = f[setting + ENGINE_MOST_S] if which == 0 else f[setting + GENERATOR_MOST_S]
        if uses == 0.0 or mode == 0.0 or not aboard:
            f[audit + on_at] = 0.0
        elif which == 0 and 0.0 <= of_day - f[setting + DECK_FROM_S] < f[setting + DECK_FOR_S]:
            f[audit + on_at] = 1.0
        elif mode == 1.0:
            within = f[setting + ENGINE_FROM_S] <= of_day < f[setting + ENGINE_FROM_S] + f[setting + ENGINE_MOST_S]
            f[audit + on_at] = 1.0 if within else 0.0
        elif before > 0.0:
            # in want of it longer than is accepted, until the worst is over
            usual = f[audit + today_at] < most_s and of_day < f[setting + ENGINE_UNTIL_S]
            wanted = share < f[setting + ENGINE_STOP] if usual else share < f[setting + NIGHT_LOW] + PAST_WORST
            f[audit + on_at] = 1.0 if wanted and f[audit + today_at] < WANT_FACTOR * most_s else 0.0
        else:
            late = f[setting + ENGINE_FROM_S] <= of_day < f[setting + ENGINE_UNTIL_S]
            usual = late and share < f[setting + ENGINE_BELOW] and f[audit + today_at] < most_s
            want = MORNING_S <= of_day < f[setting + ENGINE_UNTIL_S] and share < f[setting + NIGHT_LOW]
            in_want = want and f[audit + today_at] < WANT_FACTOR * most_s
            f[audit + on_at] = 1.0 if usual or in_want else 0.0
        if f[audit + on_at] != before:
            code = E_ENGINE_OFF if before > 0.0 else E_ENGINE_ON
            if which == 1:
                code = E_GENERATOR_OFF if before > 0.0 else E_GENERATOR_ON
            note(f, o, t, slot_s, code, 0, 0, share)


@both
def sources_now(f, o, t, day, slot_s, middle_s, base_source):
    """What each charge source has to give in this slot, and whether it is off."""
    source, state, audit = o[M_SOURCE], o[M_SS], o[M_AUDIT]
    of_day = slot_s - day * DAY_S
    hour = (middle_s - day * DAY_S) / 3600.0
    stop = 0.0
    for b in range(o[SIZES + N_BANKS]):
        if f[o[M_STATE] + b * STATE + CHARGE_BLOCKED] > 0.0:
            stop = 1.0
    for s in range(o[SIZES + N_SOURCES]):
        at, now = base_source + s * SOURCE, s * SOURCE_STATE
        kind = int(f[source + at + KIND])
        available, least = 0.0, 1e-6
        if kind == SOLAR:
            available = at_sun(f, o, t, s, int(t[o[M_DOY] + day]), hour) * t[o[M_CLEAR] + day]
            least = SUN_W
        elif kind == WIND:
            available = at_sun(f, o, t, s, int(t[o[M_DOY] + day]), hour)
        elif kind == ALTERNATOR:
            if f[audit + A_ENGINE_ON] > 0.0:
                cold, hot = f[source + at + COLD_A], f[source + at + HOT_A]
                available = cold - (cold - hot) * f[state + now + HEAT] if cold > hot else cold
                if available > f[source + at + LIMIT_A]:
                    available = f[source + at + LIMIT_A]
        elif kind == GENERATOR:
            within = f[source + at + FROM_S] <= of_day < f[source + at + FROM_S] + f[source + at + FOR_S]
            if f[audit + A_GENERATOR_ON] > 0.0 or within:
                available = f[source + at + LIMIT_A]
        elif f[source + at + FROM_S] <= of_day < f[source + at + FROM_S] + f[source + at + FOR_S]:
            available = f[source + at + LIMIT_A]
        f[state + now + AVAILABLE] = available
        f[state + now + STOPPED] = stop if f[source + at + STOPPABLE] > 0.0 else 0.0
        if available > least:
            if f[state + now + STAGE] == OFF:
                f[state + now + STAGE] = BULK
                if kind == SOLAR:
                    note(f, o, t, slot_s, E_SUN, s, 0, available)
        elif f[state + now + STAGE] != OFF:
            f[state + now + STAGE] = OFF
            f[state + now + GIVES_A] = 0.0
            if kind == SOLAR:
                note(f, o, t, slot_s, E_SUN_ENDS, s, 0, available)


@both
def gives_now(f, o, t, base_source):
    """Current of each source at the voltages as they stand [A]."""
    source, state, where, v = o[M_SOURCE], o[M_SS], o[M_SOURCE_PORT], o[M_V]
    for s in range(o[SIZES + N_SOURCES]):
        at, now = base_source + s * SOURCE, s * SOURCE_STATE
        amps = 0.0
        if f[state + now + STAGE] != OFF and f[state + now + STOPPED] == 0.0:
            volts = f[v + int(f[where + s])]
            set_v = f[source + at + FLOAT_V] if f[state + now + STAGE] == FLOAT else f[source + at + ABSORB_V]
            amps = (set_v - volts) / f[source + at + DROOP_OHM]
            limit = f[state + now + AVAILABLE]
            if f[source + at + KIND] == SOLAR:
                limit = solar_amps(f, source + at, limit, volts) if volts > 0.1 else 0.0
                if limit > f[source + at + LIMIT_A]:
                    limit = f[source + at + LIMIT_A]
            if amps > limit:
                amps = limit
            if amps < 0.0:
                amps = 0.0
        f[state + now + GIVES_A] = amps


@both
def slot_begins(f, o, t, day, slot, slot_s, base_bank, base_source):
    """Inputs of a slot: engines, sources, loads, converters, heaters. Returns whether somebody is aboard."""
    setting, audit, state, bank = o[M_SET], o[M_AUDIT], o[M_STATE], o[M_BANK]
    aboard = t[o[M_ABOARD] + day] > 0.0
    engines(f, o, t, day, slot_s, aboard)
    sources_now(f, o, t, day, slot_s, slot_s + 0.5 * f[setting + STEP_S], base_source)
    charging = False
    for s in range(o[SIZES + N_SOURCES]):
        if f[o[M_SS] + s * SOURCE_STATE + STAGE] != OFF:
            charging = True
    for b in range(o[SIZES + N_BANKS]):
        at, now = base_bank + b * BANK, b * STATE
        if f[bank + at + HEATER_W] > 0.0:
            cold = f[state + now + WARM] < f[bank + at + WARM_C]
            warm = f[state + now + WARM] > f[bank + at + WARM_C] + 3.0
            if not charging or warm:
                f[state + now + HEATS] = 0.0
            elif cold:
                f[state + now + HEATS] = 1.0
    for n in range(o[SIZES + N_GROUPS]):
        group_now(f, o, t, n, day, slot, aboard)
    link, on = o[M_CONV], o[M_CS]
    for c in range(o[SIZES + N_CONVERTERS]):
        at = c * CONVERTER
        enough = f[o[M_V] + int(f[link + at + C_IN])] >= f[link + at + C_LEAST_IN_V]
        runs = f[link + at + C_WITH_ENGINE] == 0.0 or f[audit + A_ENGINE_ON] > 0.0
        f[on + c] = 1.0 if enough and runs else 0.0
    cut = int(f[setting + CUT_BANK])
    if cut >= 0 and slot_s >= f[setting + CUT_AT_S] and f[state + cut * STATE + CHARGE_BLOCKED] < 4.0:
        f[state + cut * STATE + CHARGE_BLOCKED], f[state + cut * STATE + DISCHARGE_BLOCKED] = 4.0, 4.0
        note(f, o, t, slot_s, E_DISCHARGE_BLOCKED, cut, 0, f[o[M_V] + cut])
    return aboard


@both
def darkness(f, o, t, day, slot, time_s, aboard):
    """Loads whose own terminals fall below what they need go dark; those that have it again come back.

    A constant power that runs and is left with less than loads go on with has collapsed: more is asked for than the
    network can bring there. A bus with hardly any voltage is dead, which is another matter.
    """
    group, loads, held, v, now_on = o[M_GROUP], o[M_LOAD], o[M_LS], o[M_V], o[M_GNOW]
    low_v, count = f[o[M_SET] + LOW_LOAD_V], o[SIZES + N_LOADS]
    pattern = (1 if aboard else 0) * o[SIZES + N_VARIANTS] + int(t[o[M_VARIANT] + day])
    on = o[M_PAT_ON] + (pattern * o[SIZES + N_SLOTS] + slot) * count
    moved = False
    for n in range(o[SIZES + N_GROUPS]):
        at = n * GROUP
        volts = f[v + int(f[group + at + G_PORT])]
        dark_before = f[group + at + G_ANY_DARK]
        if dark_before == 0.0 and volts > f[group + at + G_CUT_V]:
            continue
        dark = 0.0
        for x in range(int(f[group + at + G_FIRST]), int(f[group + at + G_FIRST] + f[group + at + G_COUNT])):
            row, own = x * LOAD, x * LOAD_STATE
            if f[held + own + LIT] > 0.0:
                amps = f[loads + row + L_CURRENT]
                running = f[now_on + n * G_NOW] > 0.0 or f[now_on + n * G_NOW + 1] > 0.0
                if volts - (f[loads + row + L_OHM] * amps if running else 0.0) < f[loads + row + L_CUT_V]:
                    f[held + own + LIT] = 0.0
                    f[held + own + DARK_SINCE] = time_s
                    asks = f[loads + row + L_CONSTANT_POWER] > 0.0 and t[on + x] > 0.0
                    if asks and DEAD_SHARE * low_v < volts < low_v:
                        note(f, o, t, time_s, E_COLLAPSE, x, 0, volts)
                    note(f, o, t, time_s, E_LOAD_DARK, x, 0, volts)
                    moved = True
            elif volts > f[loads + row + L_BACK_V]:
                f[held + own + LIT] = 1.0
                note(f, o, t, time_s, E_LOAD_BACK, x, 0, volts)
                moved = True
            if f[held + own + LIT] == 0.0:
                dark = 1.0
        f[group + at + G_ANY_DARK] = dark
    return moved
