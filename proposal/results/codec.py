"""Results → JSON: one documented, versioned object. Numbers are rounded to 9 significant digits."""

import dataclasses
import json
import math
from decimal import Decimal
from typing import Any

SIGNIFICANT_DIGITS = 9


def plain(value: Any) -> Any:
    """Dataclasses, tuples and decimals as what JSON knows. Money stays exact, as text.

    Raises ValueError for a number that is not finite: the JSON has none.
    """
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, dict):
        return {key: plain(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    if isinstance(value, bool) or value is None or isinstance(value, str | int):
        return value
    if isinstance(value, Decimal):
        return str(value)
    if not math.isfinite(value):
        raise ValueError(f"{value} in the results")
    return rounded(float(value))


def rounded(value: float) -> float:
    """A number at 9 significant digits; minus zero as zero."""
    return float(f"{value:.{SIGNIFICANT_DIGITS}g}") + 0.0


def to_json(results: Any) -> str:
    """The JSON text of results; equal results give equal text."""
    return json.dumps(plain(results), ensure_ascii=False, indent=1) + "\n"


def schema() -> dict[str, Any]:
    """The JSON Schema of the results, made from their dataclasses. Money is text with a decimal point."""
    from pydantic import TypeAdapter  # noqa: PLC0415 - only the schema needs it

    from proposal.results.model import Results  # noqa: PLC0415 - the same

    made = TypeAdapter(Results).json_schema(mode="serialization")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "proposal results", **made}
