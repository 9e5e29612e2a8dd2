"""Numbers as they are printed: the one place that knows unit text, scale and digits, in the locale's own writing."""

from decimal import Decimal
from functools import cache
from typing import TYPE_CHECKING

from proposal.book.language import Language, msg, msgs
from proposal.book.tables import Cell
from proposal.frozen import frozen

if TYPE_CHECKING:
    from babel.numbers import NumberPattern

NO_BREAK = "\u00a0"
SHORT_M = 0.1
WHOLE_OHM = 10.0
SHORT_S = 0.1
"""Below this a duration is told in milliseconds."""
LONG_S = 120.0
"""From here on a duration is told in minutes."""
DAY_S = 86400.0
EN_DASH = "\u2013"
NOT_KNOWN = msg("not known")
DAYS = msgs("day", "days")


@frozen
class Unit:
    """How a unit is printed: text, factor on the stored value, digits below 1, below 10, below 100 and above."""

    text: str
    factor: float = 1.0
    digits: tuple[int, int, int, int] = (2, 2, 1, 0)


UNITS: dict[str, Unit] = {
    "a": Unit("A"),
    "ma": Unit("mA", 1000.0, (1, 1, 0, 0)),
    "v": Unit("V", 1.0, (3, 2, 2, 1)),
    "mv": Unit("mV", 1000.0, (1, 1, 1, 0)),
    "m": Unit("m", 1.0, (2, 2, 2, 1)),
    "mm": Unit("mm", 1000.0, (1, 1, 1, 0)),
    "mm2": Unit("mm²", 1.0, (2, 2, 1, 0)),
    "cm2": Unit("cm²", 1.0, (2, 1, 1, 0)),
    "m3h": Unit("m³/h", 1.0, (2, 2, 1, 0)),
    "ah": Unit("Ah", 1.0, (1, 1, 0, 0)),
    "wh": Unit("Wh", 1.0, (0, 0, 0, 0)),
    "j": Unit("J", 1.0, (2, 1, 1, 0)),
    "f": Unit("mF", 1000.0, (1, 1, 1, 0)),
    "w": Unit("W", 1.0, (1, 1, 0, 0)),
    "h": Unit(msg("h"), 1.0, (1, 1, 1, 0)),
    "s": Unit("s", 1.0, (1, 1, 1, 0)),
    "ms": Unit("ms", 1000.0, (2, 1, 0, 0)),
    "kelvin": Unit("K", 1.0, (1, 1, 1, 0)),
    "c": Unit("°C", 1.0, (1, 1, 1, 1)),
    "ohms": Unit("Ω"),
    "ohm": Unit("mΩ", 1000.0, (3, 2, 1, 0)),
    "whole_ohm": Unit("Ω", 1.0, (2, 2, 1, 0)),
    "kohm": Unit("kΩ", 0.001, (2, 2, 1, 0)),
    "share": Unit("%", 100.0, (1, 1, 1, 1)),
    "min": Unit("min", 1.0 / 60.0, (1, 1, 1, 0)),
    "kg": Unit("kg", 1.0, (1, 1, 0, 0)),
    "nm": Unit("N·m", 1.0, (2, 1, 1, 0)),
    "days": Unit("", 1.0, (1, 1, 1, 0)),
    "factor": Unit("", 1.0, (2, 2, 2, 1)),
    "count": Unit("", 1.0, (0, 0, 0, 0)),
    "studs": Unit("", 1.0, (0, 0, 0, 0)),
    "hours_of_days": Unit(msg("h"), 24.0, (1, 1, 1, 0)),
    "days_of_s": Unit("", 1.0 / 86400.0, (1, 1, 1, 0)),
    "hours_of_s": Unit(msg("h"), 1.0 / 3600.0, (1, 1, 1, 0)),
    "clock": Unit(""),
    "l": Unit("l", 1.0, (1, 1, 1, 0)),
    "kwh": Unit("kWh", 0.001, (2, 2, 1, 0)),
}
"""By the last part of a numeric name that is a unit: `design_current_a`, `resistance_20c_ohm`, `wh_per_day`."""


@cache
def unit_of(name: str) -> str:
    """The unit key of a numeric name; empty where it has none. `clock_s` is a time of day."""
    if name.endswith("clock_s"):
        return "clock"
    return next((part for part in reversed(name.split("_")) if part in UNITS), "")


class Cells:
    """Makes cells in one locale and currency."""

    def __init__(self, locale: str, currency: str, language: Language) -> None:
        from babel import Locale  # noqa: PLC0415 - heavy
        from babel.core import UnknownLocaleError  # noqa: PLC0415
        from babel.numbers import parse_pattern  # noqa: PLC0415

        try:
            self.locale = Locale.parse(locale.replace("-", "_"))
        except (UnknownLocaleError, ValueError):
            self.locale = Locale.parse("en")
        self.currency = currency
        self._language = language
        self._patterns: list[NumberPattern] = [
            parse_pattern("#,##0" + ("." + "0" * digits if digits else "")) for digits in range(7)
        ]
        self._tiny = parse_pattern("0.0E0")
        self._money: NumberPattern = self.locale.currency_formats["standard"]
        self._known: dict[tuple[float, int], str] = {}
        self._units = {key: language.text(unit.text) if unit.text else "" for key, unit in UNITS.items()}

    @property
    def decimal_mark(self) -> str:
        """The sign between whole and fraction."""
        return str(self.locale.number_symbols.get("latn", {}).get("decimal", "."))

    def number(
        self, name: str, value: float | None, ref: str, *, unit: str = "", digits: int | None = None, none: str = ""
    ) -> Cell:
        """A number by the unit in its name.

        `unit` names another unit of the table ("kwh"), `digits` fixes the digits; `none` is said where there is no
        value instead of “not known”.
        """
        key = unit or unit_of(name)
        if key == "clock" and value is not None:
            return self.clock(value, ref)
        if value is not None and not unit:
            key = _told_in(key, value)
        printed = self._units.get(key, "")
        if value is None:
            return Cell(f"{EN_DASH} {self._language.text(none or NOT_KNOWN)}", None, printed, 0, ref)
        shape = UNITS.get(key, UNITS["factor"])
        scaled = value * shape.factor
        places = _digits(scaled, shape) if digits is None else digits
        text = self._plain(scaled, places)
        if key in ("days", "days_of_s"):
            printed = self._language.several(DAYS, 1 if text == "1" else 2)
        return Cell(f"{text}{NO_BREAK}{printed}" if printed else text, value, printed, places, ref)

    def count(self, value: int, ref: str) -> Cell:
        """A whole number without a unit."""
        return Cell(self._plain(value, 0), value, "", 0, ref)

    def clock(self, seconds: float, ref: str) -> Cell:
        """The time of day, seconds after some midnight, as the locale writes it, to the minute before it: 18:40."""
        import datetime  # noqa: PLC0415

        from babel.dates import format_time  # noqa: PLC0415 - heavy

        # to the millisecond first: 17:54 less the last bit is no 17:53
        hours, minutes = divmod(int(round(seconds, 3) % DAY_S) // 60, 60)
        return Cell(format_time(datetime.time(hours, minutes), "short", locale=self.locale), seconds, "", 0, ref)

    def tiny(self, name: str, value: float, ref: str) -> Cell:
        """A number near zero in powers of ten, unscaled."""
        printed = UNITS[unit_of(name)].text
        return Cell(f"{self._tiny.apply(value, self.locale)}{NO_BREAK}{printed}", value, printed, 1, ref)

    def text(self, value: str, ref: str) -> Cell:
        """A rating or size that the JSON holds as text."""
        return Cell(value, value, "", 0, ref)

    def money(self, value: Decimal | None, ref: str, none: str = "") -> Cell:
        """An amount in the currency of the proposal."""
        if value is None:
            return Cell(f"{EN_DASH} {self._language.text(none or NOT_KNOWN)}", None, self.currency, 2, ref)
        text = self._money.apply(value, self.locale, currency=self.currency)
        return Cell(text, str(value), self.currency, 2, ref)

    def quantity(self, value: Decimal, unit: str, ref: str) -> Cell:
        """A quantity with the unit that a price line names."""
        places = min(3, max(0, -int(value.normalize().as_tuple().exponent)))
        return Cell(f"{self._plain(float(value), places)}{NO_BREAK}{unit}".rstrip(), str(value), unit, places, ref)

    def date(self, day: str) -> str:
        """An ISO date as the locale writes it in full; any other text as it is."""
        import datetime  # noqa: PLC0415

        try:
            found = datetime.date.fromisoformat(day)
        except ValueError:
            return day
        from babel.dates import format_date  # noqa: PLC0415 - heavy

        return format_date(found, "long", locale=self.locale)

    def _plain(self, value: float, places: int) -> str:
        known = self._known.get((value, places))
        if known is None:
            rounded = round(value, places) + 0.0  # no negative zero
            known = self._known[value, places] = self._patterns[places].apply(rounded, self.locale)
        return known


def _told_in(key: str, value: float) -> str:
    """The unit that a reader expects for a duration, a length or a resistance of this size."""
    if key == "ohm" and abs(value) >= WHOLE_OHM:
        return "kohm" if abs(value) >= 1000.0 else "whole_ohm"
    if key == "m" and 0.0 < abs(value) < SHORT_M:
        return "mm"
    if key == "s" and abs(value) >= LONG_S:
        return "min"
    if key == "s" and 0.0 < abs(value) < SHORT_S:
        return "ms"
    return "hours_of_days" if key == "days" and abs(value) < 1.0 else key


def _digits(scaled: float, shape: Unit) -> int:
    """Digits after the point: by size, and fewer where the value is exact with fewer (4.2 m, 300 A)."""
    size = abs(scaled)
    if size < 0.5 * 10.0 ** -shape.digits[0]:
        return 0
    places = shape.digits[0 if size < 0.9995 else 1 if size < 9.995 else 2 if size < 99.95 else 3]
    while places > 0 and abs(scaled - round(scaled, places - 1)) <= 1e-9 * max(size, 1e-9):
        places -= 1
    return places
