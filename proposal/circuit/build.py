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
from proposal.parts.chemistry import cell_count, is_lead
from proposal.spec.overlay import EffectiveSpec
from proposal.spec.pricebook import BatteryPart
from proposal.spec.references import Complaint

VOLTAGES_V = (12.0, 24.0, 48.0)
CELLS: dict[str, dict[float, tuple[int, ...]]] = {
    "lead": {12.0: (6,), 24.0: (12,), 48.0: (24,)},
    "lithium": {12.0: (4,), 24.0: (8,), 48.0: (16, 15)},
}
"""Cells in series by system voltage."""
CELL_RANGE_V: dict[str, tuple[float, float]] = {"lead": (1.95, 2.15), "lithium": (3.0, 3.7)}
"""Nominal voltage of one cell as makers print it. Common practice, no source."""


def build_circuit(spec: EffectiveSpec, catalogue: Catalogue, family: RuleFamily) -> Circuit:
    """Make the circuit of one option.

    Raises MisfitError where banks, voltage and arrangement do not fit together.
    """
    system_v = spec.spec.system.voltage_v
    insulation_c = max(
        (c for c in family.insulation_classes_c if c <= spec.spec.system.insulation_c),
        default=min(family.insulation_classes_c),
    )
    _check_voltages(spec, catalogue, system_v)
    _check_cables(catalogue, family, insulation_c)
    option = spec.option
    chemistry = {name: catalogue.battery(bank.battery).chemistry for name, bank in option.banks.items()}
    brief = Brief(spec.option_id, option, {**chemistry}, engine=spec.spec.engine is not None)
    plan = ARRANGEMENTS[option.arrangement](brief)
    return _wire(Wiring(spec, catalogue, insulation_c), plan, family, system_v)


def _check_voltages(spec: EffectiveSpec, catalogue: Catalogue, system_v: float) -> None:
    complaints: list[Complaint] = []
    if system_v not in VOLTAGES_V:
        complaints.append((("system", "voltage"), "is not a system voltage that this tool knows", "12 V, 24 V or 48 V"))
    for name, bank in spec.option.banks.items():
        complaints += _string_complaints(spec, catalogue.battery(bank.battery), name, bank.series)
    if complaints:
        raise MisfitError(tuple(complaints))


def _string_complaints(spec: EffectiveSpec, part: BatteryPart, bank: str, series: int) -> list[Complaint]:
    """A string has as many cells as its chemistry needs at this voltage, no more and no fewer."""
    system_v = spec.spec.system.voltage_v
    kind = "lead" if is_lead(part.chemistry) else "lithium"
    allowed = CELLS[kind].get(system_v)
    low_v, high_v = CELL_RANGE_V[kind]
    each = cell_count(part)
    loc = ("options", spec.option_id, "banks", bank)
    if not low_v - 1e-9 <= part.voltage_v / each <= high_v + 1e-9:
        what = f"a {kind} battery of {part.voltage_v:g} V is no whole number of cells"
        return [((*loc, "battery"), what, f"{low_v:g} V to {high_v:g} V for each cell")]
    cells = series * each
    if allowed is None or cells in allowed:
        return []
    what = f"{series} in series of {part.voltage_v:g} V make {cells} cells, {series * part.voltage_v:g} V"
    fits = next((n // each for n in allowed if n % each == 0), None)
    what += f", in a {system_v:g} V system, which needs {' or '.join(str(n) for n in allowed)}"
    return [(loc, what, f"`series: {fits}`" if fits else f"a battery whose cells go into {allowed[0]}")]


def _check_cables(catalogue: Catalogue, family: RuleFamily, insulation_c: int) -> None:
    """Without any cable of the family's kind the whole circuit would be built, and priced, without cable."""
    if not catalogue.cable_sizes(family.size_system, insulation_c):
        unit = "mm²" if family.size_system == "mm2" else "AWG"
        what = f"the price book sells no cable in {unit} for {insulation_c} °C, which {family.title} ask for here"
        raise MisfitError(((("system", "insulation"), what, "a class that the price book has, or such cable in it"),))


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
    links = [build_link(wiring, k, buses[k.from_bus], buses[k.to_bus]) for k in plan.links]
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
