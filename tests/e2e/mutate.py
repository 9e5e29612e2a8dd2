"""Spoils the text of a spec the way people and accidents do: typing slips, wrong units, lost and doubled lines."""

from __future__ import annotations

import random
import re
from collections.abc import Callable

from proposal.codes import FAMILIES
from tests.generate import price_book
from tests.generate_options import ARRANGEMENTS

Lines = list[str]
Mutation = Callable[[random.Random, Lines], Lines]

END = r"(?=[,}\s]|$)"
QUANTITY = re.compile(rf"(?<![\w.\"-])(-?\d+(?:\.\d+)?) ?(mm2|°C|kWh|mohm|Wh|Ah|kW|%|AWG|days|ft|cm|[AVWmhs]){END}")
VALUE = re.compile(r"(?<=: )[^:{}\[\],]+(?=[,}\n]|$)")
PAIR = re.compile(r"([a-z_]+): ([^:{}\[\],]+)(?=[,}\n]|$)")
KEY = re.compile(r"[A-Za-z_][A-Za-z0-9_]*(?=:(?: |$))")
KINDS = (
    tuple(name for name, part in price_book().parts.items() if part.kind == "battery"),
    tuple(name for name, part in price_book().parts.items() if part.kind == "inverter"),
    tuple(name for name, part in price_book().parts.items() if part.kind == "shore_charger"),
    tuple(name for name, part in price_book().parts.items() if part.kind == "solar_controller"),
    tuple(name for name, part in price_book().parts.items() if part.kind == "vsr"),
    ARRANGEMENTS, tuple(FAMILIES), ("12 V", "24 V", "48 V"), ("boat", "camper", "cabin"),
    ("held", "latching"), ("solar", "alternator", "shore", "generator", "wind"), ("start", "house", "both"),
    ("plastic", "metal", "wood", "not_a_boat"), ("diesel", "petrol", "gas", "none"),
)  # fmt: skip
"""Words that may stand for each other."""
UNITS = (
    "m", "ft", "cm", "A", "V", "Ah", "W", "kWh", "h", "s", "%", "°C", "K", "mm2", "AWG", "days", "kA", "ohm", "x", "",
)  # fmt: skip
NUMBERS = (
    "0", "-1", "0.0", "1e3", "1e308", "-1e308", "1e-308", "NaN", "inf", "-inf", "999999999999999999999999", "1_000",
    "0x10", "010", "1,5", "1.000,5", "٣", "½", "１２", "--3", "3..2", "+5", "", "0.000000001", "123456789",
)  # fmt: skip
WORDS = (
    "", " ", "~", "null", "no", "yes", "on", "unknown", "12:30", "2026-11-20", "2026-13-45", "[]", "{}", "[", "}",
    '"', "'", "''", "&a b", "*a", "!!python/object:os.system x", "!x", "|", ">", "? x", "- x", "# x", "%TAG", "@x",
    "`x`", "a: b", "\t", "é" * 5, "日本語のヨット", "🛥️", "\u202eabc", "\u0000", "\u200b", "\ufeff", "﷽" * 20, "Ω",
    "x" * 3000, "../../etc", "<script>alert(1)</script>", "{{ 7*7 }}", "%s %(x)s {0} {x}", "\\", "\\n", "a\u2028b",
    "loads.fridge", "options", "e\u0301" * 40, "\ud800",
)  # fmt: skip
SIGNS = (
    "{", "}", "[", "]", ":", ",", '"', "'", "#", "-", " ", "é", "\r", "\x07", "\ud7ff", "%", "&", "*", "|", "\u00a0",
)  # fmt: skip


def mutate(rng: random.Random, text: str) -> str:
    """The text with one to three things spoilt; mostly one, so that much of it still computes."""
    lines = text.splitlines()
    for _ in range(rng.choice((1, 1, 1, 2, 3))):
        names, weights = zip(*MUTATIONS.items(), strict=True)
        lines = rng.choices(names, weights)[0](rng, lines)
    return "\n".join(lines) + "\n"


def _at(rng: random.Random, lines: Lines, wanted: re.Pattern[str] | None = None) -> int:
    """A random line, one that has the pattern where any has."""
    fitting = [n for n, line in enumerate(lines) if wanted is None or wanted.search(line)]
    return rng.choice(fitting or range(max(1, len(lines))))


def _replaced(rng: random.Random, lines: Lines, wanted: re.Pattern[str], new: Callable[[re.Match[str]], str]) -> Lines:
    """One random match on a random line written anew."""
    at = _at(rng, lines, wanted)
    matches = list(wanted.finditer(lines[at]))
    if not matches:
        return lines
    match = rng.choice(matches)
    line = lines[at][: match.start()] + new(match) + lines[at][match.end() :]
    return [*lines[:at], line, *lines[at + 1 :]]


def _scale(rng: random.Random, lines: Lines) -> Lines:
    factor = rng.choice((0.0, 1e-6, 0.001, 0.1, 0.5, 0.9, 1.1, 2.0, 3.0, 10.0, 100.0, 1000.0, 1e6, 1e12, -1.0))
    return _replaced(rng, lines, QUANTITY, lambda m: f"{float(m[1]) * factor:.12g} {m[2]}")


def _unit(rng: random.Random, lines: Lines) -> Lines:
    return _replaced(rng, lines, QUANTITY, lambda m: f"{m[1]} {rng.choice(UNITS)}")


def _number(rng: random.Random, lines: Lines) -> Lines:
    return _replaced(rng, lines, QUANTITY, lambda m: f"{rng.choice(NUMBERS)} {m[2]}")


def _value(rng: random.Random, lines: Lines) -> Lines:
    return _replaced(rng, lines, VALUE, lambda _: rng.choice(WORDS))


def _other_value(rng: random.Random, lines: Lines) -> Lines:
    """A value that stands elsewhere in the file, so that it is a right word in a wrong place."""
    values = [m[0] for line in lines for m in VALUE.finditer(line)]
    return _replaced(rng, lines, VALUE, lambda _: rng.choice(values))


def _alike(rng: random.Random, lines: Lines) -> Lines:
    """The value that the same key has elsewhere: it passes the reader and has to be computed."""
    at = _at(rng, lines, PAIR)
    pairs = list(PAIR.finditer(lines[at]))
    if not pairs:
        return lines
    pair = rng.choice(pairs)
    alike = [m[2] for line in lines for m in PAIR.finditer(line) if m[1] == pair[1]]
    line = lines[at][: pair.start(2)] + rng.choice(alike) + lines[at][pair.end(2) :]
    return [*lines[:at], line, *lines[at + 1 :]]


def _toggle(rng: random.Random, lines: Lines) -> Lines:
    either = re.compile(rf"(?<=: )(?:yes|no){END}")
    return _replaced(rng, lines, either, lambda m: "no" if m[0] == "yes" else "yes")


def _same_kind(rng: random.Random, lines: Lines) -> Lines:
    """Another part of the same kind, another arrangement, voltage or rule family: right words."""
    words = sorted((word for kind in KINDS for word in kind), key=len, reverse=True)
    known = re.compile(rf"(?<=: )(?:{'|'.join(words)}){END}")
    return _replaced(rng, lines, known, lambda m: rng.choice(next(k for k in KINDS if m[0] in k)))


def _unknown(rng: random.Random, lines: Lines) -> Lines:
    return _replaced(rng, lines, QUANTITY, lambda _: "unknown")


def _key(rng: random.Random, lines: Lines) -> Lines:
    def slip(m: re.Match[str]) -> str:
        word = m[0]
        at = rng.randrange(len(word))
        swapped = word[:at] + word[at + 1 : at + 2] + word[at] + word[at + 2 :]
        return rng.choice((word[:at] + word[at + 1 :], swapped, word + "s", word.upper(), "é", "", "options", "x: y"))

    return _replaced(rng, lines, KEY, slip)


def _part(rng: random.Random, lines: Lines) -> Lines:
    """Another word with an underscore than the one that is there: a right name in a wrong place."""
    name = re.compile(rf"(?<=: )(?:[a-z]+_\w+){END}")
    known = [m[0] for line in lines for m in name.finditer(line)]
    return _replaced(rng, lines, name, lambda _: rng.choice((*known, "vsr_12v_200", "composed", "busbar_x")))


def _delete(rng: random.Random, lines: Lines) -> Lines:
    at = _at(rng, lines)
    return lines[:at] + lines[at + rng.choice((1, 1, 1, 2, 5)) :]


def _delete_field(rng: random.Random, lines: Lines) -> Lines:
    """One field of a one-line mapping."""
    return _replaced(rng, lines, re.compile(r"(?<=[{ ])[a-z_]+: [^,{}\[\]]+, "), lambda _: "")


def _double(rng: random.Random, lines: Lines) -> Lines:
    at = _at(rng, lines)
    other = _at(rng, lines)
    return [*lines[:other], lines[at], *lines[other:]]


def _swap(rng: random.Random, lines: Lines) -> Lines:
    one, other = _at(rng, lines), _at(rng, lines)
    lines = list(lines)
    lines[one], lines[other] = lines[other], lines[one]
    return lines


def _sections(rng: random.Random, lines: Lines) -> Lines:
    """The blocks of the file that start at the margin, one moved, doubled or taken out."""
    starts = [n for n, line in enumerate(lines) if re.match(r"[a-z]", line)]
    if len(starts) < 2:
        return lines
    blocks = [lines[a:b] for a, b in zip(starts, [*starts[1:], len(lines)], strict=True)]
    block = blocks.pop(rng.randrange(len(blocks)))
    at = rng.randrange(len(blocks) + 1)
    blocks[at:at] = rng.choice(([block], [block], [block, block], []))
    return lines[: starts[0]] + [line for made in blocks for line in made]


def _indent(rng: random.Random, lines: Lines) -> Lines:
    at = _at(rng, lines)
    line = lines[at]
    made = rng.choice((f"  {line}", f" {line}", line.lstrip(), "\t" + line, line[2:]))
    return [*lines[:at], made, *lines[at + 1 :]]


def _sign(rng: random.Random, lines: Lines) -> Lines:
    """A sign typed too much or too little."""
    at = _at(rng, lines)
    line = lines[at]
    place = rng.randint(0, len(line))
    sign = rng.choice(SIGNS)
    made = rng.choice((line[:place] + sign + line[place:], line[:place] + line[place + 1 :]))
    return [*lines[:at], made, *lines[at + 1 :]]


def _cut(rng: random.Random, lines: Lines) -> Lines:
    at = _at(rng, lines)
    return [*lines[:at], lines[at][: rng.randint(0, len(lines[at]))]]


MUTATIONS: dict[Mutation, int] = {
    _scale: 50, _alike: 40, _toggle: 15, _same_kind: 20, _unit: 3, _number: 5, _value: 7, _other_value: 6, _unknown: 5,
    _key: 5, _part: 5, _delete: 6, _delete_field: 8, _double: 3, _swap: 3, _sections: 4, _indent: 2, _sign: 4, _cut: 2,
}  # fmt: skip
"""How to spoil, and how often."""
