"""What a battery loses by itself while it stands."""

from __future__ import annotations

from proposal.parts.tables import row_citation, rows
from proposal.sources import Citation
from proposal.spec.pricebook import Chemistry

DAYS_PER_MONTH = 30.0
HOURS_PER_DAY = 24.0


def self_discharge_a(chemistry: Chemistry, capacity_ah: float) -> tuple[float, Citation]:
    """Current [A] that would take from a bank what it loses by itself, the high end of the published range at 25 °C.

    I = share a month · capacity / (30 d · 24 h). With where the share comes from.
    """
    row = next(row for row in rows("self_discharge") if row["chemistry"] == chemistry)
    share = float(row["high_pct"]) / 100.0
    return share * capacity_ah / (DAYS_PER_MONTH * HOURS_PER_DAY), row_citation(row)
