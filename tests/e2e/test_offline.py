"""The published site in headless Chromium, opened from its folder: quiet, whole, and asking for nothing outside."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Dialog, Page, Request, sync_playwright

from tests.e2e.published import Published

pytestmark = [pytest.mark.browser, pytest.mark.slow]

ARGUMENTS = ("--no-sandbox", "--disable-background-networking", "--disable-component-update", "--disable-sync")
DESKTOP, PHONE = (1400, 900), (390, 844)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=list(ARGUMENTS))
        yield started
        started.close()


class Tab:
    """A page that remembers what it asked for, what it said, and what opened on it."""

    def __init__(self, browser: Browser, size: tuple[int, int]) -> None:
        self.page: Page = browser.new_page(viewport={"width": size[0], "height": size[1]})
        self.requests: list[str] = []
        self.said: list[str] = []
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.page.on("requestfailed", self._failed)
        self.page.on("console", lambda message: self.said.append(f"{message.type}: {message.text}"))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.on("dialog", self._dialog)

    def _failed(self, request: Request) -> None:
        if request.failure != "net::ERR_ABORTED":  # the test has gone on to the next page
            self.said.append(f"failed: {request.url}: {request.failure}")

    def _dialog(self, dialog: Dialog) -> None:
        self.said.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    def outside(self, folder: Path) -> list[str]:
        home = f"{folder.as_uri()}/"
        return [url for url in self.requests if not url.startswith((home, "data:", "about:", "blob:"))]


@pytest.fixture
def tab(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Tab]:
    opened = Tab(browser, getattr(request, "param", DESKTOP))
    yield opened
    opened.page.close()


BROKEN = """async () => {
  for (const image of document.images) image.loading = 'eager';  // those of steps not shown yet are waiting
  await Promise.all([...document.images].map(i => i.decode().catch(() => undefined)));
  return [...document.images].filter(i => !i.complete || i.naturalWidth === 0).map(i => i.src);
}"""
OVERFLOW = """() => {
  const width = document.documentElement.clientWidth;
  const hidden = e => { for (let p = e; p; p = p.parentElement) {
    const s = getComputedStyle(p); if (['auto', 'scroll', 'hidden', 'clip'].includes(s.overflowX) && p !== document.body
      && p !== document.documentElement) return true; } return false; };
  return [document.documentElement.scrollWidth - width,
    [...document.querySelectorAll('main *')].filter(e => e.offsetParent && e.getBoundingClientRect().right > width + 0.5
      && !hidden(e)).map(e => e.outerHTML.slice(0, 120))];
}"""


@pytest.mark.parametrize("tab", [DESKTOP, PHONE], ids=["desktop", "phone"], indirect=True)
@pytest.mark.parametrize("name", ["marram", "skarn"])
def test_each_page_is_quiet_fits_and_asks_for_nothing_outside(
    published: Callable[[str], Published], tab: Tab, name: str
) -> None:
    folder = published(name).folder
    pages = sorted(folder.glob("*.html"))
    assert len(pages) >= 10
    for path in pages:
        tab.page.goto(path.as_uri())
        tab.page.wait_for_load_state("load")
        too_wide, cut = tab.page.evaluate(OVERFLOW)
        assert too_wide <= 0, (path.name, too_wide)
        assert cut == [], path.name
        assert tab.page.locator("h1").count() == 1, path.name
        assert tab.page.evaluate(BROKEN) == [], path.name
    assert tab.said == []
    assert tab.outside(folder) == []
    assert len(tab.requests) > 4 * len(pages)


def test_every_link_of_the_site_leads_to_a_page_that_is_there(published: Callable[[str], Published], tab: Tab) -> None:
    folder = published("marram").folder
    home = f"{folder.as_uri()}/"
    links: set[str] = set()
    for path in sorted(folder.glob("*.html")):
        tab.page.goto(path.as_uri())
        links |= set(tab.page.evaluate("[...document.querySelectorAll('a[href]')].map(a => a.href)"))
    assert len(links) > 100
    for link in links:
        assert link.startswith(home), link
        assert (folder / link.removeprefix(home).partition("#")[0]).is_file(), link


def test_the_search_finds_the_windlass_and_leads_to_it(published: Callable[[str], Published], tab: Tab) -> None:
    folder = published("marram").folder
    page = tab.page
    page.goto((folder / "index.html").as_uri())
    box = page.locator(".md-search__input")
    box.click()
    box.press_sequentially("windlass", delay=20)
    results = page.locator(".md-search-result__item")
    results.first.wait_for(state="visible", timeout=20_000)
    assert "windlass" in results.first.inner_text().lower()
    assert results.count() >= 3
    results.first.locator("a").first.click()
    page.wait_for_load_state("load")
    assert "windlass" in page.locator("article").inner_text().lower()
    assert tab.said == []
    assert tab.outside(folder) == []


def test_a_word_that_is_nowhere_is_not_found(published: Callable[[str], Published], tab: Tab) -> None:
    tab.page.goto((published("marram").folder / "index.html").as_uri())
    tab.page.locator(".md-search__input").click()
    tab.page.locator(".md-search__input").press_sequentially("xylophone", delay=20)
    tab.page.get_by_text("No matching documents").wait_for(state="visible", timeout=20_000)


def test_hostile_texts_run_nothing(published: Callable[[str], Published], browser: Browser) -> None:
    out = published("hostile").folder
    for size in (DESKTOP, PHONE):
        tab = Tab(browser, size)
        for path in sorted(out.glob("*.html")):
            tab.page.goto(path.as_uri())
            tab.page.wait_for_load_state("load")
            assert "alert(1)" in tab.page.locator("body").inner_text()
            too_wide, _cut = tab.page.evaluate(OVERFLOW)
            assert too_wide <= 0, (path.name, size, too_wide)
        for path in sorted((out / "drawings").glob("*.svg")):
            tab.page.goto(path.as_uri())
        assert tab.said == []
        assert tab.outside(out) == []
        tab.page.close()
