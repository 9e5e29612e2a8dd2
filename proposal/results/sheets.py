"""Sheets that come out of the computation → result rows: voltage ladder, single failures, switching plan."""

from proposal.results.model import JoinSetting, LadderResult, RungResult, UnstatedSetting
from proposal.results.rows import citation
from proposal.studies.ladder.result import Ladder


def ladder_row(ladder: Ladder) -> LadderResult:
    """The voltage ladder as the pages and the drawing read it."""
    return LadderResult(
        tuple(
            RungResult(
                r.item, r.group, r.setting, r.value_v, r.tolerance_v, r.tolerance_assumed, r.low_v, r.high_v, r.cold_v,
                r.hot_v, r.share, citation(r.citation),
            )
            for r in ladder.rungs
        ),
        tuple(UnstatedSetting(u.item, u.setting) for u in ladder.unstated),
        tuple(JoinSetting(key, difference_v) for key, difference_v in ladder.joins_below_v.items()),
    )  # fmt: skip
