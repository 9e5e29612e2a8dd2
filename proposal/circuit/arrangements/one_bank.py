"""One house bank does everything; with an engine it starts that too."""

from proposal.circuit.arrangements.common import HOUSE, Brief
from proposal.circuit.plan import Plan, PlanBank


def plan(brief: Brief) -> Plan:
    """One bus, one bank on it."""
    (name,) = brief.option.banks
    bank = PlanBank(name, HOUSE.name, "both" if brief.engine else "house")
    return Plan((HOUSE,), (bank,), (), name if brief.engine else None, HOUSE.name, HOUSE.name)
