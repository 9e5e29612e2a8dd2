"""Blocks that a reader moves through: what happens at what time, a storyboard step by step, and sliders of a what-if.

None of them needs a script: without one, and on paper, a timeline is a list, a storyboard is pictures side by side, and
the sliders are a table.
"""

from proposal.book.tables import Table, Tone, Words
from proposal.frozen import frozen


@frozen
class Moment:
    """What happens at one time; `note` says how sure it is. `count`: for how many marks on the drawing it stands."""

    time: Words
    words: Words
    note: Words
    tone: Tone = "plain"
    count: int = 1


@frozen
class Timeline:
    """The moments of one option, in order. `letter` is the option's."""

    letter: str
    title: str
    moments: tuple[Moment, ...]


@frozen
class Timelines:
    """Timelines beside each other. `on_paper`: whether the PDF has them."""

    lines: tuple[Timeline, ...]
    on_paper: bool = True


@frozen
class Step:
    """One state of the storyboard: a drawing, and what it shows in words. `alt` says the same to the ear."""

    title: Words
    words: Words
    drawing: str
    alt: str


@frozen
class Steps:
    """Steps that a reader clicks through on the site and sees side by side on paper, where `on_paper` says so."""

    letter: str
    title: str
    anchor: str
    steps: tuple[Step, ...]
    on_paper: bool = True


@frozen
class SliderAxis:
    """What a slider changes: its positions as printed, and the one that is proposed. `anchor` is of the block."""

    anchor: str
    label: str
    positions: tuple[Words, ...]
    proposed: int


@frozen
class SliderAnswer:
    """One figure for every combination of positions: flat, the first axis slowest."""

    label: str
    figures: tuple[Words, ...]
    tones: tuple[Tone, ...]


@frozen
class SliderFace:
    """The answers of one option."""

    letter: str
    title: str
    answers: tuple[SliderAnswer, ...]


@frozen
class Sliders:
    """A what-if: sliders over computed points, snapped to them. `table` stands in their place without a script."""

    anchor: str
    title: str
    axes: tuple[SliderAxis, ...]
    faces: tuple[SliderFace, ...]
    note: Words
    table: Table
