"""The run: slots of equal inputs, steps within them that end at every switching, and the books."""

import math

from proposal.studies.behaviour.kernel.acts import act_due, flags_moved, next_due_s, note, take_flags
from proposal.studies.behaviour.kernel.banks import advance_bank, decays, emf_v
from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import *  # noqa: F403 - a table of names, used nearly all
from proposal.studies.behaviour.kernel.conditions import NEAR_V, watch
from proposal.studies.behaviour.kernel.network import rebuild, seen_v, settle

DAY_S = 86400.0
LOCATED_S = 0.25
MOST_EVENTS_A_SLOT = 24
SUN_W = 2.0
BIT_S = 1e-6
HIGH_PER_CELL_V = 13.6


@both
def at_sun(m, s, day_of_year, hour):  # type: ignore[no-untyped-def]
    """What a source's table has at an hour of a day, between its rows."""
    sun, days = m[M_SUN], int(m[M_SIZES][N_DAYS_OF_YEAR])
    first = (s * days + day_of_year % days) * 25
    n = int(hour)
    if n > 23:
        n = 23
    low = sun[first + n]
    return low + (sun[first + n + 1] - low) * (hour - n)


@both
def group_now(m, n, day, slot, aboard):  # type: ignore[no-untyped-def]
    """What a group of loads takes in this slot: amperes, watts, and what constant powers lose on their own wires."""
    sizes, group, now_on, loads, held = m[M_SIZES], m[M_GROUP], m[M_GNOW], m[M_LOAD], m[M_LS]
    at = n * GROUP
    now_on[n * G_NOW], now_on[n * G_NOW + 1], now_on[n * G_NOW + 2] = 0.0, 0.0, 0.0
    if group[at + G_HEATS] >= 0.0:
        b = int(group[at + G_HEATS])
        if m[M_STATE][b * STATE + HEATS] > 0.0:
            season = int(m[M_SEASON][day])
            now_on[n * G_NOW + 1] = m[M_BANK][(season * int(sizes[N_BANKS]) + b) * BANK + HEATER_W]
        return
    if group[at + G_STATIC_A] > 0.0:
        now_on[n * G_NOW] = group[at + G_STATIC_A]
    slots, groups = int(sizes[N_SLOTS]), int(sizes[N_GROUPS])
    variant = int(m[M_VARIANT][day])
    if group[at + G_ANY_DARK] == 0.0:
        row = (((1 if aboard else 0) * int(sizes[N_VARIANTS]) + variant) * slots + slot) * groups + n
        now_on[n * G_NOW] += m[M_PAT_I][row]
        now_on[n * G_NOW + 1] += m[M_PAT_P][row]
        now_on[n * G_NOW + 2] += m[M_PAT_W][row]
        return
    count = int(sizes[N_LOADS])
    row = (((1 if aboard else 0) * int(sizes[N_VARIANTS]) + variant) * slots + slot) * count
    for x in range(int(group[at + G_FIRST]), int(group[at + G_FIRST] + group[at + G_COUNT])):
        if held[x * LOAD_STATE + LIT] > 0.0:
            on = m[M_PAT_ON][row + x]
            amps = on * loads[x * LOAD + L_CURRENT]
            idle_a = loads[x * LOAD + L_IDLE_W]
            if loads[x * LOAD + L_CONSTANT_POWER] > 0.0:
                watts = amps * m[M_SET][SYSTEM_V] + idle_a
                now_on[n * G_NOW + 1] += watts
                now_on[n * G_NOW + 2] += loads[x * LOAD + L_OHM] * watts * watts
            else:
                now_on[n * G_NOW] += amps
                now_on[n * G_NOW + 1] += idle_a


@both
def darkness(m, day, time_s, aboard):  # type: ignore[no-untyped-def]
    """Loads whose own terminals fall below what they need go dark; those that have it again come back."""
    sizes, group, loads, held, v, now_on = m[M_SIZES], m[M_GROUP], m[M_LOAD], m[M_LS], m[M_V], m[M_GNOW]
    moved = False
    for n in range(int(sizes[N_GROUPS])):
        at = n * GROUP
        volts = v[int(group[at + G_PORT])]
        dark_before = group[at + G_ANY_DARK]
        if dark_before == 0.0 and volts > group[at + G_CUT_V]:
            continue
        dark = 0.0
        for x in range(int(group[at + G_FIRST]), int(group[at + G_FIRST] + group[at + G_COUNT])):
            row, own = x * LOAD, x * LOAD_STATE
            if held[own + LIT] > 0.0:
                amps = loads[row + L_CURRENT]
                running = now_on[n * G_NOW] > 0.0 or now_on[n * G_NOW + 1] > 0.0
                if volts - (loads[row + L_OHM] * amps if running else 0.0) < loads[row + L_CUT_V]:
                    held[own + LIT] = 0.0
                    held[own + DARK_SINCE] = time_s
                    note(m, time_s, E_LOAD_DARK, x, 0, volts)
                    moved = True
            elif volts > loads[row + L_BACK_V]:
                held[own + LIT] = 1.0
                note(m, time_s, E_LOAD_BACK, x, 0, volts)
                moved = True
            if held[own + LIT] == 0.0:
                dark = 1.0
        group[at + G_ANY_DARK] = dark
    return moved


@both
def engines(m, day, slot_s, aboard):  # type: ignore[no-untyped-def]
    """Whether engine and generator run in this slot: every day at their hours, or while the house is low."""
    setting, audit, house, state = m[M_SET], m[M_AUDIT], m[M_HOUSE], m[M_STATE]
    share = 0.0
    for b in range(int(m[M_SIZES][N_BANKS])):
        share += house[b] * state[b * STATE + S]
    of_day = slot_s - day * DAY_S
    for which in range(2):
        uses = setting[USES_ENGINE] if which == 0 else setting[USES_GENERATOR]
        on_at = A_ENGINE_ON if which == 0 else A_GENERATOR_ON
        today_at = A_ENGINE_TODAY_S if which == 0 else A_GENERATOR_TODAY_S
        before = audit[on_at]
        mode = setting[ENGINE_MODE]
        if uses == 0.0 or mode == 0.0 or not aboard:
            audit[on_at] = 0.0
        elif mode == 1.0:
            within = setting[ENGINE_FROM_S] <= of_day < setting[ENGINE_FROM_S] + setting[ENGINE_MOST_S]
            audit[on_at] = 1.0 if within else 0.0
        elif audit[today_at] >= setting[ENGINE_MOST_S] or of_day >= setting[ENGINE_UNTIL_S]:
            audit[on_at] = 0.0
        elif before > 0.0:
            audit[on_at] = 1.0 if share < setting[ENGINE_STOP] else 0.0
        else:
            late = of_day >= setting[ENGINE_FROM_S]
            audit[on_at] = 1.0 if late and share < setting[ENGINE_BELOW] else 0.0
        if audit[on_at] != before:
            code = E_ENGINE_OFF if before > 0.0 else E_ENGINE_ON
            if which == 1:
                code = E_GENERATOR_OFF if before > 0.0 else E_GENERATOR_ON
            note(m, slot_s, code, 0, 0, share)


@both
def sources_now(m, day, slot_s, middle_s, base_source):  # type: ignore[no-untyped-def]
    """What each charge source has to give in this slot, and whether it is off."""
    sizes, source, state, audit = m[M_SIZES], m[M_SOURCE], m[M_SS], m[M_AUDIT]
    of_day = slot_s - day * DAY_S
    hour = (middle_s - day * DAY_S) / 3600.0
    stop = 0.0
    for b in range(int(sizes[N_BANKS])):
        if m[M_STATE][b * STATE + CHARGE_BLOCKED] > 0.0:
            stop = 1.0
    for s in range(int(sizes[N_SOURCES])):
        at, now = base_source + s * SOURCE, s * SOURCE_STATE
        kind = int(source[at + KIND])
        available, least = 0.0, 1e-6
        if kind == SOLAR:
            available = at_sun(m, s, int(m[M_DOY][day]), hour) * m[M_CLEAR][day]
            least = SUN_W
        elif kind == WIND:
            available = at_sun(m, s, int(m[M_DOY][day]), hour)
        elif kind == ALTERNATOR:
            if audit[A_ENGINE_ON] > 0.0:
                cold, hot = source[at + COLD_A], source[at + HOT_A]
                available = cold - (cold - hot) * state[now + HEAT] if cold > hot else cold
                if available > source[at + LIMIT_A]:
                    available = source[at + LIMIT_A]
        elif kind == GENERATOR:
            within = source[at + FROM_S] <= of_day < source[at + FROM_S] + source[at + FOR_S]
            if audit[A_GENERATOR_ON] > 0.0 or within:
                available = source[at + LIMIT_A]
        elif source[at + FROM_S] <= of_day < source[at + FROM_S] + source[at + FOR_S]:
            available = source[at + LIMIT_A]
        state[now + AVAILABLE] = available
        state[now + STOPPED] = stop if source[at + STOPPABLE] > 0.0 else 0.0
        if available > least:
            if state[now + STAGE] == OFF:
                state[now + STAGE] = BULK
                if kind == SOLAR:
                    note(m, slot_s, E_SUN, s, 0, available)
        elif state[now + STAGE] != OFF:
            state[now + STAGE] = OFF
            state[now + GIVES_A] = 0.0
            if kind == SOLAR:
                note(m, slot_s, E_SUN_ENDS, s, 0, available)


@both
def gives_now(m, base_source):  # type: ignore[no-untyped-def]
    """Current of each source at the voltages as they stand [A]."""
    sizes, source, state, where, v = m[M_SIZES], m[M_SOURCE], m[M_SS], m[M_SOURCE_PORT], m[M_V]
    for s in range(int(sizes[N_SOURCES])):
        at, now = base_source + s * SOURCE, s * SOURCE_STATE
        amps = 0.0
        if state[now + STAGE] != OFF and state[now + STOPPED] == 0.0:
            volts = v[int(where[s])]
            set_v = source[at + FLOAT_V] if state[now + STAGE] == FLOAT else source[at + ABSORB_V]
            amps = (set_v - volts) / source[at + DROOP_OHM]
            limit = state[now + AVAILABLE]
            if source[at + KIND] == SOLAR:
                limit = limit / volts if volts > 0.1 else 0.0
                if limit > source[at + LIMIT_A]:
                    limit = source[at + LIMIT_A]
            if amps > limit:
                amps = limit
            if amps < 0.0:
                amps = 0.0
        state[now + GIVES_A] = amps


@both
def commit(m, day, base_bank, base_source, time_s, step_s, aboard, slot):  # type: ignore[no-untyped-def]
    """Move every state by a step that has been settled at its middle, and enter it in the books."""
    sizes, setting, state, v, i = m[M_SIZES], m[M_SET], m[M_STATE], m[M_V], m[M_I]
    audit, days, bank, source, gives = m[M_AUDIT], m[M_DAYS], m[M_BANK], m[M_SOURCE], m[M_SS]
    banks = int(sizes[N_BANKS])
    width = DAY + banks * DAY_BANK
    book = day % int(sizes[KEEP_DAYS]) * width
    network_w, banks_w = 0.0, 0.0
    for p in range(int(sizes[N_PORTS])):
        network_w += v[p] * i[p]
    for b in range(banks):
        now, own = b * STATE, book + DAY + b * DAY_BANK
        amps = state[now + AMPS]
        banks_w += amps * v[b]
        at = base_bank + b * BANK
        gas_before = state[now + GAS_AS]
        advance_bank(m, base_bank, b, step_s)
        share = state[now + S]
        if share < days[own + B_LOW]:
            days[own + B_LOW] = share
        if share > days[own + B_HIGH]:
            days[own + B_HIGH] = share
        days[own + B_GAS_AS] += state[now + GAS_AS] - gas_before
        if amps < 0.0:
            days[own + B_IN_AS] -= amps * step_s
        else:
            days[own + B_OUT_AS] += amps * step_s
        if v[b] >= HIGH_PER_CELL_V * setting[SCALE] and amps > -1e9:
            days[own + B_HIGH_S] += step_s
            if state[now + WARM] > 30.0:
                days[own + B_HIGH_WARM_S] += step_s
        if v[b] >= bank[at + FULL_V] and -bank[at + FULL_TAIL_A] <= amps <= 0.0:
            if days[own + B_FULL] == 0.0:
                note(m, time_s, E_BANK_FULL, b, 0, v[b])
            days[own + B_FULL] = 1.0
            state[now + FULL_AT_S] = time_s
            for r in range(int(sizes[N_RELAYS])):
                if int(m[M_RELAY][r * RELAY + R_BANK]) == b:
                    m[M_RS][r * RELAY_STATE + COUNT_KNOWN] = 1.0
        if bank[at + SULPHATES_PER_S] > 0.0 and share < 0.8 and time_s - state[now + FULL_AT_S] > 14.0 * DAY_S:
            state[now + SULPHATED] += bank[at + SULPHATES_PER_S] * step_s
        heat_w = amps * amps * bank[at + R0] + (bank[at + HEATER_W] if state[now + HEATS] > 0.0 else 0.0)
        rest_c = bank[at + AMBIENT_C] + heat_w * bank[at + HEAT_TAU_S] / bank[at + HEAT_J_PER_K]
        state[now + WARM] = rest_c + (state[now + WARM] - rest_c) * math.exp(-step_s / bank[at + HEAT_TAU_S])
    given_w = 0.0
    for s in range(int(sizes[N_SOURCES])):
        at, now = base_source + s * SOURCE, s * SOURCE_STATE
        amps = gives[now + GIVES_A]
        watts = amps * v[int(m[M_SOURCE_PORT][s])]
        given_w += watts
        gives[now + GIVEN_J] += watts * step_s
        if amps > 0.0:
            gives[now + ON_S] += step_s
        if amps > gives[now + PEAK_A]:
            gives[now + PEAK_A] = amps
        kind = int(source[at + KIND])
        if kind == SOLAR:
            days[book + D_SOLAR_J] += watts * step_s
            unused = gives[now + AVAILABLE] - watts
            if unused > 0.0:
                days[book + D_UNUSED_J] += unused * step_s
                gives[now + UNUSED_J] += unused * step_s
        elif kind == ALTERNATOR:
            reached = amps / source[at + HOT_A] if source[at + HOT_A] > 0.0 else 0.0
            target = reached * reached
            if target > 1.0:
                target = 1.0
            gives[now + HEAT] = target + (gives[now + HEAT] - target) * math.exp(-step_s / source[at + HOT_TAU_S])
    days[book + D_GIVEN_J] += given_w * step_s
    loads_w = given_w + banks_w - network_w
    days[book + D_LOADS_J] += loads_w * step_s
    audit[A_GIVEN_J] += given_w * step_s
    audit[A_LOADS_J] += loads_w * step_s
    audit[A_NETWORK_J] += network_w * step_s
    audit[A_BANKS_J] += banks_w * step_s
    if audit[A_ENGINE_ON] > 0.0:
        days[book + D_ENGINE_S] += step_s
        audit[A_ENGINE_TODAY_S] += step_s
    if audit[A_GENERATOR_ON] > 0.0:
        days[book + D_GENERATOR_S] += step_s
        audit[A_GENERATOR_TODAY_S] += step_s
    loads, held = m[M_LOAD], m[M_LS]
    any_dark, critical_dark = False, False
    for n in range(int(sizes[N_GROUPS])):
        if m[M_GROUP][n * GROUP + G_ANY_DARK] > 0.0:
            for x in range(int(sizes[N_LOADS])):
                if held[x * LOAD_STATE + LIT] == 0.0:
                    any_dark = True
                    held[x * LOAD_STATE + DARK_S] += step_s
                    if loads[x * LOAD + L_CRITICAL] > 0.0:
                        critical_dark = True
            break
    if any_dark:
        days[book + D_DARK_S] += step_s
    if critical_dark:
        days[book + D_CRITICAL_DARK_S] += step_s
    if int(sizes[RECORD_EVERY]) > 0:
        count = int(sizes[N_LOADS])
        row = ((1 if aboard else 0) * int(sizes[N_VARIANTS]) + int(m[M_VARIANT][day])) * int(sizes[N_SLOTS]) + slot
        for x in range(count):
            if held[x * LOAD_STATE + LIT] > 0.0:
                amps = m[M_PAT_ON][row * count + x] * loads[x * LOAD + L_CURRENT]
                watts = loads[x * LOAD + L_IDLE_W]
                if loads[x * LOAD + L_CONSTANT_POWER] > 0.0:
                    watts += amps * setting[SYSTEM_V]
                else:
                    watts += amps * v[int(loads[x * LOAD + L_PORT])]
                held[x * LOAD_STATE + TAKEN_J] += watts * step_s


@both
def record(m, number, time_s, base_bank):  # type: ignore[no-untyped-def]
    """Write one row of the record: time, voltages, what is watched, banks, relays, sources, engines, groups."""
    sizes, rec, v, i = m[M_SIZES], m[M_REC], m[M_V], m[M_I]
    at = number * int(sizes[RECORD_WIDTH])
    rec[at] = time_s
    at += 1
    for p in range(int(sizes[N_PORTS])):
        rec[at] = v[p]
        rec[at + 1] = i[p]
        at += 2
    for n in range(int(sizes[N_SEEN])):
        rec[at] = seen_v(m, int(m[M_SEEN][n]))
        at += 1
    state = m[M_STATE]
    for b in range(int(sizes[N_BANKS])):
        now = b * STATE
        rec[at], rec[at + 1], rec[at + 2] = state[now + AMPS], state[now + S], state[now + WARM]
        rec[at + 3], rec[at + 4] = state[now + CHARGE_BLOCKED], state[now + DISCHARGE_BLOCKED]
        rec[at + 5] = emf_v(m, base_bank, b)
        at += 6
    for r in range(int(sizes[N_RELAYS])):
        rec[at] = m[M_RS][r * RELAY_STATE + CLOSED]
        at += 1
    gives = m[M_SS]
    for s in range(int(sizes[N_SOURCES])):
        now = s * SOURCE_STATE
        rec[at], rec[at + 1], rec[at + 2] = gives[now + STAGE], gives[now + GIVES_A], gives[now + HEAT]
        rec[at + 3] = gives[now + STOPPED]
        at += 4
    rec[at], rec[at + 1] = m[M_AUDIT][A_ENGINE_ON], m[M_AUDIT][A_GENERATOR_ON]
    at += 2
    for n in range(int(sizes[N_GROUPS])):
        rec[at], rec[at + 1], rec[at + 2] = m[M_GNOW][n * G_NOW], m[M_GNOW][n * G_NOW + 1], m[M_GNOW][n * G_NOW + 2]
        at += 3


@both
def slot_begins(m, day, slot, slot_s, base_bank, base_source):  # type: ignore[no-untyped-def]
    """Inputs of a slot: engines, sources, loads, converters, heaters. Returns whether somebody is aboard."""
    sizes, setting, audit, state, bank = m[M_SIZES], m[M_SET], m[M_AUDIT], m[M_STATE], m[M_BANK]
    aboard = m[M_ABOARD][day] > 0.0
    engines(m, day, slot_s, aboard)
    sources_now(m, day, slot_s, slot_s + 0.5 * setting[STEP_S], base_source)
    charging = False
    for s in range(int(sizes[N_SOURCES])):
        if m[M_SS][s * SOURCE_STATE + STAGE] != OFF:
            charging = True
    for b in range(int(sizes[N_BANKS])):
        at, now = base_bank + b * BANK, b * STATE
        if bank[at + HEATER_W] > 0.0:
            cold = state[now + WARM] < bank[at + WARM_C]
            warm = state[now + WARM] > bank[at + WARM_C] + 3.0
            if not charging or warm:
                state[now + HEATS] = 0.0
            elif cold:
                state[now + HEATS] = 1.0
    for n in range(int(sizes[N_GROUPS])):
        group_now(m, n, day, slot, aboard)
    link, on = m[M_CONV], m[M_CS]
    for c in range(int(sizes[N_CONVERTERS])):
        at = c * CONVERTER
        enough = m[M_V][int(link[at + C_IN])] >= link[at + C_LEAST_IN_V]
        runs = link[at + C_WITH_ENGINE] == 0.0 or audit[A_ENGINE_ON] > 0.0
        on[c] = 1.0 if enough and runs else 0.0
    cut = int(setting[CUT_BANK])
    if cut >= 0 and slot_s >= setting[CUT_AT_S] and state[cut * STATE + CHARGE_BLOCKED] < 4.0:
        state[cut * STATE + CHARGE_BLOCKED], state[cut * STATE + DISCHARGE_BLOCKED] = 4.0, 4.0
        note(m, slot_s, E_DISCHARGE_BLOCKED, cut, 0, m[M_V][cut])
    return aboard


@both
def day_begins(m, day):  # type: ignore[no-untyped-def]
    """A new page of the books."""
    sizes, audit = m[M_SIZES], m[M_AUDIT]
    banks = int(sizes[N_BANKS])
    book = day % int(sizes[KEEP_DAYS]) * (DAY + banks * DAY_BANK)
    for k in range(DAY + banks * DAY_BANK):
        m[M_DAYS][book + k] = 0.0
    for b in range(banks):
        m[M_DAYS][book + DAY + b * DAY_BANK + B_LOW] = m[M_STATE][b * STATE + S]
        m[M_DAYS][book + DAY + b * DAY_BANK + B_HIGH] = m[M_STATE][b * STATE + S]
    audit[A_ENGINE_TODAY_S], audit[A_GENERATOR_TODAY_S] = 0.0, 0.0


@both
def nearest_change(m, base_bank, base_source, step_s):  # type: ignore[no-untyped-def]
    """The first instant in a step at which a condition changes, to a quarter of a second, by halving [s from now]."""
    low, high = 0.0, step_s
    while high - low > LOCATED_S:
        middle = 0.5 * (low + high)
        decays(m, base_bank, middle)
        settle(m, base_bank, base_source, middle)
        gives_now(m, base_source)
        watch(m, base_bank, base_source)
        if flags_moved(m):
            high = middle
        else:
            low = middle
    return high


@both
def run(m, first_slot, last_slot):  # type: ignore[no-untyped-def]
    """Run slots from `first_slot` up to `last_slot`, counted from the first midnight. State is carried in `m`."""
    sizes, setting, audit = m[M_SIZES], m[M_SET], m[M_AUDIT]
    slots, banks, step = int(sizes[N_SLOTS]), int(sizes[N_BANKS]), setting[STEP_S]
    every = int(sizes[RECORD_EVERY])
    width_bank, width_source = banks * BANK, int(sizes[N_SOURCES]) * SOURCE
    near_v = NEAR_V
    rebuild(m)
    for number in range(first_slot, last_slot):
        day, slot = number // slots, number % slots
        slot_s = number * step
        season = int(m[M_SEASON][day])
        base_bank, base_source = season * width_bank, season * width_source
        if slot == 0 or number == first_slot:
            if slot == 0:
                day_begins(m, day)
        aboard = slot_begins(m, day, slot, slot_s, base_bank, base_source)
        done, events = 0.0, 0
        while done < step - BIT_S:
            now_s = slot_s + done
            if act_due(m, base_bank, base_source, now_s):
                events += 1
            length = step - done
            due = next_due_s(m, base_source) - now_s
            if due < length and events < MOST_EVENTS_A_SLOT:
                length = due if due > LOCATED_S else LOCATED_S
            decays(m, base_bank, 0.5 * length)
            well = settle(m, base_bank, base_source, 0.5 * length)
            gives_now(m, base_source)
            near = watch(m, base_bank, base_source)
            moved = flags_moved(m)
            if near < near_v and not moved:
                decays(m, base_bank, length)
                settle(m, base_bank, base_source, length)
                gives_now(m, base_source)
                watch(m, base_bank, base_source)
                moved = flags_moved(m)
                if not moved:
                    decays(m, base_bank, 0.5 * length)
                    well = settle(m, base_bank, base_source, 0.5 * length)
                    gives_now(m, base_source)
                    watch(m, base_bank, base_source)
            if moved and length > LOCATED_S:
                if events < MOST_EVENTS_A_SLOT:
                    length = nearest_change(m, base_bank, base_source, length)
                    decays(m, base_bank, length)
                    settle(m, base_bank, base_source, length)
                    gives_now(m, base_source)
                    watch(m, base_bank, base_source)
                    take_flags(m, now_s + length)
                    decays(m, base_bank, 0.5 * length)
                    well = settle(m, base_bank, base_source, 0.5 * length)
                    gives_now(m, base_source)
                    events += 1
                else:
                    audit[A_CAPPED] += 1.0
                    take_flags(m, now_s + length)
            elif moved:
                take_flags(m, now_s + length)
            if not well:
                audit[A_UNSETTLED] += 1.0
            commit(m, day, base_bank, base_source, now_s, length, aboard, slot)
            audit[A_SUBSTEPS] += 1.0
            done += length
        if darkness(m, day, slot_s + step, aboard):
            pass
        audit[A_STEPS] += 1.0
        if every > 0 and (number - first_slot) % every == 0:
            record(m, (number - first_slot) // every, slot_s + 0.5 * step, base_bank)
        if slot == int(setting[NIGHT_FROM_S] / step):
            share = 0.0
            for b in range(banks):
                share += m[M_HOUSE][b] * m[M_STATE][b * STATE + S]
            if share < setting[NIGHT_LOW]:
                book = day % int(sizes[KEEP_DAYS]) * (DAY + banks * DAY_BANK)
                m[M_DAYS][book + D_NIGHT_LOW] = 1.0
    audit[A_TIME_S] = last_slot * step
    return 0
