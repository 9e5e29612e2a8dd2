"""How the cost of `evaluate` grows with the number of loads: t = c·Nᵖ, fitted on a log-log scale over one run.

A vessel with N loads: Marram with ordinary loads on panels of fifteen circuits beside its own large ones.
"""

from __future__ import annotations

import math
import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from proposal.results.evaluate import evaluate
from proposal.spec.loading import Project, load_project

MARRAM = Path(__file__).parents[2] / "projects" / "marram"
COUNTS = (10, 20, 40, 80, 150, 300)
LARGEST_EXPONENT = 1.2
PER_PANEL = 15
ROUTES = ("galley", "helm", "chart_table", "mast", "cabin", "heads")
LARGE = ("bilge_pump", "bilge_alarm", "inverter", "windlass", "watermaker")
"""Loads of Marram that are kept as they are: always on, with a case of its own, or on the bus itself."""


@dataclass(frozen=True)
class Growth:
    """Processor time [s] by number of loads, the best of some rounds, and the exponent of the fit."""

    seconds: dict[int, float]

    @property
    def exponent(self) -> float:
        """Slope of the straight line of least squares through log N and log t."""
        at = [math.log(n) for n in self.seconds]
        took = [math.log(s) for s in self.seconds.values()]
        middle, mean = statistics.fmean(at), statistics.fmean(took)
        rises = sum((x - middle) * (y - mean) for x, y in zip(at, took, strict=True))
        return rises / sum((x - middle) ** 2 for x in at)


def spec_with(count: int) -> str:
    """The text of a spec with so many loads."""
    text = (MARRAM / "spec.yaml").read_text(encoding="utf-8")
    spec: dict[str, Any] = yaml.load(text, Loader=yaml.BaseLoader)  # noqa: S506 - makes nothing but strings
    loads = {name: spec["loads"][name] for name in LARGE}
    panels = {}
    for number in range(count - len(LARGE)):
        panel = f"panel_{number // PER_PANEL + 1}"
        panels[panel] = {"title": f"Panel {number // PER_PANEL + 1}", "route": "panel"}
        loads[f"load_{number}"] = {
            "title": f"Load {number}",
            "power": f"{5 + number % 7 * 4} W",
            "hours": "3 h",
            "panel": panel,
            "route": ROUTES[number % len(ROUTES)],
            "duty": f"{20 + number % 5 * 20} %",
            "constant_power": "yes" if number % 3 == 0 else "no",
            "critical": "yes" if number % 4 == 0 else "no",
        }
    # Two hundred circuits of one boat are many small ones: the house keeps its size, each takes a smaller share.
    share = min(1.0, 40 / count)
    for name, load in loads.items():
        if name.startswith("load_"):
            load["power"] = f"{float(load['power'].split()[0]) * share:.2f} W"
    spec |= {"loads": loads, "panels": panels}
    spec["survey"] = {key: value for key, value in spec["survey"].items() if key != "stays"}
    return yaml.safe_dump(spec, sort_keys=False, allow_unicode=True, width=200)


def project_with(count: int, folder: Path) -> Project:
    """A project with so many loads, read from a folder of its own beside the demonstration's price book."""
    place = folder / f"loads_{count}"
    place.mkdir(parents=True)
    for shared in ("prices.yaml", "installer.yaml"):
        (folder / shared).write_bytes((MARRAM.parent / shared).read_bytes())
    (place / "spec.yaml").write_text(spec_with(count), encoding="utf-8")
    return load_project(place)


def measure_growth(
    folder: Path,
    counts: Sequence[int] = COUNTS,
    rounds: int = 3,
    clock: Callable[[], float] = time.process_time,
) -> Growth:
    """Time `evaluate` in this process; the least of the rounds counts, for what disturbs only adds."""
    projects = {count: project_with(count, folder) for count in counts}
    seconds: dict[int, float] = {}
    for _ in range(rounds):
        for count, project in projects.items():
            begin = clock()
            evaluate(project, {}, "a benchmark")
            took = clock() - begin
            seconds[count] = min(seconds.get(count, took), took)
    return Growth(seconds)


def table(grown: Growth) -> str:
    """A Markdown table, ready for the contributor's guide."""
    counts, took = zip(*grown.seconds.items(), strict=True)
    lines = ["| loads | " + " | ".join(map(str, counts)) + " | exponent | promised |"]
    lines.append("| --- " * (len(counts) + 3) + "|")
    lines.append(
        "| `evaluate` | " + " | ".join(f"{s:.2f} s" for s in took) + f" | {grown.exponent:.2f} | ≤ {LARGEST_EXPONENT} |"
    )
    return "\n".join(lines)
