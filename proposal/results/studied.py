"""Studies → result rows: cases, networks, faults, joins, starts, energy, assumptions."""

from typing import Literal

from proposal.circuit.model import Circuit
from proposal.design.result import Design
from proposal.parts.chemistry import battery_resistance
from proposal.results.model import (
    Assumption,
    AutonomyResult,
    BranchAmps,
    CaseResult,
    ChargeTime,
    EnergyLine,
    EnergyResult,
    FaultResult,
    JoinResult,
    LeastFaultResult,
    NetworkBranch,
    NetworkPort,
    NetworkResult,
    NetworkSource,
    NodeVolts,
    PortAmps,
    SeasonEnergy,
    StartResult,
)
from proposal.results.rows import citation
from proposal.rules.finding import Evidence
from proposal.rules.joining import limits, smallest
from proposal.rules.starting import start_verdict
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.energy.result import Day, Energy
from proposal.studies.faults.result import LeastFaults
from proposal.studies.faults.study import standard_currents
from proposal.studies.flow.cases import is_cranking
from proposal.studies.network.result import Emf, Network, Port, Solution

FEEDS_A = 1.0


def case_row(network: Network, solution: Solution) -> CaseResult:
    """One solved case."""
    return CaseResult(
        id=network.case,
        temperatures=network.temperatures,
        open_relays=network.open_relays,
        solved=solution.solved,
        collapsed=solution.collapsed,
        nodes=(
            *(NodeVolts(node, solution.voltage_v[node]) for node in network.nodes),
            *(NodeVolts(node, None) for node in network.dead),
        ),
        branches=tuple(BranchAmps(key, amps) for key, amps in solution.current_a.items()),
        ports=tuple(PortAmps(key, amps, solution.port_v[key]) for key, amps in solution.given_a.items()),
        kirchhoff_a=solution.kirchhoff_a,
        power_error_w=solution.power_error_w,
    )


def network_row(network: Network) -> NetworkResult:
    """The network of a case, enough to solve it again."""
    return NetworkResult(
        network.case,
        network.reference,
        network.nodes,
        tuple(
            NetworkBranch(r.key, r.from_node, r.to_node, r.resistance_ohm, r.temperature_c) for r in network.resistors
        ),
        tuple(_source(e) for e in network.emfs),
        tuple(
            NetworkPort(
                p.key,
                p.positive,
                p.negative,
                _law(p),
                p.current_a if p.law in ("current", "charger") else None,
                p.power_w if p.law == "power" else None,
                p.set_v if p.law == "charger" else None,
                p.droop_ohm if p.law == "charger" else None,
            )
            for p in network.ports
        ),
    )


def _source(emf: Emf) -> NetworkSource:
    return NetworkSource(emf.key, emf.positive, emf.negative, emf.emf_v, emf.resistance_ohm, emf.accepts_a)


def _law(port: Port) -> Literal["current", "power", "charger"]:
    if port.law == "bound":
        raise ValueError(f"{port.key}: a bound belongs to its battery and is no port of the network")
    return port.law


def fault_rows(design: Design) -> tuple[FaultResult, ...]:
    """Prospective fault currents by node, highest and least; which source feeds how much of the highest."""
    standard = standard_currents(design.circuit, design.fault_network)
    rows = []
    for f in design.faults.by_node.values():
        bank, least_a = design.least_faults.by_node.get(f.node, (None, None))
        rows.append(
            FaultResult(
                f.node, f.mate, f.current_a, f.open_v, f.resistance_ohm,
                standard[f.node].peak_a, standard[f.node].quasi_steady_a, least_a, bank,
                tuple(PortAmps(key, amps, 0.0) for key, amps in f.feeds if abs(amps) > FEEDS_A),
            )
        )  # fmt: skip
    return tuple(rows)


def least_fault_rows(faults: LeastFaults) -> tuple[LeastFaultResult, ...]:
    """What each fuse sees at least of a fault at the far end of each conductor that it guards."""
    return tuple(
        LeastFaultResult(f.conductor, f.node, f.fuse, f.bank, f.current_a, f.through_fuse_a) for f in faults.seen
    )


def join_rows(evidence: Evidence) -> tuple[JoinResult, ...]:
    """First currents at joining beside the smallest limit in their way."""
    rows = []
    for join in evidence.joins:
        first = smallest(limits(evidence, join)) if join.occurs else None
        limit, limit_a = first if first is not None else (None, None)
        rows.append(
            JoinResult(
                join.relay, join.situation, join.difference_v, join.resistance_ohm, join.current_a, limit_a,
                limit.kind if limit is not None else None, limit.item if limit is not None else None, join.free_v,
                join.ruled_by, join.settles_a, join.lasts_s,
            )
        )  # fmt: skip
    return tuple(rows)


def start_rows(design: Design) -> tuple[StartResult, ...]:
    """Starter voltage in every cranking case, and whether the engine starts."""
    circuit, starter = design.circuit, design.circuit.starter
    if starter is None:
        return ()
    known = not any(a.item == starter.key and a.code == "starter_current" for a in circuit.assumed)
    rows = []
    for case, solution in design.flow.solutions.items():
        if not is_cranking(case):
            continue
        volts = solution.port_v.get(starter.key)
        strings = [b for b in circuit.batteries if solution.given_a.get(b.key, 0.0) > FEEDS_A]
        fed_by = tuple({b.bank: None for b in strings})
        coldest_c = min((circuit.place[b.place].coldest_c for b in strings), default=20.0)
        rows.append(
            StartResult(
                case, fed_by, starter.cranking_a, coldest_c, volts, starter.minimum_v,
                start_verdict(volts, starter.minimum_v, circuit.system_v, current_known=known),
            )
        )  # fmt: skip
    return tuple(rows)


def energy_row(energy: Energy, spec: EffectiveSpec, circuit: Circuit) -> EnergyResult:
    """Energy by season, autonomy, charging times."""
    titles = {x.key: x.title for x in circuit.loads} | {s.key: s.title for s in circuit.sources}
    return EnergyResult(
        seasons=tuple(_season(day, spec, titles) for day in energy.days),
        worst_season=energy.worst_season,
        autonomy=tuple(
            AutonomyResult(a.bank, a.usable_wh, a.use_wh_per_day, a.days, a.critical_only_days) for a in energy.autonomy
        ),
        charge_times=tuple(ChargeTime(c.source, "house", c.charge_ah, c.current_a, c.hours_h) for c in energy.charging),
        battery_mass_kg=energy.battery_mass_kg,
        standing_drain_a=energy.standing_drain_a,
    )


def _season(day: Day, spec: EffectiveSpec, titles: dict[str, str]) -> SeasonEnergy:
    kinds = {f"sources.{name}": source.kind for name, source in spec.spec.sources.items()}

    def given(*wanted: str) -> float:
        return sum((wh for key, wh in day.sources_wh if kinds[key] in wanted), 0.0)

    return SeasonEnergy(
        season=day.season,
        title=spec.spec.climate.seasons[day.season].title,
        use_wh=day.use_wh,
        loss_wh=day.loss_wh,
        sun_wh=given("solar"),
        wind_wh=given("wind"),
        shore_wh=given("shore", "generator"),
        engine_wh=day.engine_wh,
        engine_h=day.engine_h,
        engine_accepted_h=spec.spec.system.engine_h_per_day,
        made_up_by=day.made_up_by,
        balance_wh=day.balance_wh,
        loads=tuple(EnergyLine(key, titles.get(key, ""), wh) for key, wh in day.loads_wh),
        sources=tuple(EnergyLine(key, titles.get(key, ""), wh) for key, wh in day.sources_wh),
    )


def assumption_rows(circuit: Circuit) -> tuple[Assumption, ...]:
    """What the circuit had to assume, and battery resistances that no maker states."""
    rows = [Assumption(a.item, a.code, dict(a.values), citation(a.citation)) for a in circuit.assumed]
    for bank in circuit.banks:
        battery = circuit.battery[bank.strings[0]]
        one = battery_resistance(battery.part)
        if one.drop_assumed:
            values = {"resistance_ohm": one.for_drop_ohm}
            rows.append(Assumption(bank.key, "battery_resistance", {**values}, citation(one.drop_citation)))
        if one.fault_assumed:
            values = {"resistance_ohm": one.for_fault_ohm}
            rows.append(Assumption(bank.key, "battery_fault_resistance", {**values}, citation(one.fault_citation)))
    return tuple(rows)
