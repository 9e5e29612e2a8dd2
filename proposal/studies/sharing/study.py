"""Solves each bank of several strings: how they share, and what happens with one of them out."""

from collections.abc import Mapping
from dataclasses import replace

from proposal.circuit.model import Bank, Circuit
from proposal.codes.family import RuleFamily
from proposal.studies.flow.result import Flow
from proposal.studies.network.case import Case
from proposal.studies.network.reduced import Reduced
from proposal.studies.network.solve import reduce_case, solve_quickly
from proposal.studies.sharing.equations import TAKE_OFFS, chain_shares, spread_of
from proposal.studies.sharing.result import Chain, Sharing, StringOut, StringShare

ALIKE = 1e-6
"""Paths that differ by less are the same: then one string out stands for any."""


def sharing(circuit: Circuit, family: RuleFamily, cases: Mapping[str, Case], flow: Flow) -> tuple[Sharing, ...]:
    """Every bank with strings in parallel, as in the circuit. `cases`: those that last; `flow`: them solved."""
    return tuple(_sharing(circuit, family, cases, flow, bank) for bank in circuit.banks if len(bank.strings) > 1)


def _sharing(circuit: Circuit, family: RuleFamily, cases: Mapping[str, Case], flow: Flow, bank: Bank) -> Sharing:
    """Shares by linear superposition at 20 °C, the other banks out: what each string gives of an ampere drawn between
    the nodes where the main leads leave. With equal batteries R_k = R_all / share_k [Ω].
    """
    out = frozenset(b.key for b in circuit.batteries if b.bank != bank.key)
    reduced = reduce_case(circuit, Case("sharing", "20", 1.0, batteries_out=out, limit_lead=False), family)
    terminal = (f"{bank.key}.terminal.positive", f"{bank.key}.terminal.negative")
    seen = reduced.seen([terminal])
    given = dict(zip((e.key for e in reduced.network.emfs), seen.given_share[:, 0].tolist(), strict=True))
    together_ohm = float(seen.resistance_ohm[0])
    lasting = {key: flow.solutions[key] for key in cases}
    strings = []
    for key in bank.strings:
        most_a, case = max((solution.given_a.get(key, 0.0), case) for case, solution in lasting.items())
        usual_a = flow.solutions["usual"].given_a.get(key, 0.0)
        strings.append(StringShare(key, given[key], together_ohm / given[key], usual_a, most_a, case))
    spread = spread_of(tuple(s.path_ohm for s in strings))
    chain = _chain(reduced, bank) if bank.chained else None
    return Sharing(bank.key, spread, tuple(strings), chain)


def strings_out(
    circuit: Circuit, family: RuleFamily, cases: Mapping[str, Case], flow: Flow, shared: Sharing
) -> tuple[StringOut, ...]:
    """Each string of a bank out in turn, with everything on and in the case in which one gives most.

    Where all paths are alike the first stands for any.
    """
    hardest = max(shared.strings, key=lambda s: (s.most_a, s.key)).case
    missing = shared.strings if shared.spread > ALIKE else shared.strings[:1]
    asked = dict.fromkeys(("usual", hardest))
    keys = tuple(s.key for s in shared.strings)
    return tuple(
        _out(circuit, family, cases[case], flow, shared.bank, keys, out.key) for out in missing for case in asked
    )


def _out(
    circuit: Circuit, family: RuleFamily, case: Case, flow: Flow, bank: str, strings: tuple[str, ...], key: str
) -> StringOut:
    fewer = replace(case, batteries_out=case.batteries_out | {key})
    solution = solve_quickly(circuit, fewer, family)
    whole = flow.solutions[case.id]
    current_a = max(solution.given_a.get(other, 0.0) for other in strings if other != key)
    plus, minus = (solution.voltage_v.get(f"{bank}.terminal.{pole}") for pole in ("positive", "negative"))
    voltage_v = plus - minus if plus is not None and minus is not None else None
    dark = tuple(x.key for x in circuit.loads if x.key in whole.port_v and x.key not in solution.port_v)
    return StringOut(key, case.id, current_a, voltage_v, dark)


def _chain(reduced: Reduced, bank: Bank) -> Chain:
    second = bank.strings[1]
    ohms = {r.key: r.resistance_ohm for r in reduced.network.resistors}
    inside_ohm = next(e.resistance_ohm for e in reduced.network.emfs if e.key == second)
    battery_ohm, link_ohm = inside_ohm + ohms.get(f"{second}.fuse", 0.0), ohms[f"{second}.link_positive"]
    spread = {
        take_off: spread_of(tuple(1.0 / s for s in chain_shares(len(bank.strings), battery_ohm, link_ohm, take_off)))
        for take_off in TAKE_OFFS
    }
    return Chain(inside_ohm, spread["same_end"], spread["both_ends"])
