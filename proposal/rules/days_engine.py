"""What the days show of the engine: whether it starts after them, how long it runs, how hard its alternator works."""

from proposal.circuit.model import Source
from proposal.facts import Values
from proposal.rules.charging import LASTING_SHARE
from proposal.rules.days import NEGLECT, NO_CHARGE, ORDER, left_alone_days, run_title, shown, step_error
from proposal.rules.finding import Evidence, Examined, Objection, above, fires, undecided
from proposal.rules.starting import FAILS_BELOW_V_AT_12V, start_verdict
from proposal.spec.equipment import AlternatorSource, SolarSource
from proposal.studies.behaviour.result import Cranking, Day, Neglect, Recharge, StartOnDay

FOR_HOURS_H = 1.0
"""What an alternator gives for longer than this it gives hot. Common practice, no source."""


def engine_fails_in_use(evidence: Evidence) -> Examined:
    """63. The engine does not start after an ordinary day, or within the days without charge that the client wants.

    From its own bank. Undecided where it is uncertain, and where it starts only with other batteries joined by relays.
    Where it fails with full batteries already, check 52 says so. Source of the margins: check 52.
    """
    starter = evidence.circuit.starter
    if evidence.behaviour is None or starter is None:
        return Examined(0)
    wanted_days = evidence.spec.spec.system.wanted_days
    own = [
        row
        for row in shown(evidence).cranking
        if row.fed_by == "own_bank"
        and row.after != NEGLECT
        and (row.after != NO_CHARGE or not above(row.day, wanted_days))
    ]
    worst = min(own, key=lambda row: (ORDER.index(row.verdict), row.starter_v or 0.0), default=None)
    found = None if worst is None else _after_days(evidence, starter.key, worst)
    return Examined(len(own), (found,) if found is not None else ())


def _after_days(evidence: Evidence, key: str, row: Cranking) -> Objection | None:
    if row.verdict == "starts" or _fails_when_full(evidence, row.verdict):
        return None
    helped = {r.fed_by: r.starter_v for r in shown(evidence).cranking if r.after == row.after and r.verdict == "starts"}
    facts: Values = {
        "during": run_title(evidence, row.after), "temperature_c": row.temperature_c, **_volts(evidence, row),
        "joined_v": helped.get("joined"), "emergency_v": helped.get("emergency"),
    }  # fmt: skip
    if row.verdict == "fails":
        return undecided(key, "start_joined", **facts) if "joined" in helped else fires(key, **facts)
    return undecided(key, _wanting(evidence, row), **facts)


def _fails_when_full(evidence: Evidence, verdict: str) -> bool:
    """Whether check 52 says as much of full batteries already."""
    starter, cranking = evidence.circuit.starter, evidence.design.flow.solutions.get("cranking")
    if starter is None or cranking is None:
        return False
    known = not evidence.assumed("engine", "starter_current")
    volts = cranking.port_v.get(starter.key)
    full = start_verdict(volts, starter.minimum_v, evidence.circuit.system_v, current_known=known)
    return full == "fails" or (verdict == "uncertain" and full != "starts")


def _volts(evidence: Evidence, row: Cranking | StartOnDay) -> Values:
    minimum_v = row.minimum_v if row.minimum_v is not None else FAILS_BELOW_V_AT_12V * evidence.scale
    return {
        "starter_v": row.starter_v, "limit_v": minimum_v,
        "lacking_v": max(0.0, minimum_v - row.starter_v) if row.starter_v is not None else None,
    }  # fmt: skip


def _wanting(evidence: Evidence, row: Cranking | StartOnDay) -> str:
    if evidence.assumed("engine", "starter_current"):
        return "starter_current"
    return "minimum_cranking_voltage" if row.minimum_v is None else "start_margin"


def engine_fails_after_neglect(evidence: Evidence) -> Examined:
    """64. Left alone with a load forgotten on: the engine does not start any more before somebody comes back.

    From its own bank; over the time that she is left alone, and where nobody says how long that is, over the time
    followed, undecided. Common practice, no source.
    """
    starter, neglect = evidence.circuit.starter, shown(evidence).neglect if evidence.behaviour is not None else None
    if starter is None or neglect is None:
        return Examined(0)
    left_days = left_alone_days(evidence)
    until_days = neglect.followed_days if left_days is None else min(left_days, neglect.followed_days)
    own = [row for row in neglect.starts if row.fed_by == "own_bank" and not above(row.day, until_days)]
    fails = next((start for start in own if start.verdict == "fails"), None)
    doubtful = next((start for start in own if start.verdict == "uncertain"), None)
    first = fails or doubtful
    found = None if first is None else _after_neglect(evidence, starter.key, neglect, first)
    return Examined(1, (found,) if found is not None else ())


def _after_neglect(evidence: Evidence, key: str, neglect: Neglect, row: StartOnDay) -> Objection | None:
    if _fails_when_full(evidence, row.verdict):
        return None
    left_days = left_alone_days(evidence)
    emptied = [(e.days, e.bank) for e in neglect.emptied if e.days is not None]
    empty_days, bank = min(emptied, default=(None, None))
    facts: Values = {
        "first_item": neglect.left_on or None, "fails_days": row.day, "left_days": left_days,
        "until_days": neglect.starts_until_days, "empty_days": empty_days, "bank": bank, **_volts(evidence, row),
    }  # fmt: skip
    if left_days is None:
        return undecided(key, "left_alone", **facts)
    if row.verdict == "fails":
        return fires(key, **facts)
    return undecided(key, _wanting(evidence, row), **facts)


def alternator_hot_for_hours(evidence: Evidence) -> Examined:
    """69. An alternator asked, for more than an hour, for more than it gives hot; or for more than half its nameplate.

    From its share of the nameplate on average while it recharges the batteries. Half the nameplate, where nobody knows
    what it gives hot, leaves it undecided. Lithium without a limit is for check 30. Common practice, no source.
    """
    if evidence.behaviour is None:
        return Examined(0)
    sources = {s.key: s for s in evidence.circuit.sources if s.kind == "alternator"}
    hardest: dict[str, Recharge] = {}
    for row in shown(evidence).recharge:
        known = hardest.get(row.source)
        lasts_h = row.hours_h if row.hours_h is not None else row.followed_h
        if row.source in sources and above(lasts_h, FOR_HOURS_H) and (not known or row.mean_share > known.mean_share):
            hardest[row.source] = row
    found = (_worked_hard(evidence, sources[key], row) for key, row in hardest.items())
    return Examined(len(sources), tuple(x for x in found if x is not None))


def _worked_hard(evidence: Evidence, source: Source, row: Recharge) -> Objection | None:
    written = evidence.spec.source(source.key)
    if not isinstance(written, AlternatorSource) or (evidence.lithium and not written.limited):
        return None
    limit_a = written.hot_a if written.hot_a is not None else LASTING_SHARE * source.rated_a
    mean_a = row.mean_share * source.rated_a
    if not above(mean_a, limit_a):
        return None
    facts: Values = {
        "current_a": mean_a, "limit_a": limit_a, "nameplate_a": source.rated_a, "hours_h": row.hours_h,
        "hottest_c": row.hottest_c,
    }  # fmt: skip
    if written.hot_a is None:
        return undecided(source.key, "hot_current", **facts)
    return fires(source.key, **facts)


def engine_hours_beyond(evidence: Evidence) -> Examined:
    """70. An ordinary day that wants more of the engine than the client accepts.

    Not where the engine runs every day anyway. Undecided within the error of the coarser step. Remedy: so much more
    array, in that season's sun, for what the alternator gives in the hours too many. Common practice, no source.
    """
    system = evidence.spec.spec.system
    runs = system.engine_runs or ("every_day" if evidence.spec.spec.vessel.kind == "camper" else "as_needed")
    if evidence.behaviour is None or evidence.spec.spec.engine is None or runs == "every_day":
        return Examined(0)
    days = shown(evidence).days
    worst = max(days, key=lambda day: day.engine_h, default=None)
    found = None if worst is None else _hours_beyond(evidence, worst, system.engine_h_per_day)
    return Examined(len(days), (found,) if found is not None else ())


def _hours_beyond(evidence: Evidence, day: Day, accepted_h: float) -> Objection | None:
    if not above(day.engine_h, accepted_h):
        return None
    season = evidence.spec.spec.climate.seasons.get(day.season)
    solar = [s for s in evidence.spec.spec.sources.values() if isinstance(s, SolarSource)]
    alternator_w = sum(s.lasting_a * s.charge_v for s in evidence.circuit.sources if s.kind == "alternator")
    over_wh = (day.engine_h - accepted_h) * alternator_w
    sun_h = season.sun_h * solar[0].performance if season is not None and solar else 0.0
    facts: Values = {
        "during": run_title(evidence, day.season), "hours_h": day.engine_h, "limit_h": accepted_h,
        "lacking_wh": over_wh or None, "more_w": over_wh / sun_h if sun_h > 0.0 and over_wh > 0.0 else None,
    }  # fmt: skip
    if above(day.engine_h * (1.0 - step_error(shown(evidence), "engine_h")), accepted_h):
        return fires("engine", **facts)
    return undecided("engine", "engine_log", **facts)
