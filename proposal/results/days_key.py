"""What the days of an option depend on, as one text, and its digest: the key under which they are kept.

Words and prices are left out: a new title or client computes nothing anew. Everything else is in, also what the
simulation does not look at today: a key that is too fine costs seconds, one that is too coarse a wrong answer.
"""

import datetime
import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from decimal import Decimal
from functools import cache
from typing import Any

from pydantic import BaseModel

from proposal.circuit.laid import ampacity_of
from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.parts.catalogue import Catalogue
from proposal.spec.overlay import EffectiveSpec

WORDS = frozenset({"title", "titles", "pitch", "choose_if", "description", "price", "lug_price", "holder_price"})
"""Fields that are for people, wherever they stand."""
APART = frozenset(
    {
        ("Spec", "client"), ("Spec", "document"), ("Spec", "survey"), ("Spec", "consents"), ("Spec", "extras"),
        ("Spec", "parts"), ("Spec", "options"), ("Spec", "mains"), ("Spec", "bonding"), ("Vessel", "name"),
        ("EffectiveSpec", "parts"), ("Option", "extras"), ("Option", "accepted"), ("Pin", "loc"),
        ("PartBase", "source"),
    }
)  # fmt: skip
"""Fields by class that say nothing of this option's circuit; parts are taken from the catalogue, if they are named."""


def key_of(spec: EffectiveSpec, circuit: Circuit, family: RuleFamily, catalogue: Catalogue, stamp: str) -> str:
    """The key of one option's days.

    Parameters: the option's spec, its designed circuit, its rules, the catalogue; `stamp` says which program and
    libraries, seed and step make them.
    """
    return hashlib.sha256(text_of(spec, circuit, family, catalogue, stamp).encode()).hexdigest()


def text_of(spec: EffectiveSpec, circuit: Circuit, family: RuleFamily, catalogue: Catalogue, stamp: str) -> str:
    """All that the days depend on."""
    laid, made = _plain(spec), _plain(circuit)
    named = sorted({text for text in _texts((laid, made)) if text in catalogue.parts})
    carries = [
        (c.key, ampacity_of(c, c.size, circuit, family).ampacity_a) for c in circuit.conductors if c.size is not None
    ]
    parts = [(name, _plain(catalogue.parts[name])) for name in named]
    whole = {"stamp": stamp, "family": family.id, "carries": carries, "spec": laid, "circuit": made, "parts": parts}
    return json.dumps(whole, ensure_ascii=False, separators=(",", ":"))


def _plain(value: Any) -> Any:
    """Models, dataclasses and what is in them as what JSON knows; order stays, for results come in that order."""
    if value is None or isinstance(value, str | int | float):
        return value
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    if isinstance(value, Mapping):
        return [[str(name), _plain(item)] for name, item in value.items()]
    if isinstance(value, BaseModel) or is_dataclass(value):
        kind: Any = type(value)
        return [kind.__name__, *[_plain(getattr(value, name)) for name in _names(kind)]]
    if isinstance(value, Decimal | datetime.date):
        return str(value)
    if isinstance(value, frozenset):
        return sorted(map(str, value))
    raise TypeError(f"{type(value).__name__} in what the days depend on")


@cache
def _names(kind: Any) -> tuple[str, ...]:
    """Fields of a class that count."""
    own = tuple(kind.model_fields) if issubclass(kind, BaseModel) else tuple(f.name for f in fields(kind) if f.compare)
    kin = {base.__name__ for base in kind.__mro__}
    return tuple(name for name in own if name not in WORDS and not any((k, name) in APART for k in kin))


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, list | tuple):
        for item in value:
            yield from _texts(item)
