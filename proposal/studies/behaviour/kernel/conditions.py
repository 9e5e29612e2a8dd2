"""What relays, managements and chargers watch: which of it is true now, and how near the rest is."""

from proposal.studies.behaviour.kernel.banks import emf_v
from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import *
from proposal.studies.behaviour.kernel.network import solar_amps

UNSET = -1e8
"""A threshold below this is none."""
NEAR_V = 0.06
"""A voltage nearer than this to a relay's threshold, at 12 V, is looked at again at the step's end."""
MANAGEMENT_S, FREED_S = 2.0, 60.0
DISCHARGING_S = 600.0
HOUR_S, CHATTERS_PER_H = 3600.0, 30.0
"""A relay that has switched so often in an hour is followed once a step for the rest of it."""
CHARGER_S = 60.0
NOTHING_A = 0.05
HIGH_CELL_FROM = 0.9
"""Charge from which a strong cell runs ahead of the others: below it all are on the plateau."""


@both
def watch(f, o, t, base_bank, base_source):
    """Set each condition's flag for the voltages as they stand.

    Returns how near the nearest relay's threshold is, at 12 V [V], and whether any flag is not as it was noted.
    """
    flag, since, moved = o[M_FLAG], o[M_SINCE], False
    bank, state, relay, held = o[M_BANK], o[M_STATE], o[M_RELAY], o[M_RS]
    source, gives, where, v = o[M_SOURCE], o[M_SS], o[M_SOURCE_PORT], o[M_V]
    scale = f[o[M_SET] + SCALE]
    near = 1e9
    for k in range(o[SIZES + N_CONDITIONS]):
        kind, item = o[WATCHES + k * CONDITION], o[WATCHES + k * CONDITION + 1]
        true = 0.0
        gap = 1e9
        if kind <= VSR_RELEASE:
            r, rs = item * RELAY, item * RELAY_STATE
            one = f[v + int(f[relay + r + SENSE_ONE])] + f[relay + r + OFFSET_ONE_V]
            high = one
            if f[relay + r + SENSE_OTHER] >= 0.0:
                other = f[v + int(f[relay + r + SENSE_OTHER])] + f[relay + r + OFFSET_OTHER_V]
                if other > high:
                    high = other
            if f[held + rs + CLOSED] > 0.0:
                if kind == VSR_RELEASE:
                    gap = high - f[relay + r + RELEASES_V]
                    true = 1.0 if gap < 0.0 else 0.0
            elif kind == VSR_JOIN:
                gap = high - f[relay + r + JOINS_V]
                true = 1.0 if gap >= 0.0 else 0.0
        elif kind <= LATCH_FREE or kind == CON_COUNTED:
            r, rs = item * RELAY, item * RELAY_STATE
            bus = f[v + int(f[relay + r + SENSE_ONE])] + f[relay + r + OFFSET_ONE_V]
            lithium = f[v + int(f[relay + r + SENSE_OTHER])] + f[relay + r + OFFSET_OTHER_V]
            closed = f[held + rs + CLOSED] > 0.0
            b = int(f[relay + r + R_BANK])
            counted = f[state + b * STATE + S] + f[held + rs + COUNT_OFFSET]
            known = f[held + rs + COUNT_KNOWN] > 0.0
            if kind == CON_JOIN and not closed:
                lifted = bus - f[relay + r + JOINS_ABOVE_V] if f[relay + r + JOINS_ABOVE_V] > UNSET else -1e9
                if f[held + rs + EMPTY_LATCH] > 0.0:
                    gap = bus - f[relay + r + EMPTY_JOINS_V]
                    true = 1.0 if gap >= 0.0 else 0.0
                elif f[held + rs + FULL_LATCH] == 0.0:
                    fits = (
                        f[relay + r + JOINS_BELOW_V] - (bus - lithium) if f[relay + r + JOINS_BELOW_V] > UNSET else -1e9
                    )
                    if f[relay + r + LITHIUM_ABOVE_V] > UNSET:
                        other = f[relay + r + LITHIUM_ABOVE_V] - (lithium - bus)
                        if other < fits:
                            fits = other
                    gap = lifted if lifted > fits else fits
                    true = 1.0 if gap >= 0.0 else 0.0
            elif kind == CON_FULL and closed and f[relay + r + OPENS_ABOVE_V] > UNSET:
                gap = bus - f[relay + r + OPENS_ABOVE_V]
                true = 1.0 if gap >= 0.0 else 0.0
            elif kind == CON_COUNTED and closed and known and f[relay + r + FULL_SHARE] > UNSET:
                true = 1.0 if counted >= f[relay + r + FULL_SHARE] and f[state + b * STATE + AMPS] < 0.0 else 0.0
            elif kind == CON_EMPTY and closed:
                if f[relay + r + OPENS_BELOW_V] > UNSET:
                    gap = lithium - f[relay + r + OPENS_BELOW_V]
                    true = 1.0 if gap <= 0.0 else 0.0
                if known and f[relay + r + EMPTY_SHARE] > UNSET and counted <= f[relay + r + EMPTY_SHARE]:
                    true = 1.0 if f[state + b * STATE + AMPS] > 0.0 else 0.0
            elif kind == CON_DISCHARGING and closed and f[relay + r + PARTS_A] > 0.0:
                # the lead that stands beside it; what goes on to another bus is no fault of it
                beside = int(f[relay + r + LEAD_BANK])
                into = -f[state + beside * STATE + AMPS] if beside >= 0 else 0.0
                charging = 0.0
                for s in range(o[SIZES + N_SOURCES]):
                    charging += f[gives + s * SOURCE_STATE + GIVES_A]
                if into > f[relay + r + PARTS_A] and charging < NOTHING_A and f[state + b * STATE + AMPS] > 0.0:
                    true = 1.0
            elif kind == LATCH_FREE and not closed and f[held + rs + FULL_LATCH] > 0.0:
                margin = f[relay + r + JOINS_BELOW_V] if f[relay + r + JOINS_BELOW_V] > 0.0 else 0.1 * scale
                gap = lithium + margin - bus
                # just parted, both are near each other: under the charger's voltage the bus has not fallen yet
                fallen = f[held + rs + FULL_LATCH] - margin - bus
                if fallen < gap:
                    gap = fallen
                true = 1.0 if gap >= 0.0 else 0.0
        elif kind <= BMS_WARM:
            b, now = item, item * STATE
            at = base_bank + b * BANK
            volts = f[v + b]
            if kind == BMS_HIGH:
                if int(f[state + now + CHARGE_BLOCKED]) % 2 == 0 and f[state + now + AMPS] <= 0.0:
                    ahead = (f[state + now + S] - HIGH_CELL_FROM) / (1.0 - HIGH_CELL_FROM)
                    if ahead > 0.0:
                        volts += f[bank + at + SPREAD_V] * (ahead if ahead < 1.0 else 1.0)
                    gap = volts - f[bank + at + HIGH_V]
                    true = 1.0 if gap >= 0.0 else 0.0
            elif kind == BMS_HIGH_FREE:
                if int(f[state + now + CHARGE_BLOCKED]) % 2 == 1:
                    gap = f[bank + at + HIGH_FREE_V] - emf_v(f, o, t, base_bank, b)
                    true = 1.0 if gap >= 0.0 or f[state + now + AMPS] > NOTHING_A else 0.0
            elif kind == BMS_LOW:
                if f[state + now + DISCHARGE_BLOCKED] == 0.0:
                    gap = volts - f[bank + at + LOW_V]
                    true = 1.0 if gap <= 0.0 else 0.0
            elif kind == BMS_LOW_FREE:
                if f[state + now + DISCHARGE_BLOCKED] == 1.0:
                    emf = emf_v(f, o, t, base_bank, b)
                    lifted = volts - emf - 0.2 * scale
                    if (
                        f[bank + at + SEPARATE] > 0.0
                        and f[state + now + AMPS] < -NOTHING_A
                        and emf >= f[bank + at + LOW_V]
                    ):
                        lifted = 1.0
                    high = emf - f[bank + at + LOW_FREE_V]
                    gap = high if high > lifted else lifted
                    true = 1.0 if gap >= 0.0 else 0.0
            elif kind == BMS_COLD:
                true = (
                    1.0
                    if f[state + now + CHARGE_BLOCKED] < 2.0 and f[state + now + WARM] < f[bank + at + COLD_C]
                    else 0.0
                )
            elif f[state + now + CHARGE_BLOCKED] >= 2.0 and f[state + now + CHARGE_BLOCKED] < 4.0:
                true = 1.0 if f[state + now + WARM] >= f[bank + at + WARM_C] else 0.0
        else:
            at, now = base_source + item * SOURCE, item * SOURCE_STATE
            stage = f[gives + now + STAGE]
            if kind == SRC_ABSORB:
                if stage == BULK:
                    limit = f[gives + now + AVAILABLE]
                    volts = f[v + int(f[where + item])]
                    if f[source + at + KIND] == SOLAR:
                        limit = solar_amps(f, source + at, limit, volts) if volts > 1.0 else limit
                    if volts >= f[source + at + ABSORB_V] - f[source + at + DROOP_OHM] * limit:
                        true = 1.0
            elif kind == SRC_TAIL:
                if (
                    stage == ABSORPTION
                    and f[source + at + TAIL_A] >= 0.0
                    and f[gives + now + GIVES_A] <= f[source + at + TAIL_A]
                ):
                    true = 1.0
            elif kind == SRC_TIMER:
                true = 1.0 if stage == ABSORPTION else 0.0
            elif kind == SRC_RESTART and stage == FLOAT and f[v + int(f[where + item])] < f[source + at + RESTART_V]:
                true = 1.0
        f[flag + k] = true
        if (true > 0.0) != (f[since + k] >= 0.0):
            moved = True
        if gap < 0.0:
            gap = -gap
        if gap < near:
            near = gap
    return near / scale, moved


@both
def due_s(f, o, t, base_source, k):
    """When a condition that is true acts [s of the run]."""
    since = f[o[M_SINCE] + k]
    kind, item = o[WATCHES + k * CONDITION], o[WATCHES + k * CONDITION + 1]
    relay, held = o[M_RELAY], o[M_RS]
    if kind <= VSR_RELEASE:
        due = since + f[relay + item * RELAY + DELAY_S]
        own = held + item * RELAY_STATE
        if f[own + HOUR_COUNT] > CHATTERS_PER_H and due - f[own + HOUR_FROM_S] < HOUR_S:
            # told as chatter already; more of it in a step would tell nothing and take for ever
            free = f[own + SWITCHED_S] + f[o[M_SET] + STEP_S]
            return due if due > free else free
        return due
    if kind == LATCH_FREE:
        return since
    if kind <= CON_DISCHARGING or kind == CON_COUNTED:
        wait = f[relay + item * RELAY + DELAY_S]
        if kind == CON_DISCHARGING:
            wait = DISCHARGING_S
        elif kind != CON_JOIN:
            wait = f[relay + item * RELAY + WAITS_S]
        free = f[held + item * RELAY_STATE + SWITCHED_S] + f[relay + item * RELAY + HOLD_S]
        return since + wait if since + wait > free else free
    if kind == BMS_HIGH_FREE or kind == BMS_LOW_FREE:
        return since + FREED_S
    if kind <= BMS_WARM:
        return since + MANAGEMENT_S
    if kind == SRC_ABSORB:
        return since
    if kind == SRC_TIMER:
        return since + f[o[M_SOURCE] + base_source + item * SOURCE + ABSORB_S]
    return since + CHARGER_S
