"""The table of units, and the one regular expression made from it."""

from __future__ import annotations

import functools
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any

from proposal.errors import InputError

LONGEST_TEXT = 64
SPACE = "[ \u00a0\u202f]"  # plain, no-break and narrow no-break space: what a text pasted from a data sheet holds
_NUMBER = r"(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
_SIGN = "[+\\-\u2212]"


class UnitError(InputError):
    """A quantity cannot be taken; carries ``what`` is wrong and which units are ``allowed``."""


# Compared by identity, because a table of factors cannot be hashed.
@dataclass(frozen=True, eq=False)
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
    lowest: float
    written: str
    offsets: Mapping[str, Fraction] = field(default_factory=dict)

    @property
    def signed(self) -> bool:
        """Whether a sign makes sense for this kind."""
        return self.lowest < 0

    @functools.cached_property
    def pattern(self) -> str:
        """The regular expression of the texts that are read, in the common ground of Python and ECMAScript."""
        spellings = "|".join(self.factors)
        return f"^({_SIGN}?{_NUMBER}){SPACE}*({spellings})$" if self.signed else f"^({_NUMBER}){SPACE}*({spellings})$"

    @functools.cached_property
    def reader(self) -> re.Pattern[str]:
        """``pattern``, compiled."""
        return re.compile(self.pattern)

    @functools.cached_property
    def allowed(self) -> str:
        """The accepted units with an example, for error texts."""
        *others, last = self.factors
        units = f"{', '.join(others)} or {last}" if others else last
        return f"a number with {units}, e.g. {self.examples[0]}"

    @functools.cached_property
    def with_article(self) -> str:
        """The name as it stands in a sentence."""
        return f"{'an' if self.name[0] in 'aeiou' else 'a'} {self.name}"


def _kind(name: str, factors: dict[str, str], examples: tuple[str, ...], highest: float, **more: Any) -> Kind:
    first = next(iter(factors))
    settings = {"unit": first, "written": first, "lowest": 0.0, **more}
    table = {spelling: Fraction(factor) for spelling, factor in factors.items()}
    return Kind(name=name, factors=table, examples=examples, highest=highest, **settings)


# Foot, inch and pound by the international agreement of 1959: 0.3048 m, 0.0254 m, 0.45359237 kg.
# Torque by the pound-force of 0.45359237 kg at 9.80665 m/s², so 1 lbf·ft = 1.3558179483314004 N·m exactly.
# The bounds are no physics: they catch a slip of the keyboard and keep every later product finite.
LENGTH = _kind(
    "length",
    {"m": "1", "cm": "0.01", "mm": "0.001", "km": "1000", "ft": "0.3048", "in": "0.0254"},
    ("4.2 m", "14 ft", "36 in"),
    10_000.0,
)
CURRENT = _kind("current", {"A": "1", "mA": "0.001", "kA": "1000"}, ("120 A", "15 mA", "1.2 kA"), 1e6)
VOLTAGE = _kind("voltage", {"V": "1", "mV": "0.001", "kV": "1000"}, ("12.8 V", "50 mV"), 10_000.0)
CHARGE = _kind("battery capacity", {"Ah": "1", "mAh": "0.001"}, ("200 Ah", "95 Ah"), 1e6)
ENERGY = _kind("energy", {"Wh": "1", "kWh": "1000"}, ("600 Wh", "2.9 kWh"), 1e9)
POWER = _kind("power", {"W": "1", "mW": "0.001", "kW": "1000"}, ("640 W", "1.2 kW"), 1e8)
TEMPERATURE = _kind(
    "temperature",
    {"°C": "1", "C": "1", "°F": "5/9", "F": "5/9", "K": "1"},
    ("-15 °C", "55 °C", "14 °F"),
    1000.0,
    lowest=-100.0,
    offsets={"°F": Fraction(-160, 9), "F": Fraction(-160, 9), "K": Fraction("-273.15")},
)
DURATION_H = _kind("duration", {"h": "1", "min": "1/60"}, ("2.5 h", "20 min"), 100_000.0)
DURATION_S = _kind("duration", {"s": "1", "ms": "0.001", "min": "60"}, ("3 s", "250 ms", "2 min"), 1e7)
RESISTANCE = _kind(
    "resistance",
    {"ohm": "1", "Ω": "1", "mΩ": "0.001", "mohm": "0.001", "milliohm": "0.001"}
    | {"kΩ": "1000", "kohm": "1000", "MΩ": "1000000", "Mohm": "1000000"},
    ("0.2 ohm", "1.5 mohm", "1.5 mΩ"),
    1e9,
)
MASS = _kind("mass", {"kg": "1", "g": "0.001", "lb": "0.45359237"}, ("27 kg", "60 lb"), 1e6)
SHARE = _kind("share", {"%": "0.01"}, ("40 %", "92.5 %"), 1.0, unit="fraction")
PER_KELVIN = _kind(
    "temperature coefficient",
    {"%/K": "0.01", "%/°C": "0.01", "%/C": "0.01"},
    ("-0.27 %/K",),
    1.0,
    lowest=-1.0,
    unit="1/K",
)
AREA = _kind("area", {"cm2": "1", "cm²": "1", "mm2": "0.01", "mm²": "0.01", "in2": "6.4516"}, ("40 cm2", "6 in2"), 1e6)
CAPACITANCE = _kind(
    "capacitance", {"F": "1", "mF": "0.001", "uF": "0.000001", "µF": "0.000001"}, ("15 mF", "4700 uF"), 1000.0
)
PER_KELVIN_V = _kind(
    "voltage change per kelvin",
    {"V/K": "1", "mV/K": "0.001", "V/°C": "1", "mV/°C": "0.001"},
    ("-24 mV/K",),
    10.0,
    lowest=-10.0,
)
ANGLE = _kind("angle", {"°": "1", "deg": "1"}, ("12.6 °", "-61.4 °"), 360.0, lowest=-360.0)
TORQUE = _kind(
    "torque",
    {"N·m": "1", "Nm": "1", "lbf·in": "0.1129848290276167", "lbf·ft": "1.3558179483314004"},
    ("12 N·m",),
    10_000.0,
)
DIFFERENCE = _kind(
    "temperature difference", {"K": "1", "°C": "1", "C": "1", "°F": "5/9", "F": "5/9"}, ("8 K", "6.5 °C"), 1000.0
)
DAYS = _kind("number of days", {"days": "1", "day": "1"}, ("2 days", "1 day"), 36_525.0)

KINDS = (
    *(LENGTH, CURRENT, VOLTAGE, CHARGE, ENERGY, POWER, TEMPERATURE, DURATION_H, DURATION_S, RESISTANCE),
    *(MASS, SHARE, PER_KELVIN, DAYS, AREA, CAPACITANCE, PER_KELVIN_V, ANGLE, TORQUE, DIFFERENCE),
)


@functools.lru_cache(maxsize=4096)
def parse(kind: Kind, text: str) -> float:
    """Read a quantity.

    Parameters: ``kind`` of quantity wanted; ``text`` as a person wrote it, number and unit.
    Returns the value in ``kind.unit``, correctly rounded. Raises UnitError when the text is anything else.
    """
    if len(text) > LONGEST_TEXT:
        raise UnitError(f"is longer than {LONGEST_TEXT} characters", kind.allowed)
    match = kind.reader.fullmatch(text)
    if match is None:
        raise UnitError(_why_not(kind, re.sub(f"{SPACE}+", " ", text).strip()), kind.allowed)
    number, spelling = match.groups()
    factor, offset = kind.factors[spelling], kind.offsets.get(spelling)
    whole, _, decimals = number.replace("\u2212", "-").partition(".")
    # exact in whole numbers, so that 7 % is 0.07 and not 0.07000000000000001; their division rounds once
    over, under = int(whole + decimals) * factor.numerator, 10 ** len(decimals) * factor.denominator
    if offset:
        over, under = over * offset.denominator + offset.numerator * under, under * offset.denominator
    value: float = over / under
    if not kind.lowest <= value <= kind.highest:
        bounds = f"{write(kind, kind.lowest)} to {write(kind, kind.highest)}"
        raise UnitError(f"is beyond what {kind.with_article} can be here", bounds)
    return value


def write(kind: Kind, value: float) -> str:
    """Turn ``value`` in ``kind.unit`` into the text that ``parse`` reads back to the same value.

    Raises ValueError when it is not finite or too small to be written in 64 characters.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a finite number")
    # 0.0 + value turns the -0.0 of a computation into 0.0; every written spelling is the unit itself or its hundredth.
    number = Decimal(repr(0.0 + value)) / Decimal(str(float(kind.factors[kind.written])))
    text = f"{plain(number)} {kind.written}"
    if len(text) > LONGEST_TEXT:
        raise ValueError(f"{value!r} {kind.unit} cannot be written in {LONGEST_TEXT} characters")
    return text


def plain(number: Decimal) -> str:
    """Write a number without exponent and without trailing zeros."""
    text = format(number, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


# --- why a text was refused, in words that mend it -------------------------------------------------------------------

# Words that people write instead of the sign.
_SIGNS = {
    **dict.fromkeys(("metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("foot", "feet", "'", "’", "′"), "ft"),
    **dict.fromkeys(("inch", "inches", '"', "”", "″"), "in"),
    **dict.fromkeys(("amp", "amps", "ampere", "amperes"), "A"),
    **dict.fromkeys(("volt", "volts", "vdc", "v dc", "v=", "vcc"), "V"),
    **dict.fromkeys(("watt", "watts"), "W"),
    **dict.fromkeys(("amp-hours", "amp hours", "amphours", "amp-hour", "ampere-hours"), "Ah"),
    **dict.fromkeys(("kw/h", "kw h", "kw-h", "kilowatt-hours"), "kWh"),
    **dict.fromkeys(("hour", "hours", "hr", "hrs"), "h"),
    **dict.fromkeys(("minute", "minutes", "mins"), "min"),
    **dict.fromkeys(("sec", "secs", "second", "seconds"), "s"),
    **dict.fromkeys(("ohms", "\u2126"), "ohm"),
    **dict.fromkeys(("milliohms", "mohms", "m\u2126"), "mohm"),
    **dict.fromkeys(("lbs", "pound", "pounds"), "lb"),
    **dict.fromkeys(("kilo", "kilos", "kgs"), "kg"),
    **dict.fromkeys(("percent", "pct"), "%"),
    **dict.fromkeys(("°", "degrees", "deg", "deg c", "degc", "º", "ºc", "celsius", "\u2103"), "°C"),
    **dict.fromkeys(("deg f", "degf", "ºf", "fahrenheit", "\u2109"), "°F"),
    "d": "days",
}
_NUMBER_AND_REST = re.compile(rf"({_SIGN}?[0-9.,'’_ ]*[0-9][eE]?(?:(?<=[eE])[+-]?[0-9]+)?) ?(.*)", re.DOTALL)


def _why_not(kind: Kind, text: str) -> str:
    """Find the words for a tidied text that ``parse`` cannot take: the first objection that applies."""
    if not text:
        return f"is empty where {kind.with_article} belongs"
    parts = _NUMBER_AND_REST.fullmatch(text)
    if parts is None:
        return f"is not {kind.with_article}"
    number, unit = parts.groups()
    objections: tuple[Callable[[Kind, str, str], str], ...] = (_comma, _odd_number, _sign, _unit)
    return next(filter(None, (objection(kind, number, unit) for objection in objections)))


def _comma(kind: Kind, number: str, unit: str) -> str:
    if "," not in number:
        return ""
    sign = _known_sign(kind, unit) or unit or kind.written
    without = number.replace(",", "").replace(" ", "")
    if "." in number:
        return f"has a thousands separator; write {without} {sign}"
    with_point = ".".join(number.replace(" ", "").rsplit(",", 1)).replace(",", "")
    if re.fullmatch(rf"{_SIGN}?[1-9][0-9]{{0,2}}(,[0-9]{{3}})+", number):
        return f"has a comma that may mean two things; write {without} {sign} or {with_point} {sign}"
    return f"has a decimal comma; write {with_point} {sign}"


def _odd_number(kind: Kind, number: str, unit: str) -> str:
    if re.fullmatch(f"{_SIGN}?{_NUMBER}", number):
        return ""
    sign = _known_sign(kind, unit) or unit or kind.written
    digits = re.sub("['’_ ]", "", number)
    if re.fullmatch(f"{_SIGN}?{_NUMBER}", digits):
        return f"has a separator inside the number; write {digits} {sign}"
    exponent = re.fullmatch(f"({_SIGN}?{_NUMBER})[eE]([+-]?[0-9]{{1,2}})", digits)
    if exponent:
        value = plain(Decimal(exponent[1].replace("\u2212", "-")).scaleb(int(exponent[2])))
        return f"has an exponent; write {value} {sign}" if len(value) < LONGEST_TEXT else "has an exponent"
    return "is not one plain number with its unit"


def _sign(kind: Kind, number: str, unit: str) -> str:  # noqa: ARG001 - the objections share one shape
    return "" if kind.signed or number[0].isdigit() or number[0] == "." else f"has a sign; {kind.with_article} has none"


def _unit(kind: Kind, number: str, unit: str) -> str:
    if not unit:
        # nobody can tell whether 0.4 meant 0.4 % or 40 %
        return "has no unit" if kind.written.startswith("%") else f"has no unit; write {number} {kind.written}"
    if re.search("[0-9]", unit):
        return "is not one plain number with its unit"
    known = _known_sign(kind, unit)
    if known:
        return f"has the unit {unit}; did you mean {number} {known}?"
    other = next((other for other in KINDS if unit in other.factors), None)
    if other:
        return f"is {other.with_article} where {kind.with_article} belongs"
    return f"has the unit {unit}, which is not known for {kind.with_article}"


def _known_sign(kind: Kind, unit: str) -> str:
    if unit in kind.factors:
        return unit
    word = _SIGNS.get(unit.lower().rstrip("."), "")
    if word in kind.factors:
        return word
    return next((spelling for spelling in kind.factors if spelling.lower() == unit.lower()), "")
