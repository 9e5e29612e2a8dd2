"""Two programs, timed in turn: what counts is their ratio, which holds from one machine to the next."""

from __future__ import annotations

import os
import statistics
import subprocess
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Pair:
    """What is measured, what it is measured against, and the largest ratio that was promised (None: no promise)."""

    name: str
    ours: Sequence[str]
    floor: Sequence[str]
    largest_ratio: float | None
    may_end_with: frozenset[int] = frozenset({0})
    floor_may_end_with: frozenset[int] = frozenset({0})


@dataclass(frozen=True)
class Took:
    """What one run of a command took. The processor's time says more on a busy machine, where the clock runs on."""

    clock_s: float
    processor_s: float


@dataclass(frozen=True)
class Measured:
    """All rounds that count; ratios are those of the medians, and the promise is about the clock."""

    pair: Pair
    ours: tuple[Took, ...]
    floor: tuple[Took, ...]

    @property
    def ours_s(self) -> float:
        return statistics.median(took.clock_s for took in self.ours)

    @property
    def floor_s(self) -> float:
        return statistics.median(took.clock_s for took in self.floor)

    @property
    def ratio(self) -> float:
        return self.ours_s / self.floor_s

    @property
    def processor_ratio(self) -> float:
        ours, floor = (statistics.median(took.processor_s for took in side) for side in (self.ours, self.floor))
        return ours / floor

    @property
    def spread(self) -> tuple[float, float]:
        ratios = [ours.clock_s / floor.clock_s for ours, floor in zip(self.ours, self.floor, strict=True)]
        return min(ratios), max(ratios)

    @property
    def holds(self) -> bool:
        return self.pair.largest_ratio is None or self.ratio <= self.pair.largest_ratio


def run(command: Sequence[str], may_end_with: frozenset[int], folder: Path) -> Took:
    """Run a command and return what it took. Raises RuntimeError if it ends otherwise than allowed."""
    # Libraries are installed with their byte code; without this, ours would be compiled anew in each round.
    environment = {name: text for name, text in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    before, begin = os.times(), time.perf_counter()
    done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)
    clock_s, after = time.perf_counter() - begin, os.times()
    if done.returncode not in may_end_with:
        raise RuntimeError(f"{' '.join(command)} ended with {done.returncode}\n{done.stdout}{done.stderr}")
    user_s, system_s = after.children_user - before.children_user, after.children_system - before.children_system
    return Took(clock_s, user_s + system_s)


def measure(
    pair: Pair, rounds: int, folder: Path, timed: Callable[[Sequence[str], frozenset[int], Path], Took] = run
) -> Measured:
    """Time both in turn, after one round each that does not count; whoever comes first changes with the round."""
    ours: list[Took] = []
    floor: list[Took] = []
    for number in range(-1, rounds):
        turn = [(pair.ours, pair.may_end_with, ours), (pair.floor, pair.floor_may_end_with, floor)]
        for command, may_end_with, kept in turn if number % 2 else reversed(turn):
            took = timed(command, may_end_with, folder)
            if number >= 0:
                kept.append(took)
    return Measured(pair, tuple(ours), tuple(floor))


def table(measured: Sequence[Measured]) -> str:
    """A Markdown table, ready for the contributor's guide."""
    lines = [
        "| what | ours, median | floor, median | ratio | of the rounds | of processor time | promised | holds |",
        "| --- | --- | --- | --- | --- | --- | --- | --- |",
    ]
    for one in measured:
        low, high = one.spread
        promised = one.pair.largest_ratio
        lines.append(
            f"| {one.pair.name} | {one.ours_s:.3f} s | {one.floor_s:.3f} s | {one.ratio:.2f} | {low:.2f} to {high:.2f} "
            f"| {one.processor_ratio:.2f} | {'-' if promised is None else f'≤ {promised:.1f}'} "
            f"| {'-' if promised is None else 'yes' if one.holds else 'no'} |"
        )
    return "\n".join(lines)
