"""Design and studies → result rows: schedules of conductors, devices, banks, loads and sources."""

from collections.abc import Mapping

from proposal.circuit.model import Bus, Circuit, Conductor, SeriesDevice
from proposal.codes.family import RuleFamily
from proposal.design.result import Design
from proposal.parts.chemistry import battery_resistance, full_rest_v
from proposal.results.model import (
    BankResult,
    CitationResult,
    ConductorResult,
    DeviceResult,
    LoadResult,
    SourceResult,
)
from proposal.sources import Citation
from proposal.studies.energy.result import Energy
from proposal.studies.network.assemble import device_ohm

Warm = tuple[float | None, str]
NOT_WARM: Warm = (None, "")


def citation(made: Citation) -> CitationResult:
    """A citation as it stands in the results."""
    return CitationResult(made.source, made.clause, made.status)


def nearest(named: Mapping[str, str], key: str) -> str:
    """What is said of an item by its key, or of the nearest that its key belongs to; '' where nothing is."""
    while key:
        if named.get(key):
            return named[key]
        key = key.rpartition(".")[0]
    return ""


def conductor_rows(design: Design, family: RuleFamily, names: Mapping[str, str]) -> tuple[ConductorResult, ...]:
    """The conductor schedule. `names` are designations by key."""
    neighbours = _neighbours(design.circuit, names)
    warm = _warmest(design)
    return tuple(
        _conductor(c, design, family, names, neighbours, warm.get(c.key, NOT_WARM)) for c in design.circuit.conductors
    )


def _warmest(design: Design) -> dict[str, Warm]:
    """The highest temperature [°C] of each conductor in a case that warms it, and the case."""
    found: dict[str, Warm] = {}
    for case, solution in design.flow.solutions.items():
        if design.flow.networks[case].temperatures == "hot":
            for key, warm_c in solution.conductor_c.items():
                known_c = found.get(key, NOT_WARM)[0]
                if known_c is None or warm_c > known_c:
                    found[key] = (warm_c, case)
    return found


def _neighbours(circuit: Circuit, names: Mapping[str, str]) -> dict[str, str]:
    """Designation of what a node belongs to: a bus first, then a device, then what is at the end."""
    found: dict[str, str] = {}
    ends = [(b.positive, b.key) for b in circuit.batteries] + [(b.negative, b.key) for b in circuit.batteries]
    ends += [(n, x.key) for x in circuit.loads for n in (x.positive, x.negative)]
    ends += [(n, s.key) for s in circuit.sources for n in (s.positive, s.negative)]
    ends += [(n, c.key) for c in circuit.converters for n in (c.in_positive, c.out_positive)]
    ends += [(n, c.key) for c in circuit.controllers for n in (c.supply, c.senses, c.negative)]
    if circuit.starter is not None:
        ends += [(circuit.starter.positive, circuit.starter.key), (circuit.starter.negative, circuit.starter.key)]
    for node, key in ends:
        found.setdefault(node, names.get(key, key))
    for device in circuit.devices:
        for node in (device.from_node, device.to_node):
            found.setdefault(node, names.get(device.key, device.key))
    for bus in circuit.buses:
        for node in (bus.positive, bus.negative):
            found[node] = names.get(bus.key, bus.key)
    return found


def _conductor(
    conductor: Conductor,
    design: Design,
    family: RuleFamily,
    names: Mapping[str, str],
    neighbours: Mapping[str, str],
    warm: Warm,
) -> ConductorResult:
    circuit = design.circuit
    if conductor.size is None:
        raise ValueError(f"{conductor.key} has no size")
    place = circuit.place[conductor.place]
    ampacity = design.ampacities[conductor.key]
    demand = design.flow.demands[conductor.key]
    resistance = family.resistance_20c_ohm_per_m(conductor.size)
    drop = design.drops.get(conductor.circuit)
    choice = design.choices[conductor.key]
    feeds = design.feeds.get(conductor.key)
    fuses = feeds.fuses if feeds is not None else ()
    own_drop_v = max(
        (
            abs(s.voltage_v[conductor.from_node] - s.voltage_v[conductor.to_node])
            for s in design.flow.solutions.values()
            if conductor.key in s.current_a and not s.case.startswith("cranking")
        ),
        default=0.0,
    )
    return ConductorResult(
        key=conductor.key,
        designation=names[conductor.key],
        title=circuit.title.get(conductor.circuit, ""),
        circuit=conductor.circuit,
        pole=conductor.pole,
        purpose=conductor.purpose,
        from_node=conductor.from_node,
        to_node=conductor.to_node,
        from_designation=neighbours.get(conductor.from_node, ""),
        to_designation=neighbours.get(conductor.to_node, ""),
        length_m=conductor.length_m,
        place=place.title,
        place_c=place.hottest_c,
        bundled_count=conductor.bundled_count,
        insulation_c=conductor.insulation_c,
        size=conductor.size.label,
        area_mm2=conductor.size.area_mm2,
        part_id=conductor.part_id,
        pinned=conductor.pinned,
        table_a=ampacity.table_a,
        temperature_factor=ampacity.temperature_factor,
        bundle_factor=ampacity.bundle_factor,
        ampacity_a=ampacity.ampacity_a,
        design_current_a=demand.current_a,
        design_case=demand.case,
        cranking_current_a=demand.cranking_a,
        resistance_20c_ohm=resistance.value * conductor.length_m,
        drop_v=own_drop_v,
        loop_drop_v=drop.drop_v if drop is not None else None,
        loop_drop_share=drop.drop_v / circuit.system_v if drop is not None else None,
        drop_limit_share=drop.limit_v / circuit.system_v if drop is not None and drop.limit_v is not None else None,
        fault_from_a=design.faults.at(conductor.from_node),
        fault_to_a=design.faults.at(conductor.to_node),
        least_fault_from_a=design.least_faults.at(conductor.from_node),
        least_fault_to_a=design.least_faults.at(conductor.to_node),
        fuses=fuses,
        decided_by=choice.decided_by,
        rejected=choice.rejected,
        citations=tuple(citation(c) for c in (*ampacity.citations, resistance.citation)),
        warm_c=warm[0],
        warm_case=warm[1],
    )


def device_rows(design: Design, family: RuleFamily, names: Mapping[str, str]) -> tuple[DeviceResult, ...]:
    """The schedule of fuses, switches, relays, shunts and buses."""
    rows = [_device(d, design, family, names) for d in design.circuit.devices]
    return (*rows, *(_bus(b, design, names) for b in design.circuit.buses))


def _device(device: SeriesDevice, design: Design, family: RuleFamily, names: Mapping[str, str]) -> DeviceResult:
    part = device.part
    window = design.windows.get(device.key)
    choice = design.choices[device.key]
    demand = design.flow.demands[device.key]
    is_fuse = device.kind == "fuse"
    limit = family.fuse_distance_m(device.at_battery, device.sheathed) if is_fuse else None
    cited = [window.citation] if window is not None else []
    cited += [limit.citation] if limit is not None else []
    return DeviceResult(
        key=device.key,
        designation=names[device.key],
        title=design.circuit.title.get(device.circuit, ""),
        circuit=device.circuit,
        kind=device.kind,
        part_id=device.part_id,
        part_title=part.title if part is not None else "",
        pinned=device.pinned,
        rating_a=part.rating_a if part is not None else None,
        voltage_max_v=getattr(part, "voltage_max_v", None),
        interrupt_a=getattr(part, "interrupt_a", None),
        fuse_class=getattr(part, "fuse_class", None),
        wanted_a=demand.current_a,
        wanted_case=demand.case,
        smallest_a=window.smallest_a if window is not None else None,
        largest_a=window.largest_a if window is not None else None,
        fault_a=max(design.faults.at(device.from_node), design.faults.at(device.to_node)),
        distance_m=device.distance_m if is_fuse else None,
        distance_limit_m=limit.value if limit is not None else None,
        resistance_ohm=device_ohm(device),
        guards=device.guards,
        decided_by=choice.decided_by,
        rejected=choice.rejected,
        citations=tuple(citation(c) for c in cited),
    )


def _bus(bus: Bus, design: Design, names: Mapping[str, str]) -> DeviceResult:
    choice = design.choices[bus.key]
    part = bus.part
    return DeviceResult(
        key=bus.key,
        designation=names[bus.key],
        title=bus.title
        or design.circuit.title.get(bus.key, "")
        or design.circuit.title.get(bus.key.rsplit(".", 1)[0], ""),
        circuit=bus.key,
        kind=f"{bus.kind}_bus",
        part_id=bus.part_id,
        part_title=part.title if part is not None else "",
        pinned=bus.pinned,
        rating_a=part.rating_a if part is not None else None,
        voltage_max_v=part.voltage_max_v if part is not None else None,
        interrupt_a=None,
        fuse_class=None,
        wanted_a=design.wanted_a[bus.key],
        wanted_case=str(choice.decided_by.values.get("case", "rated")),
        smallest_a=None,
        largest_a=None,
        fault_a=design.faults.at(bus.positive),
        distance_m=None,
        distance_limit_m=None,
        resistance_ohm=0.0,
        guards=(),
        decided_by=choice.decided_by,
        rejected=choice.rejected,
        citations=(),
    )


def bank_rows(design: Design, energy: Energy, names: Mapping[str, str]) -> tuple[BankResult, ...]:
    """The banks, with what they hold and how strong they are."""
    circuit, rows = design.circuit, []
    for bank, held in zip(circuit.banks, energy.banks, strict=True):
        strings = [circuit.battery[key] for key in bank.strings]
        first = strings[0]
        one = battery_resistance(first.part)
        full_v = first.series_count * full_rest_v(first.part)
        for_fault_ohm = first.series_count * one.for_fault_ohm / len(strings)
        rows.append(
            BankResult(
                key=bank.key,
                designation=names[first.key],
                title=bank.title,
                chemistry=bank.chemistry,
                role=bank.role,
                part_id=first.part_id,
                part_title=first.part.title,
                series_count=first.series_count,
                parallel_count=len(strings),
                nominal_v=held.nominal_v,
                capacity_ah=held.capacity_ah,
                energy_wh=held.capacity_ah * held.nominal_v,
                usable_ah=held.usable_ah,
                usable_share=held.usable_share,
                temperature_share=held.temperature_share,
                resistance_ohm=first.series_count * one.for_drop_ohm / len(strings),
                resistance_assumed=one.drop_assumed or one.fault_assumed,
                full_v=full_v,
                short_circuit_a=full_v / for_fault_ohm,
                mass_kg=sum(b.series_count * b.part.mass_kg for b in strings),
                place=circuit.place[bank.place].title,
            )
        )
    return tuple(rows)


def load_rows(design: Design, energy: Energy, names: Mapping[str, str]) -> tuple[LoadResult, ...]:
    """The loads, with their energy on a day of the worst season."""
    worst = next(d for d in energy.days if d.season == energy.worst_season)
    used = dict(worst.loads_wh)
    return tuple(
        LoadResult(
            x.key, names[x.key], x.title, x.bus, x.current_a, used.get(x.key, 0.0), x.critical, x.always_on, x.away
        )
        for x in design.circuit.loads
    )


def source_rows(design: Design, names: Mapping[str, str]) -> tuple[SourceResult, ...]:
    """The charge sources."""
    return tuple(
        SourceResult(s.key, names[s.key], s.title, s.kind, s.bus, s.rated_a, s.lasting_a, s.charge_v)
        for s in design.circuit.sources
    )
