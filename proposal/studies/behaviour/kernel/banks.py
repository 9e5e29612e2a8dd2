"""The law of a bank: resting voltage, resistances, what lead accepts and gasses, what its management blocks."""

import math

from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import *

LEAST_SHARE = 1e-4
MOST_MOVED = 0.05
"""No step moves more of a bank's charge than this."""
MOST_GUESSES, GUESSED = 50, 1e-10
EMPTY_KNEE = 0.01
"""Charge below which a lead battery's voltage falls away."""
STRONGEST = 12.0
"""Most of the exponent of gassing: e¹² times its current at the reference voltage is far beyond any charger."""


@both
def rate_factor(f, at, own, amps):
    """How much faster than its current a discharge uses what is within reach: (I/I₂₀)^(k−1), one below the rated rate.

    Near a current for which it is known, by the first three terms of its series: 4e-7 within 2 %.
    """
    power = f[at + RATE_POWER]
    if power <= 0.0 or amps <= f[at + RATE_A]:
        return 1.0
    known_a = f[own + RATED_AT_A]
    off = amps - known_a
    if off > 0.02 * known_a or -off > 0.02 * known_a:
        f[own + RATED_AT_A], f[own + RATED] = amps, (amps / f[at + RATE_A]) ** power
        return f[own + RATED]
    off /= known_a
    return f[own + RATED] * (1.0 + power * off * (1.0 + 0.5 * (power - 1.0) * off))


@both
def efficiency(f, o, t, b, share):
    """What of the charging current is stored at a charge: between the rows of its table, none at full."""
    width = o[SIZES + N_EFF]
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
def prepare(f, o, t, base_bank, length_s, at_end):
    """What of each bank stays as it is while a step is settled, for its middle or its end, into the scratch.

    Exponentials are taken once for all steps of the same length: at the end stands the square of what is left half-way.
    """
    bank, state, ready = o[M_BANK], o[M_STATE], o[M_READY]
    fresh = f[ready] != length_s or f[ready + 1] != base_bank
    ahead_s = length_s if at_end else 0.5 * length_s
    if fresh:
        f[ready], f[ready + 1] = length_s, float(base_bank)
    for b in range(o[SIZES + N_BANKS]):
        at, now, own = bank + base_bank + b * BANK, state + b * STATE, ready + READY_FIRST + b * READY
        if fresh:
            f[own + HALF_1] = math.exp(-0.5 * length_s / f[at + T1])
            f[own + HALF_2] = math.exp(-0.5 * length_s / f[at + T2])
            f[own + RECOVERS] = math.exp(-length_s / f[at + RECOVER_S]) if f[at + RECOVER_S] > 0.0 else 0.0
            f[own + COOLS] = math.exp(-length_s / f[at + HEAT_TAU_S])
            f[own + RATED_AT_A] = 0.0
        a1, a2 = f[own + HALF_1], f[own + HALF_2]
        if at_end:
            a1, a2 = a1 * a1, a2 * a2
        f[own + LEFT_1], f[own + LEFT_2] = a1, a2
        f[own + BASE_V] = f[at + HYST_V] * f[now + Y] - a1 * f[now + V1] - a2 * f[now + V2]
        f[own + BASE_OHM] = f[at + R0] + f[at + R1] * (1.0 - a1) + f[at + R2] * (1.0 - a2)
        f[own + PER_AMP] = ahead_s / f[at + Q_AS]
        usable = f[at + CAP] - f[now + SULPHATED]
        share = 1.0 - (1.0 - f[now + S] + f[now + W]) / usable
        f[own + USABLE], f[own + SHARE] = usable, share
        f[own + STORES] = efficiency(f, o, t, b, f[now + S])
        if f[at + R_ACCEPT] > 0.0:
            # of the charge at the step's beginning: near full a guess ahead would swing to and fro
            room = 1.0 + f[at + KNEE] - f[now + S]
            f[own + BEND_OHM] = f[at + R_ACCEPT] * f[now + S] / (room if room > LEAST_SHARE else LEAST_SHARE)


@both
def reach(f, o, t, at, now, put_away):
    """Charge within reach, as a share of what this temperature and age leave: 1 − (1 − s + w)/c."""
    bank, state = o[M_BANK], o[M_STATE]
    left = f[bank + at + CAP] - f[state + now + SULPHATED]
    return 1.0 - (1.0 - f[state + now + S] + f[state + now + W] + put_away) / left


@both
def resting(f, o, t, b, share):
    """Resting voltage [V] and its slope [V per share], on along the first and last piece outside the table.

    The search begins at the piece on which the bank was last.
    """
    width = o[SIZES + N_CURVE]
    x, y, hint = o[M_REST_X] + b * width, o[M_REST_V] + b * width, o[M_STATE] + b * STATE + SEGMENT
    n, before = int(f[hint]), int(f[hint])
    if n < 1:
        n = 1
    while n < width - 1 and share > f[x + n]:
        n += 1
    while n > 1 and share <= f[x + n - 1]:
        n -= 1
    if n != before:
        f[hint] = float(n)
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
def bank_amps(f, o, t, base_bank, b, dead_v, steady):
    """What a bank gives at its port's voltage [A], the step prepared; into the machine's currents and slopes.

    U = E(s + Δs) + y·H − a₁U₁ − a₂U₂ − I·(R₀ + R₁(1 − a₁) + R₂(1 − a₂)), a = e^(−t/τ), Δs what the current moves till
    then. A nearly empty battery has R_e·(1 − x)/(k + x) more; charging meets R_c·x/(1 + k − x), and beside it flows
    what only makes gas, i_g·(e^(c(U − U_g)) − e^(c(E − U_g))). Shepherd's form of both ends; gassing after Tafel.

    Charging and discharging are two laws that meet at the bank's own voltage. The one that it followed last holds up to
    `dead_v` beyond: an idle bank must not change its slope with every step.

    What its current moves is taken from the current of the turn before; where that swings to and fro, as in a bank that
    is all but empty, the current that moves just what it is taken from is found by halving (`steady`).
    """
    bank, state, own = o[M_BANK], o[M_STATE], o[M_READY] + READY_FIRST + b * READY
    at, now = bank + base_bank + b * BANK, state + b * STATE
    across, before, ahead = f[o[M_V] + b], f[now + AMPS], f[own + PER_AMP]
    given, slope_s, main, side, main_slope_s = 0.0, 0.0, 0.0, 0.0, 0.0
    low, high = 0.0, -1.0
    for _ in range(MOST_GUESSES if steady else 2):
        charges = f[now + CHARGES] > 0.0
        if charges:
            amps = tried = -f[now + MAIN_A] if before < 0.0 else 0.0
            moved = f[own + STORES] * ahead
        else:
            amps = tried = before if before > 0.0 else 0.0
            moved = rate_factor(f, at, own, amps) * ahead
        if amps * moved > MOST_MOVED:  # a guess of a current on the way to the true one
            amps = MOST_MOVED / moved
        elif amps * moved < -MOST_MOVED:
            amps = -MOST_MOVED / moved
        share = f[own + SHARE] - amps * moved / f[own + USABLE]
        volts, slope = resting(f, o, t, b, share)
        along = slope * moved / f[own + USABLE]
        emf = volts + along * amps + f[own + BASE_V]
        ohm = f[own + BASE_OHM] + along
        if f[at + HYST_V] != 0.0:
            ohm += f[at + HYST_V] * (1.0 + (-f[now + Y] if charges else f[now + Y])) * moved / f[at + HYST_SHARE]
        given, slope_s, main, side, main_slope_s = 0.0, 0.0, 0.0, 0.0, 0.0
        if charges:
            if across < emf - dead_v:
                f[now + CHARGES] = 0.0
                continue
            if f[now + CHARGE_BLOCKED] == 0.0:
                if f[at + R_ACCEPT] > 0.0:
                    # its share of the surface comes and goes with the slow polarisation
                    ohm += f[own + BEND_OHM] * (1.0 - f[at + SURFACE] * f[own + LEFT_2])
                main = (across - emf) / ohm
                main_slope_s = -1.0 / ohm
                if main > f[at + CHARGE_MAX]:
                    main, main_slope_s = f[at + CHARGE_MAX], 0.0
                slope_s = main_slope_s
                if f[at + GAS_A] > 0.0 and across > emf:
                    power = f[at + GAS_PER_V] * (across - f[at + GAS_V])
                    now_a = f[at + GAS_A] * math.exp(power if power < STRONGEST else STRONGEST)
                    steeper = now_a
                    if power > STRONGEST:  # straight on: no charger comes near, but an iteration may
                        now_a *= 1.0 + power - STRONGEST
                    side = now_a - f[at + GAS_A] * math.exp(f[at + GAS_PER_V] * (emf - f[at + GAS_V]))
                    if side < 0.0:
                        side = 0.0
                    slope_s -= f[at + GAS_PER_V] * steeper
                given = -main - side
            break
        if across > emf + dead_v:
            f[now + CHARGES] = 1.0
            continue
        if f[now + DISCHARGE_BLOCKED] == 0.0:
            room = EMPTY_KNEE + share
            ohm += f[at + R_EMPTY] * (1.0 - share) / (room if room > LEAST_SHARE else LEAST_SHARE)
            given = (emf - across) / ohm
            slope_s = main_slope_s = -1.0 / ohm
            if steady and given > 0.0:
                # the more it gives, the less it can
                if given > tried:
                    low, high = tried, given if high < 0.0 or given < high else high
                else:
                    low, high = given if given > low else low, tried
                if high - low > GUESSED * high:
                    before = 0.5 * (low + high)
                    continue
        break
    f[now + AMPS], f[now + MAIN_A], f[now + SIDE_A] = given, main, side
    f[own + SLOPE_S], f[own + MAIN_SLOPE_S] = slope_s, main_slope_s
    f[o[M_I] + b] += given
    f[o[M_D] + b] += slope_s


@both
def wrong_side(f, o, t, dead_a):
    """Turn each bank over that gives by its law of charging, or takes by that of discharging; True if any did."""
    turned = False
    for b in range(o[SIZES + N_BANKS]):
        now = o[M_STATE] + b * STATE
        charges, amps = f[now + CHARGES] > 0.0, f[now + AMPS]
        if (charges and amps > dead_a) or (not charges and amps < -dead_a):
            f[now + CHARGES] = 0.0 if charges else 1.0
            turned = True
    return turned


@both
def advance_bank(f, o, t, base_bank, b, step_s):
    """Move a bank's state by a step that was prepared and in which its current is steady; book charge and work."""
    bank, state, own = o[M_BANK], o[M_STATE], o[M_READY] + READY_FIRST + b * READY
    at, now = bank + base_bank + b * BANK, state + b * STATE
    amps = f[now + AMPS]
    charge, slow_ohm, usable = f[at + Q_AS], f[at + R2], f[own + USABLE]
    if amps >= 0.0:
        through = amps
        stored = -amps
        factor = rate_factor(f, at, own, amps)
        turned, target = amps * factor, -1.0
        f[now + OUT_AS] += amps * step_s
        if factor > 1.0:
            f[now + W] += (factor - 1.0) * amps * step_s / charge
        elif f[now + W] > 0.0:
            f[now + W] *= f[own + RECOVERS]
    else:
        main = f[now + MAIN_A]
        through = -main
        if f[at + SURFACE] > 0.0:
            slow_ohm += f[at + SURFACE] * f[own + BEND_OHM]
        stored = f[own + STORES] * main
        middle = f[now + S] + 0.5 * stored * step_s / charge
        if middle < 1.0:  # at the step's middle: its beginning would store too much, and always too much
            stored = efficiency(f, o, t, b, middle) * main
        turned, target = stored, 1.0
        f[now + IN_AS] += (main + f[now + SIDE_A]) * step_s
        f[now + GAS_AS] += (main - stored + f[now + SIDE_A]) * step_s
        if f[now + W] > 0.0:
            f[now + W] *= f[own + RECOVERS]
    share = 1.0 - (1.0 - f[now + S] + f[now + W]) / usable
    before, _ = resting(f, o, t, b, share)
    moved = (stored - f[at + SELF_A]) * step_s
    f[now + SELF_AS] += f[at + SELF_A] * step_s
    # compensated sums (Kahan): a year of minutes must not lose what a minute brings
    wanted = moved / charge - f[now + S_REST]
    total = f[now + S] + wanted
    f[now + S_REST] = (total - f[now + S]) - wanted
    f[now + S] = total
    wanted = moved - f[now + COULOMB_REST]
    total = f[now + COULOMB] + wanted
    f[now + COULOMB_REST] = (total - f[now + COULOMB]) - wanted
    f[now + COULOMB] = total
    after, _ = resting(f, o, t, b, share + moved / charge / usable)
    f[now + WORK_J] += 0.5 * (before + after) * moved
    a1, a2 = f[own + HALF_1] * f[own + HALF_1], f[own + HALF_2] * f[own + HALF_2]
    f[now + V1] = f[now + V1] * a1 + f[at + R1] * through * (1.0 - a1)
    f[now + V2] = f[now + V2] * a2 + slow_ohm * through * (1.0 - a2)
    if f[at + HYST_V] != 0.0 and turned != 0.0:
        size = (turned if turned > 0.0 else -turned) * step_s / charge / f[at + HYST_SHARE]
        f[now + Y] = target + (f[now + Y] - target) * math.exp(-size)
