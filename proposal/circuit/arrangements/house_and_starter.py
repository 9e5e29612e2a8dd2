"""House bank and starter battery, joined by a voltage-sensitive relay while something charges."""

from proposal.circuit.arrangements.common import HOUSE, START, Brief, relay_link
from proposal.circuit.plan import Plan, PlanBank


def plan(brief: Brief) -> Plan:
    """Two buses, a bank on each, the relay between them.

    Raises MisfitError when it is not plain which bank starts the engine.
    """
    option = brief.option
    if option.start is None and option.house is not None:
        start = next(name for name in option.banks if name != option.house)
    else:
        start = brief.starter_bank(list(option.banks))
    house = next(name for name in option.banks if name != start)
    if option.vsr is None:
        raise brief.misfit("a voltage-sensitive relay is needed here", "a section `vsr`")
    return Plan(
        (HOUSE, START),
        (PlanBank(house, HOUSE.name, "house"), PlanBank(start, START.name, "start")),
        (relay_link(option.vsr, emergency=option.emergency_parallel),),
        start,
        HOUSE.name,
        START.name,
    )
