"""Machines made by hand: banks, resistances and loads with round figures, for closed forms. Node 0 is the negative."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.kernel.banks import decays
from proposal.studies.behaviour.kernel.network import settle
from proposal.studies.behaviour.machine import ARRAYS, Machine
from proposal.studies.network.apart import ANCHOR_OHM

DAY_S = 86400.0
PLAIN = {c.CAP: 1.0, c.T1: 1.0, c.T2: 1.0, c.CHARGE_MAX: 1e9, c.HYST_SHARE: 1.0, c.RECOVER_S: 3600.0, c.RATE_A: 1e9,
         c.FULL_V: 1e9, c.HEAT_J_PER_K: 1e9, c.HEAT_TAU_S: 1e9, c.AMBIENT_C: 25.0}  # fmt: skip


class Cell:
    """A bank: its charge [Ah], its rest curve, and parameters by column; no losses but those that are set."""

    def __init__(
        self, charge_ah: float, shares: Sequence[float], rest_v: Sequence[float], start: float = 0.5,
        parameters: Mapping[int, float] | None = None, efficiency: float = 1.0,
    ) -> None:  # fmt: skip
        self.row = np.zeros(c.BANK)
        for column, value in {**PLAIN, **(parameters or {})}.items():
            self.row[column] = value
        self.row[c.Q_AS] = charge_ah * 3600.0
        self.shares, self.rest_v, self.start, self.efficiency = tuple(shares), tuple(rest_v), start, efficiency


def ports_ohm(nodes: int, wires: Sequence[tuple[int, int, float]]) -> np.ndarray:
    """Transfer resistances between nodes 1 … and node 0 [ohm]: the inverse of the matrix of conductances."""
    y = np.zeros((nodes, nodes))
    for one, other, ohm in [*wires, *((n, 0, ANCHOR_OHM) for n in range(1, nodes + 1))]:
        for end, far in ((one, other), (other, one)):
            if end:
                y[end - 1, end - 1] += 1.0 / ohm
                if far:
                    y[end - 1, far - 1] -= 1.0 / ohm
    return np.linalg.inv(y)


def machine(
    cells: Sequence[Cell], wires: Sequence[tuple[int, int, float]] = (), *, amps: float = 0.0, watts: float = 0.0,
    load_at: int = 1, step_s: float = 60.0, days: int = 1, vsr: Mapping[int, float] | None = None,
) -> Machine:  # fmt: skip
    """Bank n sits between node n + 1 and the negative; one load of steady `amps` and `watts` at a node.

    `vsr`: parameters by column of a relay between nodes 1 and 2, which senses node 1.
    """
    count, slots = len(cells), round(DAY_S / step_s)
    z = ports_ohm(count, wires)
    if vsr is not None:
        seen = np.vstack([np.eye(count), np.eye(count)[0] - np.eye(count)[1]])
        z = seen @ z @ seen.T
    width = max(len(cell.shares) for cell in cells)
    assert all(len(cell.shares) == width for cell in cells)
    a = [np.zeros(1) for _ in range(ARRAYS)]
    sizes, setting = np.zeros(25), np.zeros(22)
    sizes[[c.N_BANKS, c.N_PORTS]], sizes[c.N_ALL] = count, len(z)
    sizes[c.FIRST_RELAY], sizes[c.N_GROUPS], sizes[c.N_CURVE], sizes[c.N_EFF] = count, 1, width, 2
    sizes[c.N_SEASONS], sizes[c.N_VARIANTS], sizes[c.N_SLOTS], sizes[c.KEEP_DAYS] = 1, 1, slots, days
    sizes[c.N_DAYS_OF_YEAR], sizes[c.RECORD_WIDTH] = 1, 1 + 8 * count + 2 + 3
    setting[c.STEP_S], setting[c.SCALE], setting[c.TOLERANCE], setting[c.LOW_LOAD_V] = step_s, 1.0, 1e-12, 1.0
    setting[c.CUT_BANK], setting[c.CUT_AT_S], setting[c.TROUBLE_PER_H] = -1.0, 1e18, 6.0
    a[c.M_SIZES], a[c.M_SET], a[c.M_Z], a[c.M_ZG] = sizes, setting, z.reshape(-1), z.reshape(-1).copy()
    for which in (c.M_G, c.M_V, c.M_I, c.M_D, c.M_RHS, c.M_COL):
        a[which] = np.zeros(len(z))
    state = np.zeros((count, c.STATE))
    state[:, c.S], state[:, c.WARM] = [cell.start for cell in cells], 25.0
    a[c.M_V][:count] = [np.interp(cell.start, cell.shares, cell.rest_v) for cell in cells]
    a[c.M_BANK], a[c.M_STATE] = np.concatenate([cell.row for cell in cells]), state.reshape(-1)
    a[c.M_REST_X] = np.concatenate([cell.shares for cell in cells])
    a[c.M_REST_V] = np.concatenate([cell.rest_v for cell in cells])
    a[c.M_EFF_X] = np.tile([0.0, 1.0], count)
    a[c.M_EFF_V] = np.repeat([cell.efficiency for cell in cells], 2)
    a[c.M_DECAY] = np.zeros(2 * count)
    group = np.zeros(c.GROUP)
    group[c.G_PORT], group[c.G_CUT_V], group[c.G_HEATS] = load_at - 1, -1e9, -1.0
    a[c.M_GROUP], a[c.M_GNOW] = group, np.zeros(c.G_NOW)
    a[c.M_LOAD], a[c.M_LS] = np.zeros(c.LOAD), np.zeros(c.LOAD_STATE)
    a[c.M_PAT_I], a[c.M_PAT_P] = np.full(2 * slots, amps), np.full(2 * slots, watts)
    a[c.M_PAT_W], a[c.M_PAT_ON] = np.zeros(2 * slots), np.zeros(2 * slots)
    a[c.M_SOURCE], a[c.M_SS] = np.zeros(c.SOURCE), np.zeros(c.SOURCE_STATE)
    relay = np.zeros(c.RELAY)
    relay[c.R_OHM], relay[c.SENSE_OTHER], relay[c.R_BANK] = 1e-3, -1.0, -1.0
    for column, value in (vsr or {}).items():
        relay[column] = value
    a[c.M_RELAY], a[c.M_RS] = relay, np.zeros(c.RELAY_STATE)
    a[c.M_COND] = np.array([c.VSR_JOIN, 0.0, c.VSR_RELEASE, 0.0])
    a[c.M_SINCE], a[c.M_FLAG] = np.full(3, -1.0), np.zeros(3)
    if vsr is not None:
        sizes[c.N_RELAYS], sizes[c.N_CONDITIONS] = 1, 2
    a[c.M_CONV], a[c.M_EVENTS], a[c.M_AUDIT] = np.zeros(c.CONVERTER), np.zeros(c.EVENT), np.zeros(c.AUDIT)
    a[c.M_HOUSE] = np.full(count, 1.0 / count)
    a[c.M_SUN] = np.zeros(25)
    found = Machine(a, tuple(f"bank{n}" for n in range(count)), (), (), (), ("load",), (), (), {}, {}, ("one",))
    found.calendar(*(np.zeros(days) for _ in range(2)), np.ones(days), np.zeros(days), np.ones(days))
    return found


def run(found: Machine, slots: int, *, first: int = 0) -> None:
    """Run as plain Python: these are short."""
    found.run(first, first + slots, quick=False)


def state(found: Machine, bank: int, column: int) -> float:
    """One number of a bank's state."""
    return float(found.block(c.M_STATE, c.STATE)[bank, column])


def volts_now(found: Machine) -> np.ndarray:
    """Voltages of all ports at this instant, with the loads of the last slot still on."""
    found.call(decays, 0, 0.0, quick=False)
    assert found.call(settle, 0, 0, 0.0, quick=False)
    return found.arrays[c.M_V].copy()
