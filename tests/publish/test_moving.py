"""Timelines, storyboard and sliders: what a reader without a script gets, and what the script is given."""

from __future__ import annotations

import json
import re
from html import unescape
from types import ModuleType

import pytest

from proposal.publish.labels import labels
from proposal.publish.moving import payload, proposed
from proposal.publish.pdf import document_html


@pytest.fixture(scope="module")
def page(site: dict[str, bytes]) -> str:
    return site["days.html"].decode()


@pytest.fixture(scope="module")
def printed(sample: ModuleType) -> str:
    html = document_html(sample.BOOK, sample.DRAWINGS)
    return html[html.index('id="days"') :]


def test_the_payload_holds_each_answer_and_where_it_stands(sample: ModuleType) -> None:
    made = json.loads(payload(sample.SLIDERS, labels(sample.BOOK)))
    assert [axis["texts"] for axis in made["axes"]] == [["60 %", "100 %"], ["0 %", "1 %", "2 %"]]
    assert [axis["list"] for axis in made["axes"]] == ["grid.use", "grid.sun"]
    assert [axis["proposed"] for axis in made["axes"]] == [1, 1]
    assert [len(answer["texts"]) for answer in made["answers"]] == [6, 6]
    assert made["answers"][0]["list"] == "grid.x"
    assert set(made["answers"][1]["tones"]) <= {"plain", *made["words"]}


def test_the_place_of_what_is_proposed_counts_the_first_axis_slowest(sample: ModuleType) -> None:
    assert proposed(sample.SLIDERS) == 1 * 3 + 1


def test_the_site_carries_the_payload_encoded_and_shows_what_is_proposed(page: str, sample: ModuleType) -> None:
    found = re.search(r'data-sliders="([^"]*)"', page)
    assert found is not None
    assert not re.search(r"[<>{}]", found[1])
    assert unescape(found[1]) == payload(sample.SLIDERS, labels(sample.BOOK))
    shown = re.findall(r"number__figure[^>]*>(.*?)</dd>", page, flags=re.DOTALL)
    assert [unescape(re.sub(r"<[^>]*>", "", text)).strip() for text in shown] == ["5.5", "✓\u00a0Good: Yes, 5 d"]


def test_without_a_script_controls_are_hidden_and_nothing_else(page: str) -> None:
    assert re.search(r'class="sliders__axes" hidden', page)
    assert len(re.findall(r'class="steps__bar"[^>]* hidden', page)) == 2
    assert page.count('class="steps__step"') == 4
    assert len(re.findall(r"<details[^>]*>", page)) == len(re.findall(r"<details[^>]* open[^>]*>", page)) > 3
    assert " onclick" not in page


def test_on_paper_steps_stand_side_by_side_and_sliders_are_a_table(printed: str) -> None:
    assert "<input" not in printed
    assert "<button" not in printed
    assert "<details" not in printed
    assert "data-sliders" not in printed
    assert printed.count('<figure class="steps__step">') == 3
    assert "Nothing moves" not in printed
    assert "Sun&#58; " in printed
