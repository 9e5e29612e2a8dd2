"""The ports of a network: their matrix with relays and laws folded in, and their voltages."""

from proposal.studies.behaviour.kernel.banks import bank_amps
from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import *

MOST_ITERATIONS, DAMPED_FROM = 150, 12
DAMPING_S, MOST_DAMPING_S, NEAR_OHM, CAUGHT_V = 1.0, 2000.0, 0.05, 1e-4
"""Where Newton's method goes round in circles, each port is held back by such a conductance, growing by turns."""
LEAST_V = 0.1
ANCHOR_S = 1.0 - 1e-5
"""What the network has in a bank's place, taken out again; 10 µS are left as insulation, so that nothing floats."""
USUAL_12V, LOWEST_12V, MOST_RISE = 12.5, 0.0, 0.1
"""An iteration goes up by no more than a tenth of the usual voltage at a time: gassing is steep up there."""
SLOPES_SHARE = 0.03
"""A turn brings the voltages nearer by this factor at least, or slopes are taken anew."""


@both
def fold(f, zg, col, count, port, siemens):
    """Lay a conductance [S] between the pins of one port, in place; `col` is scratch of `count` numbers."""
    row = port * count
    for a in range(count):
        f[col + a] = f[zg + row + a]
    share = 1.0 / (1.0 / siemens + f[col + port])
    for a in range(count):
        left = f[col + a] * share
        if left != 0.0:
            at = a * count
            for b in range(count):
                f[zg + at + b] -= left * f[col + b]


@both
def rebuild(f, o, t):
    """Fold closed relays and the slopes of the laws into the matrix, one rank each (Sherman and Morrison).

    Z' = Z − z·zᵀ/(1/g + z_u): a conductance g between the pins of port u, z its column.
    """
    sizes, z, zg, g = o[M_SIZES], o[M_Z], o[M_ZG], o[M_G]
    count, ports = int(f[sizes + N_ALL]), int(f[sizes + N_PORTS])
    relays, first = int(f[sizes + N_RELAYS]), int(f[sizes + FIRST_RELAY])
    for k in range(count * count):
        f[zg + k] = f[z + k]
    relay, held = o[M_RELAY], o[M_RS]
    for r in range(relays):
        if f[held + r * RELAY_STATE + CLOSED] > 0.0:
            fold(f, zg, o[M_COL], count, first + r, 1.0 / f[relay + r * RELAY + R_OHM])
    for p in range(ports):
        if f[g + p] != 0.0:
            fold(f, zg, o[M_COL], count, p, f[g + p])
    f[o[M_AUDIT] + A_REBUILDS] += 1.0


@both
def laws(f, o, t, base_bank, base_source, ahead_s):
    """What each port gives at its voltage [A], and how that changes with it [A/V].

    A constant power takes less the higher its voltage: such a slope leads Newton's method away from where a battery
    takes over, so it is left out; its part is small beside a battery's slope.
    """
    sizes, v, i, d, setting = o[M_SIZES], o[M_V], o[M_I], o[M_D], o[M_SET]
    for p in range(int(f[sizes + N_PORTS])):
        f[i + p] = 0.0
        f[d + p] = 0.0
    for b in range(int(f[sizes + N_BANKS])):
        bank_amps(f, o, t, base_bank, b, ahead_s)
        f[i + b] += ANCHOR_S * f[v + b]
        f[d + b] += ANCHOR_S
    source, state, where = o[M_SOURCE], o[M_SS], o[M_SOURCE_PORT]
    for s in range(int(f[sizes + N_SOURCES])):
        at, now = base_source + s * SOURCE, s * SOURCE_STATE
        if f[state + now + STAGE] == OFF or f[state + now + STOPPED] > 0.0:
            continue
        p = int(f[where + s])
        set_v = f[source + at + FLOAT_V] if f[state + now + STAGE] == FLOAT else f[source + at + ABSORB_V]
        droop_ohm = f[source + at + DROOP_OHM]
        amps = (set_v - f[v + p]) / droop_ohm
        if amps <= 0.0:
            continue
        limit, slope = f[state + now + AVAILABLE], 0.0
        if f[source + at + KIND] == SOLAR:
            across = f[v + p] if f[v + p] > LEAST_V else LEAST_V
            limit, slope = limit / across, -limit / (across * across)
            if limit > f[source + at + LIMIT_A]:
                limit, slope = f[source + at + LIMIT_A], 0.0
        if amps < limit:
            f[i + p] += amps
            f[d + p] -= 1.0 / droop_ohm
        else:
            f[i + p] += limit
            f[d + p] += slope
    group, now_on, low_v = o[M_GROUP], o[M_GNOW], f[setting + LOW_LOAD_V]
    for n in range(int(f[sizes + N_GROUPS])):
        amps, watts, loss = f[now_on + n * G_NOW], f[now_on + n * G_NOW + 1], f[now_on + n * G_NOW + 2]
        if amps == 0.0 and watts == 0.0:
            continue
        p = int(f[group + n * GROUP + G_PORT])
        if f[v + p] >= low_v:
            inverse = 1.0 / f[v + p]
            f[i + p] -= amps + watts * inverse + loss * inverse * inverse * inverse
        else:
            inverse = 1.0 / low_v
            taken = amps + watts * inverse + loss * inverse * inverse * inverse
            f[i + p] -= taken * f[v + p] * inverse
            f[d + p] -= taken * inverse
    relay, held = o[M_RELAY], o[M_RS]
    for r in range(int(f[sizes + N_RELAYS])):
        coil_a = f[relay + r * RELAY + COIL_A]
        if coil_a > 0.0 and f[held + r * RELAY_STATE + CLOSED] > 0.0:
            p = int(f[relay + r * RELAY + COIL_PORT])
            share = f[v + p] / low_v if f[v + p] < low_v else 1.0
            f[i + p] -= coil_a * share
            f[d + p] -= coil_a / low_v if share < 1.0 else 0.0
    link, on = o[M_CONV], o[M_CS]
    for c in range(int(f[sizes + N_CONVERTERS])):
        at = c * CONVERTER
        into, out = int(f[link + at + C_IN]), int(f[link + at + C_OUT])
        if f[on + c] > 0.0 and f[v + into] > 0.5 * f[link + at + C_LEAST_IN_V]:
            amps, slope = (
                (f[link + at + C_SET_V] - f[v + out]) / f[link + at + C_DROOP_OHM],
                -1.0 / f[link + at + C_DROOP_OHM],
            )
            if amps > f[link + at + C_LIMIT_A]:
                amps, slope = f[link + at + C_LIMIT_A], 0.0
            if amps > 0.0:
                f[i + out] += amps
                f[d + out] += slope
                watts = amps * f[v + out] / f[link + at + C_EFFICIENCY]
                f[i + into] -= watts / f[v + into]


@both
def keep_in_bands(f, o, t, base_source):
    """Stop an iteration from jumping over the narrow band in which a source regulates: both sides of it are flat.

    The new voltages stand in the machine's currents, the old ones in its voltages.
    """
    source, state, where, v, i = o[M_SOURCE], o[M_SS], o[M_SOURCE_PORT], o[M_V], o[M_I]
    for s in range(int(f[o[M_SIZES] + N_SOURCES])):
        at, now = base_source + s * SOURCE, s * SOURCE_STATE
        if f[state + now + STAGE] == OFF or f[state + now + STOPPED] > 0.0:
            continue
        p = int(f[where + s])
        high = f[source + at + FLOAT_V] if f[state + now + STAGE] == FLOAT else f[source + at + ABSORB_V]
        limit = f[state + now + AVAILABLE]
        if f[source + at + KIND] == SOLAR:
            limit /= high
        low = high - f[source + at + DROOP_OHM] * limit
        if (f[v + p] < low and f[i + p] > high) or (f[v + p] > high and f[i + p] < low):
            f[i + p] = 0.5 * (low + high)
    link, on = o[M_CONV], o[M_CS]
    for c in range(int(f[o[M_SIZES] + N_CONVERTERS])):
        at = c * CONVERTER
        if f[on + c] > 0.0:
            p, high = int(f[link + at + C_OUT]), f[link + at + C_SET_V]
            low = high - f[link + at + C_DROOP_OHM] * f[link + at + C_LIMIT_A]
            if (f[v + p] < low and f[i + p] > high) or (f[v + p] > high and f[i + p] < low):
                f[i + p] = 0.5 * (low + high)


@both
def take_slopes(f, o, t, base_bank, base_source, ahead_s):
    """Fold the laws' slopes at the voltages as they stand into the matrix."""
    laws(f, o, t, base_bank, base_source, ahead_s)
    g, d = o[M_G], o[M_D]
    for p in range(int(f[o[M_SIZES] + N_PORTS])):
        f[g + p] = -f[d + p]
    rebuild(f, o, t)


@both
def settle(f, o, t, base_bank, base_source, ahead_s):
    """Voltages and currents of all ports at `ahead_s` from now, currents steady till then; False if none is found.

    v = Z'·(i(v) + g·v): a chord of Newton's method with the slopes g that are folded into Z'; they are taken anew where
    they no longer fit.
    """
    sizes, zg, g, v, i, d, rhs = o[M_SIZES], o[M_ZG], o[M_G], o[M_V], o[M_I], o[M_D], o[M_RHS]
    ports, count, within = int(f[sizes + N_PORTS]), int(f[sizes + N_ALL]), f[o[M_SET] + TOLERANCE]
    usual, lowest = USUAL_12V * f[o[M_SET] + SCALE], LOWEST_12V * f[o[M_SET] + SCALE]
    damp_s, held_from = 0.0, DAMPED_FROM
    for turn in range(MOST_ITERATIONS):
        laws(f, o, t, base_bank, base_source, ahead_s)
        f[o[M_AUDIT] + A_ITERATIONS] += 1.0
        if turn >= held_from:
            # false time steps, ever shorter: they end at a state that would last
            damp_s = DAMPING_S * 2.0 ** (0.25 * (turn - held_from))
            damp_s = damp_s if damp_s < MOST_DAMPING_S else MOST_DAMPING_S
            for q in range(ports):
                slope = f[d + q] if f[d + q] < 0.0 else 0.0
                f[g + q] = damp_s - slope
            rebuild(f, o, t)
        else:
            for p in range(ports):
                # what is wrong with a slope tells in as far as its port can move
                off = (f[d + p] + f[g + p]) * f[zg + p * count + p]
                if off > SLOPES_SHARE or -off > SLOPES_SHARE or (turn > 6 and off != 0.0):
                    for q in range(ports):
                        f[g + q] = -f[d + q]
                    rebuild(f, o, t)
                    break
        for p in range(ports):
            f[rhs + p] = f[i + p] + f[g + p] * f[v + p]
        moved = 0.0
        for p in range(ports):
            total = 0.0
            row = p * count
            for q in range(ports):
                total += f[zg + row + q] * f[rhs + q]
            d_v = total - f[v + p]
            if d_v > moved:
                moved = d_v
            elif -d_v > moved:
                moved = -d_v
            f[i + p] = total  # the new voltage, until all rows are done
        for p in range(ports):
            volts = f[i + p]
            rise = (f[v + p] if f[v + p] > usual else usual) + usual * MOST_RISE
            if volts > rise:
                volts = rise
            elif volts < lowest:
                volts = lowest
            f[i + p] = volts
        keep_in_bands(f, o, t, base_source)
        for p in range(ports):
            f[v + p] = f[i + p]
        if damp_s > 0.0 and moved * (1.0 + damp_s * NEAR_OHM) < CAUGHT_V:
            damp_s, held_from = 0.0, turn + DAMPED_FROM  # near enough for Newton's own steps
        elif damp_s == 0.0 and moved < within:
            for p in range(ports):
                f[i + p] = f[rhs + p] - f[g + p] * f[v + p]
            return True
    for p in range(ports):
        f[i + p] = f[rhs + p] - f[g + p] * f[v + p]
    return False


@both
def seen_v(f, o, t, row):
    """Voltage of any row of the matrix [V]: a port's own, or that of a pair which is only watched."""
    sizes = o[M_SIZES]
    ports = int(f[sizes + N_PORTS])
    if row < ports:
        return f[o[M_V] + row]
    zg, rhs, at, total = o[M_ZG], o[M_RHS], row * int(f[sizes + N_ALL]), 0.0
    for q in range(ports):
        total += f[zg + at + q] * f[rhs + q]
    return total
