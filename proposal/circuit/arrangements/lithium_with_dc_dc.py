"""Lithium house bank, lead starter battery, and a DC-DC charger between them."""

from proposal.circuit.arrangements.common import HOUSE, START, Brief
from proposal.circuit.plan import Plan, PlanBank, PlanLink


def plan(brief: Brief) -> Plan:
    """Two buses with a DC-DC charger from one to the other.

    Raises MisfitError unless one bank is lead and one lithium.
    """
    option = brief.option
    if len(brief.lead) != 1 or len(brief.lithium) != 1:
        raise brief.misfit("this arrangement has one lithium and one lead bank", "one of each")
    if option.dc_dc is None:
        raise brief.misfit("a DC-DC charger is needed here", "a section `dc_dc`")
    link = option.dc_dc
    from_bus, to_bus = (HOUSE.name, START.name) if link.charges == "start" else (START.name, HOUSE.name)
    return Plan(
        (HOUSE, START),
        (PlanBank(brief.lithium[0], HOUSE.name, "house"), PlanBank(brief.lead[0], START.name, "start")),
        (
            PlanLink(
                "dc_dc",
                "dc_dc",
                from_bus,
                to_bus,
                link.route,
                part_id=link.part,
                charge_v=link.charge_v,
                runs_with=link.runs_with,
            ),
        ),
        brief.lead[0],
        HOUSE.name,
        START.name,
    )
