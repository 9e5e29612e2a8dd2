"""Every code has words, every field of a sentence is a value that is handed out, every sentence can be translated."""

from __future__ import annotations

import importlib.util
import io
import re
import sys
from pathlib import Path
from types import ModuleType

import pytest
from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.mofile import write_mo

from proposal.book import catalogue
from proposal.book.language import DOMAIN, Language, fields_of, filled, msgs, pieces
from proposal.book.sentences import assumptions, findings, names, reasons
from proposal.book.sentences.finding_text import FindingText
from proposal.book.sentences.renderers import LABELS
from proposal.book.sentences.sheets import SHEET_WORDS
from proposal.book.writer import without_missing
from proposal.circuit.arrangements import ARRANGEMENTS
from proposal.drawings.sheet import LABEL_KEYS
from proposal.publish.labels import DEFAULTS
from proposal.rules.registry import CHECKS

SENTENCES = tuple(catalogue.all_sentences())
SOURCE = Path(catalogue.__file__).parent
FIELD = re.compile(r"\{[^}]*\}?")


def _load(name: str) -> ModuleType:
    known = f"book_{name}"
    if known not in sys.modules:
        spec = importlib.util.spec_from_file_location(known, Path(__file__).with_name(f"{name}.py"))
        assert spec is not None
        assert spec.loader is not None
        sys.modules[known] = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(sys.modules[known])
    return sys.modules[known]


emitted = _load("emissions")
CHECK_IDS = tuple(check.id for check in CHECKS)


def variants(check: str) -> dict[str, FindingText]:
    """Sentences of a check by cause; the check's own under an empty one."""
    return {key.partition(".")[2]: text for key, text in findings.FINDINGS.items() if key.partition(".")[0] == check}


def test_every_check_has_sentences_and_every_sentence_a_check() -> None:
    assert {key.partition(".")[0] for key in findings.FINDINGS} == set(CHECK_IDS)
    assert set(CHECK_IDS) <= set(findings.FINDINGS)


@pytest.mark.parametrize("check", CHECK_IDS)
def test_every_cause_has_sentences_of_its_own(check: str) -> None:
    causes = {cause for emission in emitted.emissions(check) for cause in emission.causes}
    own = set(variants(check)) - {""}
    assert causes <= own
    assert emitted.emissions(check), "nothing is handed out: the reading of the source is broken"


@pytest.mark.parametrize("check", CHECK_IDS)
def test_a_finding_uses_only_values_that_its_rule_emits(check: str) -> None:
    found = emitted.emissions(check)
    constant = {cause for emission in found for cause in emission.causes}
    used = 0
    for cause, text in variants(check).items():
        if cause == "" and len(variants(check)) > 1:
            continue  # stands in for a cause without words
        for emission in found:
            matches = cause in emission.causes or (not emission.causes and cause not in constant)
            if not matches or emission.outcome != "fires":
                continue
            wanted = {f for s in (text.found, text.limit, text.happens, text.do) for f in fields_of(s)}
            assert wanted <= emission.names, f"{check}.{cause} in {emission.where}: {wanted - emission.names}"
            used += 1
    assert used, "no place of the rule was compared"


@pytest.mark.parametrize("check", CHECK_IDS)
def test_what_is_undecided_says_what_is_known_and_what_to_find_out(check: str) -> None:
    for emission in emitted.emissions(check):
        if emission.outcome != "undecided":
            continue
        for code in emission.find_out:
            assert code in findings.FIND_OUT
            assert set(fields_of(findings.FIND_OUT[code])) <= emission.names, code
        for cause in emission.causes or {""}:
            text = variants(check).get(cause, findings.FINDINGS[check])
            if emission.names - {"find_out", *emitted.CAUSES, "system_v", "fitted"}:
                assert without_missing(text.known, frozenset(emission.names)), f"{check}.{cause} in {emission.where}"


def test_a_code_to_find_out_is_asked_for_somewhere() -> None:
    folders = (emitted.PACKAGE / "rules", emitted.PACKAGE / "studies" / "fuses")
    source = "".join(path.read_text() for folder in folders for path in folder.glob("*.py"))
    assert [code for code in findings.FIND_OUT if f'"{code}"' not in source] == []


def test_every_reason_has_words_and_only_fields_that_it_carries() -> None:
    handed_out = emitted.reasons()
    assert len(handed_out) >= 15
    for code, places in handed_out.items():
        told = [words[code] for words in (reasons.CONDUCTORS, reasons.DEVICES, reasons.REJECTED) if code in words]
        assert told, f"no words for {code}"
        for sentence in told:
            for values in places:
                assert set(fields_of(sentence)) <= values, f"{code}: {sentence}"
    known = {*reasons.CONDUCTORS, *reasons.DEVICES, *reasons.REJECTED}
    assert known <= set(handed_out), "words for a reason that nobody gives"


def test_every_assumption_has_words_and_a_way_to_find_out() -> None:
    handed_out = emitted.assumptions()
    relays = {f"relay_{name}" for name in ("joins", "releases", "tolerance")}
    assert set(handed_out) | relays == set(assumptions.ASSUMPTIONS) == set(assumptions.FIND_OUT)
    for code, values in handed_out.items():
        assert set(fields_of(assumptions.ASSUMPTIONS[code])) - {"item"} <= (values or {"resistance_ohm"})


def test_every_arrangement_has_words() -> None:
    assert set(catalogue.ARRANGEMENTS) == set(ARRANGEMENTS)


def test_the_renderers_and_drawings_get_all_their_words() -> None:
    assert set(LABELS) == set(DEFAULTS)
    assert set(LABEL_KEYS) <= set(SHEET_WORDS)


def test_no_sentence_is_empty_or_broken() -> None:
    allowed = re.compile(r"findings\..*\.known|findings\.UNKNOWN|cautions\..*short|names\.UNITS\.sum")
    assert len(SENTENCES) > 500
    for where, text in SENTENCES:
        assert text.strip() or allowed.match(where), where
        assert text == text.strip() or where == "client.OR", where
        assert "  " not in text, where
        for found in FIELD.findall(text):
            assert re.fullmatch(r"\{[a-z][a-z0-9_]*\}", found), f"{where}: {found}"


def test_titles_of_findings_have_no_fields() -> None:
    for key, text in findings.FINDINGS.items():
        assert not fields_of(text.title) + fields_of(text.passed), key


def test_a_sentence_states_no_figure_of_its_own() -> None:
    # 20 °C is the temperature that resistances are referred to, LiFePO4 a name.
    own = re.compile(r"20 °C|LiFePO4|\{[a-z0-9_]+\}")
    for where, text in SENTENCES:
        if not where.startswith("formulas."):
            assert not re.search(r"\d", own.sub("", text)), f"{where}: {text}"


def test_every_sentence_is_marked_for_translation() -> None:
    keywords = {"msg": None, "msgs": (1, 2)}
    marked: set[str] = set()
    for path in sorted(SOURCE.rglob("*.py")):
        for _, message, _, _ in extract("python", io.BytesIO(path.read_bytes()), keywords):
            marked.update(message if isinstance(message, tuple) else (message,))
    notation = re.compile(r"formulas\.FORMULAS\.\d+\.formula|names\.(POLE_SIGNS|UNITS\.sum)")
    codes = re.compile(r"names\.(VALUE_WORDS|ITEM_FIELDS)")
    missing = [
        (where, text)
        for where, text in SENTENCES
        if text and text not in marked and not notation.match(where) and not codes.match(where)
    ]
    assert missing == []


def test_a_catalogue_changes_the_words_and_keeps_the_fields(tmp_path: Path) -> None:
    made = Catalog(locale="de", domain=DOMAIN)
    made.add("Cautions", "Warnungen")
    made.add(("{count} danger", "{count} dangers"), ("{count} Gefahr", "{count} Gefahren"))
    folder = tmp_path / "de" / "LC_MESSAGES"
    folder.mkdir(parents=True)
    with (folder / f"{DOMAIN}.mo").open("wb") as file:
        write_mo(file, made)
    language = Language("de_DE", tmp_path)
    assert language.tag == "de-DE"
    assert language.text("Cautions") == "Warnungen"
    assert language.text("Findings") == "Findings"
    assert language.several(names.DANGERS, 1) == "{count} Gefahr"
    assert language.several(names.DANGERS, 3) == "{count} Gefahren"
    assert Language("en_GB").several(msgs("{n} cat", "{n} cats"), 2) == "{n} cats"


def test_fields_are_found_and_filled_in_one_pass() -> None:
    assert fields_of("a {b} c {d_e2} {b}") == ("b", "d_e2")
    assert pieces("a {b}") == (("a ", "b"), ("", ""))
    assert filled("{a} and {b}", {"a": "{b}", "b": "{a}"}) == "{b} and {a}"


def test_a_sentence_that_lacks_a_value_is_left_out() -> None:
    both = "It carries {one_a}. Its limit is {two_a}."
    assert without_missing(both, frozenset({"one_a"})) == "It carries {one_a}."
    assert without_missing(both, frozenset()) == ""
