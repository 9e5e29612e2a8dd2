"""The run: slots of equal inputs, and steps within them that end at every switching."""

from proposal.studies.behaviour.kernel.acts import ROUNDING_S, act_due, next_due, take_flags
from proposal.studies.behaviour.kernel.banks import prepare
from proposal.studies.behaviour.kernel.books import commit, day_begins, record
from proposal.studies.behaviour.kernel.both import both
from proposal.studies.behaviour.kernel.columns import *
from proposal.studies.behaviour.kernel.conditions import NEAR_V, watch
from proposal.studies.behaviour.kernel.inputs import darkness, gives_now, slot_begins
from proposal.studies.behaviour.kernel.network import settle, take_slopes

LOCATED_S = 0.25
MOST_EVENTS_A_SLOT = 24
BIT_S = 1e-6


@both
def look(f, o, t, base_bank, base_source, length_s, at_end):
    """Settle a step of this length at its middle or its end; how near a relay is, and whether a condition changed."""
    prepare(f, o, t, base_bank, length_s, at_end)
    settle(f, o, t, base_bank, base_source)
    gives_now(f, o, t, base_source)
    f[o[M_AUDIT] + A_LOOKED] += 1.0
    return watch(f, o, t, base_bank, base_source)


@both
def keep(f, o, t, back):
    """Put what a step was settled at aside, or take it back."""
    kept = o[M_KEPT]
    for w in range(o[SIZES + N_PORTS] + o[SIZES + N_SEEN]):
        if back:
            f[o[M_V] + w], f[o[M_I] + w] = f[kept], f[kept + 1]
        else:
            f[kept], f[kept + 1] = f[o[M_V] + w], f[o[M_I] + w]
        kept += 2
    for b in range(o[SIZES + N_BANKS]):
        now = o[M_STATE] + b * STATE
        if back:
            f[now + AMPS], f[now + MAIN_A], f[now + SIDE_A] = f[kept], f[kept + 1], f[kept + 2]
            f[now + CHARGES] = f[kept + 3]
        else:
            f[kept], f[kept + 1], f[kept + 2] = f[now + AMPS], f[now + MAIN_A], f[now + SIDE_A]
            f[kept + 3] = f[now + CHARGES]
        kept += 4
    for s in range(o[SIZES + N_SOURCES]):
        now = o[M_SS] + s * SOURCE_STATE
        if back:
            f[now + GIVES_A] = f[kept]
        else:
            f[kept] = f[now + GIVES_A]
        kept += 1


@both
def nearest_change(f, o, t, base_bank, base_source, step_s):
    """The first instant in a step at which a condition changes, to a quarter of a second, by halving [s from now]."""
    low, high = 0.0, step_s
    while high - low > LOCATED_S:
        middle = 0.5 * (low + high)
        _, moved = look(f, o, t, base_bank, base_source, middle, True)
        if moved:
            high = middle
        else:
            low = middle
    return high


@both
def step_on(f, o, t, base_bank, base_source, now_s, length, locates):
    """Settle the next step at its middle, made so short that what changes in it changes at its end; its length [s]."""
    near, moved = look(f, o, t, base_bank, base_source, length, False)
    ended = False
    if locates and near < NEAR_V and not moved:
        keep(f, o, t, False)
        _, moved = look(f, o, t, base_bank, base_source, length, True)
        ended = True
    if moved and locates and length > LOCATED_S:
        length = nearest_change(f, o, t, base_bank, base_source, length)
        look(f, o, t, base_bank, base_source, length, True)
        take_flags(f, o, t, base_source, now_s + length)
        look(f, o, t, base_bank, base_source, length, False)
        return length
    if ended:
        keep(f, o, t, True)
    if moved:
        take_flags(f, o, t, base_source, now_s + length)
    return length


@both
def run(f, o, t, first_slot, last_slot):
    """Run slots from `first_slot` up to `last_slot`, counted from the first midnight. State is carried in `f`."""
    setting, audit = o[M_SET], o[M_AUDIT]
    slots, banks, step = o[SIZES + N_SLOTS], o[SIZES + N_BANKS], f[setting + STEP_S]
    every, locates = o[SIZES + RECORD_EVERY], f[setting + LOCATES] > 0.0
    width_bank, width_source = banks * BANK, o[SIZES + N_SOURCES] * SOURCE
    night = int(f[setting + NIGHT_FROM_S] / step)
    f[o[M_READY]] = -1.0  # parameters may have been changed between runs
    for number in range(first_slot, last_slot):
        day, slot = number // slots, number % slots
        slot_s = number * step
        season = int(t[o[M_SEASON] + day])
        base_bank, base_source = season * width_bank, season * width_source
        if slot == 0:
            day_begins(f, o, t, day)
        aboard = slot_begins(f, o, t, day, slot, slot_s, base_bank, base_source)
        if slot == 0 or number == first_slot:
            next_due(f, o, t, base_source)
        if number == first_slot:
            prepare(f, o, t, base_bank, step, False)
            take_slopes(f, o, t, base_bank, base_source)
        done, events = 0.0, 0
        while done < step - BIT_S:
            now_s = slot_s + done
            if f[audit + A_DUE_S] <= now_s + ROUNDING_S:
                if act_due(f, o, t, base_bank, base_source, now_s):
                    events += 1
            length = step - done
            due = f[audit + A_DUE_S] - now_s
            few = events < MOST_EVENTS_A_SLOT
            if due < length and few:
                length = due if due > LOCATED_S else LOCATED_S
            whole = length
            length = step_on(f, o, t, base_bank, base_source, now_s, length, locates and few)
            if length < whole:
                events += 1
            elif not few:
                f[audit + A_CAPPED] += 1.0
            commit(f, o, t, day, base_bank, base_source, now_s, length, aboard, slot)
            f[audit + A_SUBSTEPS] += 1.0
            done += length
        darkness(f, o, t, day, slot, slot_s + step, aboard)
        f[audit + A_STEPS] += 1.0
        if every > 0 and (number - first_slot) % every == 0:
            record(f, o, t, (number - first_slot) // every, slot_s + 0.5 * step, base_bank)
        if slot == night:
            share = 0.0
            for b in range(banks):
                share += f[o[M_HOUSE] + b] * f[o[M_STATE] + b * STATE + S]
            if share < f[setting + NIGHT_LOW]:
                book = day % o[SIZES + KEEP_DAYS] * (DAY + banks * DAY_BANK)
                f[o[M_DAYS] + book + D_NIGHT_LOW] = 1.0
    f[audit + A_TIME_S] = last_slot * step
    return 0


@both
def instant(f, o, t, base_bank, base_source, ahead_s):
    """Settle the network as everything stands, `ahead_s` into a steady current; False if it does not settle."""
    f[o[M_READY]] = -1.0
    prepare(f, o, t, base_bank, ahead_s, True)
    take_slopes(f, o, t, base_bank, base_source)
    well = settle(f, o, t, base_bank, base_source)
    gives_now(f, o, t, base_source)
    return well
