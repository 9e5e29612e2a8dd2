"""The ports of a network: their matrix with relays and laws folded in, and their voltages."""

from proposal.studies.behaviour.kernel.banks import bank_amps
from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import (
    ABSORB_V,
    AVAILABLE,
    C_DROOP_OHM,
    C_EFFICIENCY,
    C_IN,
    C_LEAST_IN_V,
    C_LIMIT_A,
    C_OUT,
    C_SET_V,
    CLOSED,
    COIL_A,
    COIL_PORT,
    CONVERTER,
    DROOP_OHM,
    FIRST_RELAY,
    FLOAT,
    FLOAT_V,
    G_NOW,
    G_PORT,
    GROUP,
    KIND,
    LIMIT_A,
    LOW_LOAD_V,
    M_AUDIT,
    M_COL,
    M_CONV,
    M_CS,
    M_D,
    M_G,
    M_GNOW,
    M_GROUP,
    M_I,
    M_RELAY,
    M_RHS,
    M_RS,
    M_SET,
    M_SIZES,
    M_SOURCE,
    M_SOURCE_PORT,
    M_SS,
    M_V,
    M_Z,
    M_ZG,
    N_ALL,
    N_BANKS,
    N_CONVERTERS,
    N_GROUPS,
    N_PORTS,
    N_RELAYS,
    N_SOURCES,
    OFF,
    R_OHM,
    RELAY,
    RELAY_STATE,
    SOLAR,
    SOURCE,
    SOURCE_STATE,
    STAGE,
    STOPPED,
    TOLERANCE,
)

A_ITERATIONS, A_REBUILDS = 4, 5
MOST_ITERATIONS = 60
LEAST_V = 0.1


@both
def fold(zg, col, count, port, siemens):  # type: ignore[no-untyped-def]
    """Lay a conductance [S] between the pins of one port, in place; `col` is scratch of `count` numbers."""
    row = port * count
    for a in range(count):
        col[a] = zg[row + a]
    share = 1.0 / (1.0 / siemens + col[port])
    for a in range(count):
        left = col[a] * share
        if left != 0.0:
            at = a * count
            for b in range(count):
                zg[at + b] -= left * col[b]


@both
def rebuild(m):  # type: ignore[no-untyped-def]  # lists or arrays, see `both`
    """Fold closed relays and the slopes of the laws into the matrix, one rank each (Sherman and Morrison).

    Z' = Z − z·zᵀ/(1/g + z_u): a conductance g between the pins of port u, z its column.
    """
    sizes, z, zg, g = m[M_SIZES], m[M_Z], m[M_ZG], m[M_G]
    count, ports = int(sizes[N_ALL]), int(sizes[N_PORTS])
    relays, first = int(sizes[N_RELAYS]), int(sizes[FIRST_RELAY])
    for k in range(count * count):
        zg[k] = z[k]
    relay, held = m[M_RELAY], m[M_RS]
    for r in range(relays):
        if held[r * RELAY_STATE + CLOSED] > 0.0:
            fold(zg, m[M_COL], count, first + r, 1.0 / relay[r * RELAY + R_OHM])
    for p in range(ports):
        if g[p] != 0.0:
            fold(zg, m[M_COL], count, p, g[p])
    m[M_AUDIT][A_REBUILDS] += 1.0


@both
def laws(m, base_bank, base_source, ahead_s):  # type: ignore[no-untyped-def]
    """What each port gives at its voltage [A], and how that changes with it [A/V]."""
    sizes, v, i, d, setting = m[M_SIZES], m[M_V], m[M_I], m[M_D], m[M_SET]
    for p in range(int(sizes[N_PORTS])):
        i[p] = 0.0
        d[p] = 0.0
    for b in range(int(sizes[N_BANKS])):
        bank_amps(m, base_bank, b, ahead_s)
    source, state, where = m[M_SOURCE], m[M_SS], m[M_SOURCE_PORT]
    for s in range(int(sizes[N_SOURCES])):
        at, now = base_source + s * SOURCE, s * SOURCE_STATE
        if state[now + STAGE] == OFF or state[now + STOPPED] > 0.0:
            continue
        p = int(where[s])
        set_v = source[at + FLOAT_V] if state[now + STAGE] == FLOAT else source[at + ABSORB_V]
        droop_ohm = source[at + DROOP_OHM]
        amps = (set_v - v[p]) / droop_ohm
        if amps <= 0.0:
            continue
        limit, slope = state[now + AVAILABLE], 0.0
        if source[at + KIND] == SOLAR:
            across = v[p] if v[p] > LEAST_V else LEAST_V
            limit, slope = limit / across, -limit / (across * across)
            if limit > source[at + LIMIT_A]:
                limit, slope = source[at + LIMIT_A], 0.0
        if amps < limit:
            i[p] += amps
            d[p] -= 1.0 / droop_ohm
        else:
            i[p] += limit
            d[p] += slope
    group, now_on, low_v = m[M_GROUP], m[M_GNOW], setting[LOW_LOAD_V]
    for n in range(int(sizes[N_GROUPS])):
        amps, watts, loss = now_on[n * G_NOW], now_on[n * G_NOW + 1], now_on[n * G_NOW + 2]
        if amps == 0.0 and watts == 0.0:
            continue
        p = int(group[n * GROUP + G_PORT])
        if v[p] >= low_v:
            inverse = 1.0 / v[p]
            i[p] -= amps + watts * inverse + loss * inverse * inverse * inverse
            d[p] += watts * inverse * inverse + 3.0 * loss * inverse * inverse * inverse * inverse
        else:
            inverse = 1.0 / low_v
            taken = amps + watts * inverse + loss * inverse * inverse * inverse
            i[p] -= taken * v[p] * inverse
            d[p] -= taken * inverse
    relay, held = m[M_RELAY], m[M_RS]
    for r in range(int(sizes[N_RELAYS])):
        coil_a = relay[r * RELAY + COIL_A]
        if coil_a > 0.0 and held[r * RELAY_STATE + CLOSED] > 0.0:
            p = int(relay[r * RELAY + COIL_PORT])
            share = v[p] / low_v if v[p] < low_v else 1.0
            i[p] -= coil_a * share
            d[p] -= coil_a / low_v if share < 1.0 else 0.0
    link, on = m[M_CONV], m[M_CS]
    for c in range(int(sizes[N_CONVERTERS])):
        at = c * CONVERTER
        into, out = int(link[at + C_IN]), int(link[at + C_OUT])
        if on[c] > 0.0 and v[into] > 0.5 * link[at + C_LEAST_IN_V]:
            amps, slope = (link[at + C_SET_V] - v[out]) / link[at + C_DROOP_OHM], -1.0 / link[at + C_DROOP_OHM]
            if amps > link[at + C_LIMIT_A]:
                amps, slope = link[at + C_LIMIT_A], 0.0
            if amps > 0.0:
                i[out] += amps
                d[out] += slope
                watts = amps * v[out] / link[at + C_EFFICIENCY]
                i[into] -= watts / v[into]
                d[into] += watts / (v[into] * v[into])


@both
def settle(m, base_bank, base_source, ahead_s):  # type: ignore[no-untyped-def]
    """Voltages and currents of all ports at `ahead_s` from now, currents steady till then; False if none is found.

    v = Z'·(i(v) + g·v): a chord of Newton's method with the slopes g that are folded into Z'; they are taken anew where
    they no longer fit.
    """
    sizes, zg, g, v, i, d, rhs = m[M_SIZES], m[M_ZG], m[M_G], m[M_V], m[M_I], m[M_D], m[M_RHS]
    ports, count, within = int(sizes[N_PORTS]), int(sizes[N_ALL]), m[M_SET][TOLERANCE]
    last = 1e9
    for turn in range(MOST_ITERATIONS):
        laws(m, base_bank, base_source, ahead_s)
        m[M_AUDIT][A_ITERATIONS] += 1.0
        for p in range(ports):
            rhs[p] = i[p] + g[p] * v[p]
        moved = 0.0
        part = 1.0 if turn < 30 else 0.5
        for p in range(ports):
            total = 0.0
            row = p * count
            for q in range(ports):
                total += zg[row + q] * rhs[q]
            d_v = total - v[p]
            if d_v > moved:
                moved = d_v
            elif -d_v > moved:
                moved = -d_v
            i[p] = total  # the new voltage, until all rows are done
        for p in range(ports):
            v[p] += part * (i[p] - v[p])
        if moved < within:
            for p in range(ports):
                i[p] = rhs[p] - g[p] * v[p]
            return True
        if turn >= 2 and moved > 0.05 * last:
            # keep the slopes of the voltages just found
            laws(m, base_bank, base_source, ahead_s)
            for p in range(ports):
                g[p] = -d[p]
            rebuild(m)
        last = moved
    for p in range(ports):
        i[p] = rhs[p] - g[p] * v[p]
    return False


@both
def seen_v(m, row):  # type: ignore[no-untyped-def]
    """Voltage of any row of the matrix [V]: a port's own, or that of a pair which is only watched."""
    sizes = m[M_SIZES]
    ports = int(sizes[N_PORTS])
    if row < ports:
        return m[M_V][row]
    zg, rhs, at, total = m[M_ZG], m[M_RHS], row * int(sizes[N_ALL]), 0.0
    for q in range(ports):
        total += zg[at + q] * rhs[q]
    return total
