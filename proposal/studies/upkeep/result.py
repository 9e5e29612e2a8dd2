"""What has to be looked at in the years after, on one vessel."""

from proposal.facts import Values
from proposal.frozen import frozen
from proposal.sources import Citation


@frozen
class UpkeepTask:
    """One task: first after `first_days`, then every `every_days`; None: once only.

    `items` are the keys of what it concerns; `values` the figures that its words need, units in their names.
    """

    task: str
    first_days: int
    every_days: int | None
    items: tuple[str, ...]
    values: Values
    citation: Citation
