"""Writes a day of a machine as a netlist of the whole circuit for ngspice: every conductor, device, string and load.

The laws are those of the kernel's docstrings in continuous time, written anew as behavioural sources: nothing of the
kernel's step, reduction or iteration has a part in it. What the day brings (use, sun, engine, a charger's stage) comes
in as steps with soft edges. Relays are conductances that follow a latch; a latch, its timers and its hold-off are
charges on capacitors, their comparisons soft (tanh). Nodes are numbers: no text of a user reaches a netlist.
"""

from __future__ import annotations

import subprocess
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.kernel.banks import EMPTY_KNEE
from proposal.studies.behaviour.machine import Machine
from proposal.studies.network.apart import OPEN_OHM
from proposal.studies.network.assemble import branch_ohms
from proposal.studies.network.case import Case, emergency_keys
from proposal.studies.network.frame import frame_of

DAY_S = 86400
STEP_S = 2
OPTIONS = ".options reltol=1e-4 abstol=1e-9 vntol=1e-7 chgtol=1e-9 gmin=1e-15 itl4=100 method=gear maxord=2"
EDGE_S = 0.5
SOFT_V = 1e-4
"""Width of a comparison of voltages; of a corner of a charger's law, `SOFT_A`."""
SOFT_A = 0.05
LAG_S, DECIDES_S = 0.5, 0.1
OUTPUT_F = 1.0
"""Capacity at a charger's output: without it Newton's method jumps to and fro over the narrow band of regulation."""
SHARES_PER_VOLT = 0.01


@dataclass
class Deck:
    """The netlist while it grows, and the nodes that are to be read back."""

    machine: Machine
    circuit: Circuit
    family: RuleFamily
    season: int = 0
    lines: list[str] = field(default_factory=list)
    node: dict[str, int] = field(default_factory=dict)
    used: int = 0
    elements: int = 0
    watch: dict[str, str] = field(default_factory=dict)

    # --- elements -----------------------------------------------------------------------------------------------------

    def fresh(self) -> int:
        self.used += 1
        return self.used

    def add(self, letter: str, one: int, other: int, value: str) -> str:
        self.elements += 1
        self.lines.append(f"{letter}{self.elements} {one} {other} {value}")
        return f"{letter}{self.elements}"

    def value(self, expression: str) -> str:
        """A node that has the value of an expression."""
        n = self.fresh()
        self.add("B", n, 0, f"v={expression}")
        return f"v({n})"

    def state(self, start: float, rate: str) -> str:
        """A node whose voltage begins at `start` and grows by `rate` each second; `rate` may name it as `@`."""
        n = self.fresh()
        self.add("C", n, 0, "1")
        self.add("B", 0, n, "i=" + rate.replace("@", f"v({n})"))
        self.lines.append(f".ic v({n})={start!r}")
        return f"v({n})"

    def steps(self, times: np.ndarray, values: np.ndarray) -> str:
        """A node that goes from value to value, with soft edges about the times."""
        keep = np.r_[True, np.diff(values) != 0.0]
        times, values = times[keep], values[keep]
        if len(values) == 1:
            return repr(float(values[0]))
        points = [(0.0, values[0])]
        for at, before, after in zip(times[1:], values[:-1], values[1:], strict=True):
            points += [(at - EDGE_S, before), (at + EDGE_S, after)]
        n = self.fresh()
        text = "\n+ ".join(f"{t:.10g} {v:.9g}" for t, v in _rising(points))
        self.add("V", n, 0, f"pwl(\n+ {text})")
        return f"v({n})"

    def across(self, one: str, other: str) -> str:
        a, b = self.node[one], self.node[other]
        return f"(v({a})-v({b}))" if a and b else f"v({a})" if a else f"(-v({b}))"

    def inject(self, one: str, other: str, amps: str) -> None:
        """A current out of `other` and into `one`."""
        self.add("B", self.node[other], self.node[one], f"i={amps}")

    # --- the whole ----------------------------------------------------------------------------------------------------

    def build(self, floats: dict[int, list[tuple[float, float]]], engine: list[tuple[float, float]]) -> Deck:
        """Everything. `floats`: when each source is at its float voltage; `engine`: when the engine runs [s]."""
        self._wires()
        self._banks()
        self._loads()
        self._sources(floats, engine)
        self._relays()
        return self

    def _wires(self) -> None:
        circuit, machine = self.circuit, self.machine
        frame = frame_of(circuit, Case("days", "20", 0.5, closed_devices=emergency_keys(circuit)))
        self.node[circuit.reference] = 0
        for name in frame.nodes:
            if name != circuit.reference:
                self.node[name] = self.fresh()
                self.add("R", self.node[name], 0, "1e9")
                self.lines.append(f".nodeset v({self.node[name]})={12.5 * circuit.system_v / 12}")
        usual_c = np.array([circuit.place[circuit.conductors[n].place].usual_c for n in frame.conductors])
        ohms = branch_ohms(circuit, frame, self.family, usual_c)
        for n, ohm in zip(frame.conductors, ohms, strict=False):
            wire = circuit.conductors[n]
            self.add("R", self.node[wire.from_node], self.node[wire.to_node], repr(float(ohm)))
        for n, ohm in zip(frame.devices, ohms[len(frame.conductors) :], strict=True):
            device = circuit.devices[n]
            if device.key not in machine.relays:
                self.add("R", self.node[device.from_node], self.node[device.to_node], repr(float(ohm)))

    # --- banks --------------------------------------------------------------------------------------------------------

    def _banks(self) -> None:
        machine = self.machine
        rows = machine.season_rows(c.M_BANK, c.BANK, len(machine.banks))[self.season]
        states = machine.block(c.M_STATE, c.STATE)
        self.share: list[list[str]] = []
        self.gives: list[str] = []
        for b, bank in enumerate(self.circuit.banks):
            shares, volts, amps = [], [], []
            for key in bank.strings:
                string = self.circuit.battery[key]
                s, given = self._string(
                    b, rows[b].tolist(), states[b].tolist(), len(bank.strings), string.positive, string.negative
                )
                shares.append(s)
                amps.append(given)
                volts.append(self.across(string.positive, string.negative))
            self.share.append(shares)
            self.gives.append(self.value("+".join(amps)))
            self.watch[f"g{b}"] = self.gives[b]
            self.watch[f"s{b}"] = self.value("(" + "+".join(shares) + f")/{len(shares)}")
            self.watch[f"v{b}"] = self.value("(" + "+".join(volts) + f")/{len(volts)}")

    def _table(self, which: int, values: int, width: int, b: int) -> tuple[np.ndarray, np.ndarray]:
        rows = slice(b * width, (b + 1) * width)
        x, y = self.machine.arrays[which][rows], self.machine.arrays[values][rows]
        keep = x <= 1.0  # beyond it, rows are there for width alone
        return x[keep], y[keep]

    def _string(
        self, b: int, row: list[float], start: list[float], strings: int, one: str, other: str
    ) -> tuple[str, str]:
        sizes, n = self.machine.arrays[c.M_SIZES], strings
        charge = row[c.Q_AS] / n
        r0, r1, r2 = row[c.R0] * n, row[c.R1] * n, row[c.R2] * n
        x, y = self._table(c.M_REST_X, c.M_REST_V, int(sizes[c.N_CURVE]), b)
        x = np.r_[-1.0, x, 2.0]
        ends = (y[1] - y[0]) / (x[2] - x[1]), (y[-1] - y[-2]) / (x[-2] - x[-3])
        y = np.r_[y[0] - (x[1] + 1.0) * ends[0], y, y[-1] + (2.0 - x[-2]) * ends[1]]
        ex, ey = self._table(c.M_EFF_X, c.M_EFF_V, int(sizes[c.N_EFF]), b)
        now = self.fresh()  # what it gives [A], as a voltage
        given = f"v({now})"
        main = self.fresh()
        charging = f"v({main})"
        power, rate = row[c.RATE_POWER], row[c.RATE_A] / n
        factor = (
            f"(({given}>{rate!r}) ? pow(max({given},{rate!r})/{rate!r},{float(power)!r}) : 1)" if power > 0 else "1"
        )
        factor = self.value(factor)
        charged = self.fresh()
        share = f"v({charged})"
        stored_share = self.value(
            f"0.5*(1+tanh((1-{share})/1e-5))*pwl({share},{_points(np.r_[-1, ex, 3], np.r_[ey[0], ey, ey[-1]])})"
        )
        moved = f"(({given}>0) ? -{given} : {stored_share}*{charging})"
        grown = self.state(0.0, f"({moved}-{row[c.SELF_A] / n!r})/{charge * SHARES_PER_VOLT!r}")
        self.add("B", charged, 0, f"v={float(start[c.S])!r}+{SHARES_PER_VOLT}*{grown}")
        put = f"(({factor}>1) ? ({factor}-1)*{given}/{charge!r} : -@/{float(row[c.RECOVER_S])!r})"
        away = self.state(float(start[c.W]), put) if power > 0 else "0"
        reach = self.value(f"1-(1-{share}+{away})/{float(row[c.CAP] - start[c.SULPHATED])!r}")
        rest = self.value(f"pwl({reach},{_points(x, y)})")
        bend = self.value(
            f"{row[c.R_ACCEPT] * n!r}*{share}/max(1+{float(row[c.KNEE])!r}-{share},1e-4)"
            if row[c.R_ACCEPT] > 0
            else "0"
        )
        through = f"(({given}>0) ? {given} : -{charging})"
        v1 = self.state(float(start[c.V1]), f"({r1!r}*{through}-@)/{float(row[c.T1])!r}")
        slow = f"({r2!r}+(({given}>0) ? 0 : {float(row[c.SURFACE])!r}*{bend}))"
        v2 = self.state(float(start[c.V2]), f"({slow}*{through}-@)/{float(row[c.T2])!r}")
        swing = "0"
        if row[c.HYST_V] > 0:
            turned = f"(({given}>0) ? {given}*{factor} : {stored_share}*{charging})"
            to = f"(({given}>0) ? -1 : 1)"
            swings = self.state(float(start[c.Y]), f"({to}-@)*{turned}/{charge * row[c.HYST_SHARE]!r}")
            swing = self.value(f"{float(row[c.HYST_V])!r}*{swings}")
        emf = self.value(f"{rest}+{swing}-{v1}-{v2}")
        across = self.across(one, other)
        empty = f"{row[c.R_EMPTY] * n!r}*(1-{reach})/max({EMPTY_KNEE}+{reach},1e-4)" if row[c.R_EMPTY] > 0 else "0"
        out_ohm = self.value(f"{r0!r}+{empty}")
        in_ohm = self.value(f"{r0!r}+{bend}*{1 - row[c.SURFACE]!r}")
        self.add("B", main, 0, f"v=min(max({across}-{emf},0)/{in_ohm},{row[c.CHARGE_MAX] / n!r})")
        side = "0"
        if row[c.GAS_A] > 0:
            a, k, at = row[c.GAS_A] / n, float(row[c.GAS_PER_V]), float(row[c.GAS_V])
            gas = [f"{a!r}*exp(min({k!r}*({u}-{at!r}),12))" for u in (across, emf)]
            side = f"max({gas[0]}-{gas[1]},0)"
        self.add("B", now, 0, f"v=(({across}<{emf}) ? ({emf}-{across})/{out_ohm} : -{charging}-{side})")
        self.inject(one, other, given)
        return share, given

    # --- loads and sources --------------------------------------------------------------------------------------------

    def _loads(self) -> None:
        machine = self.machine
        sizes, load_rows = machine.arrays[c.M_SIZES], machine.block(c.M_LOAD, c.LOAD)
        variants, slots, count = (int(sizes[k]) for k in (c.N_VARIANTS, c.N_SLOTS, c.N_LOADS))
        on = machine.arrays[c.M_PAT_ON].reshape(2, variants, slots, count)
        on = on[int(machine.arrays[c.M_ABOARD][0]), int(machine.arrays[c.M_VARIANT][0])]
        times, system_v = np.arange(slots) * (86400.0 / slots), machine.arrays[c.M_SET][c.SYSTEM_V]
        by_key = {load.key: load for load in self.circuit.loads}
        for x, key in enumerate(machine.loads):
            load, row = by_key[key], load_rows[x]
            if load.positive not in self.node:
                continue
            amps = on[:, x] * row[c.L_CURRENT]
            across = self.across(load.positive, load.negative)
            if row[c.L_CONSTANT_POWER] > 0:
                watts = self.steps(times, amps * system_v + row[c.L_IDLE_W])
                self.inject(load.negative, load.positive, f"{watts}/max({across},1)")
            else:
                given = self.steps(times, amps)
                self.inject(load.negative, load.positive, f"{given}+{float(row[c.L_IDLE_W])!r}/max({across},1)")

    def _sources(self, floats: dict[int, list[tuple[float, float]]], engine: list[tuple[float, float]]) -> None:
        machine, sizes = self.machine, self.machine.arrays[c.M_SIZES]
        rows = machine.season_rows(c.M_SOURCE, c.SOURCE, len(machine.sources))[self.season]
        sun = machine.arrays[c.M_SUN].reshape(len(machine.sources), -1, 25)[:, int(machine.arrays[c.M_DOY][0])]
        slots = int(sizes[c.N_SLOTS])
        middles = (np.arange(slots) + 0.5) / slots * 24.0
        times = np.arange(slots) * (86400.0 / slots)
        self.charge_a: list[str] = []
        for s, source in enumerate(self.circuit.sources):
            row = rows[s].tolist()
            one, other = machine.pairs[machine.port_of[source.key]]
            if one not in self.node:
                continue
            set_v = repr(float(row[c.ABSORB_V]))
            if s in floats:
                marks = [(0.0, row[c.ABSORB_V])]
                for begins, ends in floats[s]:
                    marks += [(begins, row[c.FLOAT_V]), (ends, row[c.ABSORB_V])]
                set_v = self.steps(np.array([m[0] for m in marks]), np.array([m[1] for m in marks]))
            across = self.across(one, other)
            wanted = self.value(f"({set_v}-{across})/{float(row[c.DROOP_OHM])!r}")
            n = self.fresh()
            amps = f"v({n})"
            if row[c.KIND] == c.SOLAR:
                watts = np.interp(middles, np.arange(25), sun[s]) * machine.arrays[c.M_CLEAR][0]
                watts = self.steps(times, np.where(watts > 2.0, watts, 0.0))
                own = self.across(source.positive, source.negative)
                limit = self.value(f"min({watts}/max({own},1),{float(row[c.LIMIT_A])!r})")
            elif row[c.KIND] == c.ALTERNATOR:
                runs = self.steps(*_windows(engine))
                heat = self.state(0.0, f"(min(pow({amps}/{float(row[c.HOT_A])!r},2),1)-@)/{float(row[c.HOT_TAU_S])!r}")
                falls = float(row[c.COLD_A] - row[c.HOT_A])
                limit = self.value(f"{runs}*min({float(row[c.COLD_A])!r}-{falls!r}*{heat},{float(row[c.LIMIT_A])!r})")
            else:
                assert row[c.KIND] in (c.SHORE, c.GENERATOR)
                runs = self.steps(*_windows([(row[c.FROM_S], row[c.FROM_S] + row[c.FOR_S])]))
                limit = self.value(f"{runs}*{float(row[c.LIMIT_A])!r}")
            # the lesser of both, its corner rounded, and none below zero
            least = f"0.5*({wanted}+{limit}-sqrt(pow({wanted}-{limit},2)+{SOFT_A**2}))"
            self.add("B", n, 0, f"v=max({least},0)")
            self.inject(source.positive, source.negative, amps)  # wherever it senses
            self.add("C", self.node[one], self.node[other], f"{OUTPUT_F}")
            self.charge_a.append(amps)
            self.watch[f"source{s}"] = amps

    # --- relays -------------------------------------------------------------------------------------------------------

    def _relays(self) -> None:
        machine = self.machine
        rows, states = machine.block(c.M_RELAY, c.RELAY), machine.block(c.M_RS, c.RELAY_STATE)
        device = {d.key: d for d in self.circuit.devices}
        conditions = {(int(k), int(i)) for k, i in machine.block(c.M_COND, c.CONDITION)}
        for r, key in enumerate(machine.relays):
            row, d = rows[r].tolist(), device[key]
            if d.from_node not in self.node:
                continue
            # what is decided comes before the contact moves: a contact half way would undo its own reason
            decided = self.fresh()
            wanted = f"v({decided})"
            if (c.VSR_JOIN, r) in conditions:
                joins, parts = self._vsr(row, wanted)
            elif (c.CON_JOIN, r) in conditions:
                joins, parts = self._contactor(row, wanted)
            else:
                joins, parts = "0", "0"
            self.add("C", decided, 0, "1")
            holds = f"4*{wanted}*(1-{wanted})*(2*{wanted}-1)"
            self.add("B", 0, decided, f"i=({joins}*(1-{wanted})-{parts}*{wanted}+0.5*{holds})/{DECIDES_S}")
            self.lines.append(f".ic v({decided})={float(states[r, c.CLOSED])!r}")
            closed_v = self.state(float(states[r, c.CLOSED]), f"({_over(wanted, '(0.8-0.6*@)')}-@)/{LAG_S}")
            on_s = 1.0 / row[c.R_OHM]
            across = self.across(d.from_node, d.to_node)
            self.inject(d.to_node, d.from_node, f"{across}*({1 / OPEN_OHM}+{on_s!r}*min(max({closed_v},0),1))")
            self.watch[f"relay{r}"] = closed_v
            if row[c.COIL_A] > 0.0:
                one, other = machine.pairs[int(row[c.COIL_PORT])]
                if one == "bank":
                    string = self.circuit.battery[self.circuit.banks[int(row[c.COIL_PORT])].strings[0]]
                    one, other = string.positive, string.negative
                self.inject(other, one, f"{float(row[c.COIL_A])!r}*{closed_v}")

    def _seen(self, row: int) -> str:
        return self.value(self.across(*self.machine.pairs[row]))

    def _true(self, above_zero: str, width: float = SOFT_V) -> str:
        return self.value(f"0.5*(1+tanh(({above_zero})/{width}))")

    def _after(self, condition: str, seconds: float) -> str:
        """True once a condition has been true for so long."""
        if seconds < 1.0:
            return condition
        timer = self.state(0.0, f"{condition}-(1-{condition})*@/0.2")
        return self._true(f"{timer}-{float(seconds)}", 0.05)

    def _vsr(self, row: list[float], closed: str) -> tuple[str, str]:
        high = self._seen(int(row[c.SENSE_ONE]))
        if row[c.SENSE_OTHER] >= 0:
            high = self.value(f"max({high},{self._seen(int(row[c.SENSE_OTHER]))})")
        above, below = (
            self._true(f"{high}-{float(row[c.JOINS_V])!r}"),
            self._true(f"{float(row[c.RELEASES_V])!r}-{high}"),
        )
        return (
            self._after(self.value(f"{above}*(1-{_over(closed, 0.9)})"), row[c.DELAY_S]),
            self._after(self.value(f"{below}*{_over(closed, 0.1)}"), row[c.DELAY_S]),
        )

    def _contactor(self, row: list[float], closed: str) -> tuple[str, str]:
        bus, lithium = self._seen(int(row[c.SENSE_ONE])), self._seen(int(row[c.SENSE_OTHER]))
        # each lasts until it is all but decided, or it would hang half way
        is_on, is_off = self.value(_over(closed, 0.1)), self.value(f"1-{_over(closed, 0.9)}")
        full, empty = self.fresh(), self.fresh()
        latched, empty_latched = _over(f"v({full})", 0.5), _over(f"v({empty})", 0.5)
        fits = "0"
        if row[c.JOINS_BELOW_V] > -1e8:
            fits = self._true(f"{float(row[c.JOINS_BELOW_V])!r}-({bus}-{lithium})")
            if row[c.LITHIUM_ABOVE_V] > -1e8:
                fits += "*" + self._true(f"{float(row[c.LITHIUM_ABOVE_V])!r}-({lithium}-{bus})")
        if row[c.JOINS_ABOVE_V] > -1e8:
            fits = f"max({fits},{self._true(f'{bus}-{float(row[c.JOINS_ABOVE_V])!r}')})"
        after_empty = self._true(f"{bus}-{float(row[c.EMPTY_JOINS_V])!r}")
        wish = f"{is_off}*({empty_latched}*{after_empty}+(1-{empty_latched})*(1-{latched})*{fits})"
        # hold-off: seconds since it closed, and since it opened
        free = {}
        for side in (is_on, is_off):
            since = self.state(1000.0, f"{side}-(1-{side})*@/0.02")
            free[side] = self._true(f"{since}-{float(row[c.HOLD_S])}", 0.05) if row[c.HOLD_S] > 0 else "1"
        joins = self.value(f"{free[is_off]}*" + self._after(self.value(wish), row[c.DELAY_S]))
        wait = float(row[c.WAITS_S])
        opens_full = opens_empty = spills = "0"
        if row[c.OPENS_ABOVE_V] > -1e8:
            seen = self.value(f"{is_on}*" + self._true(f"{bus}-{float(row[c.OPENS_ABOVE_V])!r}"))
            opens_full = self.value(f"{free[is_on]}*" + self._after(seen, wait))
        if row[c.OPENS_BELOW_V] > -1e8:
            seen = self.value(f"{is_on}*" + self._true(f"{float(row[c.OPENS_BELOW_V])!r}-{lithium}"))
            opens_empty = self.value(f"{free[is_on]}*" + self._after(seen, wait))
        if row[c.PARTS_A] > 0:
            banks = self.machine.season_rows(c.M_BANK, c.BANK, len(self.machine.banks))[self.season]
            into = "+".join(f"max(-{self.gives[b]},0)" for b in range(len(banks)) if banks[b, c.LEAD] > 0)
            charging = "+".join(self.charge_a) or "0"
            seen = self.value(
                f"{is_on}*({into}>{float(row[c.PARTS_A])!r} ? 1 : 0)*({charging}<{0.05 + SOFT_A} ? 1 : 0)"
                f"*({self.gives[int(row[c.R_BANK])]}>0 ? 1 : 0)"
            )
            spills = self.value(f"{free[is_on]}*" + self._after(seen, 600.0))
        gone = f"max({opens_empty},{spills})"
        margin = (
            float(row[c.JOINS_BELOW_V])
            if row[c.JOINS_BELOW_V] > 0
            else 0.1 * float(self.machine.arrays[c.M_SET][c.SCALE])
        )
        # the bus, followed while lithium is joined and held from then on; it has to fall from there
        at_parting = self.state(0.0, f"{is_on}*({bus}-@)/{LAG_S}") if row[c.OPENS_ABOVE_V] > -1e8 else "0"
        low = f"min({lithium}+{margin!r}-{bus},{at_parting}-{margin!r}-{bus})"
        released = self.value(f"{is_off}*" + self._true(low))
        for latch, sets, clears in ((full, opens_full, released), (empty, gone, _over(closed, 0.9))):
            self.add("C", latch, 0, "1")
            keeps = f"4*v({latch})*(1-v({latch}))*(2*v({latch})-1)"
            self.add("B", 0, latch, f"i=({sets}*(1-v({latch}))-(1-{sets})*{clears}*v({latch})+0.2*{keeps})/0.03")
            self.lines.append(f".ic v({latch})=0")
        return joins, f"max({opens_full},{gone})"


def _over(node: str, level: float | str) -> str:
    return f"(0.5*(1+tanh(({node}-{level})/0.02)))"


def _points(x: np.ndarray, y: np.ndarray) -> str:
    return ",".join(f"{a:.12g},{b:.12g}" for a, b in zip(x, y, strict=True))


def _rising(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    found = points[:1]
    for at, v in points[1:]:
        found.append((max(at, found[-1][0] + 1e-3), v))
    return found


def _windows(windows: list[tuple[float, float]]) -> tuple[np.ndarray, np.ndarray]:
    times, values = [0.0], [0.0]
    for begins, ends in windows:
        if begins <= 0.0:
            values[0] = 1.0
        else:
            times.append(begins)
            values.append(1.0)
        times.append(ends)
        values.append(0.0)
    return np.array(times), np.array(values)


@dataclass(frozen=True)
class Day:
    """What ngspice found: times [s], and what was watched by name at each."""

    time_s: np.ndarray
    found: dict[str, np.ndarray]

    def at(self, name: str, times_s: np.ndarray) -> np.ndarray:
        return np.interp(times_s, self.time_s, self.found[name])

    def switchings(self, name: str) -> list[tuple[float, bool]]:
        """When a relay went past its middle, and whether it closed."""
        on = self.found[name] > 0.5
        at = np.flatnonzero(on[1:] != on[:-1]) + 1
        return [(float(self.time_s[n]), bool(on[n])) for n in at]


def simulate(deck: Deck, folder: Path) -> Day:
    """Run a day. Raises AssertionError unless it reaches the day's end: ngspice's exit code says nothing."""
    names = list(deck.watch)
    control = [
        ".control", "set wr_singlescale", "set numdgt=12", f"tran {STEP_S} {DAY_S} 0 {STEP_S}",
        "wrdata found.txt " + " ".join(deck.watch[n] for n in names), "quit 0", ".endc", ".end", "",
    ]  # fmt: skip
    text = "\n".join(["a day", *deck.lines, OPTIONS, *control])
    (folder / "day.cir").write_text(text, encoding="ascii")
    done = subprocess.run(
        ["ngspice", "-b", "-n", "day.cir"], cwd=folder, capture_output=True, text=True, timeout=900, check=False
    )
    found = folder / "found.txt"
    assert found.exists(), (done.stdout + done.stderr)[-3000:]
    table = np.loadtxt(found)
    assert table[-1, 0] >= DAY_S - 1.0, f"it ended at {table[-1, 0]} s: {(done.stdout + done.stderr)[-2000:]}"
    assert len(table) >= DAY_S / STEP_S
    return Day(table[:, 0], {name: table[:, n + 1] for n, name in enumerate(names)})
