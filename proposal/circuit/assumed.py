"""Values that the survey did not bring: what is assumed instead, in one place, each recorded with its source."""

from proposal.frozen import frozen
from proposal.sources import Citation

COMMON_PRACTICE = Citation("common_practice", "", "common practice")

# A small diesel of two to four cylinders, by system voltage; no published source covers every engine.
CRANKING_A = {12.0: 300.0, 24.0: 180.0, 48.0: 100.0}
INRUSH_OVER_CRANKING = 2.5
STARTER_INRUSH_S = 0.25
STARTER_INRUSH_SOURCE = Citation("maker_manuals", "test note of a switch's maker: a spike of about 0.25 s, then about "
                                 "10 s of cranking", "corroborated")  # fmt: skip
MOTOR_INRUSH_S = 0.5
INVERTER_SURGE_S = 5.0
"""How long a motor takes to run up and an inverter gives its surge, where no maker says. Common practice."""
HOT_SHARE_OF_NAMEPLATE = 0.5
LOWEST_SHARE_OF_NOMINAL = 10.5 / 12.0
"""Lower end of the voltage window of equipment, 10.5 V at 12 V and 21 V at 24 V (ISO 10133, corroborated)."""
COIL_LEAD_M = 0.5
RELAY_THRESHOLDS_12V = {"joins_v": 13.3, "releases_v": 12.8, "tolerance_v": 0.1}
CONTROLLER_TOLERANCE_12V = 0.1
"""Of the difference that a contactor's controller reads between its two sides, by common practice."""


@frozen
class Assumed:
    """One assumption: the item, a code for its sentence, and the values with their units in the name."""

    item: str
    code: str
    values: tuple[tuple[str, float | str], ...]
    citation: Citation = COMMON_PRACTICE
