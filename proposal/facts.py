"""Facts without words: a code and typed values. Layers that compute make them; their sentences are made in `book/`."""

from typing import Literal, get_args

from proposal.frozen import frozen

Value = float | int | str | bool | None
Values = dict[str, Value]
Severity = Literal["danger", "fault", "advice"]
SEVERITIES: tuple[Severity, ...] = get_args(Severity)
"""How bad a finding or defect is, the worst first."""


@frozen
class Reason:
    """Why something was chosen or turned down: a code and its numbers, units in their names."""

    code: str
    values: Values


@frozen
class Rejected:
    """A candidate that was turned down, and why."""

    candidate: str
    reason: Reason
