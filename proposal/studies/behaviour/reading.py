"""A machine's record and events → rows with the circuit's keys."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from proposal.facts import Values
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.lab import Lab
from proposal.studies.behaviour.machine import Array, Machine
from proposal.studies.behaviour.result import Audit, Event, EventCode, Quantity, Trace

SENSOR_12V, HYSTERESIS_12V, THRESHOLD_12V = 0.05, 0.05, 0.1
"""What a reading, a rest voltage's history and a relay's threshold may be off, at 12 V. Common practice, no source."""
FLICKER_S = 900.0
RELAY_CAUSES = {
    c.VSR_JOIN: "threshold", c.VSR_RELEASE: "threshold", c.CON_FULL: "full", c.CON_COUNTED: "counted",
    c.CON_EMPTY: "empty", c.CON_DISCHARGING: "discharging",
}  # fmt: skip


def tolerance_v(scale: float) -> float:
    """Margin below which an answer is uncertain [V]: √(threshold² + sensor² + hysteresis²)."""
    return float(scale * np.sqrt(THRESHOLD_12V**2 + SENSOR_12V**2 + HYSTERESIS_12V**2))


@dataclass
class Record:
    """Columns of a machine's record by name, rows by time."""

    machine: Machine

    def __post_init__(self) -> None:
        m = self.machine
        self.rows: Array = m.records
        ports, seen, banks = m.size(c.N_PORTS), m.size(c.N_SEEN), len(m.banks)
        self._bank = 1 + 2 * ports + seen
        self._relay = self._bank + 6 * banks
        self._source = self._relay + len(m.relays)
        self._engine = self._source + 4 * len(m.sources)
        self._group = self._engine + 2

    @property
    def time_s(self) -> Array:
        """Middle of each row's slot [s]."""
        return self.rows[:, 0]

    def port_v(self, port: int) -> Array:
        """Voltage of a port [V]."""
        return self.rows[:, 1 + 2 * port]

    def port_a(self, port: int) -> Array:
        """What enters the network at a port [A]."""
        return self.rows[:, 2 + 2 * port]

    def bank(self, bank: int, column: int) -> Array:
        """0 current given [A], 1 charge share, 2 temperature [°C], 3, 4 charge and discharge blocked, 5 resting [V]."""
        return self.rows[:, self._bank + 6 * bank + column]

    def closed(self, relay: int) -> Array:
        """1 where a relay is closed."""
        return self.rows[:, self._relay + relay]

    def source(self, source: int, column: int) -> Array:
        """0 stage, 1 current [A], 2 how hot (0 to 1), 3 stopped."""
        return self.rows[:, self._source + 4 * source + column]

    def engine(self, which: int = 0) -> Array:
        """1 where the engine (0) or the generator (1) runs."""
        return self.rows[:, self._engine + which]

    def group(self, group: int, column: int) -> Array:
        """0 amperes, 1 watts, 2 ohms × watts² of a group of loads."""
        return self.rows[:, self._group + 3 * group + column]

    def group_a(self, group: int) -> Array:
        """Current of a group of loads [A]."""
        volts = np.maximum(self.port_v(int(self.machine.block(c.M_GROUP, c.GROUP)[group, c.G_PORT])), 1.0)
        amps: Array = self.group(group, 0) + self.group(group, 1) / volts + self.group(group, 2) / volts**3
        return amps

    def loads_a(self) -> Array:
        """Current of all loads [A]."""
        return np.asarray(np.sum([self.group_a(g) for g in range(len(self.machine.groups))], axis=0))


def traces(lab: Lab, machine: Machine, first: int, every: int, *, banks_only: bool = False) -> tuple[Trace, ...]:
    """Lines of a timeline from the record's row `first` on, each `every` rows."""
    record, found = Record(machine), []

    def add(item: str, quantity: Quantity, values: Array, digits: int) -> None:
        found.append(Trace(item, quantity, tuple(round(v, digits) + 0.0 for v in values[first::every].tolist())))

    for bus in lab.circuit.buses:
        if bus.kind in ("main", "start") and bus.key in machine.port_of and not banks_only:
            add(bus.key, "voltage_v", record.port_v(machine.port_of[bus.key]), 3)
    for b, key in enumerate(machine.banks):
        add(key, "voltage_v", record.port_v(b), 3)
        if not banks_only:
            add(key, "current_a", record.bank(b, 0), 3)
        add(key, "charge_share", record.bank(b, 1), 5)
        if not banks_only and record.bank(b, 4).any():
            add(key, "closed", np.where(record.bank(b, 4) > 0.0, 0.0, 1.0), 0)
    if banks_only:
        return tuple(found)
    for s, key in enumerate(machine.sources):
        if record.source(s, 0).any():
            add(key, "current_a", record.source(s, 1), 3)
            add(key, "stage", record.source(s, 0), 0)
    add("loads", "current_a", -record.loads_a(), 3)
    for r, key in enumerate(machine.relays):
        if not key.endswith(".emergency"):
            add(key, "closed", record.closed(r), 0)
    return tuple(found)


CODES: dict[int, EventCode] = {
    c.E_JOINS: "relay_joins", c.E_PARTS: "relay_parts", c.E_SUN: "sun_begins", c.E_SUN_ENDS: "sun_ends",
    c.E_ENGINE_ON: "engine_on", c.E_ENGINE_OFF: "engine_off", c.E_ABSORPTION: "absorption", c.E_FLOAT: "float",
    c.E_BULK: "bulk", c.E_CHARGE_BLOCKED: "charge_blocked", c.E_DISCHARGE_BLOCKED: "discharge_blocked",
    c.E_CHARGE_FREED: "charge_freed", c.E_DISCHARGE_FREED: "discharge_freed", c.E_BANK_FULL: "bank_full",
    c.E_COLLAPSE: "collapse", c.E_LOAD_DARK: "load_dark", c.E_LOAD_BACK: "load_back", c.E_CHATTER: "chatter",
    c.E_GENERATOR_ON: "engine_on", c.E_GENERATOR_OFF: "engine_off",
}  # fmt: skip
OF_SOURCES = (c.E_SUN, c.E_SUN_ENDS, c.E_ABSORPTION, c.E_FLOAT, c.E_BULK)
OF_RELAYS = (c.E_JOINS, c.E_PARTS, c.E_CHATTER)
OF_LOADS = (c.E_LOAD_DARK, c.E_LOAD_BACK, c.E_COLLAPSE)
OF_ENGINES = (c.E_ENGINE_ON, c.E_ENGINE_OFF, c.E_GENERATOR_ON, c.E_GENERATOR_OFF)


def events(  # noqa: PLR0912 - one branch for each kind of event
    lab: Lab, machine: Machine, from_s: float, until_s: float
) -> tuple[Event, ...]:
    """What happened between two times, times from the first of them."""
    found: list[Event] = []
    began: dict[int, float] = {}
    for row in told_rows(machine):
        time_s, code, item, cause, figure = row[0], int(row[1]), int(row[2]), int(row[3]), row[4]
        if code in (c.E_ENGINE_ON, c.E_GENERATOR_ON):
            began[code] = time_s
        if not from_s <= time_s < until_s or code not in CODES:
            continue
        values: Values = {}
        key = item_of(lab, machine, code, item)
        if code in OF_ENGINES:
            values["charge_share"] = figure
            if code in (c.E_GENERATOR_ON, c.E_GENERATOR_OFF):
                values["cause"] = "generator"
            if code in (c.E_ENGINE_OFF, c.E_GENERATOR_OFF):
                on = c.E_ENGINE_ON if code == c.E_ENGINE_OFF else c.E_GENERATOR_ON
                values["hours_h"] = (time_s - began.get(on, time_s)) / 3600.0
        elif code in OF_SOURCES:
            if code not in (c.E_SUN, c.E_SUN_ENDS):
                values["voltage_v"] = figure
        else:
            values["voltage_v"] = figure
        if code == c.E_COLLAPSE:
            values["power_w"] = lab.circuit.load[key].current_a * lab.circuit.system_v
        if code in OF_RELAYS:
            values["cause"] = relay_cause(machine, item, cause, figure)
            bank = int(machine.block(c.M_RELAY, c.RELAY)[item, c.R_BANK])
            if bank >= 0:
                values["bank"] = machine.banks[bank]
            if code == c.E_CHATTER:
                values |= {"count": int(machine.arrays[c.M_SET][c.TROUBLE_PER_H]) + 1, "within_s": 3600.0}
        if code in (c.E_CHARGE_BLOCKED, c.E_DISCHARGE_BLOCKED):
            values["cause"] = {c.BMS_HIGH: "cell_high", c.BMS_COLD: "cold", c.BMS_LOW: "cell_low"}.get(cause, "forced")
        found.append(Event(round(time_s - from_s, 1), CODES[code], key, values))
    return tuple(found)


def told_rows(machine: Machine) -> list[list[float]]:
    """Rows of the kernel's events; of constant powers that collapse together only the strongest, whose doing it is."""
    rows: list[list[float]] = machine.events.tolist()
    watts = machine.block(c.M_LOAD, c.LOAD)[:, c.L_CURRENT]
    worst: dict[float, int] = {}
    for row in rows:
        if int(row[1]) == c.E_COLLAPSE:
            item = int(row[2])
            known = worst.get(row[0], item)
            worst[row[0]] = item if watts[item] >= watts[known] else known
    return [row for row in rows if int(row[1]) != c.E_COLLAPSE or worst[row[0]] == int(row[2])]


def relay_cause(machine: Machine, relay: int, cause: int, volts: float) -> str:
    """Why a relay switched, as a code."""
    if cause == c.CON_JOIN:
        row = machine.block(c.M_RELAY, c.RELAY)[relay]
        if row[c.JOINS_ABOVE_V] > -1e8 and volts >= row[c.JOINS_ABOVE_V]:
            return "bus_lifted"
        return "nearly_equal" if row[c.LITHIUM_ABOVE_V] > -1e8 else "bus_below"
    return RELAY_CAUSES.get(cause, "threshold")


def item_of(lab: Lab, machine: Machine, code: int, item: int) -> str:
    """Key of what an event of the kernel happened to."""
    if code in OF_RELAYS:
        return machine.relays[item]
    if code in OF_SOURCES:
        return machine.sources[item]
    if code in OF_LOADS:
        return machine.loads[item]
    if code in OF_ENGINES:
        kind = "generator" if code in (c.E_GENERATOR_ON, c.E_GENERATOR_OFF) else "alternator"
        return next((s.key for s in lab.circuit.sources if s.kind == kind), "engine")
    return machine.banks[item]


def darkened(machine: Machine, from_s: float, lasting_s: float) -> list[tuple[str, float, float]]:
    """Loads that went dark for longer than `lasting_s`, or to the end: key, since when [s from `from_s`], volts.

    One that comes back for less than `FLICKER_S` has been dark all the time.
    """
    spells: dict[int, list[list[float]]] = {}
    end_s = float(machine.arrays[c.M_AUDIT][c.A_TIME_S])
    for row in machine.events.tolist():
        code, item = int(row[1]), int(row[2])
        of_load = spells.setdefault(item, []) if code in (c.E_LOAD_DARK, c.E_LOAD_BACK) else []
        if code == c.E_LOAD_DARK:
            if of_load and row[0] - of_load[-1][1] < FLICKER_S:
                of_load[-1][1] = end_s
            else:
                of_load.append([row[0], end_s, row[4]])
        elif code == c.E_LOAD_BACK and of_load:
            of_load[-1][1] = row[0]
    found = []
    for item, of_load in spells.items():
        first = next((s for s in of_load if s[1] - s[0] >= lasting_s), None)
        if first is not None:
            found.append((first[0], item, first[2]))
    return [(machine.loads[item], since_s - from_s, volts) for since_s, item, volts in sorted(found)]


def audit_of(machines: Sequence[Machine]) -> Audit:
    """How well the books of some runs close, the worst of them."""
    charge, energy, steps, switchings, capped, unsettled = 0.0, 0.0, 0, 0, 0, 0
    for m in machines:
        state, rows = m.block(c.M_STATE, c.STATE), m.season_rows(c.M_BANK, c.BANK, len(m.banks))[0]
        books = m.arrays[c.M_AUDIT]
        for b in range(len(m.banks)):
            flowed = state[b, c.IN_AS] + state[b, c.OUT_AS] + state[b, c.SELF_AS]
            stored = state[b, c.IN_AS] - state[b, c.GAS_AS] - state[b, c.OUT_AS] - state[b, c.SELF_AS]
            counted = state[b, c.COULOMB] - state[b, c.COULOMB_REST]
            charge = max(charge, abs(stored - counted) / max(flowed, rows[b, c.Q_AS]))
        left = books[c.A_GIVEN_J] + books[c.A_BANKS_J] - books[c.A_NETWORK_J] - books[c.A_LOADS_J]
        energy = max(energy, abs(left) / max(books[c.A_GIVEN_J], abs(books[c.A_LOADS_J]), 1.0))
        steps += int(books[c.A_STEPS])
        switchings += int(m.block(c.M_RS, c.RELAY_STATE)[:, c.SWITCHINGS].sum()) if m.relays else 0
        capped += int(books[c.A_CAPPED])
        unsettled += int(books[c.A_UNSETTLED])
    return Audit(steps, float(charge), float(energy), switchings, capped, unsettled)
