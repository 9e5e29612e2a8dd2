"""What is left when something opens: of a charge source's batteries, and of the loads when lithium is gone."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache

from proposal.circuit.model import Circuit, Source
from proposal.codes.family import RuleFamily
from proposal.studies.flow.result import Flow
from proposal.studies.network.case import Case, emergency_keys
from proposal.studies.network.reach import reached
from proposal.studies.network.reduced import Reduced
from proposal.studies.network.solve import reduce_quickly, solve_quickly
from proposal.studies.switching.equations import held_v
from proposal.studies.switching.result import CHARGING, Dark, Event, Loss

KINDS = ("alternator", "solar")


def losses(circuit: Circuit, family: RuleFamily, flow: Flow) -> tuple[Loss, ...]:
    """For alternators and solar controllers, what each opening leaves them, relays closed as while they charge.

    Their voltage then: what they are set to, and the current that they gave forced into what is left for as long as
    their field or choke holds it, U = E + I·R [V], conductors hot, batteries as for voltage drops.
    """

    @cache
    def left_by(opened: frozenset[str], out: frozenset[str]) -> Reduced:
        return reduce_quickly(circuit, Case("losing", "hot", 1.0, open_devices=opened, batteries_out=out), family)

    sources = [s for s in circuit.sources if s.kind in KINDS]
    return tuple(loss for source in sources for loss in _of_source(circuit, flow, source, left_by))


def _events(circuit: Circuit) -> Iterator[tuple[Event, str, frozenset[str], frozenset[str]]]:
    """Kind, item, devices opened, strings out: what opens by itself first."""
    for bank in circuit.banks:
        if bank.chemistry == "lithium" and all(circuit.battery[key].cut_off for key in bank.strings):
            yield "management", bank.key, frozenset(), frozenset(bank.strings)
    for kinds in (("contactor", "vsr"), ("switch",)):
        for device in circuit.devices:
            if device.kind in kinds and device.key not in emergency_keys(circuit):
                yield "switch" if device.kind == "switch" else "relay", device.key, frozenset({device.key}), frozenset()


def _of_source(
    circuit: Circuit, flow: Flow, source: Source, left_by: Callable[[frozenset[str], frozenset[str]], Reduced]
) -> Iterator[Loss]:
    """`left_by`: the network that devices opened and strings out leave."""
    apart = emergency_keys(circuit)
    before = reached(circuit, source.positive, apart)
    given = [flow.solutions[case].given_a.get(source.key, 0.0) for case in CHARGING if case in flow.solutions]
    current_a = max(given, default=0.0)
    for event, item, opened, out in _events(circuit):
        after = reached(circuit, source.positive, apart | opened)
        had = {b.bank for b in circuit.batteries if b.positive in before}
        here = [b for b in circuit.batteries if b.positive in after and b.key not in out]
        left = tuple(bank.key for bank in circuit.banks if any(b.bank == bank.key for b in here))
        if set(left) == had:
            continue
        if not left:
            yield Loss(source.key, event, item, (), current_a, None, None)
            continue
        seen = left_by(opened, out).seen([(source.positive, source.negative)])
        ohm = float(seen.resistance_ohm[0])
        yield Loss(source.key, event, item, left, current_a, ohm, held_v(source.charge_v, current_a, ohm))


def darks(circuit: Circuit, family: RuleFamily, usual: Case) -> tuple[Dark, ...]:
    """For each lithium bank that can switch itself off, which loads find no voltage then, usual loads on."""
    found = []
    for bank in circuit.banks:
        if bank.chemistry != "lithium" or not all(circuit.battery[key].cut_off for key in bank.strings):
            continue
        opened = usual.open_devices | ({bank.through} if bank.through is not None else frozenset())
        case = replace(usual, id="lithium_off", open_devices=opened, batteries_out=frozenset(bank.strings))
        solution = solve_quickly(circuit, case, family)
        dark = tuple(
            x.key for x in circuit.loads
            if x.positive not in solution.voltage_v or x.negative not in solution.voltage_v
            or x.key in solution.collapsed
        )  # fmt: skip
        starter = circuit.starter
        stopped = starter is not None and starter.positive not in solution.voltage_v
        found.append(Dark(bank.key, dark, stopped))
    return tuple(found)
