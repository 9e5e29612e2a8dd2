"""Will it start: the voltage at the starter's own terminals against what the engine needs."""

from typing import Literal

FAILS_BELOW_V_AT_12V = 8.0
SURE_ABOVE_V_AT_12V = 9.5
MARGIN_V_AT_12V = 0.15
"""Root-sum-square of threshold, sensor and contact scatter. All three: common practice, no source."""

Start = Literal["starts", "uncertain", "fails", "unknown"]


def start_verdict(
    volts: float | None, minimum_v: float | None, system_v: float, *, current_known: bool = True
) -> Start:
    """Whether an engine starts.

    Parameters: volts at the starter's terminals while it cranks [V], None where it gets none; minimum_v the engine
    maker's figure [V]; system_v nominal [V]; current_known whether the cranking current is more than an assumption.
    With the maker's figure: surely above it by 0.15 V, surely not below it by as much; without: 8.0 and 9.5 V. At 12 V.
    """
    scale = system_v / 12.0
    if volts is None:
        return "fails"
    if not current_known:
        return "unknown"
    if minimum_v is not None:
        sure_v, never_v = minimum_v + MARGIN_V_AT_12V * scale, minimum_v - MARGIN_V_AT_12V * scale
    else:
        sure_v, never_v = SURE_ABOVE_V_AT_12V * scale, FAILS_BELOW_V_AT_12V * scale
    if volts >= sure_v:
        return "starts"
    return "fails" if volts < never_v else "uncertain"
