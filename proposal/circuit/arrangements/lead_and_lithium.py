"""Lead bank on the bus, lithium bank joined to it through a controlled contactor; with an engine the lead starts it."""

from proposal.circuit.arrangements.common import HOUSE, Brief
from proposal.circuit.plan import Plan, PlanBank


def plan(brief: Brief) -> Plan:
    """One bus, two banks on it, the lithium through its contactor.

    Raises MisfitError unless one bank is lead and one lithium.
    """
    if len(brief.lead) != 1 or len(brief.lithium) != 1:
        raise brief.misfit("this arrangement joins one lead and one lithium bank", "one of each")
    lead, lithium = brief.lead[0], brief.lithium[0]
    return Plan(
        (HOUSE,),
        (
            PlanBank(lead, HOUSE.name, "both" if brief.engine else "house"),
            PlanBank(lithium, HOUSE.name, "house", through_contactor=True),
        ),
        (),
        lead if brief.engine else None,
        HOUSE.name,
        HOUSE.name,
    )
