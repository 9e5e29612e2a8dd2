"""What relays, managements and chargers watch: which of it is true now, and how near the rest is."""

from proposal.studies.behaviour.kernel.banks import emf_v
from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import (
    ABSORB_S,
    ABSORB_V,
    ABSORPTION,
    AMPS,
    AVAILABLE,
    BANK,
    BMS_COLD,
    BMS_HIGH,
    BMS_HIGH_FREE,
    BMS_LOW,
    BMS_LOW_FREE,
    BMS_WARM,
    BULK,
    CHARGE_BLOCKED,
    CLOSED,
    COLD_C,
    CON_COUNTED,
    CON_DISCHARGING,
    CON_EMPTY,
    CON_FULL,
    CON_JOIN,
    CONDITION,
    COUNT_KNOWN,
    COUNT_OFFSET,
    DELAY_S,
    DISCHARGE_BLOCKED,
    DROOP_OHM,
    EMPTY_LATCH,
    EMPTY_SHARE,
    FLOAT,
    FULL_LATCH,
    FULL_SHARE,
    GIVES_A,
    HIGH_FREE_V,
    HIGH_V,
    HOLD_S,
    JOINS_ABOVE_V,
    JOINS_BELOW_V,
    JOINS_V,
    KIND,
    LATCH_FREE,
    LEAD,
    LITHIUM_ABOVE_V,
    LOW_FREE_V,
    LOW_V,
    M_BANK,
    M_COND,
    M_FLAG,
    M_RELAY,
    M_RS,
    M_SET,
    M_SINCE,
    M_SIZES,
    M_SOURCE,
    M_SOURCE_PORT,
    M_SS,
    M_STATE,
    M_V,
    N_BANKS,
    N_CONDITIONS,
    N_SOURCES,
    OFFSET_ONE_V,
    OFFSET_OTHER_V,
    OPENS_ABOVE_V,
    OPENS_BELOW_V,
    PARTS_A,
    R_BANK,
    RELAY,
    RELAY_STATE,
    RELEASES_V,
    RESTART_V,
    S,
    SCALE,
    SENSE_ONE,
    SENSE_OTHER,
    SEPARATE,
    SOLAR,
    SOURCE,
    SOURCE_STATE,
    SPREAD_V,
    SRC_ABSORB,
    SRC_RESTART,
    SRC_TAIL,
    SRC_TIMER,
    STAGE,
    STATE,
    SWITCHED_S,
    TAIL_A,
    VSR_JOIN,
    VSR_RELEASE,
    WAITS_S,
    WARM,
    WARM_C,
)
from proposal.studies.behaviour.kernel.network import seen_v

UNSET = -1e8
"""A threshold below this is none."""
NEAR_V = 0.06
"""A voltage nearer than this to a relay's threshold, at 12 V, is looked at again at the step's end."""
MANAGEMENT_S = 2.0
DISCHARGING_S = 600.0
CHARGER_S = 60.0
NOTHING_A = 0.05
HIGH_CELL_FROM = 0.9
"""Charge from which a strong cell runs ahead of the others: below it all are on the plateau."""


@both
def watch(m, base_bank, base_source):  # type: ignore[no-untyped-def]
    """Set each condition's flag for the voltages as they stand; how near the nearest relay's threshold is, at 12 V [V]."""
    sizes, cond, flag = m[M_SIZES], m[M_COND], m[M_FLAG]
    bank, state, relay, held = m[M_BANK], m[M_STATE], m[M_RELAY], m[M_RS]
    source, gives, where, v = m[M_SOURCE], m[M_SS], m[M_SOURCE_PORT], m[M_V]
    scale = m[M_SET][SCALE]
    near = 1e9
    for k in range(int(sizes[N_CONDITIONS])):
        kind, item = int(cond[k * CONDITION]), int(cond[k * CONDITION + 1])
        true = 0.0
        gap = 1e9
        if kind <= VSR_RELEASE:
            r, rs = item * RELAY, item * RELAY_STATE
            one = seen_v(m, int(relay[r + SENSE_ONE])) + relay[r + OFFSET_ONE_V]
            high = one
            if relay[r + SENSE_OTHER] >= 0.0:
                other = seen_v(m, int(relay[r + SENSE_OTHER])) + relay[r + OFFSET_OTHER_V]
                if other > high:
                    high = other
            if held[rs + CLOSED] > 0.0:
                if kind == VSR_RELEASE:
                    gap = high - relay[r + RELEASES_V]
                    true = 1.0 if gap < 0.0 else 0.0
            elif kind == VSR_JOIN:
                gap = high - relay[r + JOINS_V]
                true = 1.0 if gap >= 0.0 else 0.0
        elif kind <= LATCH_FREE or kind == CON_COUNTED:
            r, rs = item * RELAY, item * RELAY_STATE
            bus = seen_v(m, int(relay[r + SENSE_ONE])) + relay[r + OFFSET_ONE_V]
            lithium = seen_v(m, int(relay[r + SENSE_OTHER])) + relay[r + OFFSET_OTHER_V]
            closed = held[rs + CLOSED] > 0.0
            b = int(relay[r + R_BANK])
            counted = state[b * STATE + S] + held[rs + COUNT_OFFSET]
            known = held[rs + COUNT_KNOWN] > 0.0
            if kind == CON_JOIN and not closed:
                lifted = bus - relay[r + JOINS_ABOVE_V] if relay[r + JOINS_ABOVE_V] > UNSET else -1e9
                if held[rs + EMPTY_LATCH] > 0.0:
                    gap = lifted
                    true = 1.0 if lifted >= 0.0 else 0.0
                elif held[rs + FULL_LATCH] == 0.0:
                    fits = relay[r + JOINS_BELOW_V] - (bus - lithium) if relay[r + JOINS_BELOW_V] > UNSET else -1e9
                    if relay[r + LITHIUM_ABOVE_V] > UNSET:
                        other = relay[r + LITHIUM_ABOVE_V] - (lithium - bus)
                        if other < fits:
                            fits = other
                    gap = lifted if lifted > fits else fits
                    true = 1.0 if gap >= 0.0 else 0.0
            elif kind == CON_FULL and closed and relay[r + OPENS_ABOVE_V] > UNSET:
                gap = bus - relay[r + OPENS_ABOVE_V]
                true = 1.0 if gap >= 0.0 else 0.0
            elif kind == CON_COUNTED and closed and known and relay[r + FULL_SHARE] > UNSET:
                true = 1.0 if counted >= relay[r + FULL_SHARE] and state[b * STATE + AMPS] < 0.0 else 0.0
            elif kind == CON_EMPTY and closed:
                if relay[r + OPENS_BELOW_V] > UNSET:
                    gap = lithium - relay[r + OPENS_BELOW_V]
                    true = 1.0 if gap <= 0.0 else 0.0
                if known and relay[r + EMPTY_SHARE] > UNSET and counted <= relay[r + EMPTY_SHARE]:
                    true = 1.0 if state[b * STATE + AMPS] > 0.0 else 0.0
            elif kind == CON_DISCHARGING and closed and relay[r + PARTS_A] > 0.0:
                into = 0.0
                for x in range(int(sizes[N_BANKS])):
                    if bank[base_bank + x * BANK + LEAD] > 0.0 and state[x * STATE + AMPS] < 0.0:
                        into -= state[x * STATE + AMPS]
                charging = 0.0
                for s in range(int(sizes[N_SOURCES])):
                    charging += gives[s * SOURCE_STATE + GIVES_A]
                if into > relay[r + PARTS_A] and charging < NOTHING_A and state[b * STATE + AMPS] > 0.0:
                    true = 1.0
            elif kind == LATCH_FREE and not closed and held[rs + FULL_LATCH] > 0.0:
                margin = relay[r + JOINS_BELOW_V] if relay[r + JOINS_BELOW_V] > 0.0 else 0.1 * scale
                gap = lithium + margin - bus
                true = 1.0 if gap >= 0.0 else 0.0
        elif kind <= BMS_WARM:
            b, now = item, item * STATE
            at = base_bank + b * BANK
            volts = v[b]
            if kind == BMS_HIGH:
                if int(state[now + CHARGE_BLOCKED]) % 2 == 0 and state[now + AMPS] <= 0.0:
                    ahead = (state[now + S] - HIGH_CELL_FROM) / (1.0 - HIGH_CELL_FROM)
                    if ahead > 0.0:
                        volts += bank[at + SPREAD_V] * (ahead if ahead < 1.0 else 1.0)
                    gap = volts - bank[at + HIGH_V]
                    true = 1.0 if gap >= 0.0 else 0.0
            elif kind == BMS_HIGH_FREE:
                if int(state[now + CHARGE_BLOCKED]) % 2 == 1:
                    gap = bank[at + HIGH_FREE_V] - emf_v(m, base_bank, b)
                    true = 1.0 if gap >= 0.0 or state[now + AMPS] > NOTHING_A else 0.0
            elif kind == BMS_LOW:
                if state[now + DISCHARGE_BLOCKED] == 0.0:
                    gap = volts - bank[at + LOW_V]
                    true = 1.0 if gap <= 0.0 else 0.0
            elif kind == BMS_LOW_FREE:
                if state[now + DISCHARGE_BLOCKED] == 1.0:
                    emf = emf_v(m, base_bank, b)
                    lifted = volts - emf - 0.2 * scale
                    if bank[at + SEPARATE] > 0.0 and state[now + AMPS] < -NOTHING_A and emf >= bank[at + LOW_V]:
                        lifted = 1.0
                    high = emf - bank[at + LOW_FREE_V]
                    gap = high if high > lifted else lifted
                    true = 1.0 if gap >= 0.0 else 0.0
            elif kind == BMS_COLD:
                true = 1.0 if state[now + CHARGE_BLOCKED] < 2.0 and state[now + WARM] < bank[at + COLD_C] else 0.0
            elif state[now + CHARGE_BLOCKED] >= 2.0 and state[now + CHARGE_BLOCKED] < 4.0:
                true = 1.0 if state[now + WARM] >= bank[at + WARM_C] else 0.0
        else:
            at, now = base_source + item * SOURCE, item * SOURCE_STATE
            stage = gives[now + STAGE]
            if kind == SRC_ABSORB:
                if stage == BULK:
                    limit = gives[now + AVAILABLE]
                    volts = v[int(where[item])]
                    if source[at + KIND] == SOLAR:
                        limit = limit / volts if volts > 1.0 else limit
                    if volts >= source[at + ABSORB_V] - source[at + DROOP_OHM] * limit:
                        true = 1.0
            elif kind == SRC_TAIL:
                if stage == ABSORPTION and source[at + TAIL_A] >= 0.0 and gives[now + GIVES_A] <= source[at + TAIL_A]:
                    true = 1.0
            elif kind == SRC_TIMER:
                true = 1.0 if stage == ABSORPTION else 0.0
            elif kind == SRC_RESTART and stage == FLOAT and v[int(where[item])] < source[at + RESTART_V]:
                true = 1.0
        flag[k] = true
        if gap < 0.0:
            gap = -gap
        if gap < near:
            near = gap
    return near / scale


@both
def due_s(m, base_source, k):  # type: ignore[no-untyped-def]
    """When a condition that is true acts [s of the run]."""
    cond, since = m[M_COND], m[M_SINCE][k]
    kind, item = int(cond[k * CONDITION]), int(cond[k * CONDITION + 1])
    relay, held = m[M_RELAY], m[M_RS]
    if kind <= VSR_RELEASE:
        return since + relay[item * RELAY + DELAY_S]
    if kind == LATCH_FREE:
        return since
    if kind <= CON_DISCHARGING or kind == CON_COUNTED:
        wait = relay[item * RELAY + DELAY_S]
        if kind == CON_DISCHARGING:
            wait = DISCHARGING_S
        elif kind != CON_JOIN:
            wait = relay[item * RELAY + WAITS_S]
        free = held[item * RELAY_STATE + SWITCHED_S] + relay[item * RELAY + HOLD_S]
        return since + wait if since + wait > free else free
    if kind <= BMS_WARM:
        return since + MANAGEMENT_S
    if kind == SRC_ABSORB:
        return since
    if kind == SRC_TIMER:
        return since + m[M_SOURCE][base_source + item * SOURCE + ABSORB_S]
    return since + CHARGER_S
