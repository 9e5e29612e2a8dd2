"""What is written down: every step's charge and energy by bank, source and day, and the record that is drawn."""

import math

from proposal.studies.behaviour.kernel.acts import note
from proposal.studies.behaviour.kernel.banks import advance_bank, emf_v
from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import *
from proposal.studies.behaviour.kernel.network import ANCHOR_S

DAY_S = 86400.0
HIGH_PER_CELL_V = 13.6


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
