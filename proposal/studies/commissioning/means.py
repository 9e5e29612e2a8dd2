"""Tests that are passed or not: what guards, what must go on working, what must hold."""

from collections.abc import Iterator

from proposal.circuit.model import Bank, Circuit
from proposal.spec.overlay import EffectiveSpec
from proposal.spec.record import TestName
from proposal.studies.commissioning import equations as eq
from proposal.studies.commissioning.kinds import test_kinds
from proposal.studies.commissioning.result import Band, Expected
from proposal.studies.ladder.result import Ladder, Setting
from proposal.studies.switching.result import Dark

COLD_C = 5.0
"""From here down a lithium battery's stop in the cold is a matter of this vessel; the margin of check 40."""


def means(spec: EffectiveSpec, circuit: Circuit, ladder: Ladder, darks: tuple[Dark, ...]) -> Iterator[Expected]:
    """Fitting, guards of the lithium, what must stay on, and the mains side, as far as this vessel has them."""
    yield from _fitting(spec, circuit)
    yield from _guards(spec, circuit, ladder)
    yield from _stays_on(spec, circuit, darks)


def _works(test: TestName, item: str = "", *, asked: bool = True) -> Expected:
    return Expected(test, item, "", "", None, Band(), "works", {}, asked=asked)


def _fitting(spec: EffectiveSpec, circuit: Circuit) -> Iterator[Expected]:
    """Batteries held, joints made, the hull apart from the positive, outlets the right way round."""
    kinds, vessel = test_kinds(), spec.spec.vessel
    if vessel.kind != "cabin":
        kind = kinds["battery_moves"]
        for bank in circuit.banks:
            limit_m = kind.limit
            yield Expected(kind.test, bank.key, "", "m", None, Band(None, limit_m), "at_most", {"limit_m": limit_m})
    yield _works("torque")
    hot = [b.key for b in circuit.banks] + [x.key for x in circuit.loads if x.high_current]
    hot += [s.key for s in circuit.sources if s.kind == "alternator"]
    kind = kinds["joint_rise"]
    for item in hot:
        yield Expected(kind.test, item, "", "K", None, Band(None, kind.limit), "at_most", {"limit_kelvin": kind.limit})
    kind = kinds["insulation"]
    metal = vessel.kind == "boat" and vessel.hull == "metal"
    yield Expected(
        kind.test, "", "", "ohm", None, Band(kind.limit, None), "at_least", {"limit_ohm": kind.limit}, asked=metal
    )
    if vessel.mains_aboard or any(x.inverter_id is not None for x in circuit.loads):
        yield _works("polarity")


def _guards(spec: EffectiveSpec, circuit: Circuit, ladder: Ladder) -> Iterator[Expected]:
    """Contactors that really open, and what the lithium's own guard does when it is too high, too low or too cold."""
    kind = test_kinds()["contactor_open"]
    least_v = kind.limit * circuit.system_v / 12.0
    for device in circuit.devices:
        if device.kind == "contactor":
            yield Expected(kind.test, device.key, "", "V", None, Band(least_v, None), "at_least", {"limit_v": least_v})
    for bank in circuit.banks:
        if bank.chemistry != "lithium":
            continue
        yield _stop("stops_high", bank, circuit, ladder, "opens_above", "cuts_above")
        yield _stop("stops_low", bank, circuit, ladder, "opens_below", "cuts_below")
        coldest_c = circuit.battery[bank.strings[0]].part.coldest_charge_c
        if circuit.place[bank.place].coldest_c < max(COLD_C, coldest_c if coldest_c is not None else COLD_C):
            yield _works("stops_cold", bank.key)
    if spec.option.emergency_off is not None:
        yield _works("emergency_off")


def _stop(
    test: TestName, bank: Bank, circuit: Circuit, ladder: Ladder, of_contactor: Setting, of_management: Setting
) -> Expected:
    """By the contactor's controller where it is set to a voltage, else by the batteries' own management."""
    rung = ladder.of(bank.through, of_contactor) if bank.through is not None else None
    rung = rung or ladder.of(bank.key, of_management)
    if rung is None:
        return _works(test, bank.key)
    either_v = test_kinds()[test].plus * circuit.system_v / 12.0
    values = {"set_v": rung.value_v, "either_v": either_v}
    return Expected(test, bank.key, "", "V", rung.value_v, eq.about(rung.value_v, 0.0, either_v), "set", {**values})


def _stays_on(spec: EffectiveSpec, circuit: Circuit, darks: tuple[Dark, ...]) -> Iterator[Expected]:
    """What must go on with the main switches off and with the lithium off, and what has to be heard before."""
    kept = [x for x in circuit.loads if x.always_on and x.critical]
    for load in kept:
        yield _works("pump_main_off", load.key)
    cuts = frozenset(b.bank for b in circuit.batteries if b.cut_off)
    dark = frozenset(key for found in darks for key in found.loads)
    for load in kept if cuts else ():
        if load.key not in dark:
            yield _works("pump_lithium_off", load.key)
    for bank in circuit.banks:
        link = spec.option.contactor if bank.through is not None else None
        if bank.key in cuts and (spec.bank(bank.key).warns_before or (link is not None and link.warns_before)):
            yield _works("alarm", bank.key)
    for load in circuit.loads:
        if spec.load(load.key).serves == "high_water_alarm":
            yield _works("alarm", load.key)
