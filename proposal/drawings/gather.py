"""A plan made small: of each walk one conductor and what switches, loads of a bus as one, strings of a bank as one.

What a scene of a day shows: who gives, who takes, what joins them. Fuses, shunts, controllers, the starter, panels and
hand switches that stay closed are left to the single-line sheet.
"""

from dataclasses import replace
from typing import TYPE_CHECKING

from proposal.drawings.net import Step
from proposal.drawings.topology import Bar, Column, End, Plan, Tie, plan
from proposal.studies.network.case import NORMALLY_OPEN

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit

LOADS = "loads"
"""Kind of an end that stands for all loads of a bus; its key is the bus's positive node."""
_SWITCHING = ("contactor", "vsr", "dc_dc")


class Gathered:
    """The small plan of a circuit.

    `plan`; `loads` by the node of the bus that they hang on; `start`, by conductor, the node on that side at which its
    current comes in when it is positive.
    """

    def __init__(self, circuit: "Circuit") -> None:
        self.loads: dict[str, tuple[str, ...]] = {}
        self.start: dict[str, str] = {}
        self._circuit = circuit
        self._banks: set[str] = set()
        self._along: dict[str, bool] = {}
        whole = plan(circuit)
        tied = {node for tie in whole.ties for node in (tie.left, tie.right)}
        roots = [self._bar(bar) for bar in whole.roots]
        kept = tuple(bar for bar in roots if bar.up or bar.down or bar.node in tied)
        self.plan = Plan(kept, tuple(Tie(t.left, t.right, self._short(t.steps, "switch")) for t in whole.ties))

    def _bar(self, bar: Bar) -> Bar:
        """A bar with its loads in one column, and with what its child bars have become."""
        down: list[Column] = []
        loads: list[str] = []
        for column in bar.down:
            kind, key = column.end.kind, column.end.key
            if kind == "load":
                loads.append(key)
            elif kind == "battery":
                bank = self._circuit.battery[key].bank
                if bank not in self._banks:
                    self._banks.add(bank)
                    several = len(next(b.strings for b in self._circuit.banks if b.key == bank)) > 1
                    alone = Column(bar.node, (), replace(column.end, node=bar.node))
                    down.append(alone if several else self._column(column, None))
            elif kind == "bar" and column.bar is not None:
                child = self._bar(column.bar)
                if not child.up and [c.end.kind for c in child.down] == [LOADS]:
                    loads += self.loads.pop(child.node)
                elif child.up or child.down:
                    down.append(self._column(column, child))
            elif kind != "starter" and not (kind == "controller" or (kind == "to" and key != column.end.node)):
                down.append(self._column(column, None))
        if loads:
            self.loads[bar.node] = tuple(loads)
            down.append(Column(bar.node, (), End(LOADS, bar.node, bar.node)))
        return replace(bar, up=[self._column(c, None) for c in bar.up], down=down)

    def _column(self, column: Column, child: Bar | None) -> Column:
        """A column with its walk made short; a child bar on which one thing hangs is no bar of its own."""
        if child is not None and not child.up and len(child.down) == 1 and child.down[0].bar is None:
            only = child.down[0]
            steps = self._short((*column.steps, *only.steps))
            return Column(column.start, steps, replace(only.end, node=steps[-1].far if steps else column.start))
        return Column(column.start, self._short(column.steps), column.end, child)

    def _short(self, steps: tuple[Step, ...], *also: str) -> tuple[Step, ...]:
        """Of a walk what switches and its first conductor, from the first node to the last without a gap."""
        wanted = [s for s in steps if _switches(s)] or [s for s in steps if s.kind in also][:1]
        conductor = next((s for s in steps if s.kind == "conductor"), None)
        if conductor is not None:
            before = steps[: steps.index(conductor)]
            wanted.insert(sum(1 for s in wanted if s in before), conductor)
        wanted = wanted or list(steps[:1])
        made: list[Step] = []
        for n, step in enumerate(wanted):
            near = made[-1].far if made else steps[0].near
            last = n == len(wanted) - 1
            far = steps[-1].far if last else wanted[n + 1].near if step.kind == "conductor" else step.far
            beside = tuple(replace(b, near=near, far=far) for b in step.beside)
            made.append(replace(step, near=near, far=far, beside=beside))
            if step.kind == "conductor":
                along = self._along.setdefault(step.key, step.near == self._circuit.conductor[step.key].from_node)
                self.start[step.key] = near if along else far
        return tuple(made)


def _switches(step: Step) -> bool:
    by_hand = step.kind == "switch" and step.key.rpartition(".")[2] == NORMALLY_OPEN
    return step.kind in _SWITCHING or by_hand or any(_switches(s) for s in step.beside)
