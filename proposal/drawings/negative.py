"""The negative side below the batteries, drawn only where a shunt or another device stands in it."""

from typing import TYPE_CHECKING

from proposal.drawings.net import Net, Step
from proposal.drawings.topology import Plan, walk_columns
from proposal.frozen import frozen

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit


@frozen
class Return:
    """Steps from a battery's or bank bar's negative onwards, the node they end at, and that bus's key if it is one."""

    steps: tuple[Step, ...]
    node: str
    bus: str


def returns(circuit: "Circuit", plan: Plan) -> dict[str, Return]:
    """Negative chains by the key of the battery or of the bank's bus that they start from.

    A battery whose chain holds no device gets a Return without steps: only the mark is drawn.
    """
    net = Net(circuit, "negative")
    own_bar = {column.end.key: bar for bar, column in walk_columns(plan.roots) if column.end.kind == "battery"}
    pair = {b.key: b for b in circuit.buses if b.kind == "bank"}
    found: dict[str, Return] = {}
    strings: dict[str, list[str]] = {}
    for battery in circuit.batteries:
        bar = own_bar.get(battery.key)
        bank = pair.get(bar.key) if bar is not None else None
        found[battery.key] = _onward(net, battery.negative, bank.negative if bank else None)
        if bank is not None and found[battery.key].node == bank.negative:
            strings.setdefault(bank.key, []).append(battery.key)
    for key, members in strings.items():
        trunk = _onward(net, pair[key].negative, None)
        if _has_device(trunk.steps) or any(_has_device(found[m].steps) for m in members):
            found[key] = trunk
    for battery in circuit.batteries:
        own = found[battery.key]
        if own.bus not in found and not _has_device(own.steps):
            found[battery.key] = Return((), own.node, own.bus)
    return found


def _onward(net: Net, node: str, wanted: str | None) -> Return:
    """The walk from a negative node that leads to the wanted node, or else one with a device in it, or to a bus."""
    best: Return | None = None
    rank = 0
    for key in net.free(node):
        used = set(net.used)
        steps = net.walk(node, key)
        net.used = used
        far = steps[-1].far
        merit = 3 if far == wanted else 2 if _has_device(steps) else 1 if far in net.bus_at else 0
        if merit > rank:
            best, rank = Return(steps, far, net.bus_at[far].key if far in net.bus_at else ""), merit
    if best is None:
        return Return((), node, net.bus_at[node].key if node in net.bus_at else "")
    net.used |= {step.key for step in best.steps}
    return best


def _has_device(steps: tuple[Step, ...]) -> bool:
    return any(step.kind != "conductor" for step in steps)
