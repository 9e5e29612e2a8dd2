"""A tree with something laid over it from another file: what stands there then, and where each mistake is said."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel, ConfigDict, Field

from proposal.errors import Problem, SpecError
from proposal.reading import Document, Elsewhere, Loc, Name, PlainText, Tree, read_text
from proposal.units import LengthM


class Section(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Route(Section):
    length_m: LengthM = Field(alias="length", gt=0)
    title: PlainText = ""


class Boat(Section):
    name: PlainText
    routes: dict[Name, Route]
    notes: tuple[PlainText, ...] = ()
    stays: tuple[Route, ...] = ()


BOAT = """\
name: Anna
routes:
  bow: {length: 4 m}
  stern:
    length: 5 m
notes:
  - one
  - two
  - three
stays:
  - {length: 1 m}
  - {length: 2 m, title: second}
"""
OTHER = "other.yaml"


def there(line: int, column: int = 1) -> Elsewhere:
    return Elsewhere.of((line, column), OTHER)


def laid(lay: Callable[[Tree], Any], text: str = BOAT) -> Document[Boat]:
    def over(tree: Tree) -> Iterator[Problem]:
        lay(tree)
        yield from ()

    return read_text(text, "boat.yaml", Boat, lay=over)


def problems(lay: Callable[[Tree], Any], text: str = BOAT) -> list[Problem]:
    with pytest.raises(SpecError) as caught:
        laid(lay, text)
    return list(caught.value.problems)


def test_a_laid_value_counts_and_says_where_it_stands() -> None:
    document = laid(lambda tree: tree.lay(("routes", "bow", "length"), "6 m", {}, there(7, 9)))
    assert document.value.routes["bow"].length_m == 6.0
    assert document.value.routes["stern"].length_m == 5.0
    loc: Loc = ("routes", "bow", "length")
    assert (document.position(loc), document.file_of(loc)) == ((7, 9), OTHER)
    assert document.file_of(("routes", "stern", "length")) == "boat.yaml"
    assert document.file_of(("routes", "bow")) == "boat.yaml"


def test_a_place_that_says_its_file_keeps_it() -> None:
    assert Elsewhere.of(there(3), "third.yaml").file == OTHER
    assert Elsewhere.of((3, 4), "third.yaml") == (3, 4)


def test_mistakes_in_what_was_laid_are_said_in_its_file() -> None:
    (problem,) = problems(lambda tree: tree.lay(("routes", "bow", "length"), "6 bananas", {}, there(7, 9)))
    assert (problem.file, problem.line, problem.column, problem.written) == (OTHER, 7, 9, "6 bananas")
    node = {"length": "-1 m", "colour": "red"}
    places = {("length",): there(9, 15), ("colour",): there(10, 15)}
    found = problems(lambda tree: tree.lay(("routes", "bow"), node, places, there(8, 5)))
    assert [(p.file, p.line) for p in found] == [(OTHER, 9), (OTHER, 10)]
    (problem,) = problems(lambda tree: tree.lay(("routes", "new"), {}, {}, there(8, 5)))
    assert (problem.file, problem.line) == (OTHER, 8)
    assert "needs `length`" in problem.what


def test_problems_come_file_by_file() -> None:
    text = BOAT.replace("length: 5 m", "length: 5 bananas").replace("name: Anna\n", "")
    found = problems(lambda tree: tree.lay(("routes", "bow", "length"), "x", {}, there(1, 1)), text)
    assert [p.file for p in found] == ["boat.yaml", "boat.yaml", OTHER]


def test_a_complaint_is_not_taken_for_one_at_the_same_place_of_another_file() -> None:
    def also(_: Any) -> Iterator[tuple[Loc, str, str]]:
        yield ("routes", "stern", "length"), "is odd", ""

    def lay(tree: Tree) -> Iterator[Problem]:
        line, column = tree.places["routes", "stern", "length"]
        tree.lay(("routes", "bow", "length"), "x", {}, there(line, column))
        yield from ()

    with pytest.raises(SpecError) as caught:
        read_text(BOAT, "boat.yaml", Boat, also=also, lay=lay)
    assert [p.file for p in caught.value.problems] == ["boat.yaml", OTHER]


def test_what_was_refused_in_the_file_is_mended_by_what_is_laid_over_it() -> None:
    text = BOAT.replace("{length: 4 m}", "{length: *four}")

    def lay(tree: Tree) -> None:
        assert tree.spoilt
        tree.lay(("routes", "bow", "length"), "x", {}, there(7))
        assert not tree.spoilt

    found = problems(lay, text)
    assert {p.file for p in found} == {"boat.yaml", OTHER}


def test_lists_grow_at_their_end_and_nowhere_else() -> None:
    document = laid(lambda tree: tree.lay(("notes", 3), "four", {}, there(2)))
    assert document.value.notes == ("one", "two", "three", "four")
    assert document.file_of(("notes", 3)) == OTHER
    for loc in (("notes", 4), ("notes", -1), ("notes", "x"), ("name", "x"), ("name", 0), ("notes", 1, "x")):
        tree = Tree(BOAT, "boat.yaml")
        before = copy.deepcopy(tree.root)
        with pytest.raises(KeyError):
            tree.lay(loc, "y", {}, there(2))
        assert tree.root == before


def test_an_entry_of_a_list_is_taken_out_and_the_places_move_up() -> None:
    document = laid(lambda tree: tree.take_out(("stays", 0), there(5)))
    assert [s.title for s in document.value.stays] == ["second"]
    assert document.position(("stays", 0, "title")) == (12, 26)
    text = BOAT.replace("length: 2 m", "length: x")
    (problem,) = problems(lambda tree: tree.take_out(("stays", 0), there(5)), text)
    assert (problem.file, problem.line) == ("boat.yaml", 12)


def test_what_is_missing_after_it_was_taken_out_is_said_where_that_stands() -> None:
    (problem,) = problems(lambda tree: tree.take_out(("routes", "bow", "length"), there(5, 3)))
    assert (problem.file, problem.line, problem.column) == (OTHER, 5, 3)
    assert "`routes.bow` needs `length`" in problem.what
    document = laid(lambda tree: tree.take_out(("routes", "bow"), there(5)))
    assert set(document.value.routes) == {"stern"}


@pytest.mark.parametrize(
    "loc",
    [("ship",), ("routes", "mast"), ("routes", "bow", "length", "x"), ("notes", 3), ("notes", -1), ("notes", "0")],
)
def test_only_what_is_there_can_be_taken_out(loc: Loc) -> None:
    tree = Tree(BOAT, "boat.yaml")
    before = copy.deepcopy(tree.root)
    with pytest.raises(KeyError):
        tree.take_out(loc, there(1))
    assert tree.root == before


def test_what_was_laid_is_a_copy() -> None:
    node: Any = {"length": "1 m"}

    def lay(tree: Tree) -> None:
        tree.lay(("routes", "bow"), node, {}, there(2))
        tree.lay(("routes", "bow", "length"), "9 m", {}, there(3))

    assert laid(lay).value.routes["bow"].length_m == 9.0
    assert node == {"length": "1 m"}


PATHS = st.lists(
    st.sampled_from(["name", "routes", "bow", "stern", "length", "notes", "stays", 0, 1, 2, 3]), max_size=4
)


@given(steps=st.lists(st.tuples(PATHS, st.sampled_from(["lay", "out", "section"])), max_size=8))
def test_whatever_is_laid_and_taken_out_every_place_is_one_of_the_tree(steps: list[tuple[list[Any], str]]) -> None:
    """After any steps: each known place belongs to something in the tree, and each thing laid has a place."""
    tree = Tree(BOAT, "boat.yaml")
    for number, (path, way) in enumerate(steps, 1):
        loc = tuple(path)
        if not loc:
            continue
        try:
            if way == "out":
                tree.take_out(loc, there(number))
                continue
            node: Any = "1 m" if way == "lay" else {"length": "1 m"}
            tree.lay(loc, node, {("length",): there(number, 5)} if way == "section" else {}, there(number))
        except KeyError:
            continue
        assert tree.value(loc) == node
        assert tree.places[loc].file == OTHER  # type: ignore[attr-defined]
    for known in (tree.places, tree.keys):
        assert all(tree.value(loc) is not None for loc in known)
    with_place = set(tree.places)
    assert all(loc in with_place for loc in _locs(tree.root))


def _locs(node: Any, loc: Loc = ()) -> Iterator[Loc]:
    yield loc
    inner = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for part, below in inner:
        yield from _locs(below, (*loc, part))
