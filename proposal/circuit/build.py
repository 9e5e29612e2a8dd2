"""Option → circuit: the arrangement's plan is wired out, both poles, with demands and no sizes yet."""

from proposal.circuit.arrangements import ARRANGEMENTS
from proposal.circuit.arrangements.common import Brief
from proposal.circuit.banks import build_bank
from proposal.circuit.ends import build_load, build_panel, build_source, build_starter
from proposal.circuit.links import build_link
from proposal.circuit.misfit import MisfitError
from proposal.circuit.model import Bank, Battery, Bus, Circuit, Controller, Load, SeriesDevice
from proposal.circuit.plan import Plan
from proposal.circuit.wiring import Wiring
from proposal.codes.family import RuleFamily
from proposal.parts.catalogue import Catalogue
from proposal.spec.overlay import EffectiveSpec
from proposal.spec.references import Complaint

VOLTAGES_V = (12.0, 24.0, 48.0)
VOLTAGE_TOLERANCE = 0.15


def build_circuit(spec: EffectiveSpec, catalogue: Catalogue, family: RuleFamily) -> Circuit:
    """Make the circuit of one option.

    Raises MisfitError where banks, voltage and arrangement do not fit together.
    """
    system_v = spec.spec.system.voltage_v
    _check_voltages(spec, catalogue, system_v)
    option = spec.option
    chemistry = {name: catalogue.battery(bank.battery).chemistry for name, bank in option.banks.items()}
    brief = Brief(spec.option_id, option, {**chemistry}, engine=spec.spec.engine is not None)
    plan = ARRANGEMENTS[option.arrangement](brief)
    insulation_c = max(
        (c for c in family.insulation_classes_c if c <= spec.spec.system.insulation_c),
        default=min(family.insulation_classes_c),
    )
    return _wire(Wiring(spec, catalogue, insulation_c), plan, family, system_v)


def _check_voltages(spec: EffectiveSpec, catalogue: Catalogue, system_v: float) -> None:
    complaints: list[Complaint] = []
    if system_v not in VOLTAGES_V:
        complaints.append((("system", "voltage"), "is not a system voltage that this tool knows", "12 V, 24 V or 48 V"))
    for name, bank in spec.option.banks.items():
        battery_v = catalogue.battery(bank.battery).voltage_v
        string_v = bank.series * battery_v
        if abs(string_v - system_v) > VOLTAGE_TOLERANCE * system_v:
            loc = ("options", spec.option_id, "banks", name)
            what = f"{bank.series} in series of {battery_v:g} V make {string_v:g} V in a {system_v:g} V system"
            complaints.append((loc, what, f"`series: {max(1, round(system_v / battery_v))}`"))
    if complaints:
        raise MisfitError(tuple(complaints))


def _wire(wiring: Wiring, plan: Plan, family: RuleFamily, system_v: float) -> Circuit:
    spec = wiring.spec.spec
    buses = _buses(wiring, plan)
    alive = _reserve(wiring, plan) if any(load.always_on for load in spec.loads.values()) else None
    per_battery_above_ah = family.device_per_battery_above_ah()
    banks: list[Bank] = []
    batteries: list[Battery] = []
    controllers: list[Controller] = []
    for planned in plan.banks:
        bank_spec = wiring.spec.option.banks[planned.name]
        capacity_ah = bank_spec.parallel * wiring.catalogue.battery(bank_spec.battery).capacity_ah
        wanted = per_battery_above_ah is not None and capacity_ah > per_battery_above_ah.value
        each = bank_spec.fuse_per_battery if bank_spec.fuse_per_battery is not None else wanted
        bank, strings, controller = build_bank(
            wiring, planned, buses[planned.bus], device_per_battery=each, unswitched=planned.name == alive
        )
        banks.append(bank)
        batteries += strings
        controllers += [controller] if controller else []
    links = [build_link(wiring, k, buses[k.from_bus], buses[k.to_bus], system_v) for k in plan.links]
    panels = {n: build_panel(wiring, n, p, buses[plan.bus_of(p.side)]) for n, p in spec.panels.items()}
    loads = _loads(wiring, plan, buses, panels, alive, system_v)
    sources = tuple(build_source(wiring, n, s, buses[plan.bus_of(s.side)]) for n, s in spec.sources.items())
    starter = None
    if spec.engine is not None and plan.starter is not None:
        starter = build_starter(wiring, spec.engine, plan.starter, system_v)
    return Circuit(
        system_v, buses[plan.house_bus].negative, wiring.places(), tuple(wiring.nodes.values()),
        tuple(wiring.buses.values()), tuple(banks), tuple(batteries), tuple(wiring.conductors),
        _power_first(wiring.devices, controllers), loads, sources, starter, tuple(k for k in links if k),
        tuple(controllers), tuple(wiring.titles.items()), tuple(wiring.assumed),
    )  # fmt: skip


def _power_first(devices: list[SeriesDevice], controllers: list[Controller]) -> tuple[SeriesDevice, ...]:
    """Order: as wired, the thin-lead fuses of controllers last, so that power items get the first designations."""
    thin = {c.key for c in controllers}
    return tuple(sorted(devices, key=lambda d: any(d.key.startswith(key) for key in thin)))


def _buses(wiring: Wiring, plan: Plan) -> dict[str, Bus]:
    made = {}
    for bus in plan.buses:
        key = f"buses.{bus.name}"
        wiring.titles[key] = bus.title
        made[bus.name] = wiring.add_bus(Bus(key, bus.title, bus.kind, *wiring.pair(key), bus.side))
    return made


def _reserve(wiring: Wiring, plan: Plan) -> str:
    """The bank that feeds what must stay alive: one that cannot switch itself off, on the house bus if there is one."""

    def can_cut_off(name: str) -> bool:
        bank = wiring.spec.option.banks[name]
        lithium = wiring.catalogue.battery(bank.battery).chemistry == "lithium"
        return lithium if bank.own_cut_off is None else bank.own_cut_off

    return min(plan.banks, key=lambda b: (can_cut_off(b.name), b.through_contactor, b.bus != plan.house_bus)).name


def _loads(
    wiring: Wiring, plan: Plan, buses: dict[str, Bus], panels: dict[str, Bus], alive: str | None, system_v: float
) -> tuple[Load, ...]:
    made = []
    for name, load in wiring.spec.spec.loads.items():
        feed = buses[plan.bus_of(load.side)]
        if load.panel is not None:
            feed = panels[load.panel]
        if load.always_on and alive is not None:
            own = next(b.bus for b in plan.banks if b.name == alive)
            feed = wiring.buses.get(f"banks.{alive}.unswitched", buses[own])
        made.append(build_load(wiring, name, load, feed, system_v))
    return tuple(made)
