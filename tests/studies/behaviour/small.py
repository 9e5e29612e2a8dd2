"""Machines made by hand: banks, resistances and loads with round figures, for closed forms. Node 0 is the negative."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from proposal.parts.chemistry import is_lead
from proposal.parts.dynamics import dynamics
from proposal.spec.pricebook import BatteryPart
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.kernel.run import instant
from proposal.studies.behaviour.machine import ARRAYS, Machine, lay_scratch
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
        self.shares, self.rest_v, self.start = tuple(shares), tuple(rest_v), start
        self.stored: tuple[Sequence[float], Sequence[float]] = ((0.0, 1.0), (efficiency, efficiency))


def real(part: BatteryPart, temperature_c: float, start: float) -> Cell:
    """One battery as the days take it: each figure of its `Dynamics` in its column."""
    own, row = dynamics(part, temperature_c), {}
    row[c.CAP] = own.capacity_ah / part.capacity_ah
    row[c.R0], row[c.R1], row[c.T1] = own.resistance_ohm, own.fast_ohm, own.fast_s
    row[c.R2], row[c.T2], row[c.CHARGE_MAX] = own.slow_ohm, own.slow_s, own.charge_max_a
    row[c.R_ACCEPT], row[c.KNEE], row[c.SURFACE] = own.charge_ohm, own.knee_share, own.surface_share
    row[c.GAS_A], row[c.GAS_V], row[c.GAS_PER_V] = own.gas_a, own.gas_v, own.gas_per_v
    row[c.RATE_POWER], row[c.RATE_A], row[c.RECOVER_S] = own.peukert - 1.0, own.rate_a, own.recovery_s
    row[c.HYST_V], row[c.HYST_SHARE], row[c.SELF_A] = own.hysteresis_v, own.hysteresis_share, own.self_discharge_a
    row[c.LEAD] = 1.0 if is_lead(part.chemistry) else 0.0
    row[c.FULL_V], row[c.FULL_TAIL_A] = own.full_v, own.tail_share * part.capacity_ah
    row[c.AMBIENT_C], row[c.SPREAD_V] = temperature_c, own.cell_spread_v * own.cells
    row[c.HEAT_J_PER_K], row[c.HEAT_TAU_S] = 1000.0 * part.mass_kg if part.mass_kg else 25_000.0, 8 * 3600.0
    if own.management is not None:
        held = own.management
        row[c.MANAGED], row[c.SEPARATE] = 1.0, 1.0 if held.separate_switches else 0.0
        row[c.HIGH_V], row[c.HIGH_FREE_V] = held.high_v, held.high_free_v
        row[c.LOW_V], row[c.LOW_FREE_V] = held.low_v, held.low_free_v
        row[c.COLD_C], row[c.WARM_C] = held.coldest_charge_c, held.coldest_warm_c
    found = Cell(part.capacity_ah, own.rest_share, own.rest_v, start, row)
    found.stored = (own.efficiency_share, own.efficiency)
    return found


def _as_long(values: Sequence[float], count: int, step: float) -> list[float]:
    """Values drawn on to a length by equal steps."""
    return [*values, *(values[-1] + step * (n + 1) for n in range(count - len(values)))]


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
    charger: Mapping[int, float] | None = None,
) -> Machine:  # fmt: skip
    """Bank n sits between node n + 1 and the negative; one load of steady `amps` and `watts` at a node.

    `vsr`: parameters by column of a relay between nodes 1 and 2, which senses node 1. `charger`: those of a shore
    charger at node 1. Banks with a management have its states.
    """
    count, slots = len(cells), round(DAY_S / step_s)
    z = ports_ohm(count, wires)
    if vsr is not None:
        seen = np.vstack([np.eye(count), np.eye(count)[0] - np.eye(count)[1]])
        z = seen @ z @ seen.T
    a = [np.zeros(1) for _ in range(ARRAYS)]
    sizes, setting = np.zeros(25), np.zeros(23)
    sizes[[c.N_BANKS, c.N_PORTS]], sizes[c.N_ALL] = count, len(z)
    sizes[c.FIRST_RELAY], sizes[c.N_GROUPS], sizes[c.RECORD_WIDTH] = count, 1, 1 + 8 * count + 2 + 3 + 1 + 4
    sizes[c.N_SEASONS], sizes[c.N_VARIANTS], sizes[c.N_SLOTS], sizes[c.KEEP_DAYS] = 1, 1, slots, days
    setting[c.STEP_S], setting[c.SCALE], setting[c.TOLERANCE], setting[c.LOW_LOAD_V] = step_s, 1.0, 1e-12, 1.0
    setting[c.CUT_BANK], setting[c.CUT_AT_S], setting[c.TROUBLE_PER_H] = -1.0, 1e18, 6.0
    setting[c.LOCATES] = 1.0
    a[c.M_SIZES], a[c.M_SET], a[c.M_Z] = sizes, setting, z.reshape(-1)
    _lay_banks(a, cells)
    _lay_devices(a, cells, vsr, charger)
    lay_scratch(a)
    a[c.M_V][:count] = [np.interp(cell.start, cell.shares, cell.rest_v) for cell in cells]
    group = np.zeros(c.GROUP)
    group[c.G_PORT], group[c.G_CUT_V], group[c.G_HEATS] = load_at - 1, -1e9, -1.0
    a[c.M_GROUP], a[c.M_GNOW] = group, np.zeros(c.G_NOW)
    a[c.M_LOAD], a[c.M_LS] = np.zeros(c.LOAD), np.zeros(c.LOAD_STATE)
    a[c.M_PAT_I], a[c.M_PAT_P] = np.full(2 * slots, amps), np.full(2 * slots, watts)
    a[c.M_PAT_W], a[c.M_PAT_ON] = np.zeros(2 * slots), np.zeros(2 * slots)
    a[c.M_CONV], a[c.M_EVENTS], a[c.M_AUDIT] = np.zeros(c.CONVERTER), np.zeros(c.EVENT), np.zeros(c.AUDIT)
    found = Machine(a, tuple(f"bank{n}" for n in range(count)), (), (), (), ("load",), (), (), {}, {}, ("one",))
    found.sun(np.zeros((1, 1, 25)))
    found.calendar(*(np.zeros(days) for _ in range(2)), np.ones(days), np.zeros(days), np.ones(days))
    return found


def _lay_banks(a: list[np.ndarray], cells: Sequence[Cell]) -> None:
    count, width = len(cells), max(len(cell.shares) for cell in cells)
    state = np.zeros((count, c.STATE))
    state[:, c.S] = [cell.start for cell in cells]
    state[:, c.WARM] = [cell.row[c.AMBIENT_C] for cell in cells]
    a[c.M_BANK], a[c.M_STATE] = np.concatenate([cell.row for cell in cells]), state.reshape(-1)
    a[c.M_REST_X] = np.concatenate([_as_long(cell.shares, width, 1.0) for cell in cells])
    a[c.M_REST_V] = np.concatenate([_as_long(cell.rest_v, width, 1e-6) for cell in cells])
    stored = [cell.stored for cell in cells]
    most = max(len(shares) for shares, _ in stored)
    a[c.M_SIZES][[c.N_CURVE, c.N_EFF]] = width, most
    a[c.M_EFF_X] = np.concatenate([_as_long(shares, most, 1e-3) for shares, _ in stored])
    a[c.M_EFF_V] = np.concatenate([_as_long(values, most, 0.0) for _, values in stored])
    a[c.M_HOUSE] = np.full(count, 1.0 / count)


def _lay_devices(
    a: list[np.ndarray], cells: Sequence[Cell], vsr: Mapping[int, float] | None, charger: Mapping[int, float] | None
) -> None:
    source, relay = np.zeros(c.SOURCE), np.zeros(c.RELAY)
    source[c.KIND], source[c.TAIL_A], source[c.FOR_S], source[c.ABSORB_S] = c.SHORE, -1.0, DAY_S, 1e9
    source[c.DROOP_OHM] = 1e-3
    relay[c.R_OHM], relay[c.SENSE_OTHER], relay[c.R_BANK] = 1e-3, -1.0, -1.0
    for row, stated in ((source, charger), (relay, vsr)):
        for column, value in (stated or {}).items():
            row[column] = value
    a[c.M_SOURCE], a[c.M_SS], a[c.M_SOURCE_PORT] = source, np.zeros(c.SOURCE_STATE), np.zeros(1)
    a[c.M_RELAY], a[c.M_RS] = relay, np.zeros(c.RELAY_STATE)
    watched = [(c.VSR_JOIN, 0), (c.VSR_RELEASE, 0)] if vsr is not None else []
    for b, cell in enumerate(cells):
        if cell.row[c.MANAGED]:
            watched += [(kind, b) for kind in range(c.BMS_HIGH, c.BMS_WARM + 1)]
    if charger is not None:
        watched += [(kind, 0) for kind in (c.SRC_ABSORB, c.SRC_TAIL, c.SRC_TIMER, c.SRC_RESTART)]
    a[c.M_COND] = np.array([*watched, (0, 0)], dtype=np.float64).reshape(-1)
    a[c.M_SINCE], a[c.M_FLAG] = np.full(len(watched) + 1, -1.0), np.zeros(len(watched) + 1)
    sizes = a[c.M_SIZES]
    sizes[c.N_CONDITIONS], sizes[c.N_RELAYS], sizes[c.N_SOURCES] = len(watched), vsr is not None, charger is not None


def run(found: Machine, slots: int, *, first: int = 0) -> None:
    """Run as plain Python: these are short."""
    found.run(first, first + slots, quick=False)


def state(found: Machine, bank: int, column: int) -> float:
    """One number of a bank's state."""
    return float(found.block(c.M_STATE, c.STATE)[bank, column])


def volts_now(found: Machine) -> np.ndarray:
    """Voltages of all ports at this instant, with the loads of the last slot still on."""
    assert found.call(instant, 0, 0, 0.0, quick=False)
    return found.arrays[c.M_V].copy()
