"""The law of a bank: resting voltage, resistances, what lead accepts and gasses, what its management blocks."""

import math

from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import *

LEAST_SHARE = 1e-4
MOST_MOVED = 0.05
"""No step moves more of a bank's charge than this."""
EMPTY_KNEE = 0.01
"""Charge below which a lead battery's voltage falls away."""
STRONGEST = 12.0
"""Most of the exponent of gassing: e¹² times its current at the reference voltage is far beyond any charger."""


@both
def decays(f, o, t, base_bank, ahead_s):
    """What is left of both polarisations after a time, for each bank, into the scratch of the machine."""
    bank, decay = o[M_BANK], o[M_DECAY]
    for b in range(int(f[o[M_SIZES] + N_BANKS])):
        at = base_bank + b * BANK
        f[decay + 2 * b] = math.exp(-ahead_s / f[bank + at + T1])
        f[decay + 2 * b + 1] = math.exp(-ahead_s / f[bank + at + T2])


@both
def rate_factor(f, at, amps):
    """How much faster than its current a discharge uses what is within reach: (I/I₂₀)^(k−1), 1 below I₂₀."""
    if f[at + RATE_POWER] > 0.0 and amps > f[at + RATE_A]:
        return (amps / f[at + RATE_A]) ** f[at + RATE_POWER]
    return 1.0


@both
def efficiency(f, o, t, b, share):
    """What of the charging current is stored at a charge: between the rows of its table, none at full."""
    width = int(f[o[M_SIZES] + N_EFF])
    x, y, first = o[M_EFF_X], o[M_EFF_V], b * width
    found = f[y + first + width - 1]
    if share <= f[x + first]:
        found = f[y + first]
    else:
        for n in range(first + 1, first + width):
            if share < f[x + n]:
                found = f[y + n - 1] + (f[y + n] - f[y + n - 1]) * (share - f[x + n - 1]) / (f[x + n] - f[x + n - 1])
                break
    return found if share < 1.0 else 0.0


@both
def reach(f, o, t, at, now, put_away):
    """Charge within reach, as a share of what this temperature and age leave: 1 − (1 − s + w)/c."""
    bank, state = o[M_BANK], o[M_STATE]
    left = f[bank + at + CAP] - f[state + now + SULPHATED]
    return 1.0 - (1.0 - f[state + now + S] + f[state + now + W] + put_away) / left


@both
def resting(f, o, t, b, share):
    """Resting voltage [V] and its slope [V per share], on along the first and last piece outside the table."""
    width = int(f[o[M_SIZES] + N_CURVE])
    x, y, first = o[M_REST_X], o[M_REST_V], b * width
    n = first + 1
    last = first + width - 1
    while n < last and share > f[x + n]:
        n += 1
    slope = (f[y + n] - f[y + n - 1]) / (f[x + n] - f[x + n - 1])
    return f[y + n - 1] + slope * (share - f[x + n - 1]), slope


@both
def emf_v(f, o, t, base_bank, b):
    """Voltage of a bank at this instant with no current [V], its polarisation included."""
    at, now = base_bank + b * BANK, b * STATE
    state, bank = o[M_STATE], o[M_BANK]
    volts, _ = resting(f, o, t, b, reach(f, o, t, at, now, 0.0))
    return volts + f[bank + at + HYST_V] * f[state + now + Y] - f[state + now + V1] - f[state + now + V2]


@both
def bank_amps(f, o, t, base_bank, b, ahead_s):
    """What a bank gives at its port's voltage `ahead_s` from now [A]; into the machine's currents and slopes.

    U = E(s + Δs) + y·H − a₁U₁ − a₂U₂ − I·(R₀ + R₁(1 − a₁) + R₂(1 − a₂)), a = e^(−t/τ), Δs what the current moves till
    then. A nearly empty battery has R_e·(1 − x)/(k + x) more; charging meets R_c·x/(1 + k − x), and beside it flows
    what only makes gas, i_g·(e^(c(U − U_g)) − e^(c(E − U_g))). Shepherd's form of both ends; gassing after Tafel.
    """
    bank, state, decay, v = o[M_BANK], o[M_STATE], o[M_DECAY], o[M_V]
    at, now = base_bank + b * BANK, b * STATE
    amps = f[state + now + AMPS]
    left = f[bank + at + CAP] - f[state + now + SULPHATED]
    per_amp = ahead_s / f[bank + at + Q_AS]
    a1, a2 = f[decay + 2 * b], f[decay + 2 * b + 1]
    if amps >= 0.0:
        moved = rate_factor(f, bank + at, amps) * per_amp
        target = -1.0
    else:
        moved = efficiency(f, o, t, b, f[state + now + S]) * per_amp
        amps = -f[state + now + MAIN_A]
        target = 1.0
    if amps * moved > MOST_MOVED:  # a guess of a current on the way to the true one
        amps = MOST_MOVED / moved
    elif amps * moved < -MOST_MOVED:
        amps = -MOST_MOVED / moved
    share = reach(f, o, t, at, now, amps * moved)
    volts, slope = resting(f, o, t, b, share)
    swing, swings = f[bank + at + HYST_V] * f[state + now + Y], 0.0
    if f[bank + at + HYST_V] != 0.0:
        swings = f[bank + at + HYST_V] * (1.0 - target * f[state + now + Y]) * moved / f[bank + at + HYST_SHARE]
    along = slope * moved / left
    emf = volts + along * amps + swing - a1 * f[state + now + V1] - a2 * f[state + now + V2]
    ohm = f[bank + at + R0] + f[bank + at + R1] * (1.0 - a1) + f[bank + at + R2] * (1.0 - a2) + along + swings
    across = f[v + b]
    given, slope_a, main, side = 0.0, 0.0, 0.0, 0.0
    if across < emf:
        if f[state + now + DISCHARGE_BLOCKED] == 0.0:
            room = EMPTY_KNEE + share
            ohm += f[bank + at + R_EMPTY] * (1.0 - share) / (room if room > LEAST_SHARE else LEAST_SHARE)
            given = (emf - across) / ohm
            slope_a = -1.0 / ohm
    elif f[state + now + CHARGE_BLOCKED] == 0.0:
        if f[bank + at + R_ACCEPT] > 0.0:
            # of the charge at the step's beginning: near full a guess ahead would swing to and fro
            share = f[state + now + S]
            room = 1.0 + f[bank + at + KNEE] - share
            bend = f[bank + at + R_ACCEPT] * share / (room if room > LEAST_SHARE else LEAST_SHARE)
            # its share of the surface comes and goes with the slow polarisation
            ohm += bend * (1.0 - f[bank + at + SURFACE] * a2)
        main = (across - emf) / ohm
        slope_a = -1.0 / ohm
        if main > f[bank + at + CHARGE_MAX]:
            main, slope_a = f[bank + at + CHARGE_MAX], 0.0
        if f[bank + at + GAS_A] > 0.0:
            power = f[bank + at + GAS_PER_V] * (across - f[bank + at + GAS_V])
            now_a = f[bank + at + GAS_A] * math.exp(power if power < STRONGEST else STRONGEST)
            steeper = now_a
            if power > STRONGEST:  # straight on: no charger comes near, but an iteration may
                now_a *= 1.0 + power - STRONGEST
            side = now_a - f[bank + at + GAS_A] * math.exp(f[bank + at + GAS_PER_V] * (emf - f[bank + at + GAS_V]))
            if side < 0.0:
                side = 0.0
            slope_a -= f[bank + at + GAS_PER_V] * steeper
        given = -main - side
    f[state + now + AMPS], f[state + now + MAIN_A], f[state + now + SIDE_A] = given, main, side
    f[o[M_I] + b] += given
    f[o[M_D] + b] += slope_a


@both
def advance_bank(f, o, t, base_bank, b, step_s):
    """Move a bank's state by a step in which its current is steady; book charge and work."""
    bank, state = o[M_BANK], o[M_STATE]
    at, now = base_bank + b * BANK, b * STATE
    amps = f[state + now + AMPS]
    charge, slow_ohm = f[bank + at + Q_AS], f[bank + at + R2]
    if amps >= 0.0:
        through = amps
        stored = -amps
        factor = rate_factor(f, bank + at, amps)
        put_away = (factor - 1.0) * amps * step_s / charge
        turned, target = amps * factor, -1.0
        f[state + now + OUT_AS] += amps * step_s
        if factor > 1.0:
            f[state + now + W] += put_away
        elif f[state + now + W] > 0.0:
            f[state + now + W] *= math.exp(-step_s / f[bank + at + RECOVER_S])
    else:
        main = f[state + now + MAIN_A]
        through = -main
        if f[bank + at + SURFACE] > 0.0:
            share = f[state + now + S]
            room = 1.0 + f[bank + at + KNEE] - share
            slow_ohm += (
                f[bank + at + SURFACE] * f[bank + at + R_ACCEPT] * share / (room if room > LEAST_SHARE else LEAST_SHARE)
            )
        stored = efficiency(f, o, t, b, f[state + now + S]) * main
        turned, target = stored, 1.0
        f[state + now + IN_AS] += (main + f[state + now + SIDE_A]) * step_s
        f[state + now + GAS_AS] += (main - stored + f[state + now + SIDE_A]) * step_s
        if f[state + now + W] > 0.0:
            f[state + now + W] *= math.exp(-step_s / f[bank + at + RECOVER_S])
    before, _ = resting(f, o, t, b, reach(f, o, t, at, now, 0.0))
    moved = (stored - f[bank + at + SELF_A]) * step_s
    f[state + now + SELF_AS] += f[bank + at + SELF_A] * step_s
    # compensated sums (Kahan): a year of minutes must not lose what a minute brings
    wanted = moved / charge - f[state + now + S_REST]
    total = f[state + now + S] + wanted
    f[state + now + S_REST] = (total - f[state + now + S]) - wanted
    f[state + now + S] = total
    wanted = moved - f[state + now + COULOMB_REST]
    total = f[state + now + COULOMB] + wanted
    f[state + now + COULOMB_REST] = (total - f[state + now + COULOMB]) - wanted
    f[state + now + COULOMB] = total
    after, _ = resting(f, o, t, b, reach(f, o, t, at, now, 0.0))
    f[state + now + WORK_J] += 0.5 * (before + after) * moved
    a1, a2 = math.exp(-step_s / f[bank + at + T1]), math.exp(-step_s / f[bank + at + T2])
    f[state + now + V1] = f[state + now + V1] * a1 + f[bank + at + R1] * through * (1.0 - a1)
    f[state + now + V2] = f[state + now + V2] * a2 + slow_ohm * through * (1.0 - a2)
    if f[bank + at + HYST_V] != 0.0 and turned != 0.0:
        size = (turned if turned > 0.0 else -turned) * step_s / charge / f[bank + at + HYST_SHARE]
        f[state + now + Y] = target + (f[state + now + Y] - target) * math.exp(-size)
