"""Spec and circuit → the voltage ladder."""

from collections.abc import Iterator

from proposal.circuit.model import Bank, Circuit, Converter, SeriesDevice, Source
from proposal.parts.catalogue import Catalogue
from proposal.parts.chemistry import cell_count, citation, ocv_v
from proposal.sources import Citation
from proposal.spec.overlay import EffectiveSpec
from proposal.spec.pricebook import RelayPart
from proposal.studies.ladder.equations import compensated_v
from proposal.studies.ladder.result import Group, Ladder, Rung, Setting, Unstated

TOLERANCE_V_AT_12V: dict[Group, float] = {
    "charging": 0.05, "switching": 0.1, "rest": 0.0, "management": 0.1, "loads": 0.0,
}  # fmt: skip
"""Where nobody states one: what commissioning lets pass on a display and on a threshold. Common practice, no source."""
REST_SHARES: tuple[tuple[Setting, float], ...] = (("rest_full", 1.0), ("rest_half", 0.5), ("rest_low", 0.2))
LITHIUM_FULL_SHARE = 0.99
"""The last point of the published curve that is a resting voltage; above it the value is a limit of charging."""
_SET = Citation("own_settings", "", "definition")
_MAKER = Citation("maker_sheets", "as the price book states it", "corroborated")
_ASSUMED = Citation("common_practice", "", "common practice")
_CHARGE: tuple[tuple[Setting, str], ...] = (
    ("float", "float_v"), ("equalise", "equalise_v"), ("restarts_below", "restarts_below_v"),
)  # fmt: skip


def voltage_ladder(spec: EffectiveSpec, circuit: Circuit, catalogue: Catalogue) -> Ladder:
    """Every setpoint and resting voltage of an option [V].

    Charge sources with what temperature makes of them, the contactor's controller, relays, banks at rest (whole bank),
    management systems (whole string), inverters, and the highest voltage that loads bear.
    """
    found: list[Rung | Unstated] = []
    span = _span_c(circuit)
    for source in circuit.sources:
        found += _source(spec, circuit, source, span)
    for link in circuit.converters:
        found.append(_converter(circuit, link))
    for device in circuit.devices:
        if device.kind in ("contactor", "vsr"):
            found += _relay(spec, circuit, device)
    for bank in circuit.banks:
        found += _rest(circuit, bank)
    for bank in circuit.banks:
        found += _management(circuit, bank)
    found += _loads(spec, circuit, catalogue)
    joins = {d.key: dict(d.settings)["joins_below_v"] for d in circuit.devices if "joins_below_v" in dict(d.settings)}
    return Ladder(
        tuple(r for r in found if isinstance(r, Rung)), tuple(u for u in found if isinstance(u, Unstated)), joins
    )


def _span_c(circuit: Circuit) -> tuple[float, float]:
    """Coldest and hottest temperature of the places where batteries stand [°C]."""
    places = [circuit.place[bank.place] for bank in circuit.banks]
    return min(p.coldest_c for p in places), max(p.hottest_c for p in places)


def _rung(
    circuit: Circuit,
    item: str,
    group: Group,
    setting: Setting,
    value_v: float,
    cited: Citation = _SET,
    *,
    tolerance_v: float | None = None,
    ends_v: tuple[float, float] | None = None,
    share: float | None = None,
) -> Rung:
    """A rung; `ends_v` what cold and heat make of it."""
    usual_v = TOLERANCE_V_AT_12V[group] * circuit.system_v / 12.0
    either_v = usual_v if tolerance_v is None else tolerance_v
    reaches = (value_v,) if ends_v is None else (value_v, *ends_v)
    return Rung(
        item, group, setting, value_v, either_v, tolerance_v is None and either_v > 0.0, min(reaches) - either_v,
        max(reaches) + either_v, ends_v[0] if ends_v else None, ends_v[1] if ends_v else None, share, cited,
    )  # fmt: skip


def _source(
    spec: EffectiveSpec, circuit: Circuit, source: Source, span_c: tuple[float, float]
) -> Iterator[Rung | Unstated]:
    stated = spec.source(source.key)
    per_k_v = stated.compensation_v_per_k
    for setting, name in (("absorption", "charge_v"), *_CHARGE):
        value_v = getattr(stated, name)
        if value_v is None:
            if setting == "float":
                yield Unstated(source.key, setting)
            continue
        moves = bool(per_k_v) and setting != "restarts_below"
        ends = (
            (compensated_v(value_v, per_k_v or 0.0, span_c[0]), compensated_v(value_v, per_k_v or 0.0, span_c[1]))
            if moves
            else None
        )
        yield _rung(circuit, source.key, "charging", setting, value_v, ends_v=ends)


def _converter(circuit: Circuit, link: Converter) -> Rung:
    return _rung(circuit, link.key, "charging", "absorption", link.charge_v)


def _relay(spec: EffectiveSpec, circuit: Circuit, device: SeriesDevice) -> Iterator[Rung | Unstated]:
    settings = dict(device.settings)
    if device.kind == "contactor":
        link = spec.option.contactor if device.circuit.startswith("banks.") else None
        tolerance_v = link.tolerance_v if link is not None else None
        names: tuple[tuple[Setting, str], ...] = (("opens_above", "opens_above_v"), ("opens_below", "opens_below_v"))
    else:
        stated = device.part.tolerance_v if isinstance(device.part, RelayPart) else None
        tolerance_v = settings.get("tolerance_v", stated)
        names = (("joins", "joins_v"), ("releases", "releases_v"))
    assumed = {a.code for a in circuit.assumed if a.item == device.key}
    for setting, name in names:
        value_v = settings.get(name)
        if value_v is None:
            if device.circuit.startswith("banks."):
                yield Unstated(device.key, setting)
            continue
        cited = _ASSUMED if f"relay_{name[:-2]}" in assumed else _SET
        yield _rung(circuit, device.key, "switching", setting, value_v, cited, tolerance_v=tolerance_v)


def _rest(circuit: Circuit, bank: Bank) -> Iterator[Rung]:
    battery = circuit.battery[bank.strings[0]]
    cells = battery.series_count * cell_count(battery.part)
    for setting, share in REST_SHARES:
        lithium_full = bank.chemistry == "lithium" and share == 1.0
        at = LITHIUM_FULL_SHARE if lithium_full else share
        full_lead = share == 1.0 and bank.chemistry != "lithium"
        cited = citation("full_rest_voltage" if full_lead else "rest_voltage", bank.chemistry)
        yield _rung(circuit, bank.key, "rest", setting, ocv_v(bank.chemistry, at, cells), cited, share=share)


def _management(circuit: Circuit, bank: Bank) -> Iterator[Rung | Unstated]:
    """Where a bank's management cuts [V], of the whole string."""
    battery = circuit.battery[bank.strings[0]]
    if not battery.cut_off:
        return
    for setting, one_v in (("cuts_above", battery.part.cuts_above_v), ("cuts_below", battery.part.cuts_below_v)):
        name: Setting = "cuts_above" if setting == "cuts_above" else "cuts_below"
        if one_v is None:
            yield Unstated(bank.key, name)
        else:
            yield _rung(circuit, bank.key, "management", name, one_v * battery.series_count, _MAKER)


def _loads(spec: EffectiveSpec, circuit: Circuit, catalogue: Catalogue) -> Iterator[Rung | Unstated]:
    for load in circuit.loads:
        stated = spec.load(load.key)
        if load.inverter_id is not None:
            inverter = catalogue.inverter(load.inverter_id)
            if inverter.input_max_v is None:
                yield Unstated(load.key, "input_max")
            else:
                yield _rung(circuit, load.key, "loads", "input_max", inverter.input_max_v, _MAKER)
            stops_v = stated.cuts_out_v if stated.cuts_out_v is not None else inverter.input_min_v
            if stops_v is None:
                yield Unstated(load.key, "input_min")
            else:
                yield _rung(circuit, load.key, "loads", "input_min", stops_v, _SET if stated.cuts_out_v else _MAKER)
        elif stated.cuts_out_v is not None:
            yield _rung(circuit, load.key, "loads", "input_min", stated.cuts_out_v)
        if stated.voltage_max_v is not None:
            yield _rung(circuit, load.key, "loads", "bears", stated.voltage_max_v, _MAKER)
