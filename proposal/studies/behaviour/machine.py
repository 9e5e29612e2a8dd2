"""Circuit → machine: the arrays that the kernel steps, made from the one reduction of the circuit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from proposal.studies.behaviour.kernel import columns as c
from proposal.studies.behaviour.kernel.both import compiled
from proposal.studies.behaviour.kernel.run import run

Array = NDArray[np.float64]
MOST_EVENTS = 4000
ARRAYS = 49
TABLES = (
    c.M_PAT_I, c.M_PAT_P, c.M_PAT_W, c.M_PAT_ON, c.M_SUN, c.M_CLEAR, c.M_VARIANT, c.M_ABOARD, c.M_SEASON, c.M_DOY,
)  # fmt: skip
"""Arrays that no run changes."""


def lay_scratch(arrays: list[Array]) -> None:
    """What the kernel works in, by the machine's sizes and matrix, which must be laid before."""
    sizes, z = arrays[c.M_SIZES], arrays[c.M_Z]
    every, banks, sources = (int(sizes[n]) for n in (c.N_ALL, c.N_BANKS, c.N_SOURCES))
    arrays[c.M_ZG], arrays[c.M_ZR] = z.copy(), z.copy()
    for which in (c.M_G, c.M_V, c.M_I, c.M_D, c.M_RHS):
        arrays[which] = np.zeros(every)
    arrays[c.M_COL] = np.zeros(5 * every)
    arrays[c.M_READY] = np.zeros(c.READY_FIRST + c.READY * banks)
    arrays[c.M_KEPT] = np.zeros(2 * every + 4 * banks + sources)


@dataclass
class Machine:
    """What the kernel runs: its arrays, and what their places stand for by key of the circuit.

    `watched` names the rows of the matrix beyond the ports; `pairs` all rows. Copied for each scenario, which then may
    change its own parameters; the copy shares what no run changes.
    """

    arrays: list[Array]
    banks: tuple[str, ...]
    sources: tuple[str, ...]
    relays: tuple[str, ...]
    loads: tuple[str, ...]
    groups: tuple[str, ...]
    converters: tuple[str, ...]
    pairs: tuple[tuple[str, str], ...]
    port_of: dict[str, int]
    bus_row: dict[str, int]
    seasons: tuple[str, ...]

    def copy(self) -> Machine:
        """A machine of its own, in the state of this one."""
        shared = {c.M_Z, c.M_PAT_I, c.M_PAT_P, c.M_PAT_W, c.M_PAT_ON, c.M_REST_X, c.M_REST_V, c.M_EFF_X, c.M_EFF_V}
        arrays = [a if n in shared else a.copy() for n, a in enumerate(self.arrays)]
        return Machine(**{**self.__dict__, "arrays": arrays})

    def size(self, which: int) -> int:
        """One of the counts of `columns`."""
        return int(self.arrays[c.M_SIZES][which])

    def block(self, which: int, width: int) -> Array:
        """Rows of an array, as a view."""
        return self.arrays[which].reshape(-1, width)

    def season_rows(self, which: int, width: int, count: int) -> Array:
        """Parameters by season and item, as a view: seasons × items × width."""
        return self.arrays[which].reshape(-1, count, width)

    def calendar(self, season: Array, row_of_sun: Array, clear: Array, variant: Array, aboard: Array) -> None:
        """Set the days of a run: season, row of the sun's table, clearness, use, whether anybody is there."""
        days = len(season)
        for which, values in (
            (c.M_SEASON, season), (c.M_DOY, row_of_sun), (c.M_CLEAR, clear), (c.M_VARIANT, variant),
            (c.M_ABOARD, aboard),
        ):  # fmt: skip
            self.arrays[which] = np.ascontiguousarray(values, dtype=np.float64)
        self.arrays[c.M_SIZES][c.KEEP_DAYS] = days
        width = c.DAY + len(self.banks) * c.DAY_BANK
        self.arrays[c.M_DAYS] = np.zeros(days * width)

    def sun(self, table: Array) -> None:
        """Set what sun and wind give: sources × days × 25 hours."""
        self.arrays[c.M_SUN] = np.array(table, dtype=np.float64).reshape(-1)  # a copy: silence() empties it
        self.arrays[c.M_SIZES][c.N_DAYS_OF_YEAR] = table.shape[1]

    def keep_record(self, every: int, slots: int) -> None:
        """Have every so many slots written down; 0: none."""
        self.arrays[c.M_SIZES][c.RECORD_EVERY] = every
        rows = (slots + every - 1) // every if every else 1
        self.arrays[c.M_REC] = np.zeros(rows * self.record_width)

    @property
    def record_width(self) -> int:
        """Numbers in a row of the record."""
        return self.size(c.RECORD_WIDTH)

    @property
    def records(self) -> Array:
        """The record, a row for each slot that was kept."""
        return self.arrays[c.M_REC].reshape(-1, self.record_width)

    @property
    def days(self) -> Array:
        """Books of the days: days × columns."""
        return self.arrays[c.M_DAYS].reshape(-1, c.DAY + len(self.banks) * c.DAY_BANK)

    @property
    def events(self) -> Array:
        """What happened, in order: events × columns of `columns.EVENT`."""
        count = min(int(self.arrays[c.M_AUDIT][c.A_EVENTS]), self.size(c.MOST_EVENTS))
        return self.arrays[c.M_EVENTS].reshape(-1, c.EVENT)[:count]

    def run(self, first_slot: int, last_slot: int, *, quick: bool = True) -> None:
        """Run slots. `quick`: compiled, else as plain Python; both give the same to rounding."""
        self.call(run, first_slot, last_slot, quick=quick)

    def call(self, function: Callable[..., Any], *args: float, quick: bool = True) -> Any:
        """Run one function of the kernel on this machine's arrays, laid end to end: what changes, and what does not."""
        moving = [n for n in range(ARRAYS) if n not in TABLES]
        watches = self.arrays[c.M_COND][: 2 * self.size(c.N_CONDITIONS)]
        ends = np.concatenate([np.zeros(ARRAYS), self.arrays[c.M_SIZES], watches]).astype(np.int64)
        for which in (moving, TABLES):
            at = 0
            for n in which:
                ends[n] = at
                at += len(self.arrays[n])
        floats = np.concatenate([self.arrays[n] for n in moving])
        tables = np.concatenate([self.arrays[n] for n in TABLES])
        if quick:
            found = compiled(function)(floats, ends, tables, *args)
        else:
            plain = floats.tolist()
            found = function(plain, ends.tolist(), tables.tolist(), *args)
            floats = np.array(plain)
        for n in moving:
            self.arrays[n] = floats[ends[n] : ends[n] + len(self.arrays[n])]
        return found
