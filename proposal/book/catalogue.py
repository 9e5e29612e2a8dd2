"""All sentences of the product in one place, by topic; translations are of the gettext domain `proposal`.

The sentences stand in `sentences/`, marked with `msg` and `msgs`; `all_sentences` gathers them.
"""

import dataclasses
import importlib
from collections.abc import Iterator, Mapping

from proposal.book.sentences.arrangements import ARRANGEMENTS
from proposal.book.sentences.assumptions import ASSUMPTIONS
from proposal.book.sentences.finding_text import FindingText
from proposal.book.sentences.findings import FINDINGS
from proposal.book.sentences.reasons import CONDUCTORS, DEVICES, REJECTED

TOPICS = (
    "arrangements", "assumptions", "behaviour", "behaviour_assumed", "behaviour_choice", "behaviour_events",
    "cautions", "charts", "client", "consents", "difference", "draft", "faults", "findings", "formulas", "names",
    "reasons", "record", "record_pages", "renderers", "surveyor", "yard",
)  # fmt: skip
"""Modules of `sentences/`."""

NOT_WORDS = frozenset({"anchor", "citation"})
"""Fields of sentences that a reader does not read."""

__all__ = [
    "ARRANGEMENTS",
    "ASSUMPTIONS",
    "CONDUCTORS",
    "DEVICES",
    "FINDINGS",
    "REJECTED",
    "TOPICS",
    "FindingText",
    "all_sentences",
]


def all_sentences() -> Iterator[tuple[str, str]]:
    """Every sentence with where it stands: (topic and name, sentence)."""
    for topic in TOPICS:
        module = importlib.import_module(f"proposal.book.sentences.{topic}")
        for name, value in vars(module).items():
            if not name.startswith("_") and name.isupper():
                yield from _texts(f"{topic}.{name}", value)


def _texts(where: str, value: object) -> Iterator[tuple[str, str]]:
    if isinstance(value, str):
        yield where, value
    elif isinstance(value, Mapping):
        for key, entry in value.items():
            yield from _texts(f"{where}.{key}", entry)
    elif isinstance(value, tuple):
        for number, entry in enumerate(value):
            yield from _texts(f"{where}.{number}", entry)
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for item in dataclasses.fields(value):
            if item.name in NOT_WORDS:
                continue
            yield from _texts(f"{where}.{item.name}", getattr(value, item.name))
