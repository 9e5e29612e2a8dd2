"""Results → JSON: one documented, versioned object. Numbers are rounded to 9 significant digits."""

import dataclasses
import json
import math
from collections.abc import Callable, Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import Any

Step = Callable[[dict[str, Any]], dict[str, Any]]

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
    return {**made, "$schema": "https://json-schema.org/draft/2020-12/schema", "title": "proposal results"}


def from_json(text: str, steps: Mapping[int, Step] = MappingProxyType({})) -> Any:
    """Results from their JSON text, brought to today's version first.

    Parameters: text as written by `to_json` of this release or an older one; steps, by the version that each starts
    from, turn one version's object into the next. Raises ValueError for anything else, a newer version included.
    """
    from pydantic import TypeAdapter  # noqa: PLC0415 - only reading needs it

    from proposal.results.model import RESULTS_VERSION, Results  # noqa: PLC0415 - the same

    made = json.loads(text)
    if not isinstance(made, dict) or not isinstance(made.get("results_version"), int):
        raise ValueError("this is no results file: it has no results_version")
    for _ in steps:
        step = steps.get(made["results_version"])
        if step is None:
            break
        made = step(made)
    if made["results_version"] != RESULTS_VERSION:
        raise ValueError(
            f"results_version {made['results_version']} is not known; this release knows {RESULTS_VERSION}"
        )
    return TypeAdapter(Results).validate_json(json.dumps(made), strict=False)
