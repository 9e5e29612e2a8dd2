"""Banks: strings of batteries, the bank's own bus, its fuse near the posts, its switch, shunt and contactor."""

from proposal.circuit.assumed import COIL_LEAD_M
from proposal.circuit.model import Bank, Battery, Bus, Controller, SeriesDevice
from proposal.circuit.plan import PlanBank
from proposal.circuit.wiring import Wiring
from proposal.spec.equipment import Route
from proposal.spec.options import Bank as BankSpec


def build_bank(
    wiring: Wiring, planned: PlanBank, bus: Bus, *, device_per_battery: bool, unswitched: bool
) -> tuple[Bank, tuple[Battery, ...], Controller | None]:
    """Everything from the battery posts to the bus.

    Parameters: `planned` bank and the `bus` it lands on; `device_per_battery`, a fuse at each string's post;
    `unswitched`, a bus ahead of the switch for the circuits that must stay alive (only where there is a switch).
    """
    spec = wiring.spec.option.banks[planned.name]
    key = f"banks.{planned.name}"
    wiring.titles[key] = spec.title
    route = wiring.route(spec.route)
    part = wiring.catalogue.battery(spec.battery)
    batteries, terminal, own_bus = _strings(wiring, key, spec, route, device_per_battery=device_per_battery)
    contactor = _positive(
        wiring, key, spec, route, terminal, bus, planned.through_contactor, unswitched and spec.switch
    )
    _negative(wiring, key, spec, route, terminal, bus)
    controller = _controller(wiring, key, contactor, bus) if contactor else None
    bank = Bank(
        key, spec.title, tuple(b.key for b in batteries), part.chemistry, planned.role, bus.key,
        contactor.key if contactor else None, own_bus, spec.place,
    )  # fmt: skip
    return bank, batteries, controller


def _strings(
    wiring: Wiring, key: str, spec: BankSpec, route: Route, *, device_per_battery: bool
) -> tuple[tuple[Battery, ...], tuple[str, str], str | None]:
    """The batteries of a bank, the pair of nodes from which its main leads go, and its own bus if it has one."""
    part = wiring.catalogue.battery(spec.battery)
    cut_off = part.chemistry == "lithium" if spec.own_cut_off is None else spec.own_cut_off
    terminal, own_bus = wiring.pair(f"{key}.terminal"), None
    names = [f"{key}.s{number}" for number in range(1, spec.parallel + 1)]
    for name in names:
        wiring.titles[name] = spec.title
    if spec.parallel == 1:
        posts = [terminal]
    elif spec.joined == "chain":
        posts = _chain(wiring, names, spec, route, terminal, device_per_battery=device_per_battery)
    else:
        own_bus = wiring.add_bus(Bus(f"{key}.bus", "", "bank", *terminal, "house")).key
        posts = [_to_own_bus(wiring, name, spec, route, terminal, fused=device_per_battery) for name in names]
    batteries = tuple(
        Battery(name, key, *pair, spec.battery, part, spec.series, spec.place, cut_off, spec.stays)
        for name, pair in zip(names, posts, strict=True)
    )
    return batteries, terminal, own_bus


def _to_own_bus(
    wiring: Wiring, string: str, spec: BankSpec, route: Route, terminal: tuple[str, str], *, fused: bool
) -> tuple[str, str]:
    """Both leads of a string to the bank's own bus, with a fuse at its post where it has one. Returns its posts."""
    posts = wiring.pair(f"{string}.post")
    guards = (f"{string}.positive",)
    start = posts[0]
    if fused:
        start = wiring.node(f"{string}.fused", "positive", posts[1])
        wiring.fuse(f"{string}.fuse", string, (posts[0], start), guards, at_battery=True)
    wiring.conductor(guards[0], string, "positive", "string", (start, terminal[0]), route, spec.links_m)
    back = f"{string}.negative"
    wiring.conductor(back, string, "negative", "string", (terminal[1], posts[1]), route, spec.links_m)
    return posts


def _chain(
    wiring: Wiring,
    names: list[str],
    spec: BankSpec,
    route: Route,
    terminal: tuple[str, str],
    *,
    device_per_battery: bool,
) -> list[tuple[str, str]]:
    """Each battery linked to the next, both poles. Returns the posts.

    The main leads leave from the first battery, or the positive from the first and the negative from the last. The
    links between two batteries belong to the later of them; with a fuse at each post they start behind it.
    """
    at_negative_end = 0 if spec.take_off == "same_end" else len(names) - 1
    at_positive, at_negative, posts = [], [], []
    for number, name in enumerate(names):
        minus = terminal[1]
        if number != at_negative_end:
            minus = wiring.node(f"{name}.post.negative", "negative", terminal[0])
        plus = terminal[0] if number == 0 else wiring.node(f"{name}.joint", "positive", minus)
        post = plus
        if device_per_battery:
            post = wiring.node(f"{name}.post.positive", "positive", minus)
            guards = (f"{names[max(number, 1)]}.link_positive",)
            wiring.fuse(f"{name}.fuse", name, (post, plus), guards, at_battery=True)
        at_positive.append(plus)
        at_negative.append(minus)
        posts.append((post, minus))
    for number in range(1, len(names)):
        name = names[number]
        ends = (at_positive[number], at_positive[number - 1])
        wiring.conductor(f"{name}.link_positive", name, "positive", "string", ends, route, spec.links_m)
        back = (at_negative[number - 1], at_negative[number])
        wiring.conductor(f"{name}.link_negative", name, "negative", "string", back, route, spec.links_m)
    return posts


def _positive(
    wiring: Wiring,
    key: str,
    spec: BankSpec,
    route: Route,
    terminal: tuple[str, str],
    bus: Bus,
    through_contactor: bool,
    unswitched: bool,
) -> SeriesDevice | None:
    """Post, short tail, fuse, conductor, then at the bus: unswitched studs, switch, contactor."""
    back = terminal[1]
    tail_m = min(spec.fuse_after_m, route.length_m)
    fuse_in = terminal[0]
    if tail_m > 0:
        fuse_in = wiring.node(f"{key}.fuse_in", "positive", back)
        wiring.conductor(f"{key}.tail", key, "positive", "bank", (terminal[0], fuse_in), route, tail_m)
    fused = wiring.node(f"{key}.fused", "positive", back)
    wiring.fuse(
        f"{key}.fuse", key, (fuse_in, fused), (f"{key}.positive",), distance_m=tail_m, at_battery=True,
        sheathed=route.sheathed,
    )  # fmt: skip
    chain: list[tuple[str, str]] = []
    if spec.switch:
        chain.append(("switch", "switch"))
    if through_contactor:
        chain.append(("contactor", "contactor"))
    here = bus.positive
    if unswitched:
        here = wiring.node(f"{key}.unswitched", "positive", bus.negative)
        wiring.add_bus(Bus(f"{key}.unswitched", "", "unswitched", here, bus.negative, bus.side))
    elif chain:
        here = wiring.node(f"{key}.arrives", "positive", bus.negative)
    wiring.conductor(
        f"{key}.positive", key, "positive", "bank", (fused, here), route, max(route.length_m - tail_m, 0.01)
    )
    contactor = None
    for number, (name, kind) in enumerate(chain):
        last = number == len(chain) - 1
        onward = bus.positive if last else wiring.node(f"{key}.{name}_out", "positive", bus.negative)
        if kind == "switch":
            wiring.device(SeriesDevice(f"{key}.switch", key, "switch", "positive", here, onward))
        else:
            contactor = wiring.device(_contactor(wiring, key, here, onward))
        here = onward
    return contactor


def _contactor(wiring: Wiring, key: str, near: str, far: str) -> SeriesDevice:
    link = wiring.spec.option.contactor
    named = () if link is None else (
        ("joins_below_v", link.joins_below_v), ("lithium_above_v", link.lithium_above_v),
        ("opens_above_v", link.opens_above_v), ("opens_below_v", link.opens_below_v),
        ("tolerance_v", link.tolerance_v), ("parts_on_discharge", 1.0 if link.parts_on_discharge else None),
    )  # fmt: skip
    return SeriesDevice(
        f"{key}.contactor", key, "contactor", "positive", near, far,
        part_id=link.part if link else None, driven_as=link.driven_as if link else "held",
        settings=tuple((name, value) for name, value in named if value is not None),
        by_hand=bool(link and link.by_hand),
    )  # fmt: skip


def _negative(wiring: Wiring, key: str, spec: BankSpec, route: Route, terminal: tuple[str, str], bus: Bus) -> None:
    arrives = bus.negative
    if spec.shunt:
        arrives = wiring.node(f"{key}.shunt_in", "negative", bus.positive)
        wiring.device(SeriesDevice(f"{key}.shunt", key, "shunt", "negative", bus.negative, arrives))
    wiring.conductor(f"{key}.negative", key, "negative", "bank", (arrives, terminal[1]), route)


def _controller(wiring: Wiring, key: str, contactor: SeriesDevice, bus: Bus) -> Controller:
    """Supply from the bus and sense from the lithium side, each through its own small fuse at the take-off."""
    name = f"{key}.controller"
    route = wiring.route(wiring.spec.bank(key).route)
    negative = wiring.node(f"{name}.negative_pin", "negative", bus.positive)
    pins = []
    for lead, take_off in (("supply", bus.positive), ("sense", contactor.from_node)):
        fused = wiring.node(f"{name}.{lead}_fused", "positive", bus.negative)
        pin = wiring.node(f"{name}.{lead}_pin", "positive", negative)
        wiring.fuse(f"{name}.{lead}_fuse", f"{name}.{lead}", (take_off, fused), (f"{name}.{lead}",))
        wiring.conductor(f"{name}.{lead}", f"{name}.{lead}", "positive", "sense", (fused, pin), route, COIL_LEAD_M)
        pins.append(pin)
        wiring.titles[f"{name}.{lead}"] = wiring.titles[key]
    wiring.conductor(f"{name}.negative", name, "negative", "sense", (negative, bus.negative), route, COIL_LEAD_M)
    wiring.titles[name] = wiring.titles[key]
    return Controller(name, contactor.key, pins[0], pins[1], negative)
