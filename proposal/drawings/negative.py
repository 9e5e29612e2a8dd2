"""The negative side below the batteries, drawn only where a shunt or another device stands in it."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from proposal.drawings.topology import Net, Plan, Step, walk_columns

if TYPE_CHECKING:
    from proposal.circuit.model import Circuit


@dataclass(frozen=True, slots=True)
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
    bus = {b.key: b for b in circuit.buses}
    walked: dict[str, Return] = {}
    for battery in circuit.batteries:
        free = net.free(battery.negative)
        if len(free) == 1 and not net.is_hub(battery.negative):
            steps = net.walk(battery.negative, free[0])
            node = steps[-1].far
            walked[battery.key] = Return(steps, node, net.bus_at[node].key if node in net.bus_at else "")
        else:
            walked[battery.key] = Return((), battery.negative, "")
    trunks: dict[str, Return] = {}
    for battery in circuit.batteries:
        bar = own_bar.get(battery.key)
        pair = bus.get(bar.key) if bar else None
        if pair is None or walked[battery.key].node != pair.negative or pair.kind != "bank":
            continue
        if pair.key not in trunks:
            trunks[pair.key] = _trunk(net, pair.negative)
    found: dict[str, Return] = {}
    for battery in circuit.batteries:
        own = walked[battery.key]
        trunk = trunks.get(own.bus)
        drawn = _has_device(own.steps) or (trunk is not None and _has_device(trunk.steps))
        found[battery.key] = own if drawn else Return((), own.node, own.bus)
        if drawn and trunk is not None:
            found[own.bus] = trunk
    return found


def _trunk(net: Net, node: str) -> Return:
    for key in net.free(node):
        steps = net.walk(node, key)
        if steps[-1].far in net.bus_at or net.is_hub(steps[-1].far):
            far = steps[-1].far
            return Return(steps, far, net.bus_at[far].key if far in net.bus_at else "")
    return Return((), node, "")


def _has_device(steps: tuple[Step, ...]) -> bool:
    return any(step.kind != "conductor" for step in steps)
