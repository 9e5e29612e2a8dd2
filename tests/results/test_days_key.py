"""What an option's days are kept under: every figure moves it, words and prices do not."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from proposal.results.days_key import key_of
from proposal.results.evaluate import evaluate
from proposal.spec.loading import load_project
from tests.sample_behaviour import marram, sample_behaviour

PROJECTS = Path(__file__).parents[2] / "projects"
Change = tuple[str, str, str]


@pytest.fixture(scope="module")
def keys(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., dict[str, str]]:
    """Keys by option of Marram with places of its files changed: (file, old, new)."""

    def of(*changes: Change) -> dict[str, str]:
        home = tmp_path_factory.mktemp("keys")
        for file in ("installer.yaml", "prices.yaml", "marram/spec.yaml"):
            (home / file).parent.mkdir(exist_ok=True)
            shutil.copy(PROJECTS / file, home / file)
        for file, old, new in changes:
            text = (home / file).read_text(encoding="utf-8")
            assert old in text, f"{file} has no {old!r}"
            (home / file).write_text(text.replace(old, new, 1), encoding="utf-8")
        found = {}

        def days(spec, design, family, catalogue):
            found[spec.option_id] = key_of(spec, design.circuit, family, catalogue, "stamp")
            return sample_behaviour(marram().options[0])

        evaluate(load_project(home / "marram"), {}, "a test", sheets=False, days=days)
        return found

    return of


@pytest.fixture(scope="module")
def usual(keys: Callable[..., dict[str, str]]) -> dict[str, str]:
    return keys()


SPEC, PRICES, INSTALLER = "marram/spec.yaml", "prices.yaml", "installer.yaml"


def test_equal_files_give_equal_keys_and_each_option_its_own(
    keys: Callable[..., dict[str, str]], usual: dict[str, str]
) -> None:
    assert keys() == usual
    assert len(set(usual.values())) == len(usual) == 2


@pytest.mark.parametrize(
    "change",
    [
        (SPEC, "name: Ilse and Tomas Varnegg", "name: Somebody Else"),
        (SPEC, "revision: B", "revision: C"),
        (SPEC, "title: Diesel of 40 hp", "title: Diesel"),
        (SPEC, "description: Ketch of 12.4 m", "description: Ketch of 12 m"),
        (SPEC, "reading: 57 A at 13.9 V", "reading: 58 A at 13.9 V"),
        (INSTALLER, "hourly_rate: 64.00", "hourly_rate: 70.00"),
        (INSTALLER, "tax: 21 %", "tax: 20 %"),
        (PRICES, "\nparts:\n", "\nparts:\n  unheard_of: {kind: other, title: Unheard of, price: 5}\n"),
    ],
)  # fmt: skip
def test_words_and_money_move_no_key(
    keys: Callable[..., dict[str, str]], usual: dict[str, str], change: Change
) -> None:
    assert keys(change) == usual


@pytest.mark.parametrize(
    "change",
    [
        (SPEC, "starter_current: 280 A", "starter_current: 281 A"),
        (SPEC, "sun: 5.2 h", "sun: 5.3 h"),
        (SPEC, "left_alone: 28 days", "left_alone: 27 days"),
        (SPEC, "Lead batteries to main bus, length: 1.6 m", "Lead batteries to main bus, length: 1.7 m"),
        (SPEC, "coldest: 18 °C, usual: 29 °C", "coldest: 18 °C, usual: 30 °C"),
        (INSTALLER, "  boat: us_boats", "  boat: iso_boats"),
    ],
)  # fmt: skip
def test_every_figure_moves_the_keys_of_all_options(
    keys: Callable[..., dict[str, str]], usual: dict[str, str], change: Change
) -> None:
    changed = keys(change)
    assert changed.keys() == usual.keys()
    assert not set(changed.values()) & set(usual.values())


def test_what_only_one_option_uses_leaves_the_other_ones_days_alone(
    keys: Callable[..., dict[str, str]], usual: dict[str, str]
) -> None:
    changed = keys((PRICES, "capacity: 90 Ah", "capacity: 91 Ah"))
    assert changed["shared"] == usual["shared"]
    assert changed["dedicated"] != usual["dedicated"]


def test_another_program_seed_or_step_is_another_key() -> None:
    found = {}
    for stamp in ("a", "b"):

        def days(spec, design, family, catalogue, stamp=stamp):
            found[stamp, spec.option_id] = key_of(spec, design.circuit, family, catalogue, stamp)
            return sample_behaviour(marram().options[0])

        evaluate(load_project(PROJECTS / "marram"), {}, "a test", sheets=False, days=days)
    assert len(set(found.values())) == 4
