"""Pydantic types of the quantities: text in, number out, with a JSON Schema that an editor can check against."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING, Annotated, Any

from proposal.frozen import frozen
from proposal.units import quantities as q
from proposal.units import sizes

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
    from pydantic.json_schema import JsonSchemaValue
    from pydantic_core import CoreSchema

UNKNOWN = "unknown"


@frozen
class Quantity:
    """Marks a field that takes a quantity of ``kind`` as text (None: a conductor size).

    ``maybe`` also takes the text ``unknown``, which becomes None. Numbers are refused when a model is validated;
    ``model_construct`` and ``model_copy`` take them, as they validate nothing.
    """

    kind: q.Kind | None
    maybe: bool = False

    def read(self, text: object) -> float | sizes.ConductorSize | None:
        """Validate what stands in the file; raises UnitError."""
        allowed = self.kind.allowed if self.kind else sizes.ALLOWED
        if not isinstance(text, str):
            name = self.kind.with_article if self.kind else "a conductor size"
            raise q.UnitError(f"is not {name}", f"{allowed}, or {UNKNOWN}" if self.maybe else allowed)
        if self.maybe and text == UNKNOWN:
            return None
        try:
            return q.parse(self.kind, text) if self.kind else sizes.parse_size(text)
        except q.UnitError as error:
            if not self.maybe:
                raise
            close = difflib.get_close_matches(text.strip().lower(), [UNKNOWN], cutoff=0.7)
            what = f"{error.what}; did you mean {UNKNOWN}?" if close else error.what
            raise q.UnitError(what, f"{error.allowed}, or {UNKNOWN}") from None

    def write(self, value: float | sizes.ConductorSize | None) -> str:
        """Turn a value of this field into the text that ``read`` takes."""
        if value is None:
            return UNKNOWN
        if isinstance(value, sizes.ConductorSize):
            return value.label
        if self.kind is None:
            raise TypeError("a conductor size is not a number")
        return q.write(self.kind, value)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        from pydantic_core import core_schema  # noqa: PLC0415 - the units alone must stay light

        # the inner schema stays, so that bounds such as Field(gt=0) hold on the number
        return core_schema.no_info_before_validator_function(self.read, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        pattern = self.kind.pattern if self.kind else sizes.PATTERN
        examples = list(self.kind.examples if self.kind else sizes.EXAMPLES)
        if self.maybe:
            pattern = f"^(?:{pattern[1:-1]}|{UNKNOWN})$"
            examples.append(UNKNOWN)
        found: JsonSchemaValue = {"type": "string", "pattern": pattern, "examples": examples}
        if self.kind:  # for whoever words a bound of the field
            found["x-unit"] = [self.kind.written, float(self.kind.factors[self.kind.written])]
        return found


LengthM = Annotated[float, Quantity(q.LENGTH)]
CurrentA = Annotated[float, Quantity(q.CURRENT)]
VoltageV = Annotated[float, Quantity(q.VOLTAGE)]
ChargeAh = Annotated[float, Quantity(q.CHARGE)]
EnergyWh = Annotated[float, Quantity(q.ENERGY)]
PowerW = Annotated[float, Quantity(q.POWER)]
TemperatureC = Annotated[float, Quantity(q.TEMPERATURE)]
DurationH = Annotated[float, Quantity(q.DURATION_H)]
DurationS = Annotated[float, Quantity(q.DURATION_S)]
ResistanceOhm = Annotated[float, Quantity(q.RESISTANCE)]
MassKg = Annotated[float, Quantity(q.MASS)]
Share = Annotated[float, Quantity(q.SHARE)]
PerKelvin = Annotated[float, Quantity(q.PER_KELVIN)]
Days = Annotated[float, Quantity(q.DAYS)]
AreaCm2 = Annotated[float, Quantity(q.AREA)]
CapacitanceF = Annotated[float, Quantity(q.CAPACITANCE)]
PerKelvinV = Annotated[float, Quantity(q.PER_KELVIN_V)]
AngleDeg = Annotated[float, Quantity(q.ANGLE)]
Size = Annotated[sizes.ConductorSize, Quantity(None)]

MaybeLengthM = Annotated[float | None, Quantity(q.LENGTH, maybe=True)]
MaybeCurrentA = Annotated[float | None, Quantity(q.CURRENT, maybe=True)]
MaybeVoltageV = Annotated[float | None, Quantity(q.VOLTAGE, maybe=True)]
MaybeChargeAh = Annotated[float | None, Quantity(q.CHARGE, maybe=True)]
MaybeEnergyWh = Annotated[float | None, Quantity(q.ENERGY, maybe=True)]
MaybePowerW = Annotated[float | None, Quantity(q.POWER, maybe=True)]
MaybeTemperatureC = Annotated[float | None, Quantity(q.TEMPERATURE, maybe=True)]
MaybeDurationH = Annotated[float | None, Quantity(q.DURATION_H, maybe=True)]
MaybeDurationS = Annotated[float | None, Quantity(q.DURATION_S, maybe=True)]
MaybeResistanceOhm = Annotated[float | None, Quantity(q.RESISTANCE, maybe=True)]
MaybeMassKg = Annotated[float | None, Quantity(q.MASS, maybe=True)]
MaybeShare = Annotated[float | None, Quantity(q.SHARE, maybe=True)]
MaybePerKelvin = Annotated[float | None, Quantity(q.PER_KELVIN, maybe=True)]
MaybeDays = Annotated[float | None, Quantity(q.DAYS, maybe=True)]
MaybeAreaCm2 = Annotated[float | None, Quantity(q.AREA, maybe=True)]
MaybeCapacitanceF = Annotated[float | None, Quantity(q.CAPACITANCE, maybe=True)]
MaybePerKelvinV = Annotated[float | None, Quantity(q.PER_KELVIN_V, maybe=True)]
MaybeSize = Annotated[sizes.ConductorSize | None, Quantity(None, maybe=True)]
