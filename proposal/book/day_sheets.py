"""The drawings of an option's days: timelines, what lasts until when, energy flow, storyboard, spread of the years."""

from collections.abc import Mapping

from proposal.book.pages.context import Faced
from proposal.circuit.model import Circuit
from proposal.drawings.day_energy import day_energy
from proposal.drawings.days_out import neglect_timeline, no_charge_timeline
from proposal.drawings.sheet import SheetInfo
from proposal.drawings.storyboard import storyboard
from proposal.drawings.timeline import day_timeline
from proposal.drawings.years_chart import years_chart
from proposal.studies.behaviour.result import Behaviour, Day, Neglect, NoCharge


def draw_days(faced: Faced, circuit: Circuit, sheet: SheetInfo) -> dict[str, bytes]:
    """By file name; nothing where the option's days were not asked for."""
    option, behaviour = faced.option, faced.option.behaviour
    if behaviour is None:
        return {}
    names = _names(faced, behaviour)
    titles = {season.season: season.title for season in option.energy.seasons}
    files: dict[str, bytes] = {}
    for day in behaviour.days:
        season = titles.get(day.season, day.season)
        files |= day_timeline(day, option, sheet, names, season)
        files |= day_energy(day, sheet, names, season)
    files |= no_charge_timeline(behaviour.no_charge, option, sheet, names)
    if behaviour.neglect is not None:
        files |= neglect_timeline(behaviour.neglect, option, sheet, names)
    files |= years_chart(behaviour.years, sheet, names)
    return files | storyboard(circuit, option, behaviour.days, sheet)


def _names(faced: Faced, behaviour: Behaviour) -> Mapping[str, str]:
    """How each item that the days speak of is called."""
    runs: list[Day | NoCharge | Neglect] = [behaviour.no_charge, *behaviour.days]
    runs += [behaviour.neglect] if behaviour.neglect is not None else []
    keys = [t.item for run in runs for t in run.traces]
    keys += [e.item for run in runs for e in run.events]
    keys += [d.item for d in behaviour.no_charge.order]
    keys += [f.item for day in behaviour.days for f in day.energy]
    keys += [s.item for s in behaviour.years.spreads]
    keys += [b.bank for b in behaviour.neglect.emptied] if behaviour.neglect else []
    return {key: faced.items.called(key) for key in dict.fromkeys(keys) if key}
