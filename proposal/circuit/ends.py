"""What hangs on the buses: panels, loads, charge sources and the starter, each with its fuse and both conductors."""

from proposal.circuit import assumed
from proposal.circuit.assumed import Assumed
from proposal.circuit.model import Bus, Load, Purpose, SeriesDevice, Source, Starter
from proposal.circuit.wiring import Wiring
from proposal.spec.equipment import (
    AlternatorSource,
    Engine,
    Panel,
    ShoreSource,
    SolarSource,
    WindSource,
)
from proposal.spec.equipment import Load as LoadSpec
from proposal.spec.equipment import Source as SourceSpec

HOURS_PER_DAY = 24.0


def build_panel(wiring: Wiring, name: str, panel: Panel, feed: Bus) -> Bus:
    """A panel's bus pair at the end of its fused feeder."""
    key = f"panels.{name}"
    wiring.titles[key] = panel.title
    bus = wiring.add_bus(Bus(key, panel.title, "panel", *wiring.pair(key), panel.side))
    _fused_run(wiring, key, feed, (bus.positive, bus.negative), panel.route, purpose="feeder")
    return bus


def _fused_run(
    wiring: Wiring,
    key: str,
    feed: Bus,
    far: tuple[str, str],
    route_name: str,
    purpose: Purpose,
    maker_fuse_a: float | None = None,
) -> None:
    """Bus, fuse on the bus, conductor out, conductor back."""
    route = wiring.route(route_name)
    fused = wiring.node(f"{key}.fused", "positive", feed.negative)
    wiring.fuse(
        f"{key}.fuse", key, (feed.positive, fused), (f"{key}.positive",), sheathed=route.sheathed,
        maker_fuse_a=maker_fuse_a,
    )  # fmt: skip
    wiring.run(key, purpose, (fused, feed.negative), far, route)


def build_load(wiring: Wiring, name: str, load: LoadSpec, feed: Bus, system_v: float) -> Load:
    """A load on its bus.

    Current at system voltage: I = P/U, through an inverter I = P/(η·U); mean over the day with its standby. An
    inverter's circuit is made for its nameplate at the lowest voltage at which it works.
    """
    key = f"loads.{name}"
    wiring.titles[key] = load.title
    positive, negative = wiring.pair(f"{key}.pin")
    _fused_run(wiring, key, feed, (positive, negative), load.route, "load", load.maker_fuse_a)
    current_a = load.current_a if load.current_a is not None else (load.power_w or 0.0) / system_v
    idle_w, rated_a = 0.0, current_a
    inrush_a, inrush_s = load.inrush_a, load.inrush_s
    usual_s = assumed.MOTOR_INRUSH_S
    if load.inverter is not None:
        inverter = wiring.catalogue.inverter(load.inverter)
        current_a /= inverter.efficiency
        idle_w = inverter.idle_w
        lowest_v = inverter.input_min_v or system_v * assumed.LOWEST_SHARE_OF_NOMINAL
        rated_a = max(current_a, inverter.power_w / (inverter.efficiency * lowest_v))
        inrush_a = max(inrush_a or 0.0, inverter.surge_w / (inverter.efficiency * system_v))
        inrush_s, usual_s = inrush_s or inverter.surge_s, assumed.INVERTER_SURGE_S
    if inrush_a is not None and inrush_a > current_a and inrush_s is None:
        inrush_s = usual_s
        wiring.assumed.append(Assumed(key, "inrush_time", (("inrush_s", inrush_s),)))
    mean_a = current_a * load.duty * load.hours_h / HOURS_PER_DAY + (load.standby_w + idle_w) / system_v
    return Load(
        key=key,
        title=load.title,
        bus=feed.key,
        positive=positive,
        negative=negative,
        current_a=current_a,
        usual_a=current_a if load.critical or load.always_on else current_a * load.duty,
        mean_a=mean_a,
        inrush_a=inrush_a,
        constant_power=load.constant_power or load.inverter is not None,
        critical=load.critical,
        always_on=load.always_on,
        away=load.away,
        high_current=load.high_current,
        inverter_id=load.inverter,
        idle_w=idle_w,
        inrush_s=inrush_s,
        hours_h=load.hours_h,
        rated_a=rated_a,
    )


def build_source(wiring: Wiring, name: str, source: SourceSpec, feed: Bus) -> Source:
    """A charge source on its bus; a limited alternator never gives more than it can for hours."""
    key = f"sources.{name}"
    wiring.titles[key] = source.title
    positive, negative = wiring.pair(f"{key}.pin")
    _fused_run(wiring, key, feed, (positive, negative), source.route, "source")
    rated_a, lasting_a, part_id = _currents(wiring, key, source)
    limited = isinstance(source, AlternatorSource) and source.limited
    return Source(
        key=key,
        title=source.title,
        kind=source.kind,
        bus=feed.key,
        positive=positive,
        negative=negative,
        rated_a=rated_a,
        current_a=lasting_a if limited else rated_a,
        lasting_a=lasting_a,
        charge_v=source.charge_v,
        part_id=part_id,
    )


def _currents(wiring: Wiring, key: str, source: SourceSpec) -> tuple[float, float, str | None]:
    if isinstance(source, SolarSource):
        limit_a = wiring.catalogue.charger(source.controller, "solar_controller").output_a
        return (
            min(limit_a, source.power_w / source.charge_v),
            min(limit_a, source.power_w * source.performance / source.charge_v),
            source.controller,
        )
    if isinstance(source, AlternatorSource):
        hot_a = source.hot_a
        if hot_a is None:
            hot_a = source.current_a * assumed.HOT_SHARE_OF_NAMEPLATE
            wiring.assumed.append(Assumed(key, "hot_alternator", (("current_a", hot_a),)))
        return source.current_a, hot_a, None
    if isinstance(source, ShoreSource):
        output_a = wiring.catalogue.charger(source.charger, "shore_charger").output_a
        return output_a, output_a, source.charger
    assert isinstance(source, WindSource)  # noqa: S101 - narrows the union for the type checker; no input reaches it
    return source.current_a, min(source.current_a, source.mean_w / source.charge_v), None


def build_starter(wiring: Wiring, engine: Engine, bank: str, system_v: float) -> Starter:
    """The starter on its bank's own posts, through a switch; no fuse, since this conductor cranks and nothing else."""
    wiring.titles["engine"] = engine.title
    terminal = (f"banks.{bank}.terminal.positive", f"banks.{bank}.terminal.negative")
    positive, negative = wiring.pair("engine.pin")
    switched = wiring.node("engine.switched", "positive", terminal[1])
    wiring.device(SeriesDevice("engine.switch", "engine", "switch", "positive", terminal[0], switched))
    wiring.run("engine", "starter", (switched, terminal[1]), (positive, negative), wiring.route(engine.route))
    cranking_a, inrush_a = engine.starter_a, engine.inrush_a
    if cranking_a is None:
        cranking_a = assumed.CRANKING_A[system_v]
        wiring.assumed.append(Assumed("engine", "starter_current", (("current_a", cranking_a),)))
    if inrush_a is None:
        inrush_a = cranking_a * assumed.INRUSH_OVER_CRANKING
        wiring.assumed.append(Assumed("engine", "starter_inrush", (("current_a", inrush_a),)))
    inrush_s = engine.inrush_s
    if inrush_s is None:
        inrush_s = assumed.STARTER_INRUSH_S
        wiring.assumed.append(
            Assumed("engine", "inrush_time", (("inrush_s", inrush_s),), assumed.STARTER_INRUSH_SOURCE)
        )
    return Starter(
        "engine", engine.title, f"banks.{bank}", positive, negative, cranking_a, inrush_a, engine.cranking_s,
        engine.minimum_v, inrush_s,
    )  # fmt: skip
