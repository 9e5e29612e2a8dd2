"""Frozen classes behave as `dataclass(frozen=True, slots=True)`: each property is held beside one of that kind."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from dataclasses import FrozenInstanceError, dataclass, field
from functools import cached_property

import pytest

from proposal.frozen import frozen


@frozen
class Ours:
    """With every kind of field."""

    name: str
    amps: float = 1.5
    parts: list[str] = field(default_factory=list, compare=False)
    seen: int = field(default=0, repr=False, compare=False)
    made: dict[str, int] = field(default_factory=dict, init=False, compare=False)


@dataclass(frozen=True, slots=True)
class Theirs:
    """The same by the standard library."""

    name: str
    amps: float = 1.5
    parts: list[str] = field(default_factory=list, compare=False)
    seen: int = field(default=0, repr=False, compare=False)
    made: dict[str, int] = field(default_factory=dict, init=False, compare=False)


@frozen
class Checked:
    """Looks at itself once it is made."""

    amps: float

    def __post_init__(self) -> None:
        if self.amps < 0:
            raise ValueError("negative")


@frozen
class Keeps:
    """Reckons something once."""

    amps: float
    ohms: float = field(default=2.0)
    made: list[int] = field(default_factory=list, init=False, compare=False)

    @cached_property
    def volts(self) -> float:
        self.made.append(1)
        return self.amps * self.ohms


@frozen
class Empty:
    """Without fields."""


def test_it_prints_hashes_and_lists_its_fields_as_the_standard_librarys() -> None:
    ours, theirs = Ours("fridge", 2.0, ["fuse"], 3), Theirs("fridge", 2.0, ["fuse"], 3)
    assert repr(ours).replace("Ours", "Theirs") == repr(theirs)
    assert hash(ours) == hash(theirs)
    assert dataclasses.asdict(ours) == dataclasses.asdict(theirs)
    assert [f.name for f in dataclasses.fields(ours)] == [f.name for f in dataclasses.fields(theirs)]
    assert not hasattr(ours, "__dict__")


def test_defaults_are_taken_and_those_of_factories_made_anew() -> None:
    one, other = Ours("a"), Ours(name="a")
    assert (one.amps, one.parts, one.seen, one.made) == (1.5, [], 0, {})
    assert one.parts is not other.parts
    assert one.made is not other.made
    with pytest.raises(TypeError):
        Ours()  # type: ignore[call-arg]
    with pytest.raises(TypeError):
        Ours("a", made={})  # type: ignore[call-arg]


def test_it_compares_by_its_fields_and_only_with_its_own_kind() -> None:
    assert Ours("a", 2.0, ["x"]) == Ours("a", 2.0, ["y"])
    assert Ours("a", 2.0) != Ours("a", 2.5)
    assert Ours("a") != Theirs("a")
    assert Empty() == Empty()
    assert len({Empty(), Empty(), Ours("a"), Ours("a")}) == 2


def test_nothing_of_it_can_be_set_or_deleted() -> None:
    ours = Ours("a")
    with pytest.raises(FrozenInstanceError):
        ours.name = "b"  # type: ignore[misc]
    with pytest.raises(FrozenInstanceError):
        del ours.name
    assert ours.name == "a"


def test_it_is_replaced_copied_and_pickled_whole() -> None:
    ours = Ours("a", 2.0, ["x"], 7)
    ours.made["n"] = 1
    assert dataclasses.replace(ours, amps=3.0) == Ours("a", 3.0)
    for again in (copy.deepcopy(ours), pickle.loads(pickle.dumps(ours))):  # noqa: S301 - our own bytes
        assert again == ours
        assert (again.parts, again.seen, again.made) == (["x"], 7, {"n": 1})


def test_it_looks_at_itself_when_it_is_made() -> None:
    assert Checked(1.0).amps == 1.0
    with pytest.raises(ValueError, match="negative"):
        Checked(-1.0)


def test_a_class_with_a_cached_property_keeps_its_value_and_stays_frozen() -> None:
    keeps = Keeps(3.0)
    assert (keeps.volts, keeps.volts, keeps.made) == (6.0, 6.0, [1])
    assert keeps == Keeps(3.0)
    assert dataclasses.replace(keeps, ohms=1.0).volts == 3.0
    with pytest.raises(FrozenInstanceError):
        keeps.amps = 1.0  # type: ignore[misc]
    assert copy.deepcopy(keeps) == keeps
