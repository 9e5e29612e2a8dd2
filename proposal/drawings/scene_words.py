"""What a scene says: the live figures beside each item, and the widest of them while the layout is measured."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from proposal.drawings.boxes import EndBox, Style
from proposal.drawings.curves import number_text
from proposal.drawings.gather import LOADS
from proposal.drawings.lettering import Lettering, Lines
from proposal.drawings.live import IDLE_A, Live
from proposal.drawings.measure import Measure
from proposal.drawings.primitives import Item
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.symbols import end
from proposal.drawings.text import SMALLEST_MM, clean, fit, width_mm
from proposal.drawings.topology import Column

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit
    from proposal.results.model import OptionResult

_STATES = ("night", "morning", "charging", "full", "dusk", "engine")
RELAYS = ("contactor", "vsr", "switch")
_WIDEST_BAR_MM = 40.0
_WIDEST_LOAD_MM = 21.0
MOST_LOADS = 5
"""Loads of one bus with a line of their own; the smaller ones share one."""


class SceneWords(Lettering):
    """What stands beside each item; while the layout is measured, the longest that any scene says.

    Every figure stands at the end of its line, so that another can be put in its place. `loads`: those of each bus, by
    its node.
    """

    def __init__(
        self, circuit: "Circuit", option: "OptionResult", sheet: SheetInfo, scenes: Sequence[Live],
        loads: Mapping[str, tuple[str, ...]],
    ) -> None:  # fmt: skip
        super().__init__(circuit, option, sheet)
        self.scenes = scenes
        self.states = (sheet.word("scene_open"), sheet.word("scene_closed"))
        self._loads = {node: self._by_size(keys) for node, keys in loads.items()}
        self._longest: dict[str, dict[str, str]] = {}

    def _kept(self, key: str, kind: str, figures: Iterable[str]) -> str:
        """The longest of some figures, noted as what the layout of an item is measured with."""
        words = max(figures, key=lambda w: (width_mm(w, SMALLEST_MM, True), w), default="")
        if words:
            self._longest.setdefault(key, {})[kind] = words
        return words

    def current(self, key: str, live: Live) -> str:
        """The current of a branch without its sign, empty where it is idle."""
        return self.amount(live.current_a[key]) if live.flows(key) else ""

    def amount(self, current_a: float) -> str:
        """A current without its sign, from 100 A on without decimals."""
        amps = abs(current_a)
        return self.info.word("ampere", value=number_text(amps, 0 if amps >= 99.95 else 1, self.info))

    def charge(self, key: str, live: Live) -> str:
        """The charge of the bank to which a string belongs."""
        share = live.share.get(self.circuit.battery[key].bank)
        return "" if share is None else self.info.word("percent", value=number_text(100.0 * share, 0, self.info))

    def volts(self, key: str, live: Live) -> str:
        """The voltage of a bus."""
        volts = live.volts.get(key)
        return "" if volts is None else self.info.word("volt", value=number_text(volts, 2, self.info))

    def state(self, key: str, live: Live) -> str:
        """Open or closed."""
        return self.states[not live.is_open(key)]

    def way(self, bank: str, live: Live) -> str:
        """Whether a bank gives or takes, and how much."""
        amps = live.bank_a.get(bank)
        if amps is None:
            return ""
        if abs(amps) <= IDLE_A:
            return self.info.word("scene_rests")
        return self.info.word("scene_gives" if amps > 0.0 else "scene_takes", value=self.amount(amps))

    def figures(self, item: Item, live: Live) -> list[tuple[str, str]]:
        """What an item's lines were measured with, and what stands there in a scene."""
        key = item.key
        made = {
            "current": lambda: self.current(key, live),
            "charge": lambda: self.charge(key, live),
            "way": lambda: self.way(self.circuit.battery[key].bank, live),
            "volts": lambda: self.volts(key, live),
            "state": lambda: self.state(key, live),
        }
        return [(measured, made[kind]()) for kind, measured in self._longest.get(key, {}).items()]

    def _by_size(self, keys: Sequence[str]) -> tuple[tuple[str, ...], ...]:
        """Loads that ever take current, those first that take most over all scenes; the others as one group."""
        ever = [k for k in keys if any(live.load_a(k) > IDLE_A for live in self.scenes)]
        live = sorted(ever, key=lambda k: -sum(scene.load_a(k) for scene in self.scenes))
        if len(live) <= MOST_LOADS:
            return tuple((k,) for k in live)
        return (*((k,) for k in live[: MOST_LOADS - 1]), tuple(live[MOST_LOADS - 1 :]))

    def load_lines(self, node: str, live: Live) -> tuple[str, ...]:
        """All loads of a bus: their sum, then those that ever take current with what they take now."""
        groups = self._loads[node]
        whole = sum(live.load_a(k) for group in groups for k in group)
        lines = [self._load_line(self.info.word("scene_loads"), whole)]
        for group in groups:
            name = clean(self.circuit.load[group[0]].title)
            if len(group) > 1:
                name = self.info.word("out_more", count=str(len(group)))
            lines.append(self._load_line(name, sum(live.load_a(k) for k in group)))
        return tuple(lines)

    def _load_line(self, name: str, amps: float) -> str:
        shown = fit(name, _WIDEST_LOAD_MM, SMALLEST_MM)
        return f"{shown} {self.amount(amps) if amps > IDLE_A else self.info.word('scene_none')}"

    def longest_load_lines(self, node: str) -> tuple[str, ...]:
        """Of each line the longest that any scene has."""
        every = [self.load_lines(node, live) for live in self.scenes]
        return tuple(max(lines, key=lambda w: width_mm(w, SMALLEST_MM)) for lines in zip(*every, strict=True))

    def conductor(self, key: str) -> tuple[str, ...]:
        """Its current."""
        words = self._kept(key, "current", [self.current(key, live) for live in self.scenes])
        return (words,) if words else ()

    def device(self, key: str) -> Lines:
        """Its designation; of what opens, whether it is open."""
        d = self.devices.get(key)
        designation = clean(d.designation) if d is not None else ""
        own = self.circuit.device.get(key)
        if own is None or own.kind not in RELAYS:
            return Lines(designation, "", ())
        return Lines(designation, "", (self._kept(key, "state", self.states),))

    def load(self, key: str) -> Lines:
        """Designation and title."""
        return replace(super().load(key), values=())

    def source(self, key: str) -> Lines:
        """Designation and title."""
        return replace(super().source(key), values=())

    def converter(self, key: str) -> Lines:
        """Designation and title."""
        return replace(super().converter(key), values=())

    def starter(self) -> Lines:
        """Designation and title."""
        return replace(super().starter(), values=())

    def battery(self, key: str) -> Lines:
        """Of its bank: designation and title, how full it is, what it gives or takes."""
        bank = self.circuit.battery[key].bank
        title = self.banks[bank].title if bank in self.banks else self.circuit.title.get(bank, "")
        charge = self._kept(key, "charge", [self.charge(key, live) for live in self.scenes])
        way = self._kept(key, "way", [self.way(bank, live) for live in self.scenes])
        return Lines(self.designation(bank), clean(title), (charge, way))

    def bar_label(self, key: str) -> str:
        """Designation, title and voltage."""
        name = fit(self.bar(key), _WIDEST_BAR_MM, SMALLEST_MM, True)
        volts = self._kept(key, "volts", [self.volts(key, live) for live in self.scenes])
        return " · ".join(text for text in (name, volts) if text)

    def title(self, live: Live) -> str:
        """Time of day and what the scene is about."""
        minutes = int(live.scene.time_s / 60.0) % 1440  # the minute before, as in the pages' words
        time = self.info.word("scene_time", hour=f"{minutes // 60:02d}", minute=f"{minutes % 60:02d}")
        code = live.scene.code if live.scene.code in _STATES else "other"
        return self.info.word("scene_title", time=time, state=self.info.word(f"scene_{code}"))

    def description(self, title: str, live: Live) -> str:
        """The scene in words: relays, currents of sources and banks, voltages, charge."""
        given = live.current_a
        sources = "; ".join(f"{clean(s.title)} {self.amount(given.get(s.key, 0.0))}" for s in self.circuit.sources)
        banks = []
        for bank in self.circuit.banks:
            parts = (clean(bank.title), self.charge(bank.strings[0], live), self.way(bank.key, live))
            banks.append(" ".join(t for t in parts if t))
        relays = [f"{self.designation(d.key)} {self.state(d.key, live)}" for d in self.circuit.devices
                  if d.kind in ("contactor", "vsr")]  # fmt: skip
        buses = [f"{self.bar(b.key)} {v}" for b in self.circuit.buses if (v := self.volts(b.key, live))]
        return self.info.word(
            "scene_description", title=title, sources=sources, banks="; ".join(banks), relays="; ".join(relays),
            buses="; ".join(buses), loads=self.amount(live.scene.loads_a),
        )  # fmt: skip


class SceneMeasure(Measure):
    """Pieces of a scene: those of a single-line sheet, and all loads of a bus as one."""

    def __init__(self, words: SceneWords, style: Style) -> None:
        super().__init__(words, {}, style)
        self.words = words

    def _end(self, column: Column) -> EndBox | None:
        if column.end.kind != LOADS:
            return super()._end(column)
        return self._below(end("load"), self._lettered(self.words.longest_load_lines(column.end.key), bold_first=True))
