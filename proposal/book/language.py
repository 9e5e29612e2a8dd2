"""The language of a book: gettext over sentences in English, and the marks by which sentences are collected."""

import gettext
import re
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

DOMAIN = "proposal"
LOCALE_FOLDER = Path(__file__).parent / "locale"

Several = tuple[str, str]
"""A sentence for one and for any other count."""

_FIELD = re.compile(r"\{([a-z][a-z0-9_]*)\}")


def msg(text: str) -> str:
    """Mark a sentence for translation; it is translated when a page is written."""
    return text


def msgs(one: str, many: str) -> Several:
    """Mark a sentence in its forms for one and for any other count."""
    return one, many


def fields_of(template: str) -> tuple[str, ...]:
    """Names of the fields in a sentence, each once, in order."""
    return tuple(dict.fromkeys(_FIELD.findall(template)))


@lru_cache(maxsize=4096)
def pieces(template: str) -> tuple[tuple[str, str], ...]:
    """A sentence cut at its fields: (text before, field name), the last with an empty name."""
    parts = _FIELD.split(template)
    return tuple((parts[n], parts[n + 1] if n + 1 < len(parts) else "") for n in range(0, len(parts), 2))


def filled(template: str, fields: Mapping[str, str]) -> str:
    """A sentence with its fields filled by texts, in one pass: a brace in a user's text stays what it is."""
    return "".join(before + (fields[name] if name else "") for before, name in pieces(template))


class Language:
    """Translations for one locale; without a catalogue for it the sentences stay as they are."""

    def __init__(self, locale: str, folder: Path = LOCALE_FOLDER) -> None:
        languages = [locale.replace("-", "_")]
        self._translations = gettext.translation(DOMAIN, str(folder), languages, fallback=True)
        self.tag = locale.replace("_", "-")

    def text(self, message: str) -> str:
        """The sentence in this language."""
        return self._translations.gettext(message) if message else ""

    def several(self, message: Several, count: int) -> str:
        """The sentence in the form for a count."""
        return self._translations.ngettext(message[0], message[1], count)
