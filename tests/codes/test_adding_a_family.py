"""Adding a family touches `codes/` alone: one that exists only here goes from the spec to the printed code page."""

from __future__ import annotations

import json
import random
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

import proposal
from proposal.book.book import make_book
from proposal.cli.schema import schema_of
from proposal.codes import FAMILIES, family, usual_family
from proposal.codes.family import CodeNote, SizeFloor
from proposal.errors import SpecError
from proposal.publish.proof import proof
from proposal.results.codec import plain, schema
from proposal.results.evaluate import Evaluated, evaluate
from proposal.rules.registry import CHECKS
from proposal.sources import Citation
from proposal.spec.loading import load_project
from proposal.units import parse_size
from tests.cli.schema_check import violations
from tests.generate import PROJECTS, spec_text
from tests.test_codes_protocol import Wagons

PACKAGE = Path(proposal.__file__).parent
OWN = Citation("common_practice", "rule 7 of the wagons, invented", "common practice")


class Carts(Wagons):
    """The invented wagons of the Protocol's test, with notes of their own and a floor that nobody else has."""

    id = "carts"
    title = "Carts on rails"
    edition = "first, of this test"
    default_for: tuple[str, ...] = ()
    code_notes = (
        CodeNote("carts.current", "Current on the cart", "1", "Five amperes a square millimetre.", OWN,
                 ("conductor_overloaded",)),
        CodeNote("carts.brakes", "Brakes of the cart", "2", "Somebody looks at them.", OWN),
        CodeNote("carts.boats", "Carts afloat", "3", "For boats only.", OWN, kinds=("boat",)),
        CodeNote("carts.petrol", "Carts with petrol", "4", "No petrol here.", OWN, when=("petrol",)),
    )  # fmt: skip

    def minimum_size(self, sheathed: bool) -> SizeFloor:
        return SizeFloor(parse_size("2.5 mm2" if sheathed else "4 mm2"), OWN)


@pytest.fixture
def carts(monkeypatch: pytest.MonkeyPatch) -> Carts:
    made = Carts()
    monkeypatch.setitem(FAMILIES, made.id, made)
    return made


def project(folder: Path, change: Callable[[dict[str, Any]], None], installer: str = "") -> Path:
    """A small generated cabin, changed, beside the demonstration installer."""
    rng = random.Random("carts")  # noqa: S311 - test data
    spec = yaml.safe_load(spec_text(rng, voltage_v=24, arrangements=("one_bank", "one_bank"), most_loads=5))
    spec["vessel"] = {"name": "Cart", "kind": "cabin"}
    change(spec)
    for name in ("installer.yaml", "prices.yaml"):
        shutil.copy(PROJECTS / name, folder / name)
    path = folder / "installer.yaml"
    path.write_text(path.read_text(encoding="utf-8") + installer, encoding="utf-8")
    (folder / "spec.yaml").write_text(yaml.safe_dump(spec, sort_keys=False, allow_unicode=True), encoding="utf-8")
    return folder


def evaluated(folder: Path) -> Evaluated:
    return evaluate(load_project(folder), {}, "a test")


def by_carts(spec: dict[str, Any]) -> None:
    spec["rules"] = "carts"


@pytest.mark.usefixtures("carts")
def test_a_family_that_is_only_registered_runs_through_everything(tmp_path: Path) -> None:
    found = evaluated(project(tmp_path, by_carts)).results
    assert (found.vessel.rule_family, found.vessel.rule_family_title) == ("carts", "Carts on rails")
    assert list(violations(plain(found), schema())) == []
    for option in found.options:
        assert {c.size[-3:] for c in option.conductors if not c.pinned} == {"mm²"}
        assert all(c.area_mm2 >= 2.5 for c in option.conductors if not c.pinned)
        assert all(c.table_a == pytest.approx(5 * c.area_mm2) for c in option.conductors)
        assert [run.id for run in option.checks] == [check.id for check in CHECKS]
        standing = {note.id: (note.outcome, note.because) for note in option.code_notes}
        assert standing["carts.current"][0] in ("passed", "failed")
        assert standing["carts.brakes"] == ("to_be_tested", "no_check")
        assert standing["carts.boats"] == ("not_applicable", "kind")
        assert standing["carts.petrol"] == ("not_applicable", "absent")


def test_its_code_page_is_built(carts: Carts, tmp_path: Path) -> None:
    found = evaluated(project(tmp_path, by_carts)).results
    book = make_book(found, ())
    proof(book, ())
    (page,) = [page for page in book.pages if page.id == "codes"]
    text = json.dumps(plain(page), ensure_ascii=False)
    assert all(note.topic in text for note in carts.code_notes)
    assert "Carts on rails" in text
    assert "rule 7 of the wagons" in text


@pytest.mark.usefixtures("carts")
def test_it_stands_in_the_schema_and_in_what_is_told_to_a_stranger(tmp_path: Path) -> None:
    assert "carts" in schema_of("spec")["properties"]["rules"]["enum"]
    assert "carts" in schema_of("installer")["properties"]["bought_tables"]["propertyNames"]["enum"]

    def strange(spec: dict[str, Any]) -> None:
        spec["rules"] = "sledges"

    with pytest.raises(SpecError) as caught:
        evaluated(project(tmp_path, strange))
    (problem,) = caught.value.problems
    text = (tmp_path / "spec.yaml").read_text(encoding="utf-8").splitlines()
    assert text[problem.line - 1][problem.column - 1 :] == "sledges"
    assert (problem.what, problem.allowed) == ("“sledges” is no rule family", ", ".join(FAMILIES))
    assert "carts" in problem.allowed


def test_it_can_be_the_usual_one_for_a_kind_of_vessel(
    carts: Carts, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Named by nobody, it is taken where the others leave the kind to it."""
    for known in FAMILIES.values():
        monkeypatch.setattr(known, "default_for", ("cabin",) if known is carts else ())
    folder = project(tmp_path, lambda spec: spec.pop("rules", None))
    path = folder / "installer.yaml"
    path.write_text(re.sub(r"rules:\n(  \w+: \w+\n)+", "", path.read_text(encoding="utf-8")), encoding="utf-8")
    assert evaluated(folder).results.vessel.rule_family == "carts"


@pytest.mark.usefixtures("carts")
def test_the_installer_names_a_family_that_there_is(tmp_path: Path) -> None:
    folder = project(tmp_path, lambda spec: spec.pop("rules", None))
    path = folder / "installer.yaml"
    text = re.sub(r"  cabin: \w+", "  cabin: carts", path.read_text(encoding="utf-8"))
    path.write_text(text, encoding="utf-8")
    assert evaluated(folder).results.vessel.rule_family == "carts"
    path.write_text(text.replace("cabin: carts", "cabin: sledges"), encoding="utf-8")
    with pytest.raises(SpecError, match=r"installer\.yaml:\d+:10: “sledges” is no rule family"):
        evaluated(folder)


@pytest.mark.parametrize("kind", ["boat", "camper", "cabin"])
def test_each_kind_of_vessel_has_one_usual_family(kind: str) -> None:
    assert sum(kind in known.default_for for known in FAMILIES.values()) == 1
    assert usual_family(kind) is family(usual_family(kind).id)


def test_no_other_kind_has_one() -> None:
    with pytest.raises(KeyError, match="sledge"):
        usual_family("sledge")


def test_no_other_package_names_a_family() -> None:
    ids = re.compile(rf"(?<![\w.])({'|'.join(FAMILIES)})(?!\w)")
    named = {}
    beside_a_first_project = PACKAGE / "cli" / "starter" / "installer.yaml"  # only in the wheel, a copy from projects/
    for path in sorted(PACKAGE.rglob("*")):
        own = path.relative_to(PACKAGE).parts[0] == "codes" or path == beside_a_first_project
        if not own and path.suffix in (".py", ".yaml", ".csv", ".json", ".j2"):
            found = ids.findall(path.read_text(encoding="utf-8"))
            if found:
                named[str(path.relative_to(PACKAGE))] = sorted(set(found))
    assert named == {}
