"""The law of a bank: resting voltage, resistances, what lead accepts and gasses, what its management blocks."""

import math

from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import (
    AMPS,
    BANK,
    CAP,
    CHARGE_BLOCKED,
    CHARGE_MAX,
    COULOMB,
    COULOMB_REST,
    DISCHARGE_BLOCKED,
    GAS_A,
    GAS_AS,
    GAS_PER_V,
    GAS_V,
    HYST_SHARE,
    HYST_V,
    IN_AS,
    KNEE,
    M_BANK,
    M_D,
    M_DECAY,
    M_EFF_V,
    M_EFF_X,
    M_I,
    M_REST_V,
    M_REST_X,
    M_SIZES,
    M_STATE,
    M_V,
    MAIN_A,
    N_BANKS,
    N_CURVE,
    N_EFF,
    OUT_AS,
    Q_AS,
    R0,
    R1,
    R2,
    R_ACCEPT,
    R_EMPTY,
    RATE_A,
    RATE_POWER,
    RECOVER_S,
    S,
    S_REST,
    SELF_A,
    SELF_AS,
    SIDE_A,
    STATE,
    SULPHATED,
    T1,
    T2,
    V1,
    V2,
    W,
    WORK_J,
    Y,
)

NEARLY_FULL = 0.005
"""The last of the charge over which charging goes over into gas alone; keeps a bank from more than full."""
LEAST_SHARE = 1e-4
STRONGEST = 12.0
"""Most of the exponent of gassing: e¹² times its current at the reference voltage is far beyond any charger."""


@both
def decays(m, base_bank, ahead_s):  # type: ignore[no-untyped-def]
    """What is left of both polarisations after a time, for each bank, into the scratch of the machine."""
    bank, decay = m[M_BANK], m[M_DECAY]
    for b in range(int(m[M_SIZES][N_BANKS])):
        at = base_bank + b * BANK
        decay[2 * b] = math.exp(-ahead_s / bank[at + T1])
        decay[2 * b + 1] = math.exp(-ahead_s / bank[at + T2])


@both
def rate_factor(bank, at, amps):  # type: ignore[no-untyped-def]
    """How much faster than its current a discharge uses what is within reach: (I/I₂₀)^(k−1), one below the rated rate."""
    if bank[at + RATE_POWER] > 0.0 and amps > bank[at + RATE_A]:
        return (amps / bank[at + RATE_A]) ** bank[at + RATE_POWER]
    return 1.0


@both
def efficiency(m, b, share):  # type: ignore[no-untyped-def]
    """What of the charging current is stored at a charge: between the rows of its table, none at full."""
    width = int(m[M_SIZES][N_EFF])
    x, y, first = m[M_EFF_X], m[M_EFF_V], b * width
    found = y[first + width - 1]
    if share <= x[first]:
        found = y[first]
    else:
        for n in range(first + 1, first + width):
            if share < x[n]:
                found = y[n - 1] + (y[n] - y[n - 1]) * (share - x[n - 1]) / (x[n] - x[n - 1])
                break
    left = (1.0 - share) / NEARLY_FULL
    if left < 1.0:
        found *= left if left > 0.0 else 0.0
    return found


@both
def reach(m, at, now, put_away):  # type: ignore[no-untyped-def]
    """Charge within reach, as a share of what this temperature and age leave: 1 − (1 − s + w)/c."""
    bank, state = m[M_BANK], m[M_STATE]
    left = bank[at + CAP] - state[now + SULPHATED]
    return 1.0 - (1.0 - state[now + S] + state[now + W] + put_away) / left


@both
def resting(m, b, share):  # type: ignore[no-untyped-def]
    """Resting voltage [V] and its slope [V per share], on along the first and last piece outside the table."""
    width = int(m[M_SIZES][N_CURVE])
    x, y, first = m[M_REST_X], m[M_REST_V], b * width
    n = first + 1
    last = first + width - 1
    while n < last and share > x[n]:
        n += 1
    slope = (y[n] - y[n - 1]) / (x[n] - x[n - 1])
    return y[n - 1] + slope * (share - x[n - 1]), slope


@both
def emf_v(m, base_bank, b):  # type: ignore[no-untyped-def]
    """Voltage of a bank at this instant with no current [V], its polarisation included."""
    at, now = base_bank + b * BANK, b * STATE
    state, bank = m[M_STATE], m[M_BANK]
    volts, _ = resting(m, b, reach(m, at, now, 0.0))
    return volts + bank[at + HYST_V] * state[now + Y] - state[now + V1] - state[now + V2]


@both
def bank_amps(m, base_bank, b, ahead_s):  # type: ignore[no-untyped-def]
    """What a bank gives at its port's voltage `ahead_s` from now [A]; into the machine's currents and slopes.

    U = E(s + Δs) + y·H − a₁U₁ − a₂U₂ − I·(R₀ + R₁(1 − a₁) + R₂(1 − a₂)), a = e^(−t/τ), Δs what the current moves till
    then. A nearly empty battery has R_e·(1 − x)/(k + x) more; charging meets R_c·x/(1 + k − x), and beside it flows
    what only makes gas, i_g·(e^(c(U − U_g)) − e^(c(E − U_g))). Shepherd's form of both ends; gassing after Tafel.
    """
    bank, state, decay, v = m[M_BANK], m[M_STATE], m[M_DECAY], m[M_V]
    at, now = base_bank + b * BANK, b * STATE
    amps = state[now + AMPS]
    left = bank[at + CAP] - state[now + SULPHATED]
    per_amp = ahead_s / bank[at + Q_AS]
    a1, a2 = decay[2 * b], decay[2 * b + 1]
    if amps >= 0.0:
        moved = rate_factor(bank, at, amps) * per_amp
        target = -1.0
    else:
        moved = efficiency(m, b, state[now + S]) * per_amp
        amps = -state[now + MAIN_A]
        target = 1.0
    share = reach(m, at, now, amps * moved)
    volts, slope = resting(m, b, share)
    swing = 0.0
    if bank[at + HYST_V] != 0.0:
        turned = (amps if amps > 0.0 else -amps) * moved / bank[at + HYST_SHARE]
        y = state[now + Y]
        swing = bank[at + HYST_V] * (y + (target - y) * (turned if turned < 1.0 else 1.0))
    along = slope * moved / left
    emf = volts + along * amps + swing - a1 * state[now + V1] - a2 * state[now + V2]
    ohm = bank[at + R0] + bank[at + R1] * (1.0 - a1) + bank[at + R2] * (1.0 - a2) + along
    across = v[b]
    given, slope_a, main, side = 0.0, 0.0, 0.0, 0.0
    if across < emf:
        if state[now + DISCHARGE_BLOCKED] == 0.0:
            room = bank[at + KNEE] + share
            ohm += bank[at + R_EMPTY] * (1.0 - share) / (room if room > LEAST_SHARE else LEAST_SHARE)
            given = (emf - across) / ohm
            slope_a = -1.0 / ohm
    elif state[now + CHARGE_BLOCKED] == 0.0:
        if bank[at + R_ACCEPT] > 0.0:
            room = 1.0 + bank[at + KNEE] - share
            ohm += bank[at + R_ACCEPT] * share / (room if room > LEAST_SHARE else LEAST_SHARE)
        main = (across - emf) / ohm
        slope_a = -1.0 / ohm
        if main > bank[at + CHARGE_MAX]:
            main, slope_a = bank[at + CHARGE_MAX], 0.0
        if bank[at + GAS_A] > 0.0:
            power = bank[at + GAS_PER_V] * (across - bank[at + GAS_V])
            now_a = bank[at + GAS_A] * math.exp(power if power < STRONGEST else STRONGEST)
            side = now_a - bank[at + GAS_A] * math.exp(bank[at + GAS_PER_V] * (emf - bank[at + GAS_V]))
            if side < 0.0:
                side = 0.0
            slope_a -= bank[at + GAS_PER_V] * now_a
        given = -main - side
    state[now + AMPS], state[now + MAIN_A], state[now + SIDE_A] = given, main, side
    m[M_I][b] += given
    m[M_D][b] += slope_a


@both
def advance_bank(m, base_bank, b, step_s):  # type: ignore[no-untyped-def]
    """Move a bank's state by a step in which its current is steady; book charge and work."""
    bank, state = m[M_BANK], m[M_STATE]
    at, now = base_bank + b * BANK, b * STATE
    amps = state[now + AMPS]
    charge = bank[at + Q_AS]
    if amps >= 0.0:
        through = amps
        stored = -amps
        factor = rate_factor(bank, at, amps)
        put_away = (factor - 1.0) * amps * step_s / charge
        turned, target = amps * factor, -1.0
        state[now + OUT_AS] += amps * step_s
        if factor > 1.0:
            state[now + W] += put_away
        elif state[now + W] > 0.0:
            state[now + W] *= math.exp(-step_s / bank[at + RECOVER_S])
    else:
        main = state[now + MAIN_A]
        through = -main
        stored = efficiency(m, b, state[now + S]) * main
        turned, target = stored, 1.0
        state[now + IN_AS] += (main + state[now + SIDE_A]) * step_s
        state[now + GAS_AS] += (main - stored + state[now + SIDE_A]) * step_s
        if state[now + W] > 0.0:
            state[now + W] *= math.exp(-step_s / bank[at + RECOVER_S])
    before, _ = resting(m, b, reach(m, at, now, 0.0))
    moved = (stored - bank[at + SELF_A]) * step_s
    state[now + SELF_AS] += bank[at + SELF_A] * step_s
    # compensated sums (Kahan): a year of minutes must not lose what a minute brings
    wanted = moved / charge - state[now + S_REST]
    total = state[now + S] + wanted
    state[now + S_REST] = (total - state[now + S]) - wanted
    state[now + S] = total
    wanted = moved - state[now + COULOMB_REST]
    total = state[now + COULOMB] + wanted
    state[now + COULOMB_REST] = (total - state[now + COULOMB]) - wanted
    state[now + COULOMB] = total
    after, _ = resting(m, b, reach(m, at, now, 0.0))
    state[now + WORK_J] += 0.5 * (before + after) * moved
    a1, a2 = math.exp(-step_s / bank[at + T1]), math.exp(-step_s / bank[at + T2])
    state[now + V1] = state[now + V1] * a1 + bank[at + R1] * through * (1.0 - a1)
    state[now + V2] = state[now + V2] * a2 + bank[at + R2] * through * (1.0 - a2)
    if bank[at + HYST_V] != 0.0 and turned != 0.0:
        size = (turned if turned > 0.0 else -turned) * step_s / charge / bank[at + HYST_SHARE]
        state[now + Y] = target + (state[now + Y] - target) * math.exp(-size)
