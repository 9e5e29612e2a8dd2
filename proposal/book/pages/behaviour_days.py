"""Of the page of the days: an ordinary day of each season, and its storyboard."""

from collections.abc import Sequence

from proposal.book.blocks import Block, Heading, Paragraph, Step, Steps, Timelines
from proposal.book.pages.behaviour_out import drawing
from proposal.book.pages.behaviour_told import events_of, scene_name, scene_words, timeline
from proposal.book.pages.charts import read_out
from proposal.book.pages.context import Book
from proposal.book.pages.lived import Lived, entries
from proposal.book.refs import Located
from proposal.book.sentences import behaviour as words
from proposal.book.writer import Filled, joined
from proposal.studies.behaviour.result import Day


def seasons_of(options: Sequence[Lived]) -> list[str]:
    """The seasons of all options, in order."""
    return list(dict.fromkeys(day.season for option in options for day in option.days.days))


def hard_season(options: Sequence[Lived]) -> str:
    """The season that the PDF shows in full: the tightest."""
    seasons = seasons_of(options)
    wanted = options[0].days.no_charge.season
    return wanted if wanted in seasons else seasons[-1] if seasons else ""


def day_of(option: Lived, season: str) -> Located[Day] | None:
    """The ordinary day of a season."""
    return next((day for day in entries(option.at, "days") if day.item.season == season), None)


def ordinary(book: Book, options: Sequence[Lived]) -> list[Block]:
    """Timelines of each season, with what happens when."""
    seasons, hard = seasons_of(options), hard_season(options)
    blocks: list[Block] = [
        Heading(book.text(words.DAY_HEADING), 2, "day"),
        Paragraph(book.writer.words(words.DAY_READ)),
    ]
    if len(seasons) > 1:
        blocks.append(Paragraph(book.writer.words(words.ON_PAPER, season=options[0].season(hard))))
    for season in sorted(seasons, key=lambda s: s != hard):
        title = options[0].season(season)
        heading = book.text(words.SEASON_HEADING, season=title)
        blocks.append(Heading(heading, 3, f"day.{season}", on_paper=season == hard))
        lines = []
        for option in options:
            day = day_of(option, season)
            if day is None:
                continue
            fields = {"letter": option.letter, "season": title}
            alt = book.text(words.ALT_DAY, **fields, finding=_finding(book, day))
            caption = book.text(words.CAPTION_DAY, **fields)
            blocks += drawing(book, option, f"day-{season}", alt, caption, on_paper=season == hard, tall=True)
            caption, alt = book.text(words.CAPTION_ENERGY, **fields), _energy_alt(book, day, fields)
            blocks += drawing(book, option, f"energy-{season}", alt, caption, on_paper=season == hard)
            lines.append(timeline(book, option, book.text(words.EVENTS_TITLE, **fields), events_of(day)))
        blocks.append(Timelines(tuple(lines), on_paper=season == hard))
    return blocks


def _finding(book: Book, day: Located[Day]) -> str:
    events = day.item.events
    joins = sum(1 for e in events if e.code == "relay_joins")
    dark = sum(1 for e in events if e.code == "load_dark")
    if not joins and not dark and day.item.engine_h <= 0.0:
        return book.text(words.ALT_DAY_QUIET)
    cells = book.writer.cells
    fields: dict[str, Filled] = {
        "joins": cells.count(joins, f"{day.path}.events[code=relay_joins].length"),
        "dark": cells.count(dark, f"{day.path}.events[code=load_dark].length"),
        "engine_h": book.writer.cell(day, "engine_h"),
    }
    return read_out(book.writer.words(words.ALT_DAY_COUNTS, **fields))


def _energy_alt(book: Book, day: Located[Day], fields: dict[str, str]) -> str:
    sums = {role: sum(f.energy_wh for f in day.item.energy if f.role == role) for role in ("source", "load", "loss")}
    texts = {
        name: book.writer.cells.number("energy_wh", sums[role], f"{day.path}.energy").text
        for name, role in (("given", "source"), ("used", "load"), ("lost", "loss"))
    }
    return book.text(words.ALT_ENERGY, **fields, **texts)


def storyboard(book: Book, options: Sequence[Lived]) -> list[Block]:
    """The single-line drawing in each state of the day, where it was drawn."""
    hard = hard_season(options)
    boards: list[Block] = []
    for season in sorted(seasons_of(options), key=lambda s: s != hard):
        for option in options:
            day = day_of(option, season)
            steps = _steps(book, option, day) if day is not None else ()
            if steps:
                title = book.text(words.STEPS_TITLE, letter=option.letter, season=option.season(season))
                anchor = option.faced.anchor("steps", season)
                boards.append(Steps(option.letter, title, anchor, steps, on_paper=season == hard))
    if not boards:
        return []
    heading = Heading(book.text(words.STEPS_HEADING), 2, "steps")
    return [heading, Paragraph(book.writer.words(words.STEPS_READ)), *boards]


def _steps(book: Book, option: Lived, day: Located[Day]) -> tuple[Step, ...]:
    by_name = {name.lower(): name for name in book.drawings}
    steps = []
    for number, scene in enumerate(entries(day, "scenes"), start=1):
        name = by_name.get(f"{option.letter}-scene-{day.item.season}-{number}.svg".lower())
        if name is None:
            continue
        told = scene_words(book, option, scene)
        time = book.writer.cells.clock(scene.item.time_s, f"{scene.path}.time_s")
        title = book.writer.words(words.STEP_TITLE, time=time, state=scene_name(book, scene.item))
        steps.append(Step(title, told, name, read_out(joined((title, told), " "))))
    return tuple(steps)
