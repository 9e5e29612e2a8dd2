"""Random days, spreads and scenes on the keys of a generated option: shapes and extremes, no physics."""

import random
from typing import get_args

from proposal.circuit.model import Circuit
from proposal.studies.behaviour.result import (
    Audit,
    BranchCurrent,
    Dark,
    Day,
    Emptied,
    EnergyFlow,
    Event,
    EventCode,
    Neglect,
    NoCharge,
    Quantity,
    Scene,
    Spread,
    StartOnDay,
    Trace,
    Years,
)

AUDIT = Audit(1, 0.0, 0.0, 0, 0, 0)
DAY_S = 86400.0


def walk(rng: random.Random, count: int, low: float, high: float) -> tuple[float, ...]:
    """Values that wander, jump, and now and then are missing."""
    value = rng.uniform(low, high)
    made = []
    for _ in range(count):
        if rng.random() < 0.02:
            value = rng.uniform(low, high)
        value = min(high, max(low, value + rng.gauss(0.0, 0.01 * (high - low))))
        made.append(float("nan") if rng.random() < 0.002 else round(value, 4))
    return tuple(made)


def states(rng: random.Random, count: int, most: int) -> tuple[float, ...]:
    state, made = rng.randint(0, most), []
    for _ in range(count):
        state = rng.randint(0, most) if rng.random() < 0.03 else state
        made.append(float(state))
    return tuple(made)


def trace(item: str, quantity: Quantity, values: tuple[float, ...]) -> Trace:
    return Trace(item, quantity, values)


def relays_of(circuit: Circuit) -> list[str]:
    return [d.key for d in circuit.devices if d.kind in ("contactor", "vsr")]


def traces_for(rng: random.Random, circuit: Circuit, count: int) -> tuple[Trace, ...]:
    volts = circuit.system_v
    made = [trace(b.key, "voltage_v", walk(rng, count, 0.8 * volts, 1.25 * volts)) for b in circuit.buses[:3]]
    for bank in circuit.banks:
        most = rng.choice((0.02, 5.0, 200.0, 900.0))
        made += [
            trace(bank.key, "voltage_v", walk(rng, count, 0.8 * volts, 1.25 * volts)),
            trace(bank.key, "current_a", walk(rng, count, -most, most)),
            trace(bank.key, "charge_share", walk(rng, count, rng.choice((0.0, 0.6)), 1.0)),
        ]
    for source in circuit.sources:
        made += [
            trace(source.key, "current_a", walk(rng, count, 0.0, rng.choice((0.0, 20.0, 150.0)))),
            trace(source.key, "stage", states(rng, count, 3)),
        ]
    made.append(trace("loads", "current_a", walk(rng, count, 0.0, 300.0)))
    own = [bank.key for bank in circuit.banks if bank.chemistry == "lithium"]
    return (*made, *(trace(key, "closed", states(rng, count, 1)) for key in (*relays_of(circuit), *own)))


def events_for(rng: random.Random, circuit: Circuit, end_s: float, count: int) -> tuple[Event, ...]:
    items = [b.key for b in circuit.banks] + relays_of(circuit) + [e.key for e in circuit.loads]
    times = sorted(rng.uniform(0.0, end_s) for _ in range(count))
    codes = get_args(EventCode)
    return tuple(Event(t, rng.choice(codes), rng.choice(items), {}, 0.1, rng.random() < 0.3) for t in times)


def day_for(circuit: Circuit, seed: int) -> Day:
    rng = random.Random(seed)  # noqa: S311 - test data
    sample_s = rng.choice((60.0, 300.0, 900.0))
    count = int(DAY_S / sample_s) + rng.choice((0, 1))
    many = rng.choice((0, 1, 6, 20, 40, 200))
    return Day(
        f"season {seed}", sample_s, traces_for(rng, circuit, count), events_for(rng, circuit, DAY_S, many),
        energy_for(rng, circuit), tuple(scene_for(rng, circuit) for _ in range(rng.randint(1, 3))),
        rng.uniform(0.0, 24.0), AUDIT,
    )  # fmt: skip


def energy_for(rng: random.Random, circuit: Circuit) -> tuple[EnergyFlow, ...]:
    """Given and used to the last watt-hour: the losses are what is left, or a source makes it up."""
    sized = lambda: round(rng.choice((0.0, rng.uniform(0.0, 5.0), rng.uniform(0.0, 4000.0))), 3)  # noqa: E731
    made = [EnergyFlow(s.key, "source", sized()) for s in circuit.sources]
    made += [EnergyFlow(b.key, "bank_out", sized()) for b in circuit.banks]
    given = sum(f.energy_wh for f in made)
    parts = [rng.random() ** 3 for _ in range(len(circuit.loads) + len(circuit.banks) + 4)]
    whole = sum(parts)
    shares = iter(round(given * p / whole, 3) for p in parts)
    made += [EnergyFlow(e.key, "load", next(shares)) for e in circuit.loads]
    made += [EnergyFlow(b.key, "bank_in", next(shares)) for b in circuit.banks]
    lost = ("cables", "banks", "devices", circuit.loads[0].key)
    return (*made, *(EnergyFlow(key, "loss", next(shares)) for key in lost))


def scene_for(rng: random.Random, circuit: Circuit) -> Scene:
    current = lambda: rng.choice((0.0, 0.05, rng.uniform(-900.0, 900.0), rng.uniform(-9.0, 9.0)))  # noqa: E731
    branches = [*(c.key for c in circuit.conductors), *(d.key for d in circuit.devices)]
    branches += [e.key for e in circuit.loads]
    relays = relays_of(circuit)
    return Scene(
        rng.choice(("night", "morning", "charging", "full", "dusk", "engine", "something new")),
        rng.uniform(0.0, DAY_S),
        tuple(r for r in relays if rng.random() < 0.5),
        tuple(BranchCurrent(key, current()) for key in branches if rng.random() < 0.9),
        tuple((b.key, rng.uniform(9.0, 60.0)) for b in circuit.buses if rng.random() < 0.9),
        tuple((b.key, rng.random()) for b in circuit.banks),
        tuple((b.key, current()) for b in circuit.banks),
        tuple((s.key, abs(current())) for s in circuit.sources),
        rng.uniform(0.0, 400.0),
    )


def no_charge_for(circuit: Circuit, seed: int) -> NoCharge:
    rng = random.Random(seed)  # noqa: S311 - test data
    days = rng.choice((0.5, 3.0, 14.0, 120.0))
    count = rng.randint(2, 400)
    dark = sorted(
        (Dark(e.key, rng.uniform(0.0, days) * DAY_S, rng.random() < 0.3, 11.0) for e in circuit.loads),
        key=lambda d: d.time_s,
    )[: rng.choice((0, 3, 99))]
    first = next((d.time_s / DAY_S for d in dark if not d.critical), None)
    critical = next((d.time_s / DAY_S for d in dark if d.critical), None)
    return NoCharge(
        "season", days, first, critical, 0.2, tuple(dark), traces_for(rng, circuit, count), days * DAY_S / count, ()
    )


def neglect_for(circuit: Circuit, seed: int) -> Neglect:
    rng = random.Random(seed)  # noqa: S311 - test data
    days = rng.choice((2.0, 28.0, 90.0))
    count = rng.randint(2, 400)
    verdicts = ("starts", "starts", "uncertain", "fails")
    starts = tuple(
        StartOnDay(days * n / 8, 11.0, 9.0, 2.0, rng.choice(verdicts), rng.choice(("own_bank", "emergency")))  # type: ignore[arg-type]
        for n in range(9)
    )
    emptied = tuple(
        Emptied(b.key, rng.choice((None, rng.uniform(0.0, days))), rng.random(), 11.0) for b in circuit.banks
    )
    until = rng.choice((None, rng.uniform(0.0, days), days))
    traces = traces_for(rng, circuit, count)
    events = events_for(rng, circuit, days * DAY_S, rng.choice((0, 5, 60)))
    return Neglect("season", "", days, emptied, starts, until, traces, days * DAY_S / count, events)


def years_for(circuit: Circuit, seed: int) -> Years:
    rng = random.Random(seed)  # noqa: S311 - test data
    spreads = []
    for quantity in get_args(Spread.__annotations__["quantity"]):
        keys = [b.key for b in circuit.banks] if quantity in PER_BANK else [""]
        for key in keys:
            most = rng.choice((0.0, 0.3, 12.0, 4000.0))
            values = sorted(round(rng.uniform(0.0, most) ** rng.choice((1.0, 0.5)), 3) for _ in range(21))
            spreads.append(Spread(quantity, key, tuple(values)))
    return Years(200, seed, 300.0, tuple(spreads), (("engine_h", 0.01),), AUDIT)


PER_BANK = ("full_charges_per_month", "equivalent_cycles", "deepest_share", "life_years")
