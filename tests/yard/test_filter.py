"""The box above a long table, in a browser, from a folder. Chromium must be on the path."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from proposal.book.yard import make_yard_book
from proposal.files import write_tree
from proposal.publish.site import render_site
from proposal.results.store import FolderShelf
from proposal.results.yard_model import Moored
from tests.yard.conftest import TODAY, add_project, gathered

pytestmark = [pytest.mark.browser, pytest.mark.slow]
COUNT = 1000
WIDTHS = (1280, 390)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory, shelf: FolderShelf) -> str:
    """A yard of a thousand rows; one is called Tórn."""
    home = tmp_path_factory.mktemp("big")
    add_project(home / "v", "boat")
    yard = gathered(home / "v", shelf).yard
    row = yard.vessels[0].row
    names = [f"Vessel {n:04d}" for n in range(COUNT - 1)] + ["Tórn"]
    vessels = tuple(Moored(f"berth-{n}", replace(row, name=name)) for n, name in enumerate(names))
    book = make_yard_book(replace(yard, today=TODAY, vessels=vessels))
    write_tree(home / "yard", render_site(book, {}, {}))
    return (home / "yard").as_uri()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    executable = shutil.which("chromium")
    assert executable is not None
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=executable, args=["--no-sandbox"])
        yield started
        started.close()


def shown(page: Page) -> list[str]:
    return page.eval_on_selector_all(
        "table tbody tr", "rows => rows.filter(r => r.offsetParent !== null).map(r => r.cells[0].textContent.trim())"
    )


def wait_for(page: Page, said: str) -> None:
    page.wait_for_function("said => document.querySelector('[role=status]').textContent === said", arg=said)


@pytest.mark.parametrize("width", WIDTHS)
def test_rows_are_filtered_by_all_words(browser: Browser, site: str, width: int) -> None:
    page = browser.new_page(viewport={"width": width, "height": 900})
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(f"{site}/index.html")
    box = page.get_by_label("Show only rows with")
    assert box.count() == 1
    assert len(shown(page)) == COUNT
    box.fill("0042 berth-42")
    wait_for(page, "Rows: 1 of 1000")
    assert shown(page) == ["Vessel 0042"]
    box.fill("no such thing")
    wait_for(page, "Rows: 0 of 1000")
    box.fill("torn")
    wait_for(page, "Rows: 1 of 1000")
    assert shown(page) == ["Tórn"]
    box.fill("no such thing")
    wait_for(page, "Rows: 0 of 1000")
    box.press("Escape")
    wait_for(page, "Rows: 1000 of 1000")
    assert len(shown(page)) == COUNT
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert said == []
    page.close()


def test_a_thousand_rows_are_filtered_at_once(browser: Browser, site: str) -> None:
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.goto(f"{site}/index.html")
    spent_ms = page.evaluate(
        """async () => {
          const box = document.querySelector('.filter__input');
          const longest = [];
          for (const text of ['v', 've', 'vessel 00', 'vessel 0042']) {
            box.value = text;
            const begun = performance.now();
            box.dispatchEvent(new Event('input'));
            await new Promise((done) => setTimeout(() => requestAnimationFrame(done), 61));
            longest.push(performance.now() - begun);
          }
          return Math.max(...longest);
        }"""
    )
    assert spent_ms < 2000, "a second or two on a busy machine; 61 of these are waited for a next key"
    page.close()


def test_without_scripts_the_whole_table_stands_there(browser: Browser, site: str) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{site}/index.html")
    assert page.locator("table tbody tr").count() == COUNT
    assert page.locator(".filter").count() == 0
    context.close()


def test_the_search_of_the_site_finds_a_page(browser: Browser, site: str) -> None:
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.goto(f"{site}/index.html")
    page.locator(".md-search__input").click()
    page.keyboard.type("Tórn")
    page.wait_for_selector(".md-search-result__item a", timeout=20_000)
    found = page.eval_on_selector_all(".md-search-result__item a", "links => links.map(link => link.href)")
    assert any("/index.html" in href for href in found)
    page.close()
