"""The types of fields that are no quantities: text in, value out, with a JSON Schema for editors."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from decimal import Decimal
from typing import Annotated, Any

import yaml
from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from proposal.errors import InputError
from proposal.frozen import frozen
from proposal.reading.tree import Unquoted, clip

MAX_TEXT = 4000
_NAME = "^[a-z][a-z0-9_]{0,39}$"
_WHOLE = "^(?:0|[1-9][0-9]{0,8})$"
_MONEY = "^[0-9]{1,12}(?:[.][0-9]{1,4})?$"
_MONTH_DAY = "^(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])$"
_DAY = "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"
# YAML 1.2 and JSON read more as numbers than YAML 1.1 does: 1e3, 0o17.
_NUMBER_1_2 = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?|0o[0-7]+|0x[0-9a-fA-F]+")
_TAKEN_FOR = {
    "int": "a number",
    "float": "a number",
    "bool": "yes or no",
    "null": "nothing",
    "timestamp": "a date",
    "merge": "an instruction",
    "value": "an instruction",
}


def taken_for(text: str) -> str:
    """What YAML makes of ``text`` when it stands without quotes, in words; '' when it stays a text."""
    for tag, pattern in yaml.SafeLoader.yaml_implicit_resolvers.get(text[:1], ()):
        if pattern.match(text):
            return _TAKEN_FOR[tag.rpartition(":")[2]]
    return "a number" if _NUMBER_1_2.fullmatch(text) else ""


@frozen
class Written:
    """Marks a field that is read from text by ``read`` and described to editors by ``schema``."""

    read: Callable[[object], Any]
    schema: tuple[tuple[str, Any], ...]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(self.read, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {name: list(value) if isinstance(value, tuple) else value for name, value in self.schema}


def read_plain_text(value: object) -> str:
    """Read a text that a person wrote. Raises InputError."""
    if not isinstance(value, str):
        raise InputError("is not a text", "a text, e.g. Starboard locker")
    if not value.strip():
        raise InputError("is empty", "a text, or no such line at all")
    if isinstance(value, Unquoted) and (meaning := taken_for(value)):
        raise InputError(f"could be taken for {meaning}", f'the same in quotes: "{clip(value)}"')
    if len(value) > MAX_TEXT:
        raise InputError("is too long", f"up to {MAX_TEXT} characters")
    return str(value).strip()


def _text_or_blank(value: object) -> str:
    return "" if isinstance(value, str) and not value.strip() else read_plain_text(value)


def _name(value: object) -> str:
    if not isinstance(value, str) or not re.fullmatch(_NAME, value):
        allowed = "small letters, digits and _, beginning with a letter, up to 40 characters, e.g. house_bank"
        raise InputError("is not a name", allowed)
    if meaning := taken_for(value):
        raise InputError(f"is not a name, as it could be taken for {meaning}", "another name, e.g. house_bank")
    return str(value)


def _yes_no(value: object) -> bool:
    answer = {"yes": True, "no": False, "true": True, "false": False}.get(value) if isinstance(value, str) else None
    if answer is None:
        raise InputError("is neither yes nor no", "yes or no")
    return answer


def _whole(value: object) -> int:
    if not isinstance(value, str) or not re.fullmatch(_WHOLE, value):
        raise InputError("is not a whole number", "a whole number, e.g. 4")
    return int(value)


def _money(value: object) -> Decimal:
    if isinstance(value, str) and re.fullmatch("[0-9]+,[0-9]{1,2}", value):
        raise InputError(f"has a decimal comma; write {value.replace(',', '.')}", "a number alone, e.g. 1249.50")
    if not isinstance(value, str) or not re.fullmatch(_MONEY, value):
        raise InputError("is not an amount of money", "a number alone, without currency or separators, e.g. 1249.50")
    return Decimal(value)


def read_day(value: object) -> datetime.date:
    """Read a day of the calendar. Raises InputError."""
    if not isinstance(value, str) or not re.fullmatch(_DAY, value):
        raise InputError("is not a day", "year-month-day, e.g. 2026-05-31")
    try:
        return datetime.date.fromisoformat(value)
    except ValueError:
        raise InputError("is not a day of the calendar", "year-month-day, e.g. 2026-05-31") from None


def _month_day(value: object) -> int:
    example = "month-day, e.g. 12-15 for the 15th of December"
    if not isinstance(value, str) or not re.fullmatch(_MONTH_DAY, value):
        raise InputError("is not a day of the year", example)
    try:  # of a year without a 29th of February, as all years of this program are
        return datetime.date.fromisoformat(f"2023-{value}").timetuple().tm_yday - 1
    except ValueError:
        raise InputError("is not a day of every year", example) from None


PlainText = Annotated[str, Written(read_plain_text, (("type", "string"), ("minLength", 1), ("maxLength", MAX_TEXT)))]
TextOrBlank = Annotated[str, Written(_text_or_blank, (("type", "string"), ("maxLength", MAX_TEXT)))]
"""A text that may be left blank, in files that lay out what is to be filled in."""
Name = Annotated[str, Written(_name, (("type", "string"), ("pattern", _NAME), ("examples", ("house_bank",))))]
YesNo = Annotated[bool, Written(_yes_no, (("enum", (True, False, "yes", "no")),))]
WholeNumber = Annotated[
    int, Written(_whole, (("type", ("integer", "string")), ("pattern", _WHOLE), ("examples", (4,))))
]
Money = Annotated[
    Decimal, Written(_money, (("type", ("number", "string")), ("pattern", _MONEY), ("examples", (1249.5,))))
]
Day = Annotated[
    datetime.date,
    Written(read_day, (("type", "string"), ("format", "date"), ("pattern", _DAY), ("examples", ("2026-05-31",)))),
]
MonthDay = Annotated[int, Written(_month_day, (("type", "string"), ("pattern", _MONTH_DAY), ("examples", ("12-15",))))]
"""A day of every year as the days since the 1st of January, 0 to 364."""
