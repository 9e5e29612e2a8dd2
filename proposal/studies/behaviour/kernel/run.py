"""The run: slots of equal inputs, steps within them that end at every switching, and the books."""

import math

from proposal.studies.behaviour.kernel.acts import ROUNDING_S, act_due, next_due, note, take_flags
from proposal.studies.behaviour.kernel.banks import advance_bank, emf_v, prepare
from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import *
from proposal.studies.behaviour.kernel.conditions import NEAR_V, watch
from proposal.studies.behaviour.kernel.network import ANCHOR_S, settle, solar_amps, take_slopes

DAY_S = 86400.0
LOCATED_S = 0.25
MOST_EVENTS_A_SLOT = 24
SUN_W = 2.0
MORNING_S, WANT_FACTOR, PAST_WORST = 7.0 * 3600.0, 3.0, 0.1
"""Nobody lets the house go dark for the sake of an hour: in want the engine runs by day, up to three times as long."""
BIT_S = 1e-6
HIGH_PER_CELL_V = 13.6


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
def darkness(f, o, t, day, time_s, aboard):
    """Loads whose own terminals fall below what they need go dark; those that have it again come back."""
    group, loads, held, v, now_on = o[M_GROUP], o[M_LOAD], o[M_LS], o[M_V], o[M_GNOW]
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
def commit(f, o, t, day, base_bank, base_source, time_s, step_s, aboard, slot):
    """Move every state by a step that has been settled at its middle, and enter it in the books."""
    setting, state, v, i = o[M_SET], o[M_STATE], o[M_V], o[M_I]
    audit, days, bank, source, gives = o[M_AUDIT], o[M_DAYS], o[M_BANK], o[M_SOURCE], o[M_SS]
    banks = o[SIZES + N_BANKS]
    width = DAY + banks * DAY_BANK
    book = day % o[SIZES + KEEP_DAYS] * width
    network_w, banks_w = 0.0, 0.0
    for p in range(o[SIZES + N_PORTS]):
        network_w += f[v + p] * f[i + p]
    for b in range(banks):
        now, own = b * STATE, book + DAY + b * DAY_BANK
        amps = f[state + now + AMPS]
        banks_w += amps * f[v + b]
        network_w -= ANCHOR_S * f[v + b] * f[v + b]
        at = base_bank + b * BANK
        gas_before = f[state + now + GAS_AS]
        advance_bank(f, o, t, base_bank, b, step_s)
        share = f[state + now + S]
        if share < f[days + own + B_LOW]:
            f[days + own + B_LOW] = share
        if share > f[days + own + B_HIGH]:
            f[days + own + B_HIGH] = share
        f[days + own + B_GAS_AS] += f[state + now + GAS_AS] - gas_before
        if amps < 0.0:
            f[days + own + B_IN_AS] -= amps * step_s
        else:
            f[days + own + B_OUT_AS] += amps * step_s
        if f[v + b] >= HIGH_PER_CELL_V * f[setting + SCALE] and amps > -1e9:
            f[days + own + B_HIGH_S] += step_s
            if f[state + now + WARM] > 30.0:
                f[days + own + B_HIGH_WARM_S] += step_s
        if f[v + b] >= f[bank + at + FULL_V] and -f[bank + at + FULL_TAIL_A] <= amps <= 0.0:
            if f[days + own + B_FULL] == 0.0:
                note(f, o, t, time_s, E_BANK_FULL, b, 0, f[v + b])
            f[days + own + B_FULL] = 1.0
            f[state + now + FULL_AT_S] = time_s
            for r in range(o[SIZES + N_RELAYS]):
                if int(f[o[M_RELAY] + r * RELAY + R_BANK]) == b:
                    f[o[M_RS] + r * RELAY_STATE + COUNT_KNOWN] = 1.0
        if f[bank + at + SULPHATES_PER_S] > 0.0 and share < 0.8 and time_s - f[state + now + FULL_AT_S] > 14.0 * DAY_S:
            f[state + now + SULPHATED] += f[bank + at + SULPHATES_PER_S] * step_s
        heat_w = amps * amps * f[bank + at + R0] + (f[bank + at + HEATER_W] if f[state + now + HEATS] > 0.0 else 0.0)
        rest_c = f[bank + at + AMBIENT_C] + heat_w * f[bank + at + HEAT_TAU_S] / f[bank + at + HEAT_J_PER_K]
        cools = f[o[M_READY] + READY_FIRST + b * READY + COOLS]
        f[state + now + WARM] = rest_c + (f[state + now + WARM] - rest_c) * cools
    given_w = 0.0
    for s in range(o[SIZES + N_SOURCES]):
        at, now = base_source + s * SOURCE, s * SOURCE_STATE
        amps = f[gives + now + GIVES_A]
        watts = amps * f[v + int(f[o[M_SOURCE_PORT] + s])]
        given_w += watts
        f[gives + now + GIVEN_J] += watts * step_s
        if amps > 0.0:
            f[gives + now + ON_S] += step_s
        if amps > f[gives + now + PEAK_A]:
            f[gives + now + PEAK_A] = amps
        kind = int(f[source + at + KIND])
        if kind == SOLAR:
            f[days + book + D_SOLAR_J] += watts * step_s
            unused = f[gives + now + AVAILABLE] - watts - f[source + at + LIMB_OHM] * amps * amps
            if unused > 0.0:
                f[days + book + D_UNUSED_J] += unused * step_s
                f[gives + now + UNUSED_J] += unused * step_s
        elif kind == ALTERNATOR:
            reached = amps / f[source + at + HOT_A] if f[source + at + HOT_A] > 0.0 else 0.0
            target = reached * reached
            if target > 1.0:
                target = 1.0
            f[gives + now + HEAT] = target + (f[gives + now + HEAT] - target) * math.exp(
                -step_s / f[source + at + HOT_TAU_S]
            )
    f[days + book + D_GIVEN_J] += given_w * step_s
    loads_w = given_w + banks_w - network_w
    f[days + book + D_LOADS_J] += loads_w * step_s
    f[audit + A_GIVEN_J] += given_w * step_s
    f[audit + A_LOADS_J] += loads_w * step_s
    f[audit + A_NETWORK_J] += network_w * step_s
    f[audit + A_BANKS_J] += banks_w * step_s
    if f[audit + A_ENGINE_ON] > 0.0:
        f[days + book + D_ENGINE_S] += step_s
        f[audit + A_ENGINE_TODAY_S] += step_s
    if f[audit + A_GENERATOR_ON] > 0.0:
        f[days + book + D_GENERATOR_S] += step_s
        f[audit + A_GENERATOR_TODAY_S] += step_s
    loads, held = o[M_LOAD], o[M_LS]
    any_dark, critical_dark = False, False
    for n in range(o[SIZES + N_GROUPS]):
        if f[o[M_GROUP] + n * GROUP + G_ANY_DARK] > 0.0:
            for x in range(o[SIZES + N_LOADS]):
                if f[held + x * LOAD_STATE + LIT] == 0.0:
                    any_dark = True
                    f[held + x * LOAD_STATE + DARK_S] += step_s
                    if f[loads + x * LOAD + L_CRITICAL] > 0.0:
                        critical_dark = True
            break
    if any_dark:
        f[days + book + D_DARK_S] += step_s
    if critical_dark:
        f[days + book + D_CRITICAL_DARK_S] += step_s
    if o[SIZES + RECORD_EVERY] > 0:
        count = o[SIZES + N_LOADS]
        row = ((1 if aboard else 0) * o[SIZES + N_VARIANTS] + int(t[o[M_VARIANT] + day])) * o[SIZES + N_SLOTS] + slot
        for x in range(count):
            if f[held + x * LOAD_STATE + LIT] > 0.0:
                amps = t[o[M_PAT_ON] + row * count + x] * f[loads + x * LOAD + L_CURRENT]
                watts = f[loads + x * LOAD + L_IDLE_W]
                if f[loads + x * LOAD + L_CONSTANT_POWER] > 0.0:
                    watts += amps * f[setting + SYSTEM_V]
                else:
                    watts += amps * f[v + int(f[loads + x * LOAD + L_PORT])]
                f[held + x * LOAD_STATE + TAKEN_J] += watts * step_s


@both
def record(f, o, t, number, time_s, base_bank):
    """Write one row of the record: time, voltages, what is watched, banks, relays, sources, engines, groups."""
    rec, v, i = o[M_REC], o[M_V], o[M_I]
    at = number * o[SIZES + RECORD_WIDTH]
    f[rec + at] = time_s
    at += 1
    for p in range(o[SIZES + N_PORTS]):
        f[rec + at] = f[v + p]
        f[rec + at + 1] = f[i + p]
        at += 2
    for n in range(o[SIZES + N_SEEN]):
        f[rec + at] = f[v + int(f[o[M_SEEN] + n])]
        at += 1
    state = o[M_STATE]
    for b in range(o[SIZES + N_BANKS]):
        now = b * STATE
        f[rec + at], f[rec + at + 1], f[rec + at + 2] = f[state + now + AMPS], f[state + now + S], f[state + now + WARM]
        f[rec + at + 3], f[rec + at + 4] = f[state + now + CHARGE_BLOCKED], f[state + now + DISCHARGE_BLOCKED]
        f[rec + at + 5] = emf_v(f, o, t, base_bank, b)
        at += 6
    for r in range(o[SIZES + N_RELAYS]):
        f[rec + at] = f[o[M_RS] + r * RELAY_STATE + CLOSED]
        at += 1
    gives = o[M_SS]
    for s in range(o[SIZES + N_SOURCES]):
        now = s * SOURCE_STATE
        f[rec + at], f[rec + at + 1], f[rec + at + 2] = (
            f[gives + now + STAGE],
            f[gives + now + GIVES_A],
            f[gives + now + HEAT],
        )
        f[rec + at + 3] = f[gives + now + STOPPED]
        at += 4
    f[rec + at], f[rec + at + 1] = f[o[M_AUDIT] + A_ENGINE_ON], f[o[M_AUDIT] + A_GENERATOR_ON]
    at += 2
    for n in range(o[SIZES + N_GROUPS]):
        f[rec + at], f[rec + at + 1], f[rec + at + 2] = (
            f[o[M_GNOW] + n * G_NOW],
            f[o[M_GNOW] + n * G_NOW + 1],
            f[o[M_GNOW] + n * G_NOW + 2],
        )
        at += 3


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
def day_begins(f, o, t, day):
    """A new page of the books."""
    audit = o[M_AUDIT]
    banks = o[SIZES + N_BANKS]
    book = day % o[SIZES + KEEP_DAYS] * (DAY + banks * DAY_BANK)
    for k in range(DAY + banks * DAY_BANK):
        f[o[M_DAYS] + book + k] = 0.0
    for b in range(banks):
        f[o[M_DAYS] + book + DAY + b * DAY_BANK + B_LOW] = f[o[M_STATE] + b * STATE + S]
        f[o[M_DAYS] + book + DAY + b * DAY_BANK + B_HIGH] = f[o[M_STATE] + b * STATE + S]
    f[audit + A_ENGINE_TODAY_S], f[audit + A_GENERATOR_TODAY_S] = 0.0, 0.0


@both
def look(f, o, t, base_bank, base_source, length_s, at_end):
    """Settle a step of this length at its middle or its end; how near a relay is, and whether a condition changed."""
    prepare(f, o, t, base_bank, length_s, at_end)
    settle(f, o, t, base_bank, base_source)
    gives_now(f, o, t, base_source)
    f[o[M_AUDIT] + A_LOOKED] += 1.0
    return watch(f, o, t, base_bank, base_source)


@both
def keep(f, o, t, back):
    """Put what a step was settled at aside, or take it back."""
    kept = o[M_KEPT]
    for w in range(o[SIZES + N_PORTS] + o[SIZES + N_SEEN]):
        if back:
            f[o[M_V] + w], f[o[M_I] + w] = f[kept], f[kept + 1]
        else:
            f[kept], f[kept + 1] = f[o[M_V] + w], f[o[M_I] + w]
        kept += 2
    for b in range(o[SIZES + N_BANKS]):
        now = o[M_STATE] + b * STATE
        if back:
            f[now + AMPS], f[now + MAIN_A], f[now + SIDE_A] = f[kept], f[kept + 1], f[kept + 2]
            f[now + CHARGES] = f[kept + 3]
        else:
            f[kept], f[kept + 1], f[kept + 2] = f[now + AMPS], f[now + MAIN_A], f[now + SIDE_A]
            f[kept + 3] = f[now + CHARGES]
        kept += 4
    for s in range(o[SIZES + N_SOURCES]):
        now = o[M_SS] + s * SOURCE_STATE
        if back:
            f[now + GIVES_A] = f[kept]
        else:
            f[kept] = f[now + GIVES_A]
        kept += 1


@both
def nearest_change(f, o, t, base_bank, base_source, step_s):
    """The first instant in a step at which a condition changes, to a quarter of a second, by halving [s from now]."""
    low, high = 0.0, step_s
    while high - low > LOCATED_S:
        middle = 0.5 * (low + high)
        _, moved = look(f, o, t, base_bank, base_source, middle, True)
        if moved:
            high = middle
        else:
            low = middle
    return high


@both
def step_on(f, o, t, base_bank, base_source, now_s, length, locates):
    """Settle the next step at its middle, made so short that what changes in it changes at its end; its length [s]."""
    near, moved = look(f, o, t, base_bank, base_source, length, False)
    ended = False
    if locates and near < NEAR_V and not moved:
        keep(f, o, t, False)
        _, moved = look(f, o, t, base_bank, base_source, length, True)
        ended = True
    if moved and locates and length > LOCATED_S:
        length = nearest_change(f, o, t, base_bank, base_source, length)
        look(f, o, t, base_bank, base_source, length, True)
        take_flags(f, o, t, base_source, now_s + length)
        look(f, o, t, base_bank, base_source, length, False)
        return length
    if ended:
        keep(f, o, t, True)
    if moved:
        take_flags(f, o, t, base_source, now_s + length)
    return length


@both
def run(f, o, t, first_slot, last_slot):
    """Run slots from `first_slot` up to `last_slot`, counted from the first midnight. State is carried in `f`."""
    setting, audit = o[M_SET], o[M_AUDIT]
    slots, banks, step = o[SIZES + N_SLOTS], o[SIZES + N_BANKS], f[setting + STEP_S]
    every, locates = o[SIZES + RECORD_EVERY], f[setting + LOCATES] > 0.0
    width_bank, width_source = banks * BANK, o[SIZES + N_SOURCES] * SOURCE
    night = int(f[setting + NIGHT_FROM_S] / step)
    f[o[M_READY]] = -1.0  # parameters may have been changed between runs
    for number in range(first_slot, last_slot):
        day, slot = number // slots, number % slots
        slot_s = number * step
        season = int(t[o[M_SEASON] + day])
        base_bank, base_source = season * width_bank, season * width_source
        if slot == 0:
            day_begins(f, o, t, day)
        aboard = slot_begins(f, o, t, day, slot, slot_s, base_bank, base_source)
        if slot == 0 or number == first_slot:
            next_due(f, o, t, base_source)
        if number == first_slot:
            prepare(f, o, t, base_bank, step, False)
            take_slopes(f, o, t, base_bank, base_source)
        done, events = 0.0, 0
        while done < step - BIT_S:
            now_s = slot_s + done
            if f[audit + A_DUE_S] <= now_s + ROUNDING_S:
                if act_due(f, o, t, base_bank, base_source, now_s):
                    events += 1
            length = step - done
            due = f[audit + A_DUE_S] - now_s
            few = events < MOST_EVENTS_A_SLOT
            if due < length and few:
                length = due if due > LOCATED_S else LOCATED_S
            whole = length
            length = step_on(f, o, t, base_bank, base_source, now_s, length, locates and few)
            if length < whole:
                events += 1
            elif not few:
                f[audit + A_CAPPED] += 1.0
            commit(f, o, t, day, base_bank, base_source, now_s, length, aboard, slot)
            f[audit + A_SUBSTEPS] += 1.0
            done += length
        darkness(f, o, t, day, slot_s + step, aboard)
        f[audit + A_STEPS] += 1.0
        if every > 0 and (number - first_slot) % every == 0:
            record(f, o, t, (number - first_slot) // every, slot_s + 0.5 * step, base_bank)
        if slot == night:
            share = 0.0
            for b in range(banks):
                share += f[o[M_HOUSE] + b] * f[o[M_STATE] + b * STATE + S]
            if share < f[setting + NIGHT_LOW]:
                book = day % o[SIZES + KEEP_DAYS] * (DAY + banks * DAY_BANK)
                f[o[M_DAYS] + book + D_NIGHT_LOW] = 1.0
    f[audit + A_TIME_S] = last_slot * step
    return 0


@both
def instant(f, o, t, base_bank, base_source, ahead_s):
    """Settle the network as everything stands, `ahead_s` into a steady current; False if it does not settle."""
    f[o[M_READY]] = -1.0
    prepare(f, o, t, base_bank, ahead_s, True)
    take_slopes(f, o, t, base_bank, base_source)
    well = settle(f, o, t, base_bank, base_source)
    gives_now(f, o, t, base_source)
    return well
