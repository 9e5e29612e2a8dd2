"""An arrangement that the installer composes by hand in the spec."""

from proposal.circuit.arrangements.common import Brief
from proposal.circuit.plan import Plan, PlanBank, PlanBus, PlanLink
from proposal.spec.options import ComposedLink, Composition


def plan(brief: Brief) -> Plan:
    """Buses, banks and links as the spec lists them. Raises MisfitError where no bank can start the engine."""
    composition = brief.option.composition
    if composition is None:
        raise brief.misfit("a composed arrangement needs its composition", "a section `composition`")
    house = next(name for name, bus in composition.buses.items() if bus.side == "house")
    start = next((name for name, bus in composition.buses.items() if bus.side == "start"), house)
    starter = _starter(brief, composition, start) if brief.engine else None
    banks = tuple(
        PlanBank(
            name,
            landed.bus,
            ("both" if landed.bus == house else "start") if name == starter else "house",
            through_contactor=landed.through == "contactor",
        )
        for name, landed in composition.banks.items()
    )
    buses = tuple(
        PlanBus(name, "start" if name == start != house else "main", "start" if name == start != house else "house",
                bus.title)
        for name, bus in composition.buses.items()
    )  # fmt: skip
    return Plan(buses, banks, tuple(_link(n, link) for n, link in composition.links.items()), starter, house, start)


def _starter(brief: Brief, composition: Composition, start_bus: str) -> str:
    bus = composition.starter or start_bus
    here = [name for name, landed in composition.banks.items() if landed.bus == bus and landed.through == "direct"]
    if not here:
        raise brief.misfit(f"no bank lands directly on “{bus}”, from which the engine starts", "a bank on that bus")
    return brief.starter_bank(here)


def _link(name: str, link: ComposedLink) -> PlanLink:
    named = (("joins_v", link.joins_v), ("releases_v", link.releases_v), ("tolerance_v", link.tolerance_v))
    return PlanLink(
        name,
        link.kind,
        link.from_bus,
        link.to_bus,
        link.route,
        link.title,
        link.part,
        fused_from=link.fused in ("both_ends", "from_end"),
        fused_to=link.fused in ("both_ends", "to_end"),
        charge_v=link.charge_v,
        settings=tuple((key, value) for key, value in named if value is not None),
        senses=link.senses if link.kind == "vsr" else None,
        runs_with=link.runs_with,
    )
