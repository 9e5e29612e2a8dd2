"""Two programs, timed in turn: what counts is their ratio, which holds from one machine to the next."""

from __future__ import annotations

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


@dataclass(frozen=True)
class Measured:
    """Medians over the rounds."""

    pair: Pair
    ours_s: float
    floor_s: float
    ratio_spread: tuple[float, float]

    @property
    def ratio(self) -> float:
        return self.ours_s / self.floor_s

    @property
    def holds(self) -> bool:
        return self.pair.largest_ratio is None or self.ratio <= self.pair.largest_ratio


def run(command: Sequence[str], may_end_with: frozenset[int], folder: Path) -> float:
    """Return the seconds that a command takes. Raises RuntimeError if it ends otherwise than allowed."""
    begin = time.perf_counter()
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    took_s = time.perf_counter() - begin
    if done.returncode not in may_end_with:
        raise RuntimeError(f"{' '.join(command)} ended with {done.returncode}\n{done.stdout}{done.stderr}")
    return took_s


def measure(
    pair: Pair, rounds: int, folder: Path, timed: Callable[[Sequence[str], frozenset[int], Path], float] = run
) -> Measured:
    """Time both in turn, after one round each that does not count; whoever comes first changes with the round."""
    ours_s: list[float] = []
    floor_s: list[float] = []
    for number in range(-1, rounds):
        turn = [(pair.ours, pair.may_end_with, ours_s), (pair.floor, frozenset({0}), floor_s)]
        for command, may_end_with, times in turn if number % 2 else reversed(turn):
            took_s = timed(command, may_end_with, folder)
            if number >= 0:
                times.append(took_s)
    ratios = sorted(ours / floor for ours, floor in zip(ours_s, floor_s, strict=True))
    return Measured(pair, statistics.median(ours_s), statistics.median(floor_s), (ratios[0], ratios[-1]))


def table(measured: Sequence[Measured]) -> str:
    """A Markdown table, ready for the contributor's guide."""
    lines = [
        "| what | ours, median | floor, median | ratio | of the rounds | promised | holds |",
        "| --- | --- | --- | --- | --- | --- | --- |",
    ]
    for one in measured:
        low, high = one.ratio_spread
        promised = "-" if one.pair.largest_ratio is None else f"≤ {one.pair.largest_ratio:.1f}"
        lines.append(
            f"| {one.pair.name} | {one.ours_s:.3f} s | {one.floor_s:.3f} s | {one.ratio:.2f} | {low:.2f} to {high:.2f} "
            f"| {promised} | {'yes' if one.holds else 'no'} |"
        )
    return "\n".join(lines)
