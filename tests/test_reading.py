# ruff: noqa: E501 - a line of a file and the words about it stand side by side
"""YAML of a person: every mistake at once, each at its own place, in words; and nothing converted behind one's back."""

import datetime
import json
import os
import random
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Any, Literal

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

from proposal.errors import MachineError, Problem, SpecError, UsageError
from proposal.reading import (
    MAX_PROBLEMS,
    Day,
    Document,
    Fault,
    Loc,
    Money,
    Name,
    PlainText,
    WholeNumber,
    YesNo,
    json_schema,
    read,
    read_text,
)
from proposal.units import CurrentA, LengthM, MaybeCurrentA, PowerW, Share, Size


class Section(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Route(Section):
    length_m: LengthM = Field(alias="length", gt=0, le=100)
    size: Size | None = None
    place: Name = "outside"


class Lamp(Section):
    kind: Literal["lamp"]
    power_w: PowerW = Field(alias="power")


class Pump(Section):
    kind: Literal["pump", "bilge_pump"]
    current: MaybeCurrentA
    lamp: PlainText = ""  # has the name of another branch of the union


Load = Annotated[Lamp | Pump, Field(discriminator="kind")]


class Limit(Section):
    current: CurrentA
    share: Share = Field(0.5, le=0.8)


class Boat(Section):
    boat_version: Literal["1"]
    name: PlainText
    hull: Literal["plastic", "wood", "metal"] = "plastic"
    routes: dict[Name, Route] = Field(min_length=1)
    loads: dict[Name, Load] = Field(default_factory=dict)
    spare: tuple[Load, ...] = ()
    limit: CurrentA | Limit | None = None
    crew: WholeNumber = Field(2, ge=1)
    heated: YesNo = False
    price: Money | None = None
    built: Day | None = None
    notes: tuple[PlainText, ...] = Field((), max_length=3)

    @field_validator("name")
    @classmethod
    def _no_shouting(cls, name: str) -> str:
        if name.isupper():
            raise ValueError("capitals only are hard to read")
        return name

    @model_validator(mode="after")
    def _routes_lead_somewhere(self) -> "Boat":
        faults: list[tuple[Loc, str, str]] = [
            (("routes", name, "place"), f"nobody knows the place {route.place}", "outside or engine_room")
            for name, route in self.routes.items()
            if route.place not in ("outside", "engine_room")
        ]
        if faults:
            raise Fault(faults)
        if self.crew > 20:
            raise ValueError("this is a boat for few people")
        return self


GOOD = """\
# a boat
boat_version: 1
name: "Anna & Bo's <boat>"
hull: wood
routes:
  bow: {length: 14 ft, size: 2/0 AWG}
  stern:
    length: 4.2 m
    place: engine_room
loads:
  anchor_light: {kind: lamp, power: 3 W}
  bilge: {kind: bilge_pump, current: unknown, lamp: pump}
spare:
  - kind: pump
    current: 5 A
limit: 20 A
crew: 4
heated: yes
price: 1249.50
built: 1998-05-31
notes:
  - >
    Two lines
    folded.
  - '12:30'
"""


def faults_of(text: str, model: type[BaseModel] = Boat, **more: Any) -> list[Problem]:
    with pytest.raises(SpecError) as caught:
        read_text(text, "boat.yaml", model, **more)
    return list(caught.value.problems)


def lines_of(text: str) -> list[str]:
    return [str(problem).removeprefix("boat.yaml:") for problem in faults_of(text)]


def changed(old: str, new: str) -> str:
    assert GOOD.count(old) == 1
    return GOOD.replace(old, new)


def test_a_good_file_becomes_its_model() -> None:
    boat = read_text(GOOD, "boat.yaml", Boat).value
    assert boat.name == "Anna & Bo's <boat>"
    assert boat.routes["bow"].length_m == 4.2672
    assert boat.routes["bow"].size is not None
    assert boat.routes["bow"].size.label == "2/0 AWG"
    assert boat.loads["anchor_light"] == Lamp.model_construct(kind="lamp", power_w=3.0)
    assert boat.spare[0].kind == "pump"
    assert (boat.limit, boat.crew, boat.heated) == (20.0, 4, True)
    assert (boat.price, boat.built) == (Decimal("1249.50"), datetime.date(1998, 5, 31))
    assert boat.notes == ("Two lines folded.", "12:30")
    assert all(type(note) is str for note in boat.notes)


def test_places_are_values_for_words_and_keys_for_sections() -> None:
    document = read_text(GOOD, "boat.yaml", Boat)
    assert isinstance(document, Document)
    assert document.path == Path("boat.yaml")
    assert document.position(("routes", "stern", "length")) == (8, 13)
    assert document.position(("routes", "stern")) == (7, 3)
    assert document.position(("routes", "bow", "size")) == (6, 30)
    assert document.position(("routes",)) == (5, 1)
    assert document.position(("spare", 0, "current")) == (15, 14)
    assert document.position(("notes", 1)) == (25, 5)
    assert document.position(("routes", "stern", "size")) == (7, 3)
    assert document.position(("nowhere", 3, "x")) == (2, 1)


def test_columns_count_characters_not_bytes() -> None:
    assert lines_of(changed("{length: 14 ft,", "{length: 14 ft, größe: x,"))[0].startswith("6:24: `größe` is not known")


EVERYTHING_WRONG = """\
boat_version: 1
nmae: x
hull: steal
routes:
  Bow: {length: 4,2 m}
  stern:
    lenght: 3 m
    size: 72 mm2
loads:
  light: {kind: lamb, power: 3 W}
  pump: {current: 5}
  lamp: {kind: lamp, power: 3 KW, current: 1 A}
crew: 0
heated: maybe
price: 12 EUR
built: 2026-02-30
notes: [no, 010]
limit: 20
"""


def test_every_mistake_comes_out_at_once_at_its_own_place() -> None:
    assert lines_of(EVERYTHING_WRONG) == [
        "2:1: `nmae` is not known here; did you mean `name`? · allowed: boat_version, name, hull, routes, loads, spare, "
        "limit, crew, heated, price, built, notes · you wrote: nmae",
        "3:7: `hull` is none of the choices · allowed: plastic, wood or metal · you wrote: steal",
        "5:3: `routes.Bow` is not a name · allowed: small letters, digits and _, beginning with a letter, up to 40 "
        "characters, e.g. house_bank · you wrote: Bow",
        "5:17: `length` has a decimal comma; write 4.2 m · allowed: a decimal point · you wrote: 4,2 m",
        "7:5: `lenght` is not known here; did you mean `length`? · allowed: length, size, place · you wrote: lenght",
        "8:11: `routes.stern.size` is not a standard size · allowed: 70 mm² or 95 mm² · you wrote: 72 mm2",
        "10:17: `loads.light.kind` is none of the choices; did you mean lamp? · allowed: bilge_pump, lamp or pump "
        "· you wrote: lamb",
        "11:3: `loads.pump` needs `kind` · allowed: bilge_pump, lamp or pump",
        "12:29: `loads.lamp.power` has the unit KW; did you mean 3 kW? · allowed: a number with W, mW or kW, e.g. 640 W "
        "· you wrote: 3 KW",
        "12:35: `current` is not known here · allowed: kind, power · you wrote: current",
        "13:7: `crew` is too small · allowed: at least 1 · you wrote: 0",
        "14:9: `heated` is neither yes nor no · allowed: yes or no · you wrote: maybe",
        "15:8: `price` is not an amount of money · allowed: a number alone, without currency or separators, e.g. 1249.50 "
        "· you wrote: 12 EUR",
        "16:8: `built` is not a day of the calendar · allowed: year-month-day, e.g. 2026-05-31 · you wrote: 2026-02-30",
        '17:9: `notes.1` could be taken for yes or no · allowed: the same in quotes: "no" · you wrote: no',
        '17:13: `notes.2` could be taken for a number · allowed: the same in quotes: "010" · you wrote: 010',
        "18:8: `limit` has no unit; write 20 A · allowed: a number with A, mA or kA, e.g. 120 A or a section: lines of "
        "key: value · you wrote: 20",
    ]


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ("name: \"Anna & Bo's <boat>\"\n", "", "2:1: the file needs `name`"),
        ("    length: 4.2 m\n", "", "7:3: `routes.stern` needs `length` · allowed: e.g. length: 4.2 m"),
        ("  - kind: pump\n    current: 5 A", "  - kind: pump", "14:5: `spare.1` needs `current` · allowed: e.g. current: 120 A"),
        ("wood", "[wood]", "4:7: `hull` is none of the choices · allowed: plastic, wood or metal"),
        ("crew: 4", "crew: [4]", "17:7: `crew` is not a whole number · allowed: a whole number, e.g. 4"),
        ("crew: 4", "crew: 4.0", "17:7: `crew` is not a whole number · allowed: a whole number, e.g. 4 · you wrote: 4.0"),
        ("crew: 4", "crew: 040", "17:7: `crew` is not a whole number · allowed: a whole number, e.g. 4 · you wrote: 040"),
        ("crew: 4", "crew: 40", "2:1: the file: this is a boat for few people"),
        ("heated: yes", "heated: 1", "18:9: `heated` is neither yes nor no · allowed: yes or no · you wrote: 1"),
        ("price: 1249.50", "price: 12,50", "19:8: `price` has a decimal comma; write 12.50 · allowed: a number alone, "
         "e.g. 1249.50 · you wrote: 12,50"),
        ("1998-05-31", "31.5.1998", "20:8: `built` is not a day · allowed: year-month-day, e.g. 2026-05-31 "
         "· you wrote: 31.5.1998"),
        ("limit: 20 A", "limit: {curent: 3 A}", "16:9: `curent` is not known here; did you mean `current`? "
         "· allowed: current, share · you wrote: curent"),
        ("limit: 20 A", "limit: {current: 3 A, share: 3}", "16:30: `limit.share` has no unit · allowed: a number with %, "
         "e.g. 40 % · you wrote: 3"),
        ("limit: 20 A", "limit: []", "16:8: `limit` is not a current · allowed: a number with A, mA or kA, e.g. 120 A "
         "or a section: lines of key: value"),
        ("place: engine_room", "place: attic", "9:12: nobody knows the place attic · allowed: outside or engine_room "
         "· you wrote: attic"),
        ("place: engine_room", "place: no", "9:12: `routes.stern.place` is not a name, as it could be taken for yes or no "
         "· allowed: another name, e.g. house_bank · you wrote: no"),
        ("length: 4.2 m", "length: 0 m", "8:13: `routes.stern.length` is too small · allowed: more than 0 m "
         "· you wrote: 0 m"),
        ("length: 4.2 m", "length: 101 m", "8:13: `routes.stern.length` is too large · allowed: at most 100 m "
         "· you wrote: 101 m"),
        ("limit: 20 A", "limit: {current: 3 A, share: 85 %}", "16:30: `limit.share` is too large · allowed: at most 80 % "
         "· you wrote: 85 %"),
        ("spare:\n", "notes_: x\nspare:\n", "13:1: `notes_` is not known here · allowed: boat_version, name, hull, routes, "
         "loads, spare, limit, crew, heated, price, built, notes · you wrote: notes_"),
        ("  - >\n", "  - a\n  - b\n  - >\n", "21:1: `notes` has too many entries · allowed: at most 3"),
        ("crew: 4", "crew: 4\n2 m:", "18:1: `2 m` is not known here · allowed: boat_version, name, hull, routes, "
         "loads, spare, limit, crew, heated, price, built, notes · you wrote: 2 m"),
        ("length: 4.2 m", "length:", "8:12: `routes.stern.length` is empty where a length belongs · allowed: a number with "
         "m, cm, mm, km, ft or in, e.g. 4.2 m"),
        ("\"Anna & Bo's <boat>\"", "ANNA", "3:7: `name`: capitals only are hard to read · you wrote: ANNA"),
        ("\"Anna & Bo's <boat>\"", "''", "3:7: `name` is empty · allowed: a text, or no such line at all"),
        ("\"Anna & Bo's <boat>\"", "x" * 4001, "3:7: `name` is too long · allowed: up to 4000 characters · you wrote: "
         + "x" * 59 + "…"),
        ("  anchor_light: {kind: lamp, power: 3 W}", "  anchor_light: 3 W", "11:17: `loads.anchor_light` is one value "
         "· allowed: a section: lines of key: value · you wrote: 3 W"),
        ("spare:\n  - kind: pump\n    current: 5 A\n", "spare: {kind: pump}\n", "13:8: `spare` is a section · allowed: a list:"
         " lines that begin with -"),
        ("spare:\n  - kind: pump\n    current: 5 A\n", "spare:\n", "13:7: `spare` has no value · allowed: a list: lines that "
         "begin with -"),
    ],
)  # fmt: skip
def test_one_mistake_is_said_once(old: str, new: str, line: str) -> None:
    assert lines_of(changed(old, new)) == [line]


@pytest.mark.parametrize(
    ("written", "meaning"),
    [
        ("12:30", "a number"),
        ("no", "yes or no"),
        ("On", "yes or no"),
        ("010", "a number"),
        ("0x1F", "a number"),
        ("0o17", "a number"),
        ("1e3", "a number"),
        ("1_000", "a number"),
        (".inf", "a number"),
        ("2026", "a number"),
        ("null", "nothing"),
        ("~", "nothing"),
        ("2026-01-01", "a date"),
        ("<<", "an instruction"),
        ("=", "an instruction"),
    ],
)
def test_what_yaml_would_convert_must_stand_in_quotes(written: str, meaning: str) -> None:
    (problem,) = faults_of(changed('"Anna & Bo\'s <boat>"', written))
    assert (problem.line, problem.column) == (3, 7)
    assert problem.what == f"`name` could be taken for {meaning}"
    assert problem.allowed == f'the same in quotes: "{written}"'
    for quoted in (f'"{written}"', f"'{written}'"):
        text = changed('"Anna & Bo\'s <boat>"', quoted)
        assert read_text(text, "boat.yaml", Boat).value.name == written


@settings(deadline=None, max_examples=500)
@given(st.text(st.sampled_from("0123456789abefnosxyONESYT.:-+_~<=Tt"), min_size=1, max_size=12))
def test_no_text_that_pyyaml_converts_passes_without_quotes(written: str) -> None:
    """PyYAML's own loader is the truth here: what it makes no text of must be refused."""

    class Holder(Section):
        name: PlainText

    try:
        loaded = yaml.safe_load(f"name: {written}")
    except (yaml.YAMLError, ValueError):
        return
    if isinstance(loaded, dict) and isinstance(loaded.get("name"), str):
        return
    with pytest.raises(SpecError):
        read_text(f"name: {written}", "boat.yaml", Holder)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("", "1:1: the file is empty · allowed: sections of key: value"),
        ("# only a comment\n", "1:1: the file is empty · allowed: sections of key: value"),
        ("---\n", "1:1: the file is empty · allowed: sections of key: value"),
        ("just words", "1:1: the file is one value · allowed: a section: lines of key: value · you wrote: just words"),
        ("- a\n- b\n", "1:1: the file is a list · allowed: a section: lines of key: value"),
        ("a: 1\n\tb: 2\n", "2:1: a tab stands here · allowed: spaces"),
        ("a: \x07", "1:4: an invisible or control character (U+0007) stands here · allowed: visible characters and spaces"),
        ("a: x\u202ey", "1:5: an invisible or control character (U+202E) stands here · allowed: visible characters and "
         "spaces"),
        ("a: x\rb: y", "1:5: an invisible or control character (U+000D) stands here · allowed: visible characters and "
         "spaces"),
        ("a: b: c\n", "1:5: a colon stands where none belongs · allowed: one key: value on a line, indented like its "
         "neighbours; a text with a colon in quotes"),
        ("a: x\n  b: y\n", "2:4: a colon stands where none belongs · allowed: one key: value on a line, indented like its "
         "neighbours; a text with a colon in quotes"),
        ("a:\n   b: x\n  c: y\n", "3:3: this does not fit the lines above · allowed: the same indentation as its neighbours"),
        ("a: x\nb\nc: y\n", "2:1: this line has no colon after its key · allowed: key: value"),
        ("a: [x, y\nb: z\n", "1:4: a bracket opens here and is not closed rightly · allowed: commas between the items and a "
         "closing bracket"),
        ("a: {x: 1\nb: z\n", "1:4: a bracket opens here and is not closed rightly · allowed: commas between the items and a "
         "closing bracket"),
        ("a: 'x\nb: y\n", "1:4: a quote opens here and is not closed · allowed: a closing quote"),
        ('a: "C:\\path"\n', "1:7: a backslash in double quotes has a meaning of its own · allowed: single quotes"),
        ("a: @home\n", "1:4: a text cannot begin with this character · allowed: the text in quotes"),
        ("a: %x\n", "1:4: a text cannot begin with this character · allowed: the text in quotes"),
        ("a: - x\n", "1:4: a list cannot begin here · allowed: - at the beginning of a line"),
        ("a:\n  - x\n  b: y\n", "3:3: this does not fit the list above · allowed: - before each item, all indented alike"),
        ("a: {b: c  d:, e: f}\n", "1:12: a colon stands where none belongs · allowed: key: value; a text with a colon in quotes"),
        ("a: } days\n", "1:4: a sign stands where a value belongs · allowed: a value, or the text in quotes"),
        ("a: > words\n", "1:6: a text stands where none belongs · allowed: after | or > a new line"),
        ("a: *\n", "1:4: a text cannot begin with * or & · allowed: the text in quotes"),
    ],
)  # fmt: skip
def test_what_is_no_yaml_is_said_in_words(text: str, line: str) -> None:
    assert lines_of(text) == [line]


def test_a_second_document_is_refused() -> None:
    (problem,) = faults_of(GOOD + "---\nname: x\n")
    assert str(problem) == "boat.yaml:26:1: a second document begins here · allowed: one document in a file"


def test_document_marks_and_windows_line_ends_are_taken() -> None:
    text = "---\n" + GOOD + "...\n"
    assert read_text(text.replace("\n", "\r\n"), "boat.yaml", Boat).value == read_text(GOOD, "boat.yaml", Boat).value


@pytest.mark.parametrize(
    ("old", "new", "start"),
    [
        (
            "hull: wood",
            "hull: &h wood",
            "4:7: an anchor (&) is not taken · allowed: the value alone, or quotes · you wrote: &h",
        ),
        (
            "hull: wood",
            "hull: *h",
            "4:7: an alias (*) is not taken · allowed: the value itself, or quotes · you wrote: *h",
        ),
        ("hull: wood", "hull: !!str wood", "4:7: a tag (!) is not taken"),
        ("hull: wood", "hull: !!python/object/apply:os.system [ls]", "4:7: a tag (!) is not taken"),
        ("hull: wood", "hull: ! wood", "4:7: a tag (!) is not taken"),
        ("routes:\n", "routes: &r\n", "5:9: an anchor (&) is not taken"),
        ("hull: wood", "&k hull: wood", "4:1: an anchor (&) is not taken"),
        ('name: "Anna', '&k name: "Anna', "3:1: an anchor (&) is not taken"),
        ('name: "Anna', '!t name: "Anna', "3:1: a tag (!) is not taken"),
        ("hull: wood", "? [a, b]\n: wood", "4:3: a key must be a word"),
        ("hull: wood", "? {a: b}\n: [c, {d: e}]", "4:3: a key must be a word"),
        ("hull: wood", "'': wood", "4:1: a key must be a word"),
        ("hull: wood", "hull: wood\nhull: metal", "5:1: `hull` is here twice, first in line 4"),
        ("hull: wood", "hull: wood\nhull: [metal, {x: y}]", "5:1: `hull` is here twice, first in line 4"),
        ("wood", '"w\\u202eood"', "4:7: the text holds an invisible or control character (U+202E)"),
        ("wood", '"w\\0ood"', "4:7: the text holds an invisible or control character (U+0000)"),
        ("hull", '"h\\u200bull"', "4:1: the text holds an invisible or control character (U+200B)"),
    ],
)
def test_the_traps_of_yaml_are_refused_and_nothing_else_is_blamed(old: str, new: str, start: str) -> None:
    (line,) = lines_of(changed(old, new))
    assert line.startswith(start)


def test_traps_and_mistakes_come_out_together() -> None:
    text = changed("hull: wood", "hull: &h wood\nhull: metal\nhul: x")
    assert [problem.line for problem in faults_of(text)] == [4, 5, 6]


def test_an_alias_bomb_is_refused_at_once() -> None:
    bomb = "a0: &a0 [x,x,x,x,x,x,x,x,x]\n" + "".join(
        f"a{n}: &a{n} [{','.join([f'*a{n - 1}'] * 9)}]\n" for n in range(1, 60)
    )
    start = time.process_time()
    problems = faults_of(bomb)
    assert time.process_time() - start < 2
    assert len(problems) == MAX_PROBLEMS
    assert problems[-1].what.startswith("and ")


@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "? "])
def test_deep_nesting_is_refused_at_once(opening: str) -> None:
    start = time.process_time()
    problems = faults_of("a: 1\nb:\n  " + opening * 100_000)
    assert time.process_time() - start < 2
    assert re.fullmatch("this is nested (deeper than 20 levels|too deep)", problems[-1].what)


def test_twenty_levels_are_enough_and_taken() -> None:
    class Deep(Section):
        a: Any

    assert read_text("a: " + "[" * 19 + "x" + "]" * 19, "boat.yaml", Deep)
    assert "deeper" in str(faults_of("a: " + "[" * 20 + "x" + "]" * 20, Deep)[0])


def test_of_very_many_problems_the_first_hundred_are_shown() -> None:
    problems = faults_of(GOOD + "".join(f"x{n}: y\n" for n in range(300)))
    assert len(problems) == MAX_PROBLEMS
    assert problems[0].line == 26
    assert problems[-1].what == "and 201 more problems from here on"


def test_what_was_written_is_shown_harmless_and_short() -> None:
    (problem,) = faults_of(changed("wood", '"' + "w" * 200 + '"'))
    assert problem.written == "w" * 59 + "…"
    (problem,) = faults_of(changed("20 A", '"20 one\\ntwo"'))
    assert problem.what == "`limit` has the unit one\\u000atwo, which is not known for a current"
    (problem,) = faults_of(changed("wood", '"one\\ntwo\\u0085"'))
    assert problem.written == "one\\u000atwo\\u0085"


def test_checks_of_the_tree_come_out_with_all_others() -> None:
    def no_stern(tree: Any) -> Iterator[tuple[Loc, str, str]]:
        assert tree["routes"]["stern"]["place"] == "engine_room"
        yield ("routes", "stern", "place"), "no cable may run aft", "outside"
        yield ("routes", "stern", "length"), "nor be long", ""
        yield ("routes", "stern", "nothing"), "nor be there at all", ""

    problems = faults_of(changed("length: 4.2 m", "length: 4,2 m"), also=no_stern)
    assert [(p.line, p.column, p.what, p.written) for p in problems] == [
        (7, 3, "nor be there at all", ""),
        (8, 13, "`routes.stern.length` has a decimal comma; write 4.2 m", "4,2 m"),
        (9, 12, "no cable may run aft", "engine_room"),
    ]
    with pytest.raises(SpecError):
        read_text(GOOD, "boat.yaml", Boat, also=no_stern)
    assert read_text(GOOD, "boat.yaml", Boat, also=lambda _: []).value.crew == 4


def test_a_fault_at_the_section_itself_points_to_its_key() -> None:
    class Inner(Section):
        a: WholeNumber

        @model_validator(mode="after")
        def _refuse(self) -> "Inner":
            raise Fault([((), "one thing is wrong", "another"), (("a",), "and its a", ""), (("b", 3), "and its b", "")])

    class Outer(Section):
        inner: Inner

    problems = faults_of("\ninner:\n  a: 1\n", Outer)
    assert [str(problem) for problem in problems] == [
        "boat.yaml:2:1: one thing is wrong · allowed: another",
        "boat.yaml:2:1: and its b",
        "boat.yaml:3:6: and its a · you wrote: 1",
    ]


# --- files -----------------------------------------------------------------------------------------------------------


def test_a_file_is_read_from_disk(tmp_path: Path) -> None:
    path = tmp_path / "boat.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + GOOD.encode())
    document = read(path, Boat)
    assert document.value.crew == 4
    assert document.path == path
    assert document.position(("boat_version",)) == (2, 15)


def test_problems_name_the_file_as_it_was_called(tmp_path: Path) -> None:
    path = tmp_path / "boat.yaml"
    path.write_text("nmae: x")
    with pytest.raises(SpecError) as caught:
        read(path, Boat)
    assert caught.value.problems[0].file == str(path)


def test_too_large_a_file_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "boat.yaml"
    path.write_text(GOOD)
    assert read(path, Boat, max_bytes=len(GOOD)).value.crew == 4
    with pytest.raises(SpecError, match=r":1:1: the file is too large · allowed: up to 100 bytes"):
        read(path, Boat, max_bytes=100)


def test_other_encodings_are_refused_where_they_show(tmp_path: Path) -> None:
    path = tmp_path / "boat.yaml"
    path.write_bytes("# größe\nname: Größe".encode() + b" \xe4\n")
    with pytest.raises(SpecError, match=r":2:13: this is not UTF-8 text · allowed: a file saved as UTF-8"):
        read(path, Boat)
    path.write_bytes(GOOD.encode("utf-16"))
    with pytest.raises(SpecError, match=r":1:1: this is not UTF-8 text"):
        read(path, Boat)


def test_what_is_no_file_is_a_mistake_of_the_call(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "nothing.yaml", tmp_path / "nul\0"):
        with pytest.raises(UsageError, match="there is no file"):
            read(path, Boat)


def test_a_file_that_cannot_be_opened_is_a_matter_of_the_machine(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "open", refused)
    with pytest.raises(MachineError, match=r"Permission denied · check the name and the rights"):
        read(tmp_path / "boat.yaml", Boat)


# --- the schema for editors ------------------------------------------------------------------------------------------


def test_the_schema_is_written_as_people_write() -> None:
    class Defaults(Section):
        power: PowerW = 1200.0
        share: Share = 0.5
        current: MaybeCurrentA = None
        heated: YesNo = False
        count: WholeNumber = 3
        price: Money = Decimal("2.50")
        name: PlainText = "x"
        note: PlainText = ""
        version: Literal["1"] = "1"
        many: tuple[PlainText, ...] = ()
        inner: Limit = Limit.model_construct(current=3.0)

    fields = json_schema(Defaults)["properties"]
    assert {name: field["default"] for name, field in fields.items() if "default" in field} == {
        "power": "1200 W",
        "share": "50 %",
        "heated": "no",
        "count": 3,
        "price": "2.50",
        "name": "x",
        "version": "1",
    }
    assert fields["version"]["enum"] == ["1", 1]
    assert "null" not in json.dumps(json_schema(Boat))


def test_every_example_of_the_schema_is_taken_by_the_reader() -> None:
    found = re.findall(r'"examples": (\[.*?\])', json.dumps(json_schema(Boat), ensure_ascii=False))
    assert len(found) > 5
    for name, field in json_schema(Boat)["$defs"]["Route"]["properties"].items():
        for example in field.get("examples", []):
            Route.model_validate({"length": "1 m", name: example})


# --- hostile input and speed -----------------------------------------------------------------------------------------

HOSTILE = ["\t", "\x00", "\u202e", "&a ", "*a", "!!python/name:os.system ", "---\n", "? ", ": ", "- ", "{", "}", "[", "]",
           "'", '"', "|", ">", "#", "%", "@", "`", ",", "<<: ", "~", "1e999", "12:30", "\r", "\n", "  ", "\ud7ff", "é",
           "\\", "9" * 400, "=", "no", "-", "kind: pump", "lamp: x", "\ufeff", "\U0001f6a4"]  # fmt: skip


def mutated(text: str, chance: random.Random) -> str:
    """The text with a few random cuts, doublings, swaps and foreign pieces."""
    for _ in range(chance.randint(1, 4)):
        start = chance.randrange(len(text) + 1)
        end = min(len(text), start + chance.choice((0, 1, 1, 2, 5, 20, 80)))
        piece = chance.choice(
            ("", text[start:end] * 2, chance.choice(HOSTILE), chance.choice(text.splitlines() or [""]))
        )
        text = text[:start] + piece + text[end:]
    return text


@settings(deadline=None, max_examples=700)
@given(st.randoms(use_true_random=False))
def test_no_mutation_raises_anything_but_a_spec_error(chance: random.Random) -> None:
    text = mutated(GOOD, chance)
    try:
        read_text(text, "boat.yaml", Boat)
    except SpecError as error:
        lines = text.count("\n") + 1
        for problem in error.problems:
            assert 1 <= problem.line <= lines
            assert problem.column >= 1
            assert problem.what
            assert "\n" not in str(problem)
            assert not re.search(r"pydantic|Input should|type=|tagged-union|function-", str(problem))


@settings(deadline=None)
@given(st.binary(max_size=300))
def test_no_bytes_raise_anything_but_a_spec_error(tmp_path_factory: pytest.TempPathFactory, raw: bytes) -> None:
    path = tmp_path_factory.mktemp("bytes") / "boat.yaml"
    path.write_bytes(raw)
    with pytest.raises(SpecError):
        read(path, Boat)


def test_four_hundred_lines_are_read_in_forty_milliseconds() -> None:
    routes = "".join(
        f"  r{n}:\n    length: {n + 1}.5 ft\n    size: 70 mm2\n    place: engine_room\n" for n in range(98)
    )
    text = GOOD.replace("  bow:", routes + "  bow:")
    assert text.count("\n") > 400
    times = []
    for _ in range(7):
        start = time.process_time()
        read_text(text, "boat.yaml", Boat)
        times.append(time.process_time() - start)
    assert min(times) < 0.040


def test_reading_imports_nothing_heavy() -> None:
    code = "import sys, proposal.reading; print(sorted({'numpy', 'jinja2', 'mkdocs', 'babel'} & sys.modules.keys()))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
