"""What the script of the sliders reads: every answer by position, as JSON in plain ASCII.

The template prints it into an attribute through the encoder like any other text.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

from proposal.book.blocks import Cell, Sliders, Timeline, Words
from proposal.publish.shapes import text_of, tone_keys


def payload(sliders: Sliders, label: Mapping[str, str]) -> str:
    """Return the JSON: positions of each axis, and of each answer its texts, its tones and the place of its list."""
    made = {
        "axes": [_texts(axis.positions) | {"proposed": axis.proposed} for axis in sliders.axes],
        "answers": [
            _texts(answer.figures) | {"tones": list(answer.tones)} for face in sliders.faces for answer in face.answers
        ],
        "words": {tone: label[key] for tone, key in tone_keys.items()},
    }
    return json.dumps(made, ensure_ascii=True, separators=(",", ":"))


def places(line: Timeline) -> tuple[str, ...]:
    """Return each moment's number on the drawing: `4`, or `5–12` for several in one."""
    found, number = [], 1
    for moment in line.moments:
        last = number + moment.count - 1
        found.append(str(number) if moment.count == 1 else f"{number}\u2013{last}")
        number = last + 1
    return tuple(found)


def proposed(sliders: Sliders) -> int:
    """Return the place of the answers for what is proposed."""
    place = 0
    for axis in sliders.axes:
        place = place * len(axis.positions) + axis.proposed
    return place


def _texts(runs: Iterable[Words]) -> dict[str, object]:
    """Texts of runs, and the list in the JSON of the results whose entries the figures in them are, in that order."""
    made = tuple(runs)
    refs = [next((part.ref for part in run.parts if isinstance(part, Cell)), "") for run in made]
    stem = refs[0].removesuffix("[0]") if refs else ""
    in_order = all(ref == f"{stem}[{place}]" for place, ref in enumerate(refs))
    return {"texts": ["".join(map(text_of, run.parts)) for run in made], "list": stem if in_order else ""}
