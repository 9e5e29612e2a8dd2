"""The one Jinja environment of site and PDF, and the encoding that every text on a page goes through."""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from markupsafe import Markup

from proposal.publish.shapes import LONG_WORD, short, whole

if TYPE_CHECKING:
    from jinja2 import Environment

_PUNCTUATION: Final = {ord(sign): f"&#{ord(sign)};" for sign in "!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~"}
# A control character has no place on a page; the invisible ones that reorder text would make it lie.
_CONTROL: Final = dict.fromkeys(
    [*range(0x20), *range(0x7F, 0xA0), *range(0x202A, 0x202F), *range(0x2066, 0x206A), 0xFEFF, 0xFFFE, 0xFFFF], "\ufffd"
)
_TABLE: Final = _CONTROL | _PUNCTUATION
_SPACE: Final = re.compile(r"[ \t\r\n\f\v]+")
_SURROGATE: Final = re.compile("[\ud800-\udfff]")
_LONG_WORD: Final = re.compile(rf"\S{{{LONG_WORD + 1},}}")
# Ten signs, and any marks that combine with the last one.
_CHUNK: Final = re.compile(r"\S{1,10}[\u0300-\u036f\u200d\ufe00-\ufe0f]*")
_ID: Final = re.compile(r"[A-Za-z0-9.-]")


def encode(text: object) -> Markup:
    """Encode a text for HTML and for Markdown at once: every ASCII punctuation sign becomes a numeric entity.

    White space is collapsed to single spaces (no-break spaces stay), control, reordering and lone surrogate characters
    become U+FFFD. A ``Markup`` passes unchanged.
    """
    if isinstance(text, Markup):
        return text
    collapsed = _SURROGATE.sub("\ufffd", _SPACE.sub(" ", str(text)))
    return Markup(collapsed.translate(_TABLE))  # noqa: S704 - this is the encoder


_BREAK: Final = Markup("<wbr>")
_BREAK_IN_TEXT: Final = Markup("\u200b")


def soft(text: str, opportunity: Markup = _BREAK) -> Markup:
    """Encode a text for a place where long words must be able to break: ``<wbr>`` after each ten signs of such a word.

    The break opportunity adds no character to the text.
    """
    parts: list[Markup] = []
    at = 0
    for word in _LONG_WORD.finditer(text):
        parts += [encode(text[at : word.start()]), opportunity.join(map(encode, _CHUNK.findall(word[0])))]
        at = word.end()
    return Markup("").join([*parts, encode(text[at:])])


def soft_text(text: str) -> Markup:
    """Encode a text as ``soft`` does, where no element may stand in it: a zero-width space in place of ``<wbr>``."""
    return soft(text, _BREAK_IN_TEXT)


def identifier(text: str) -> Markup:
    """Return ``text`` as an HTML id: letters, digits, dot and hyphen stay, any other character becomes ``_HEX_``.

    Two different texts never give the same id.
    """
    return Markup("".join(sign if _ID.fullmatch(sign) else f"_{ord(sign):x}_" for sign in text))  # noqa: S704


def kind(item: object) -> str:
    """Return the class name of a block or a piece of text in lower case; the templates choose by it."""
    return "text" if isinstance(item, str) else type(item).__name__.lower()


@lru_cache(maxsize=1)
def folder() -> Path:
    """Return the folder of the templates: inside the package when installed, beside it in a checkout."""
    inside = Path(__file__).parent / "templates"
    return inside if inside.is_dir() else Path(__file__).parents[2] / "site_templates"


def read(name: str) -> bytes:
    """Return the bytes of a file under the templates folder."""
    return (folder() / name).read_bytes()


def environment(**globals_: Any) -> Environment:
    """Return a Jinja environment in which each value that is not ``Markup`` is encoded; undefined names are errors."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined, Undefined  # noqa: PLC0415 - heavy

    def finalize(value: object) -> object:
        # An undefined name must reach Jinja as it is: printing it raises.
        return value if isinstance(value, (Markup, Undefined)) else encode(value)

    made = Environment(
        loader=FileSystemLoader(folder()),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=finalize,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=False,
    )
    made.globals.update(
        kind=kind, identifier=identifier, soft=soft, soft_text=soft_text, short=short, whole=whole, **globals_
    )
    return made
