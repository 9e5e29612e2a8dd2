"""Links between two buses: relay, contactor, switch, plain conductor, or a DC-DC charger; and the common negative."""

from proposal.circuit.model import Bus, Converter, DeviceKind, SeriesDevice
from proposal.circuit.plan import PlanLink
from proposal.circuit.wiring import Wiring


def build_link(wiring: Wiring, planned: PlanLink, from_bus: Bus, to_bus: Bus) -> Converter | None:
    """A link: fuse at either bus, conductor, relay or switch between them; the negatives are joined beside it."""
    key = f"links.{planned.name}"
    wiring.titles[key] = planned.title
    route = wiring.route(planned.route)
    guards = (f"{key}.positive",)
    near, far = from_bus.positive, to_bus.positive
    if planned.fused_from:
        fused = wiring.node(f"{key}.from_fused", "positive", from_bus.negative)
        wiring.fuse(f"{key}.from_fuse", key, (near, fused), guards, sheathed=route.sheathed)
        near = fused
    if planned.fused_to:
        fused = wiring.node(f"{key}.to_fused", "positive", to_bus.negative)
        wiring.fuse(f"{key}.to_fuse", key, (to_bus.positive, fused), guards, sheathed=route.sheathed)
        far = fused
    wiring.conductor(f"{key}.negative", key, "negative", "link", (to_bus.negative, from_bus.negative), route)
    if planned.kind == "dc_dc":
        return _converter(wiring, planned, key, near, far, from_bus, to_bus)
    arrives = far
    if planned.kind != "conductor":
        arrives = wiring.node(f"{key}.arrives", "positive", to_bus.negative)
        _relay(wiring, planned, key, arrives, far)
    wiring.conductor(f"{key}.positive", key, "positive", "link", (near, arrives), route)
    return None


def _relay(wiring: Wiring, planned: PlanLink, key: str, near: str, far: str) -> None:
    """Thresholds are those that the spec states; what its part says is known when the part is chosen."""
    kinds: dict[str, DeviceKind] = {"vsr": "vsr", "contactor": "contactor", "switch": "switch"}
    wiring.device(
        SeriesDevice(
            f"{key}.relay" if planned.kind != "switch" else f"{key}.switch", key, kinds[planned.kind], "positive",
            near, far, part_id=planned.part_id, settings=planned.settings, senses=planned.senses,
            opens_while_starting=planned.opens_while_starting,
        )
    )  # fmt: skip
    if planned.emergency_switch:
        wiring.device(SeriesDevice(f"{key}.emergency", key, "switch", "positive", near, far))


def _converter(
    wiring: Wiring, planned: PlanLink, key: str, near: str, far: str, from_bus: Bus, to_bus: Bus
) -> Converter:
    """The charger stands at the bus that it charges; its input conductor runs along the route."""
    part_id = planned.part_id or ""
    part = wiring.catalogue.charger(part_id, "dc_dc")
    pin = wiring.node(f"{key}.pin", "positive", to_bus.negative)
    wiring.conductor(f"{key}.positive", key, "positive", "link", (near, pin), wiring.route(planned.route))
    charge_v = planned.charge_v if planned.charge_v is not None else part.output_v * 1.2
    return Converter(
        key, planned.title, from_bus.key, to_bus.key, pin, to_bus.negative, far, to_bus.negative, part.output_a,
        charge_v, part.efficiency, part_id, planned.runs_with,
    )  # fmt: skip
