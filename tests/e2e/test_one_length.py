"""One changed length moves exactly what depends on it: in the JSON, on the site, in the drawings and in the PDF."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import lxml.etree
import pytest

from proposal.book.refs import resolve
from proposal.cli.main import main
from tests.e2e.conftest import days_for, project
from tests.e2e.published import Published

pytestmark = pytest.mark.slow

CIRCUIT = "loads.watermaker"
OLD, NEW = "Main bus to watermaker, length: 3.6 m", "Main bus to watermaker, length: 4.2 m"
NOISE_A = 1e-9
"""The last digits of a solution that is zero: no length decides them."""


@dataclass(frozen=True)
class Pair:
    """Marram as it is, and with the watermaker's cable a little longer."""

    before: Published
    after: Published


@pytest.fixture(scope="session")
def pair(published: Callable[[str], Published], tmp_path_factory: pytest.TempPathFactory) -> Pair:
    folder = tmp_path_factory.mktemp("longer")
    longer = project(folder, "marram")
    spec = longer / "spec.yaml"
    text = spec.read_text(encoding="utf-8")
    assert text.count(OLD) == 1
    spec.write_text(text.replace(OLD, NEW), encoding="utf-8")
    with days_for("marram", folder):
        assert main(["build", str(longer), "--out", str(folder / "out"), "--quiet"]) == 0
    return Pair(published("marram"), Published(folder / "out"))


def _name(item: Any, number: int) -> str:
    """How an entry of a list is called, so that a path says what moved."""
    names = (item.get(name) for name in ("key", "id", "item", "case", "node")) if isinstance(item, dict) else ()
    return str(next((name for name in names if name), number))


def moved(one: Any, other: Any, at: str = "") -> Iterator[tuple[str, Any, Any]]:
    """Every path at which two JSON values differ by more than noise, with both values."""
    if isinstance(one, dict) and isinstance(other, dict) and one.keys() == other.keys():
        for key in one:
            yield from moved(one[key], other[key], f"{at}.{key}")
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for number, (left, right) in enumerate(zip(one, other, strict=True)):
            yield from moved(left, right, f"{at}[{_name(left, number)}]")
    elif one != other and not (isinstance(one, float) and isinstance(other, float) and abs(one - other) < NOISE_A):
        yield at, one, other


OWN = r"\.conductors\[loads\.watermaker\.(?:positive|negative)\]"
EXPECTED = (
    rf"{OWN}\.length_m",
    rf"{OWN}\.resistance_20c_ohm",
    rf"{OWN}\.(?:drop_v|loop_drop_v|loop_drop_share)",
    rf"{OWN}\.(?:least_)?(?:fault_from_a|fault_to_a)",
    rf"{OWN}\.(?:decided_by|rejected\[\d\]\.reason)\.values\.drop_v",
    r"\.network\[[\w.]+\]\.branches\[loads\.watermaker\.(?:positive|negative)\]\.resistance_ohm",
    r"\.cases\[[\w.]+\]\.nodes\[loads\.watermaker\.[\w.]+\]\.voltage_v",
    r"\.cases\[[\w.]+\]\.ports\[loads\.watermaker\]\.voltage_v",
    r"\.faults\[loads\.watermaker\.pin\.(?:positive|negative)\]\.(?:current_a|resistance_ohm|peak_a|quasi_steady_a|feeds.*)",
    r"\.faults\[loads\.watermaker\.pin\.(?:positive|negative)\]\.least_a",
    r"\.least_faults\[loads\.watermaker\.pin\.positive\]\.(?:current_a|through_fuse_a)",
    r"\.protection\[loads\.watermaker\.fuse\]\..+",
    r"\.voltages\[loads\.watermaker\]\..+",
    r"\.tests\[loads\.watermaker\]\.(?:expected|low|high)",
    r"\.price_lines\[part\.cable_awg_12_105c\]\.(?:quantity|amount)",
    r"\.price_lines\[labour\.conductors\]\.(?:quantity|amount)",
    r"\.price_lines\[contingency\]\.(?:unit_price|amount)",
    r"\.ten_years\.(?:today|total_low|total_usual|total_high)",
    r"\.price\.(?:material|labour|contingency|net|tax|total)",
)
"""What hangs on the length of a cable that feeds one load of constant current, under each option.

Nothing else does: the load takes the same current, so every other cable keeps its voltages, currents and faults. The
days are made up here: the simulated ones take every resistance into their network, and all their figures move a little.
"""


def test_exactly_what_depends_on_the_length_moves_in_the_json(pair: Pair) -> None:
    paths = [at for at, _, _ in moved(pair.before.results, pair.after.results)]
    shapes = [re.compile(rf"\.options\[(?:shared|dedicated)\]{shape}") for shape in EXPECTED]
    strangers = [path for path in paths if not any(shape.fullmatch(path) for shape in shapes)]
    assert strangers == []
    for shape in shapes:
        found = [path for path in paths if shape.fullmatch(path)]
        assert any("[shared]" in path for path in found), shape.pattern
        assert any("[dedicated]" in path for path in found), shape.pattern


def test_what_moved_moved_by_the_length(pair: Pair) -> None:
    ratio = 4.2 / 3.6
    for before, after in zip(pair.before.results["options"], pair.after.results["options"], strict=True):
        for one, other in zip(before["conductors"], after["conductors"], strict=True):
            assert one["size"] == other["size"]
            assert one["designation"] == other["designation"]
            if one["circuit"] != CIRCUIT:
                assert one["length_m"] == other["length_m"]
                continue
            assert (one["length_m"], other["length_m"]) == (3.6, 4.2)
            for name in ("resistance_20c_ohm", "drop_v"):
                assert other[name] == pytest.approx(one[name] * ratio, rel=1e-8), name
            # The loop has the fuse in it too, which stays as it is.
            more_v = other["loop_drop_v"] - one["loop_drop_v"]
            assert more_v == pytest.approx(2 * (other["drop_v"] - one["drop_v"]), rel=1e-6)


def _sheet_texts(folder: Path, *, charts: bool = False) -> dict[str, list[str]]:
    found = {}
    for path in sorted((folder / "drawings").glob("*.svg")):
        if ("-curve-" in path.name) is not charts:
            continue
        words = (text for text in lxml.etree.fromstring(path.read_bytes()).itertext() if text.strip())
        found[path.name] = [" ".join(text.split()) for text in words]
    return found


def _printed(proposal: Published) -> dict[tuple[str, str], list[str]]:
    """The texts of a number by its page and its place in the JSON: it may stand in several places, in other digits."""
    found: dict[tuple[str, str], list[str]] = {}
    for page, ref, text in proposal.numbers():
        found.setdefault((page, ref), []).append(text)
    return found


def test_on_the_site_exactly_the_cells_move_whose_value_moved(pair: Pair) -> None:
    before, after = _printed(pair.before), _printed(pair.after)
    assert before.keys() == after.keys()
    changed = {ref for (page, ref), texts in before.items() if after[page, ref] != texts}
    for ref in changed:
        assert resolve(pair.before.results, ref) != resolve(pair.after.results, ref), ref
    own = {
        f"options[{n}].conductors[{i}].{name}"
        for n, option in enumerate(pair.before.results["options"])
        for i, conductor in enumerate(option["conductors"])
        if conductor["circuit"] == CIRCUIT
        for name in ("length_m", "loop_drop_share", "fault_to_a" if conductor["pole"] == "positive" else "fault_from_a")
    }
    totals = {f"options[{n}].price.{name}" for n in (0, 1) for name in ("material", "labour", "net", "tax", "total")}
    assert own | totals <= changed
    owners = {ref.rpartition(".")[0] for ref in own}
    schedule = {ref for ref in changed if re.match(r"options\[\d\]\.(?:conductors|devices)", ref)}
    assert {re.match(r"options\[\d\]\.\w+\[\d+\]", ref)[0] for ref in schedule} == owners  # type: ignore[index]


def _words_around_numbers(page: Any) -> str:
    """The text of a page without its numbers."""
    for span in page.xpath("//span[@data-ref]"):
        span.clear(keep_tail=True)
    for script in page.xpath("//script | //style"):
        script.clear(keep_tail=True)
    return " ".join(page.text_content().split())


def test_no_word_of_the_site_changes(pair: Pair) -> None:
    one, other = Published(pair.before.folder), Published(pair.after.folder)
    for name, page in one.pages.items():
        before, after = _words_around_numbers(page), _words_around_numbers(other.pages[name])
        if name == "cables":  # the order of the strongest faults
            assert sorted(before.split()) == sorted(after.split())
        else:
            assert before == after, name


def test_the_drawings_show_the_new_length_and_nothing_else_new(pair: Pair) -> None:
    before, after = _sheet_texts(pair.before.folder), _sheet_texts(pair.after.folder)
    assert before.keys() == after.keys()
    wires = [c["designation"] for c in pair.before.results["options"][0]["conductors"] if c["circuit"] == CIRCUIT]
    shown = 0
    for name, texts in before.items():
        assert len(texts) == len(after[name]), name
        for one, other in zip(texts, after[name], strict=True):
            if one != other:
                assert one.replace("3.6", "4.2") == other, (one, other)
                assert any(wire in one for wire in wires), one
                shown += 1
    assert shown >= 2


def test_the_chart_of_its_fuse_moves_and_no_other(pair: Pair) -> None:
    before, after = (_sheet_texts(p.folder, charts=True) for p in (pair.before, pair.after))
    assert before.keys() == after.keys()
    changed = [name for name, texts in before.items() if after[name] != texts]
    names = {d["designation"] for d in pair.before.results["options"][0]["devices"] if d["key"] == f"{CIRCUIT}.fuse"}
    assert {before[name][0] for name in changed} == names
    assert len(changed) == len(pair.before.results["options"])
    assert all(any("far end" in text for text in before[name]) for name in changed)


def test_in_the_pdf_exactly_the_words_move_that_moved_on_the_site(pair: Pair) -> None:
    before, after = (_printed(p) for p in (pair.before, pair.after))
    old_words: set[str] = set()
    new_words: set[str] = set()
    for place, texts in before.items():
        for one, other in zip(texts, after[place], strict=True):
            if one != other:
                old_words |= set(one.split())
                new_words |= set(other.split())
    one, other = (
        Counter(word.strip(".,;:()") for text in p.pdf_pages for word in text.split())
        for p in (pair.before, pair.after)
    )
    gone, come = one - other, other - one
    assert set(gone) <= old_words, set(gone) - old_words
    assert set(come) <= new_words, set(come) - new_words
    assert sum(gone.values()) == sum(come.values()) > 30
