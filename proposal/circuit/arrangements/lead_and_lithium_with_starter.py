"""Lead and lithium through a contactor for the house, and a starter battery of its own joined by a relay."""

from proposal.circuit.arrangements.common import HOUSE, START, Brief, relay_link
from proposal.circuit.plan import Plan, PlanBank


def plan(brief: Brief) -> Plan:
    """Two buses: lead and lithium on the house bus, the starter battery on its own.

    Raises MisfitError unless two banks are lead and one lithium, or when it is not plain which lead bank starts.
    """
    option = brief.option
    if len(brief.lead) != 2 or len(brief.lithium) != 1:
        raise brief.misfit("this arrangement joins two lead banks and one lithium bank", "two lead, one lithium")
    if option.vsr is None:
        raise brief.misfit("a voltage-sensitive relay is needed here", "a section `vsr`")
    start = brief.starter_bank(brief.lead)
    reserve = next(name for name in brief.lead if name != start)
    return Plan(
        (HOUSE, START),
        (
            PlanBank(reserve, HOUSE.name, "house"),
            PlanBank(brief.lithium[0], HOUSE.name, "house", through_contactor=True),
            PlanBank(start, START.name, "start"),
        ),
        (relay_link(option.vsr, emergency=option.emergency_parallel),),
        start,
        HOUSE.name,
        START.name,
    )
