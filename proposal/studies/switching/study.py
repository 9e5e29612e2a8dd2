"""Currents of every contactor, relay and switch in every case, from the solved cases and those with relays joined."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from proposal.circuit.model import Circuit, SeriesDevice
from proposal.codes.family import RuleFamily
from proposal.spec.pricebook import RelayPart
from proposal.studies.flow.result import Flow
from proposal.studies.joins.result import Join
from proposal.studies.network.case import STARTER, Case, relay_keys
from proposal.studies.network.result import Solution
from proposal.studies.network.solve import solve_quickly
from proposal.studies.switching.losing import darks, losses
from proposal.studies.switching.result import Coil, Kind, Peak, Store, Switched, Switching
from proposal.studies.switching.surges import surges

KINDS: dict[str, Kind] = {"contactor": "contactor", "vsr": "vsr", "switch": "switch"}
MINUTES_H = 5.0 / 60.0
"""A load that runs no longer in a whole day is one of minutes, by the time of the makers' intermittent ratings."""
FULL, JOINED = "full.", "joined"
NOTHING_A = 1e-6


def switching(
    circuit: Circuit,
    family: RuleFamily,
    cases: Mapping[str, Case],
    flow: Flow,
    joins: Iterable[Join],
    stores: Iterable[Store],
) -> Switching:
    """Everything about switching.

    Parameters: the cases of the load flow by id, and their solutions; first currents at joining; capacitors behind
    loads. Besides those cases, joined.NAME: one high-current load at full with every relay closed and nothing charging,
    as in the minutes before a relay has noticed; it counts as one of minutes. Raises nothing.
    """
    solutions = {**flow.solutions, **_joined(circuit, family, cases)}
    starts = frozenset(key for key, case in cases.items() if STARTER in dict(case.loads))
    closing = _closing(joins)
    return Switching(
        tuple(
            _switched(circuit, device, KINDS[device.kind], solutions, starts, closing.get(device.key, Peak()))
            for device in circuit.devices
            if device.kind in KINDS
        ),
        surges(circuit, family, tuple(stores)),
        losses(circuit, family, flow),
        darks(circuit, family, cases["usual"]),
    )


def _joined(circuit: Circuit, family: RuleFamily, cases: Mapping[str, Case]) -> dict[str, Solution]:
    if not relay_keys(circuit, "vsr"):
        return {}
    joined = [
        replace(case, id=f"{JOINED}.{key.removeprefix(FULL)}", open_devices=frozenset())
        for key, case in cases.items()
        if key.startswith(FULL)
    ]
    return {case.id: solve_quickly(circuit, case, family) for case in joined}


def _closing(joins: Iterable[Join]) -> dict[str, Peak]:
    found: dict[str, Peak] = {}
    for join in joins:
        if join.current_a > found.get(join.relay, Peak()).current_a:
            found[join.relay] = Peak(join.current_a, join.situation)
    return found


def _switched(
    circuit: Circuit,
    device: SeriesDevice,
    kind: Kind,
    solutions: Mapping[str, Solution],
    starts: frozenset[str],
    closing: Peak,
) -> Switched:
    currents = {case: abs(s.current_a[device.key]) for case, s in solutions.items() if device.key in s.current_a}
    short = {f"{FULL}{x.key.split('.', 1)[1]}" for x in circuit.loads if x.hours_h <= MINUTES_H}
    seconds = [case for case in currents if case in starts]
    minutes = [case for case in currents if case in short or case.startswith(f"{JOINED}.")]
    lasting = [case for case in currents if case not in seconds and case not in minutes]
    starting = {case: solutions[case] for case in seconds}
    return Switched(
        key=device.key,
        kind=kind,
        lasting=_largest(currents, lasting),
        minutes=_largest(currents, minutes),
        seconds=_largest(currents, seconds),
        closing=closing,
        opening=Peak() if kind == "switch" else _largest(currents, [*lasting, *minutes]),
        coil=_coil(circuit, device, starting),
        currents=tuple(currents.items()),
    )


def _largest(currents: Mapping[str, float], cases: Iterable[str]) -> Peak:
    """The first of the largest; rounding of what is zero names no case."""
    found = Peak()
    for case in cases:
        if currents[case] > max(NOTHING_A, found.current_a * (1.0 + 1e-9)):
            found = Peak(currents[case], case)
    return found


def _coil(circuit: Circuit, device: SeriesDevice, starting: Mapping[str, Solution]) -> Coil | None:
    part = device.part
    if not isinstance(part, RelayPart):
        return None
    least = min(_supplied(circuit, device, starting), default=None)
    return Coil(
        part.coil, part.coil_v, part.coil_a, part.coil_a * circuit.system_v, part.coil_a * 24.0, part.drop_out_v,
        least[0] if least is not None else None, least[1] if least is not None else "",
        "opens" if part.coil == "held" else "stays",
    )  # fmt: skip


def _supplied(circuit: Circuit, device: SeriesDevice, starting: Mapping[str, Solution]) -> list[tuple[float, str]]:
    """Voltages at a relay's coil supply in the starts during which it is closed [V], each with its case.

    A controller's supply pins; a voltage-sensitive relay is fed at the side that it senses.
    """
    controller = next((c for c in circuit.controllers if c.contactor == device.key), None)
    if controller is not None:
        pins = (controller.supply, controller.negative)
    else:
        node = device.to_node if device.senses == "to" else device.from_node
        pins = (node, circuit.node[node].mate)
    found = []
    for case, solution in starting.items():
        volts = [solution.voltage_v.get(pin) for pin in pins]
        if None not in volts:
            found.append((float(volts[0] or 0.0) - float(volts[1] or 0.0), case))
    return found
