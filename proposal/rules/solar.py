"""Solar arrays: strings in parallel that feed a weak one, voltage that can be touched, voltage in the cold."""

from proposal.facts import Values
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.spec.equipment import SolarSource

STANDARD_C = 25.0
BACKFED_FROM = 3
"""Strings in parallel from which every module bears the current of the others only with a fuse. Common practice."""
IRRADIANCE_FACTOR = 1.25
"""Short-circuit current on the brightest days over that at standard test conditions. Common practice, no source."""
TOUCH_V = 60.0
"""Highest direct voltage that bare parts may have where they can be touched. Common practice, no source."""


def arrays(evidence: Evidence) -> tuple[tuple[str, SolarSource], ...]:
    """Solar sources of the circuit as they are written, by key."""
    written = ((s.key, evidence.spec.source(s.key)) for s in evidence.circuit.sources)
    return tuple((key, spec) for key, spec in written if isinstance(spec, SolarSource))


def cold_factor(evidence: Evidence, array: SolarSource) -> float:
    """Open-circuit voltage of an array at its coldest over that at 25 °C, 1 at least: 1 + c·(T − 25 °C)."""
    coldest_c = evidence.circuit.place[array.coldest_place].coldest_c
    return max(1.0, 1.0 + array.voltage_per_k * (coldest_c - STANDARD_C))


def solar_strings_unprotected(evidence: Evidence) -> Examined:
    """10. Strings in parallel whose current back into one is more than its modules bear; voltage that can be touched.

    I = 1.25·(n − 1)·I_sc of one string [A] against the largest fuse that the module's maker allows, from three strings
    on, and with two where that is stated. Open-circuit voltage at its coldest above 60 V where bare parts can be
    touched. Common practice, no source.
    """
    objections: list[Objection] = []
    found = arrays(evidence)
    for key, array in found:
        backfed = _backfed(key, array)
        touched = _touched(evidence, key, array)
        objections += [x for x in (backfed, touched) if x is not None]
    return Examined(len(found), tuple(objections))


def _backfed(key: str, array: SolarSource) -> Objection | None:
    bears_a = array.module_fuse_max_a
    if array.string_fuse_a is not None:
        if bears_a is None or not above(array.string_fuse_a, bears_a):
            return None
        return fires(key, cause="fuse_too_large", rating_a=array.string_fuse_a, limit_a=bears_a)
    back_a = IRRADIANCE_FACTOR * (array.strings - 1) * array.short_circuit_a / array.strings
    facts: Values = {"cause": "backfed", "current_a": back_a, "strings": array.strings}
    if bears_a is None:
        return undecided(key, "module_fuse_max", **facts) if array.strings >= BACKFED_FROM else None
    return fires(key, **facts, limit_a=bears_a) if above(back_a, bears_a) else None


def _touched(evidence: Evidence, key: str, array: SolarSource) -> Objection | None:
    cold_v = array.open_circuit_v * cold_factor(evidence, array)
    if not above(cold_v, TOUCH_V) or array.touchable is False:
        return None
    coldest_c = evidence.circuit.place[array.coldest_place].coldest_c
    facts: Values = {"cause": "touch", "voltage_v": cold_v, "coldest_c": coldest_c, "limit_v": TOUCH_V}
    return fires(key, **facts) if array.touchable else undecided(key, "touchable", **facts)


def array_voltage_high(evidence: Evidence) -> Examined:
    """35. Open-circuit voltage of an array at its coldest above what the controller bears. Common practice, no source.

    U = U_25 · (1 + c·(T − 25 °C)) [V], U_25 of the whole array (its parallel strings add current only), c [1/K]; where
    nobody states c, the usual one decides nothing alone.
    """
    objections = []
    found = arrays(evidence)
    for key, array in found:
        factor = cold_factor(evidence, array)
        cold_v = array.open_circuit_v * factor
        limit_v = evidence.catalogue.charger(array.controller).input_max_v
        facts: Values = {
            "voltage_v": cold_v, "open_circuit_v": array.open_circuit_v,
            "coldest_c": evidence.circuit.place[array.coldest_place].coldest_c,
            "coefficient_per_k": array.voltage_per_k, "coefficient_stated": "voltage_per_k" in array.model_fields_set,
        }  # fmt: skip
        if limit_v is None:
            objections.append(undecided(key, "controller_input_limit", **facts))
        elif above(cold_v, limit_v) and not above(array.open_circuit_v, limit_v) and not facts["coefficient_stated"]:
            objections.append(undecided(key, "voltage_coefficient", **facts, limit_v=limit_v))
        elif above(cold_v, limit_v):
            objections.append(fires(key, **facts, limit_v=limit_v, open_circuit_allowed_v=limit_v / factor))
    return Examined(len(found), tuple(objections))
