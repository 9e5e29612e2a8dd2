"""The named cases: what is on, what is open, how warm and how full in each."""

from proposal.circuit.model import Circuit
from proposal.studies.network.case import STARTER, Case, emergency_keys, relay_keys

RESTED_SHARE = 0.9
USED_SHARE = 0.5
LOW_SHARE = 0.2
CRANKING_SHARE = 0.8
"""Charge of the banks while cranking: a battery kept, not a battery just filled. Common practice, no source."""


def flow_cases(circuit: Circuit) -> tuple[Case, ...]:
    """All cases of load flow for a circuit, in reading order.

    rest: only what is always on, at its mean. usual: everything switched on, loads that cycle at their mean, critical
    ones at their full current. all_on: every ordinary load at its full current, which sizes what they share. reserve:
    the same with the contactor open. charging: every source, banks half full. charging_full_lead: where a relay joins
    banks, the lead banks full, so that what they would take goes on (with no lithium, the starting bank alone).
    full.NAME: one high-current load at full, the rest at its mean. cranking: cold, its own battery alone;
    cranking_joined: all relays closed; cranking_emergency:
    the starting battery out and the emergency switch closed.
    """
    ordinary = tuple((x.key, x.current_a) for x in circuit.loads if not x.high_current)
    cycling = tuple((x.key, x.usual_a) for x in circuit.loads if not x.high_current)
    mean = tuple((x.key, x.mean_a) for x in circuit.loads if not x.high_current)
    alive = tuple((x.key, x.mean_a) for x in circuit.loads if x.always_on)
    vsr, contactor = relay_keys(circuit, "vsr"), relay_keys(circuit, "contactor")
    giving = tuple(s.key for s in circuit.sources) + tuple(c.key for c in circuit.converters)
    cases = [
        Case("rest", "hot", RESTED_SHARE, alive, open_devices=vsr),
        Case("usual", "hot", USED_SHARE, cycling, open_devices=vsr),
        Case("all_on", "hot", USED_SHARE, ordinary, open_devices=vsr),
        Case("charging", "hot", USED_SHARE, alive, giving),
    ]
    if vsr or contactor:
        cases.append(
            Case("charging_full_lead", "hot", USED_SHARE, alive, giving, batteries_out=_taking_nothing(circuit))
        )
    if contactor:
        cases.append(Case("reserve", "hot", USED_SHARE, ordinary, open_devices=vsr | contactor))
    for load in circuit.loads:
        if load.high_current:
            on = ((load.key, load.current_a), *mean)
            cases.append(Case(f"full.{load.key.split('.', 1)[1]}", "hot", USED_SHARE, on, open_devices=vsr))
    return (*cases, *_cranking(circuit, vsr, contactor))


def _taking_nothing(circuit: Circuit) -> frozenset[str]:
    """Strings of the banks that are full first: all lead beside lithium, else the bank that starts the engine."""
    lead = [b for b in circuit.banks if b.chemistry != "lithium"]
    full = lead if len(lead) < len(circuit.banks) else [b for b in lead if b.role == "start"]
    return frozenset(key for bank in full for key in bank.strings)


def _cranking(circuit: Circuit, vsr: frozenset[str], contactor: frozenset[str]) -> tuple[Case, ...]:
    if circuit.starter is None:
        return ()
    on = ((STARTER, circuit.starter.cranking_a),)
    cases = [Case("cranking", "cold", CRANKING_SHARE, on, open_devices=vsr | contactor)]
    if vsr or contactor:
        cases.append(Case("cranking_joined", "cold", CRANKING_SHARE, on))
    emergency = emergency_keys(circuit)
    if emergency:
        out = frozenset(b.key for b in circuit.batteries if b.bank == circuit.starter.bus)
        cases.append(
            Case("cranking_emergency", "cold", CRANKING_SHARE, on, closed_devices=emergency, batteries_out=out)
        )
    return tuple(cases)


def is_cranking(case_id: str) -> bool:
    """Whether a case lasts only seconds, so that it does not count for continuous ratings."""
    return case_id.startswith("cranking")


def decides_drop(case_id: str) -> bool:
    """Whether a case is one by which a voltage drop is judged."""
    return case_id in ("usual", "charging", "cranking") or case_id.startswith("full.")
