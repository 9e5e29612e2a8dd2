"""The ports of a network: their matrix with relays and laws folded in, and their voltages."""

import math

from proposal.studies.behaviour.kernel.banks import bank_amps, wrong_side
from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import *

MOST_TURNS, FIT_ALL_FROM, MOST_SEARCHES, MOST_HALVINGS = 12, 6, 100, 40
"""Turns of Newton's method, from which on all slopes are exact; then of the search along its directions."""
LEAST_V = 0.1
ANCHOR_S = 1.0 - 1e-5
"""What the network has in a bank's place, taken out again; 10 µS are left as insulation, so that nothing floats."""
USUAL_12V, LOWEST_12V, MOST_RISE = 12.5, 0.0, 0.1
"""An iteration goes up by no more than a tenth of the usual voltage at a time: gassing is steep up there."""
CLOSE_V = 1e-5
"""From here on a turn that would move less than the tolerance, by how the last two shrank, is spared."""
SLOPES_SHARE = 0.01
"""A turn brings the voltages nearer by this factor at least, or slopes are taken anew."""
DEAD_12V, DEAD_A = 5e-3, 1e-6
"""How far a bank may be led by the wrong one of its laws: while voltages are sought, and at the end."""
LEAST_TURN, MOST_TURN, MOST_BUMPS = 1e-3, 1e3, 1000.0
"""What would lose more digits than three, and what has been changed as often, is built anew."""


@both
def fold(f, matrix, count, col, port, siemens):
    """Lay a conductance [S] between the pins of one port, in place: Z' = Z − z·zᵀ/(1/g + z_u); `col` is scratch."""
    row = matrix + port * count
    for a in range(count):
        f[col + a] = f[row + a]
    share = siemens / (1.0 + siemens * f[col + port])
    for a in range(count):
        left = f[col + a] * share
        if left != 0.0:
            at = matrix + a * count
            for b in range(count):
                f[at + b] -= left * f[col + b]


@both
def fold_relays(f, o, t):
    """The matrix with closed relays, over all rows, from the one in which all are open."""
    z, closed, relay, held = o[M_Z], o[M_ZR], o[M_RELAY], o[M_RS]
    count, first = o[SIZES + N_ALL], o[SIZES + FIRST_RELAY]
    for k in range(count * count):
        f[closed + k] = f[z + k]
    for r in range(o[SIZES + N_RELAYS]):
        if f[held + r * RELAY_STATE + CLOSED] > 0.0:
            fold(f, closed, count, o[M_COL], first + r, 1.0 / f[relay + r * RELAY + R_OHM])


@both
def rebuild(f, o, t):
    """Fold the slopes of the laws into the ports' part of the matrix, one rank each (Sherman and Morrison)."""
    closed, zg, g = o[M_ZR], o[M_ZG], o[M_G]
    count, ports = o[SIZES + N_ALL], o[SIZES + N_PORTS]
    for a in range(ports):
        for b in range(ports):
            f[zg + a * ports + b] = f[closed + a * count + b]
    for p in range(ports):
        if f[g + p] != 0.0:
            fold(f, zg, ports, o[M_COL], p, f[g + p])
    f[o[M_AUDIT] + A_REBUILDS] += 1.0
    f[o[M_AUDIT] + A_BUMPS] = 0.0


@both
def change_slope(f, o, t, p, siemens):
    """Fold the difference of one slope; True if that would lose digits, and the matrix must be built anew."""
    zg, ports, audit = o[M_ZG], o[SIZES + N_PORTS], o[M_AUDIT]
    more = siemens - f[o[M_G] + p]
    f[o[M_G] + p] = siemens
    turn = 1.0 + more * f[zg + p * ports + p]
    if turn < LEAST_TURN or turn > MOST_TURN or f[audit + A_BUMPS] >= MOST_BUMPS:
        return True
    fold(f, zg, ports, o[M_COL], p, more)
    f[audit + A_BUMPS] += 1.0
    return False


@both
def solar_amps(f, at, watts, across):
    """What a power gives at the port of the source at `at`, behind its own wires: I·(V + R·I) = P."""
    return 2.0 * watts / (across + math.sqrt(across * across + 4.0 * f[at + LIMB_OHM] * watts))


@both
def laws(f, o, t, base_bank, base_source, dead_v, falling):
    """What each port gives at its voltage [A], and how that changes with it [A/V].

    A constant power takes less the higher its voltage. Such a slope speeds the first turns of Newton's method; where
    it leads away from the state that is sought, loads are taken for resistances as of now (not `falling`).
    """
    v, i, d, setting = o[M_V], o[M_I], o[M_D], o[M_SET]
    for p in range(o[SIZES + N_PORTS]):
        f[i + p] = 0.0
        f[d + p] = 0.0
    for b in range(o[SIZES + N_BANKS]):
        bank_amps(f, o, t, base_bank, b, dead_v, dead_v == 0.0)
        f[i + b] += ANCHOR_S * f[v + b]
        f[d + b] += ANCHOR_S
    source, state, where = o[M_SOURCE], o[M_SS], o[M_SOURCE_PORT]
    for s in range(o[SIZES + N_SOURCES]):
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
            root = math.sqrt(across * across + 4.0 * f[source + at + LIMB_OHM] * limit)
            limit = 2.0 * limit / (across + root)
            slope = -limit / root
            if limit > f[source + at + LIMIT_A]:
                limit, slope = f[source + at + LIMIT_A], 0.0
        if amps < limit:
            f[i + p] += amps
            f[d + p] -= 1.0 / droop_ohm
        else:
            f[i + p] += limit
            f[d + p] += slope
    group, now_on, low_v = o[M_GROUP], o[M_GNOW], f[setting + LOW_LOAD_V]
    for n in range(o[SIZES + N_GROUPS]):
        amps, watts, loss = f[now_on + n * G_NOW], f[now_on + n * G_NOW + 1], f[now_on + n * G_NOW + 2]
        if amps == 0.0 and watts == 0.0:
            continue
        p = int(f[group + n * GROUP + G_PORT])
        if f[v + p] >= low_v:
            inverse = 1.0 / f[v + p]
            taken = amps + watts * inverse + loss * inverse * inverse * inverse
            f[i + p] -= taken
            if falling:
                f[d + p] += (watts + 3.0 * loss * inverse * inverse) * inverse * inverse
            else:
                f[d + p] -= taken * inverse
        else:
            inverse = 1.0 / low_v
            taken = amps + watts * inverse + loss * inverse * inverse * inverse
            f[i + p] -= taken * f[v + p] * inverse
            f[d + p] -= taken * inverse
    relay, held = o[M_RELAY], o[M_RS]
    for r in range(o[SIZES + N_RELAYS]):
        coil_a = f[relay + r * RELAY + COIL_A]
        if coil_a > 0.0 and f[held + r * RELAY_STATE + CLOSED] > 0.0:
            p = int(f[relay + r * RELAY + COIL_PORT])
            share = f[v + p] / low_v if f[v + p] < low_v else 1.0
            f[i + p] -= coil_a * share
            f[d + p] -= coil_a / low_v if share < 1.0 else 0.0
    link, on = o[M_CONV], o[M_CS]
    for c in range(o[SIZES + N_CONVERTERS]):
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
                steep = watts / (f[v + into] * f[v + into])
                f[d + into] += steep if falling else -steep


@both
def keep_in_bands(f, o, t, base_source):
    """Stop an iteration from jumping over the narrow band in which a source regulates: both sides of it are flat.

    The new voltages stand in the machine's currents, the old ones in its voltages. True if any was stopped.
    """
    held = False
    source, state, where, v, i = o[M_SOURCE], o[M_SS], o[M_SOURCE_PORT], o[M_V], o[M_I]
    for s in range(o[SIZES + N_SOURCES]):
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
            f[i + p], held = 0.5 * (low + high), True
    link, on = o[M_CONV], o[M_CS]
    for c in range(o[SIZES + N_CONVERTERS]):
        at = c * CONVERTER
        if f[on + c] > 0.0:
            p, high = int(f[link + at + C_OUT]), f[link + at + C_SET_V]
            low = high - f[link + at + C_DROOP_OHM] * f[link + at + C_LIMIT_A]
            if (f[v + p] < low and f[i + p] > high) or (f[v + p] > high and f[i + p] < low):
                f[i + p], held = 0.5 * (low + high), True
    return held


@both
def take_slopes(f, o, t, base_bank, base_source):
    """Fold relays and the laws' slopes at the voltages as they stand into the matrices."""
    laws(f, o, t, base_bank, base_source, DEAD_12V * f[o[M_SET] + SCALE], True)
    g, d = o[M_G], o[M_D]
    for p in range(o[SIZES + N_PORTS]):
        f[g + p] = -f[d + p]
    fold_relays(f, o, t)
    rebuild(f, o, t)


@both
def fit_slopes(f, o, t, all_of_them):
    """Fold anew the slopes that no longer fit; True if any."""
    zg, g, d, ports = o[M_ZG], o[M_G], o[M_D], o[SIZES + N_PORTS]
    changed, lost = False, False
    for p in range(ports):
        # what is wrong with a slope tells in as far as its port can move
        wrong = f[d + p] + f[g + p]
        off = wrong * f[zg + p * ports + p]
        if off > SLOPES_SHARE or -off > SLOPES_SHARE or (all_of_them and wrong != 0.0):
            changed = True
            if lost:
                f[g + p] = -f[d + p]
            elif change_slope(f, o, t, p, -f[d + p]):
                lost = True
    if lost:
        rebuild(f, o, t)
    return changed


@both
def take_over(f, o, t, base_source, moved, usual, lowest):
    """Take over the voltages of a turn, within bounds; True if some bound held."""
    v, i, new, ports, bound = o[M_V], o[M_I], o[M_COL], o[SIZES + N_PORTS], False
    for p in range(ports):
        f[i + p] = f[new + p]
    if moved > 0.05 * usual:
        for p in range(ports):
            rise = (f[v + p] if f[v + p] > usual else usual) + usual * MOST_RISE
            if f[i + p] > rise:
                f[i + p], bound = rise, True
            elif f[i + p] < lowest:
                f[i + p], bound = lowest, True
    if keep_in_bands(f, o, t, base_source):
        bound = True
    for p in range(ports):
        f[v + p] = f[i + p]
    return bound


@both
def arrive(f, o, t):
    """Take over the last voltages, banks on the straight line of their turn, so that currents add up."""
    v, new = o[M_V], o[M_COL]
    for b in range(o[SIZES + N_BANKS]):
        now, own = o[M_STATE] + b * STATE, o[M_READY] + READY_FIRST + b * READY
        more = f[own + SLOPE_S] * (f[new + b] - f[v + b])
        main = f[own + MAIN_SLOPE_S] * (f[new + b] - f[v + b])
        f[now + AMPS] += more
        f[now + MAIN_A] -= main
        f[now + SIDE_A] -= more - main
    for p in range(o[SIZES + N_PORTS]):
        f[v + p] = f[new + p]


@both
def direct(f, o, t, base_bank, base_source):
    """Newton's next voltages, with loads as resistances: laws taken at the voltages as they stand, slopes all anew."""
    zg, g, v, i, d, rhs, new = o[M_ZG], o[M_G], o[M_V], o[M_I], o[M_D], o[M_RHS], o[M_COL]
    ports = o[SIZES + N_PORTS]
    laws(f, o, t, base_bank, base_source, 0.0, False)
    f[o[M_AUDIT] + A_ITERATIONS] += 1.0
    for p in range(ports):
        f[g + p] = -f[d + p]
        f[rhs + p] = f[i + p] + f[g + p] * f[v + p]
    rebuild(f, o, t)
    for p in range(ports):
        f[new + p] = 0.0
    for q in range(ports):
        amps, row = f[rhs + q], zg + q * ports
        if amps != 0.0:
            for p in range(ports):
                f[new + p] += f[row + p] * amps


@both
def search(f, o, t, base_bank, base_source, within):
    """Where Newton's method goes round in circles: follow its directions, as far as they lead downhill.

    The network and laws that each see but their own port have a potential Φ(v) = ½·vᵀ·Y·v − Σ∫i dv, least where
    currents add up. Along a direction p its slope is pᵀ·(Y·v − i(v)); Y·v is known at both ends, and straight between.
    """
    v, i, g, rhs, new, ports = o[M_V], o[M_I], o[M_G], o[M_RHS], o[M_COL], o[SIZES + N_PORTS]
    every = o[SIZES + N_ALL]
    flows, more, begin = new + 2 * every, new + 3 * every, new + 4 * every
    direct(f, o, t, base_bank, base_source)
    for p in range(ports):
        f[v + p] = f[new + p]
        f[flows + p] = f[rhs + p] - f[g + p] * f[new + p]
    for _ in range(MOST_SEARCHES):
        direct(f, o, t, base_bank, base_source)
        moved, steep = 0.0, 0.0
        for p in range(ports):
            way = f[new + p] - f[v + p]
            if way > moved:
                moved = way
            elif -way > moved:
                moved = -way
            steep += way * (f[flows + p] - f[i + p])
            f[begin + p] = f[v + p]
            f[more + p] = f[rhs + p] - f[g + p] * f[new + p] - f[flows + p]
        if moved < within:
            arrive(f, o, t)
            return True
        enough = -0.5 * steep if steep < 0.0 else 0.0
        low, high, part, taken = 0.0, 0.0, 1.0, 1.0
        for _ in range(MOST_HALVINGS):
            taken = part
            for p in range(ports):
                f[v + p] = f[begin + p] + part * (f[new + p] - f[begin + p])
            laws(f, o, t, base_bank, base_source, 0.0, False)
            now = 0.0
            for p in range(ports):
                now += (f[new + p] - f[begin + p]) * (f[flows + p] + part * f[more + p] - f[i + p])
            if now > enough:
                high = part
            elif now < -enough:
                low = part
            else:
                break
            part = 0.5 * (low + high) if high > 0.0 else 2.0 * part
        for p in range(ports):
            f[flows + p] += taken * f[more + p]
    return False


@both
def settle(f, o, t, base_bank, base_source):
    """Voltages and currents of all ports at the instant for which the banks are prepared; False if none is found.

    v = Z'·(i(v) + g·v): a chord of Newton's method with the slopes g that are folded into Z'; they are taken anew where
    they no longer fit. After the first turn only what has changed is multiplied.
    """
    zg, g, v, i, rhs, new = o[M_ZG], o[M_G], o[M_V], o[M_I], o[M_RHS], o[M_COL]
    ports, within = o[SIZES + N_PORTS], f[o[M_SET] + TOLERANCE]
    scale = f[o[M_SET] + SCALE]
    usual, lowest, dead_v = USUAL_12V * scale, LOWEST_12V * scale, DEAD_12V * scale
    found, whole, before = False, True, 0.0
    for turn in range(MOST_TURNS):
        laws(f, o, t, base_bank, base_source, dead_v, turn <= FIT_ALL_FROM)
        f[o[M_AUDIT] + A_ITERATIONS] += 1.0
        if fit_slopes(f, o, t, turn > FIT_ALL_FROM):
            whole = True
        for p in range(ports):
            f[new + p] = 0.0 if whole else f[v + p]
        for q in range(ports):
            total = f[i + q] + f[g + q] * f[v + q]
            amps = total if whole else total - f[rhs + q]
            f[rhs + q] = total
            if amps != 0.0:
                row = zg + q * ports
                for p in range(ports):
                    f[new + p] += f[row + p] * amps
        moved = 0.0
        for p in range(ports):
            d_v = f[new + p] - f[v + p]
            if d_v > moved:
                moved = d_v
            elif -d_v > moved:
                moved = -d_v
        whole = False
        if moved < within or (moved < CLOSE_V and moved * moved < within * before):
            arrive(f, o, t)
            if not wrong_side(f, o, t, DEAD_A):
                found = True
                break
            before = 0.0
        else:
            whole = take_over(f, o, t, base_source, moved, usual, lowest)
            before = 0.0 if whole else moved
    if not found:
        found = search(f, o, t, base_bank, base_source, within)
    if not found:
        f[o[M_AUDIT] + A_UNSETTLED] += 1.0
    for p in range(ports):
        f[i + p] = f[rhs + p] - f[g + p] * f[v + p]
    watched, count = o[M_ZR], o[SIZES + N_ALL]
    for w in range(ports, ports + o[SIZES + N_SEEN]):
        row, total = watched + w * count, 0.0
        for q in range(ports):
            total += f[row + q] * f[i + q]
        f[v + w] = total
    return found
