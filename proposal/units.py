"""Quantities as people write them, into numbers and back: one table of units, one regular expression."""

from __future__ import annotations

import difflib
import functools
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING, Annotated, Any, Literal

from proposal.errors import InputError

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
    from pydantic.json_schema import JsonSchemaValue
    from pydantic_core import CoreSchema

LONGEST_TEXT = 64
UNKNOWN = "unknown"
_NUMBER = r"([0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
_SIGNED = r"([+\-−]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+))"
_WORDS = re.compile(r"\s*([+\-−]?[0-9.,'’_ \u00a0\u202f]*[0-9])\s*(.*?)\s*", re.DOTALL)


class UnitError(InputError):
    """A quantity cannot be taken; carries ``what`` is wrong and which units are ``allowed``."""


@dataclass(frozen=True, eq=False)  # its tables have no hash, and each kind exists once
class Kind:
    """One kind of quantity: canonical ``unit``, accepted spellings with their factor to it, and its bounds.

    value [unit] = number · factors[spelling] + offsets[spelling]; ``lowest`` and ``highest`` are in ``unit``.
    ``written`` is the spelling used when a value is turned into text.
    """

    name: str
    unit: str
    factors: Mapping[str, Fraction]
    examples: tuple[str, ...]
    highest: float
    lowest: float = 0.0
    written: str = ""
    offsets: Mapping[str, Fraction] = field(default_factory=dict)

    @property
    def signed(self) -> bool:
        """Whether a sign makes sense for this kind."""
        return self.lowest < 0

    @functools.cached_property
    def pattern(self) -> str:
        """The regular expression of the texts that are read, in the common ground of Python and ECMAScript."""
        spellings = "|".join(re.escape(spelling).replace("\\%", "%") for spelling in self.factors)
        return f"^{_SIGNED if self.signed else _NUMBER} ?({spellings})$"

    @functools.cached_property
    def allowed(self) -> str:
        """The accepted units with an example, for error texts."""
        return f"a number with {_one_of(tuple(self.factors))}, e.g. {self.examples[0]}"


def _one_of(words: tuple[str, ...]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def _kind(name: str, factors: dict[str, str], examples: tuple[str, ...], highest: float, **more: Any) -> Kind:
    table = MappingProxyType({spelling: Fraction(factor) for spelling, factor in factors.items()})
    more.setdefault("unit", next(iter(factors)))
    more.setdefault("written", next(iter(factors)))
    return Kind(name=name, factors=table, examples=examples, highest=highest, **more)


# Foot, inch and pound by the international agreement of 1959: 0.3048 m, 0.0254 m, 0.45359237 kg.
LENGTH = _kind(
    "length", {"m": "1", "cm": "1/100", "mm": "1/1000", "km": "1000", "ft": "0.3048", "in": "0.0254"},
    ("4.2 m", "14 ft", "36 in"), 10_000.0,
)  # fmt: skip
CURRENT = _kind("current", {"A": "1", "mA": "1/1000", "kA": "1000"}, ("120 A", "15 mA", "1.2 kA"), 1e6)
VOLTAGE = _kind("voltage", {"V": "1", "mV": "1/1000", "kV": "1000"}, ("12.8 V", "50 mV"), 10_000.0)
CHARGE = _kind("battery capacity", {"Ah": "1", "mAh": "1/1000"}, ("200 Ah",), 1e6)
ENERGY = _kind("energy", {"Wh": "1", "kWh": "1000"}, ("2.9 kWh", "600 Wh"), 1e9)
POWER = _kind("power", {"W": "1", "mW": "1/1000", "kW": "1000"}, ("640 W", "1.2 kW"), 1e8)
TEMPERATURE = _kind(
    "temperature", {"°C": "1", "C": "1", "°F": "5/9", "F": "5/9", "K": "1"}, ("-15 °C", "55 °C", "14 °F"), 1000.0,
    lowest=-100.0,
    offsets=MappingProxyType({"°F": Fraction(-160, 9), "F": Fraction(-160, 9), "K": Fraction("-273.15")}),
)  # fmt: skip
DURATION_H = _kind("duration", {"h": "1", "min": "1/60"}, ("2.5 h", "20 min"), 100_000.0)
DURATION_S = _kind("duration", {"s": "1", "ms": "1/1000", "min": "60"}, ("3 s", "250 ms", "2 min"), 1e7)
RESISTANCE = _kind(
    "resistance",
    {"ohm": "1", "Ω": "1", "mΩ": "1/1000", "mohm": "1/1000", "milliohm": "1/1000", "kΩ": "1000", "kohm": "1000",
     "MΩ": "1000000", "Mohm": "1000000"},
    ("1.5 mohm", "0.2 ohm", "1.5 mΩ"), 1e9,
)  # fmt: skip
MASS = _kind("mass", {"kg": "1", "g": "1/1000", "lb": "0.45359237"}, ("27 kg", "60 lb"), 1e6)
SHARE = _kind("share", {"%": "1/100"}, ("40 %",), 1.0, unit="fraction")
PER_KELVIN = _kind(
    "temperature coefficient", {"%/K": "1/100", "%/°C": "1/100", "%/C": "1/100"}, ("-0.27 %/K",), 1.0, lowest=-1.0,
    unit="1/K",
)  # fmt: skip
DAYS = _kind("number of days", {"days": "1", "day": "1"}, ("2 days", "1 day"), 36_525.0)

KINDS = (LENGTH, CURRENT, VOLTAGE, CHARGE, ENERGY, POWER, TEMPERATURE, DURATION_H, DURATION_S, RESISTANCE, MASS, SHARE,
         PER_KELVIN, DAYS)  # fmt: skip


def parse(kind: Kind, text: str) -> float:
    """Read a quantity.

    Parameters: ``kind`` of quantity wanted; ``text`` as a person wrote it, number and unit.
    Returns the value in ``kind.unit``. Raises UnitError when the text is anything else.
    """
    if len(text) > LONGEST_TEXT:
        raise UnitError(f"is longer than {LONGEST_TEXT} characters", kind.allowed)
    match = _compiled(kind.pattern).fullmatch(_tidy(text))
    if match is None:
        raise UnitError(_why_not(kind, _tidy(text)), kind.allowed)
    number, spelling = match.groups()
    exact = Fraction(number.replace("−", "-")) * kind.factors[spelling] + kind.offsets.get(spelling, 0)
    if not kind.lowest <= exact <= kind.highest:
        raise UnitError(
            f"is outside what a {kind.name} can be here",
            f"{write(kind, kind.lowest)} to {write(kind, kind.highest)}",
        )
    return float(exact)


def write(kind: Kind, value: float) -> str:
    """Turn ``value`` in ``kind.unit`` into the text that ``parse`` reads back to the same value.

    Raises ValueError when it is not finite or too small to be written in 64 characters.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a finite number")
    number = Decimal(repr(value)) * (Decimal(100) if kind.written.startswith("%") else 1)
    text = f"{_plain(number)} {kind.written}"
    if len(text) > LONGEST_TEXT:
        raise ValueError(f"{value!r} {kind.unit} cannot be written in {LONGEST_TEXT} characters")
    return text


def _plain(number: Decimal) -> str:
    text = format(number, "f")
    return (text.rstrip("0").rstrip(".") if "." in text else text) or "0"


@functools.cache
def _compiled(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern)


def _tidy(text: str) -> str:
    return re.sub(r"[ \u00a0\u202f]+", " ", text).strip(" ")


# Words that people write instead of the sign.
_SIGNS = {
    "metre": "m", "metres": "m", "meter": "m", "meters": "m", "foot": "ft", "feet": "ft", "'": "ft", "inch": "in",
    "inches": "in", '"': "in", "amp": "A", "amps": "A", "ampere": "A", "amperes": "A", "volt": "V", "volts": "V",
    "watt": "W", "watts": "W", "hour": "h", "hours": "h", "hr": "h", "hrs": "h", "minute": "min", "minutes": "min",
    "mins": "min", "sec": "s", "second": "s", "seconds": "s", "ohms": "ohm", "lbs": "lb", "pounds": "lb", "kilo": "kg",
    "kilos": "kg", "percent": "%", "degrees": "°C", "deg c": "°C", "deg f": "°F", "vdc": "V", "d": "days",
    "amp-hours": "Ah", "amp hours": "Ah", "amphours": "Ah", "kw/h": "kWh",
}  # fmt: skip


def _why_not(kind: Kind, text: str) -> str:
    """Find the words for a text that ``parse`` cannot take."""
    words = _WORDS.fullmatch(text)
    if not text:
        return f"is empty where a {kind.name} belongs"
    if words is None:
        return f"is not a {kind.name}"
    number, unit = words.groups()
    sign = _right_spelling(kind, unit)
    if "," in number:
        return f"has a decimal comma or a thousands separator; {_comma_hint(number, unit)}"
    if re.search(r"[^0-9.+\-−]", number):
        return f"has a separator inside the number; write {re.sub(r'[^0-9.+-]', '', number)} {sign or unit}".rstrip()
    if number[0] in "+-−" and not kind.signed:
        return f"has a sign, and a {kind.name} cannot be negative"
    if not unit:
        return f"has no unit; write {number} {kind.written}"
    if sign and sign != unit:
        return f"has the unit {unit}; did you mean {number} {sign}?"
    for other in KINDS:
        if unit in other.factors and unit not in kind.factors:
            return f"is a {other.name}, and a {kind.name} belongs here"
    if sign:
        return "is not written as a plain number"
    return f"has a unit that is not known for a {kind.name}"


def _right_spelling(kind: Kind, unit: str) -> str:
    if unit in kind.factors:
        return unit
    if _SIGNS.get(unit.lower(), "") in kind.factors:
        return _SIGNS[unit.lower()]
    return next((spelling for spelling in kind.factors if spelling.lower() == unit.lower()), "")


def _comma_hint(number: str, unit: str) -> str:
    whole, _, rest = number.rpartition(",")
    with_point = f"{whole.replace(',', '')}.{rest}"
    without = re.sub(r"[^0-9.+\-−]", "", number)
    if re.fullmatch(r"[+\-−]?[0-9]{1,3}(,[0-9]{3})+(\.[0-9]+)?", number):
        return f"write {without} {unit} or {with_point if '.' not in rest else without} {unit}".replace(" or " + without, "")
    return f"write {with_point if '.' not in number else without} {unit}".rstrip()


# --- conductor sizes -------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class ConductorSize:
    """A standard conductor size; sizes are ordered by ``area_mm2`` [mm²]."""

    system: Literal["awg", "mm2"]
    label: str
    area_mm2: float

    def __lt__(self, other: ConductorSize) -> bool:
        return self._order < other._order

    def __le__(self, other: ConductorSize) -> bool:
        return self._order <= other._order

    def __gt__(self, other: ConductorSize) -> bool:
        return self._order > other._order

    def __ge__(self, other: ConductorSize) -> bool:
        return self._order >= other._order

    def __str__(self) -> str:
        return self.label

    @property
    def _order(self) -> tuple[float, str]:
        return (self.area_mm2, self.label)


def awg_diameter_mm(gauge: int) -> float:
    """Diameter [mm] of a solid round wire of AWG ``gauge`` (1/0 is 0, 2/0 is -1, 4/0 is -3).

    d = 0.127 mm · 92^((36 - n)/39). Source: ASTM B258.
    """
    return float(0.127 * 92.0 ** ((36 - gauge) / 39))


def awg_area_mm2(gauge: int) -> float:
    """Cross-section [mm²] of AWG ``gauge``: A = π/4 · d². Source: ASTM B258."""
    return math.pi / 4 * awg_diameter_mm(gauge) ** 2


_GAUGES = {**{str(n): n for n in (18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1)}, "1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3}
AWG_SIZES = tuple(ConductorSize("awg", f"{name} AWG", awg_area_mm2(n)) for name, n in _GAUGES.items())
# Nominal cross-sections of IEC 60228, 0.5 to 240 mm².
MM2_SIZES = tuple(
    ConductorSize("mm2", f"{name} mm²", float(name))
    for name in "0.5 0.75 1 1.5 2.5 4 6 10 16 25 35 50 70 95 120 150 185 240".split()
)
_SIZES = {size.label: size for size in (*AWG_SIZES, *MM2_SIZES)}
_SIZE_PATTERN = (
    r"^(?:(?:" + "|".join(_GAUGES) + r") ?AWG|(?:"
    + "|".join(size.label[:-4].replace(".", "\\.") for size in MM2_SIZES) + r") ?(?:mm2|mm²))$"
)  # fmt: skip
_SIZE_EXAMPLES = ("2/0 AWG", "18 AWG", "70 mm2")
_SIZE_ALLOWED = "a standard size in AWG (18 … 4/0) or mm2 (0.5 … 240), e.g. 2/0 AWG or 70 mm2"


def parse_size(text: str) -> ConductorSize:
    """Read a standard conductor size, such as ``2/0 AWG`` or ``70 mm2``.

    Sources: ASTM B258 (gauges), IEC 60228 (nominal mm²). Raises UnitError for anything else; a size that is not a
    standard one is refused with its neighbours.
    """
    if len(text) > LONGEST_TEXT:
        raise UnitError(f"is longer than {LONGEST_TEXT} characters", _SIZE_ALLOWED)
    tidy = _tidy(text)
    match = re.fullmatch(r"([0-9]+(?:\.[0-9]+)?|[0-9]+/0) ?(AWG|mm2|mm²)", tidy)
    if match is None:
        raise UnitError(_why_no_size(tidy), _SIZE_ALLOWED)
    number, unit = match.groups()
    metric = unit != "AWG"
    name = _plain(Decimal(number)) if metric and "/" not in number else number
    size = _SIZES.get(f"{name} mm²" if metric else f"{name} AWG")
    if size is not None:
        return size
    if metric and "/" not in number:
        raise UnitError("is not a standard size", _neighbours(MM2_SIZES, float(number)))
    if not metric and re.fullmatch(r"0{1,4}", number):
        raise UnitError(f"is not how this gauge is written; write {len(number)}/0 AWG", _SIZE_ALLOWED)
    if not metric and number.isdigit() and int(number) <= 40:
        raise UnitError("is not a standard size here", _neighbours(AWG_SIZES, awg_area_mm2(int(number))))
    raise UnitError("is not a standard size", _SIZE_ALLOWED)


def _neighbours(sizes: tuple[ConductorSize, ...], area_mm2: float) -> str:
    below = [size.label for size in sizes if size.area_mm2 < area_mm2][-1:]
    above = [size.label for size in sizes if size.area_mm2 > area_mm2][:1]
    return " or ".join(below + above)


def _why_no_size(text: str) -> str:
    if not text:
        return "is empty where a conductor size belongs"
    if "," in text:
        return f"has a decimal comma; write {text.replace(',', '.')}"
    for wrong, right in (("awg", "AWG"), ("mm2", "mm2"), ("mm²", "mm²"), ("sqmm", "mm2"), ("mm^2", "mm2")):
        number = text.lower().replace(wrong, "").strip(" #")
        if wrong in text.lower() and re.fullmatch(r"[0-9./]+", number):
            return f"is not how a size is written; did you mean {number} {right}?"
    if re.fullmatch(r"[0-9./]+", text):
        return "has no unit: AWG or mm2"
    return "is not a conductor size"


# --- pydantic types: text in, number out -----------------------------------------------------------------------------


@dataclass(frozen=True)
class Quantity:
    """Marks a pydantic field that takes a quantity of ``kind`` as text; ``maybe`` also takes ``unknown`` (None)."""

    kind: Kind | None  # None is a conductor size
    maybe: bool = False

    def read(self, text: object) -> float | ConductorSize | None:
        """Validate what stands in the file; raises UnitError."""
        allowed = self.kind.allowed if self.kind else _SIZE_ALLOWED
        if not isinstance(text, str):
            raise UnitError(f"a {self.kind.name if self.kind else 'conductor size'} belongs here", allowed)
        if self.maybe and text.strip() == UNKNOWN:
            return None
        try:
            return parse(self.kind, text) if self.kind else parse_size(text)
        except UnitError as error:
            if not self.maybe:
                raise
            close = difflib.get_close_matches(text.strip().lower(), [UNKNOWN], cutoff=0.7)
            what = f"{error.what}; did you mean {UNKNOWN}?" if close else error.what
            raise UnitError(what, f"{error.allowed}, or {UNKNOWN}") from None

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        from pydantic_core import core_schema  # noqa: PLC0415 - units alone must stay light

        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        pattern = self.kind.pattern if self.kind else _SIZE_PATTERN
        examples = list(self.kind.examples if self.kind else _SIZE_EXAMPLES)
        if self.maybe:
            pattern = f"^(?:{pattern[1:-1]}|{UNKNOWN})$"
            examples.append(UNKNOWN)
        return {"type": "string", "pattern": pattern, "examples": examples}


LengthM = Annotated[float, Quantity(LENGTH)]
CurrentA = Annotated[float, Quantity(CURRENT)]
VoltageV = Annotated[float, Quantity(VOLTAGE)]
ChargeAh = Annotated[float, Quantity(CHARGE)]
EnergyWh = Annotated[float, Quantity(ENERGY)]
PowerW = Annotated[float, Quantity(POWER)]
TemperatureC = Annotated[float, Quantity(TEMPERATURE)]
DurationH = Annotated[float, Quantity(DURATION_H)]
DurationS = Annotated[float, Quantity(DURATION_S)]
ResistanceOhm = Annotated[float, Quantity(RESISTANCE)]
MassKg = Annotated[float, Quantity(MASS)]
Share = Annotated[float, Quantity(SHARE)]
PerKelvin = Annotated[float, Quantity(PER_KELVIN)]
Days = Annotated[float, Quantity(DAYS)]
Size = Annotated[ConductorSize, Quantity(None)]

MaybeLengthM = Annotated[float | None, Quantity(LENGTH, maybe=True)]
MaybeCurrentA = Annotated[float | None, Quantity(CURRENT, maybe=True)]
MaybeVoltageV = Annotated[float | None, Quantity(VOLTAGE, maybe=True)]
MaybeChargeAh = Annotated[float | None, Quantity(CHARGE, maybe=True)]
MaybeEnergyWh = Annotated[float | None, Quantity(ENERGY, maybe=True)]
MaybePowerW = Annotated[float | None, Quantity(POWER, maybe=True)]
MaybeTemperatureC = Annotated[float | None, Quantity(TEMPERATURE, maybe=True)]
MaybeDurationH = Annotated[float | None, Quantity(DURATION_H, maybe=True)]
MaybeDurationS = Annotated[float | None, Quantity(DURATION_S, maybe=True)]
MaybeResistanceOhm = Annotated[float | None, Quantity(RESISTANCE, maybe=True)]
MaybeMassKg = Annotated[float | None, Quantity(MASS, maybe=True)]
MaybeShare = Annotated[float | None, Quantity(SHARE, maybe=True)]
MaybePerKelvin = Annotated[float | None, Quantity(PER_KELVIN, maybe=True)]
MaybeDays = Annotated[float | None, Quantity(DAYS, maybe=True)]
MaybeSize = Annotated[ConductorSize | None, Quantity(None, maybe=True)]
