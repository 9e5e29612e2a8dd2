"""The site as a browser sees it, opened from a folder. Chromium must be on the path."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, Request, sync_playwright

from proposal.book.book import make_book
from proposal.book.sheets import draw_all
from proposal.publish.site import render_site
from proposal.results.evaluate import evaluate
from proposal.spec.loading import load_project
from tests.sample_behaviour import with_behaviour

pytestmark = [pytest.mark.browser, pytest.mark.slow]

PROJECTS = Path(__file__).parents[2] / "projects"
ARGUMENTS = [
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-sync",
    "--no-first-run",
    "--no-pings",
]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    executable = shutil.which("chromium")
    assert executable is not None, "Chromium is missing: apt-get install chromium"
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=executable, args=ARGUMENTS)
        yield started
        started.close()


class Watched:
    """A tab that remembers every request and every message on its console."""

    def __init__(self, browser: Browser, width: int, height: int) -> None:
        self.page: Page = browser.new_page(viewport={"width": width, "height": height})
        self.requests: list[str] = []
        self.said: list[str] = []
        self.page.on("request", self._request)
        self.page.on("console", self._console)
        self.page.on("pageerror", lambda error: self.said.append(str(error)))

    def _request(self, request: Request) -> None:
        self.requests.append(request.url)

    def _console(self, message: ConsoleMessage) -> None:
        self.said.append(f"{message.type}: {message.text}")

    def outside(self, folder: Path) -> list[str]:
        return [url for url in self.requests if not url.startswith((folder.as_uri() + "/", "data:", "about:"))]


@pytest.fixture(params=[(1400, 900), (390, 800), (360, 740)], ids=["wide", "phone", "small-phone"])
def watched(request: pytest.FixtureRequest, browser: Browser) -> Iterator[Watched]:
    tab = Watched(browser, *request.param)
    yield tab
    tab.page.close()


@pytest.mark.parametrize("kind", ["site_folder", "hostile_folder"])
def test_each_page_loads_quietly_and_fits(watched: Watched, kind: str, request: pytest.FixtureRequest) -> None:
    folder: Path = request.getfixturevalue(kind)
    names = sorted(path.name for path in folder.glob("*.html"))
    assert len(names) > 5
    for name in names:
        watched.page.goto((folder / name).as_uri())
        watched.page.wait_for_load_state("load")
        sizes = watched.page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
        assert sizes[0] <= sizes[1], (name, sizes)
        assert watched.page.evaluate("window.hit") is None
    assert watched.said == []
    assert watched.outside(folder) == []
    assert len(watched.requests) > 5 * len(names)


def test_nothing_is_hidden_by_the_header_or_cut_at_the_edge(watched: Watched, site_folder: Path) -> None:
    script = """() => [...document.querySelectorAll('article p, article li, article h1, article h2, article dd')]
        .filter(e => e.offsetParent && !e.closest('.table__frame, .sheet__frame'))
        .filter(e => { const r = e.getBoundingClientRect();
                       return r.left < -0.5 || r.right > document.documentElement.clientWidth + 0.5; })
        .map(e => e.textContent.trim().slice(0, 60))"""
    for path in sorted(site_folder.glob("*.html")):
        watched.page.goto(path.as_uri())
        assert watched.page.evaluate(script) == [], path.name
        top = watched.page.evaluate("document.querySelector('h1').getBoundingClientRect().top")
        assert top >= watched.page.evaluate("document.querySelector('header').getBoundingClientRect().bottom")


def test_no_text_is_tiny(watched: Watched, site_folder: Path) -> None:
    script = """() => [...document.querySelectorAll('body *')]
        .filter(e => e.offsetParent && [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()))
        .filter(e => !e.closest('.unseen, .md-search'))
        .map(e => [parseFloat(getComputedStyle(e).fontSize), e.className, e.textContent.trim().slice(0, 40)])
        .filter(([size]) => size < 12)"""
    for path in sorted(site_folder.glob("*.html")):
        watched.page.goto(path.as_uri())
        assert watched.page.evaluate(script) == [], path.name


def test_the_search_finds_a_word_without_a_server(watched: Watched, site_folder: Path) -> None:
    page = watched.page
    page.goto((site_folder / "index.html").as_uri())
    if page.evaluate("innerWidth") < 960:
        page.locator(".top__search").click()
    page.locator(".md-search__input").click()
    page.locator(".md-search__input").press_sequentially("windlass", delay=20)
    result = page.locator(".md-search-result__item a[href*='cables.html#conductors']").first
    result.wait_for(state="visible", timeout=10_000)
    result.click()
    page.wait_for_url("**/cables.html*")
    assert watched.said == []
    assert watched.outside(site_folder) == []


def test_the_search_shows_hostile_titles_as_typed(browser: Browser, hostile_folder: Path) -> None:
    tab = Watched(browser, 1400, 900)
    tab.page.goto((hostile_folder / "index.html").as_uri())
    tab.page.locator(".md-search__input").click()
    tab.page.locator(".md-search__input").press_sequentially("heading onclick", delay=20)
    tab.page.locator(".md-search-result__item").first.wait_for(state="visible", timeout=10_000)
    tab.page.wait_for_timeout(300)
    assert "# heading {: #id onclick=x }" in tab.page.locator(".md-search-result__list").inner_text()
    assert tab.page.evaluate("window.hit") is None
    assert tab.said == []
    tab.page.close()


def test_a_policy_violation_would_be_seen(browser: Browser, site_folder: Path, tmp_path: Path) -> None:
    # Without this the tests above could pass because nothing is ever reported.
    for path in site_folder.rglob("*"):
        if path.is_file():
            copy = tmp_path / path.relative_to(site_folder)
            copy.parent.mkdir(parents=True, exist_ok=True)
            copy.write_bytes(path.read_bytes())
    bad = (tmp_path / "index.html").read_text().replace("</article>", '<img src="http://127.0.0.1:9/x.png"></article>')
    (tmp_path / "index.html").write_text(bad)
    tab = Watched(browser, 1400, 900)
    tab.page.goto((tmp_path / "index.html").as_uri())
    assert any("Content Security Policy" in text for text in tab.said)
    tab.page.close()


def test_a_drawing_zooms_by_button_key_and_wheel_and_moves_by_dragging(browser: Browser, site_folder: Path) -> None:
    tab = Watched(browser, 1400, 900)
    page = tab.page
    page.goto((site_folder / "option-a.html").as_uri())
    frame, image = page.locator(".sheet__frame"), page.locator(".sheet__image")

    def width() -> float:
        return float(image.evaluate("e => e.getBoundingClientRect().width"))

    fitted = width()
    assert page.get_by_role("button", name="Zoom out").is_disabled()
    page.get_by_role("button", name="Zoom in").click()
    assert width() == pytest.approx(fitted * 1.4, rel=0.02)
    frame.focus()
    page.keyboard.press("+")
    assert width() == pytest.approx(fitted * 1.96, rel=0.02)
    before = frame.evaluate("e => [e.scrollLeft, e.scrollTop]")
    frame.scroll_into_view_if_needed()
    box = frame.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 300, box["y"] + 200)
    page.mouse.down()
    page.mouse.move(box["x"] + 250, box["y"] + 180, steps=4)
    page.mouse.up()
    after = frame.evaluate("e => [e.scrollLeft, e.scrollTop]")
    assert after[0] == pytest.approx(before[0] + 50, abs=2)
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(300)
    assert frame.evaluate("e => e.scrollLeft") > after[0]
    page.keyboard.down("Control")
    page.mouse.wheel(0, -200)
    page.keyboard.up("Control")
    page.wait_for_timeout(100)
    assert width() > fitted * 2.2
    page.keyboard.press("0")
    assert width() == pytest.approx(fitted, rel=0.01)
    link = page.get_by_role("link", name="Open the drawing on its own")
    assert link.get_attribute("href") == "drawings/single-line-a.svg"
    assert tab.said == []
    page.close()


def test_a_wide_table_slides_under_its_first_column_on_a_phone(browser: Browser, site_folder: Path) -> None:
    tab = Watched(browser, 360, 740)
    tab.page.goto((site_folder / "cables.html").as_uri())
    frame = tab.page.locator(".table__frame").first
    assert frame.get_attribute("tabindex") == "0"
    first = frame.locator("tbody tr:nth-child(2) th")
    before = first.bounding_box()
    frame.evaluate("e => { e.scrollLeft = 200; }")
    after = first.bounding_box()
    assert before is not None
    assert after is not None
    assert after["x"] == pytest.approx(before["x"], abs=1)
    assert frame.evaluate("e => e.scrollLeft") > 100
    tab.page.close()


def test_rows_of_sentences_become_cards_on_a_phone_with_their_column_titles(
    browser: Browser, site_folder: Path
) -> None:
    tab = Watched(browser, 360, 740)
    tab.page.goto((site_folder / "findings.html").as_uri())
    cell = tab.page.locator(".table--stack tbody td").nth(1)
    assert cell.evaluate("e => getComputedStyle(e, '::before').content") == '"What was found"'
    frame = tab.page.locator(".table--stack .table__frame")
    assert frame.evaluate("e => e.scrollWidth - e.clientWidth") <= 0
    tab.page.close()


def test_the_text_is_set_in_the_font_that_the_site_brings(browser: Browser, site_folder: Path) -> None:
    tab = Watched(browser, 1400, 900)
    tab.page.goto((site_folder / "index.html").as_uri())
    tab.page.evaluate("document.fonts.ready")
    assert tab.page.evaluate("[...document.fonts].filter(f => f.status === 'loaded').length") == 2
    assert any(url.endswith("text-regular.ttf") for url in tab.requests)
    tab.page.close()


def test_the_pages_menu_opens_on_a_phone_and_leads_on(browser: Browser, site_folder: Path) -> None:
    tab = Watched(browser, 390, 800)
    tab.page.goto((site_folder / "index.html").as_uri())
    tab.page.locator(".top__menu").click()
    link = tab.page.locator(".md-nav--primary a.md-nav__link", has_text="Cables and protection")
    link.wait_for(state="visible")
    tab.page.wait_for_timeout(400)
    link.click()
    tab.page.wait_for_url("**/cables.html")
    assert tab.said == []
    tab.page.close()


def test_menu_and_search_open_by_key_and_have_names(browser: Browser, site_folder: Path) -> None:
    tab = Watched(browser, 390, 800)
    tab.page.goto((site_folder / "index.html").as_uri())
    tab.page.get_by_role("button", name="Pages").press("Enter")
    assert tab.page.locator("#__drawer").is_checked()
    tab.page.get_by_role("button", name="Pages").press(" ")
    assert not tab.page.locator("#__drawer").is_checked()
    tab.page.get_by_role("button", name="Search", exact=True).press(" ")
    assert tab.page.locator("#__search").is_checked()
    assert tab.page.get_by_role("dialog", name="Search").count() == 1
    tab.page.close()


def test_without_scripts_everything_is_still_readable(browser: Browser, site_folder: Path) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 390, "height": 800})
    page = context.new_page()
    page.goto((site_folder / "option-a.html").as_uri())
    assert page.locator(".sheet__bar").is_hidden()
    assert page.locator(".sheet__image").is_visible()
    assert page.get_by_role("link", name="Open the drawing on its own").is_visible()
    context.close()


@pytest.fixture(params=[1280, 390], ids=["desktop", "phone"])
def days(request: pytest.FixtureRequest, browser: Browser, site_folder: Path) -> Iterator[Watched]:
    tab = Watched(browser, request.param, 900)
    tab.page.goto((site_folder / "days.html").as_uri())
    tab.requests.clear()
    yield tab
    assert tab.said == []
    assert tab.requests == []  # nothing is asked for by moving about
    tab.page.close()


def test_a_slider_answers_at_once_from_what_the_page_carries(days: Watched) -> None:
    page = days.page
    days_left, start = page.locator("[data-answer]").nth(0), page.locator("[data-answer]").nth(1)
    use, sun = page.get_by_label("Daily use"), page.get_by_label("Sun")
    assert days_left.locator("dd").inner_text() == "5.5"
    use.focus()
    page.keyboard.press("ArrowLeft")
    sun.focus()
    page.keyboard.press("ArrowLeft")
    assert days_left.locator("dd").inner_text() == "1.5"
    assert days_left.locator("[data-ref]").get_attribute("data-ref") == "grid.x[0]"
    assert "Danger: No" in " ".join(start.locator("dd").text_content().split())  # type: ignore[union-attr]
    assert "tone--danger" in (start.get_attribute("class") or "")
    assert use.get_attribute("aria-valuetext") == "60 %"
    assert page.locator("output").first.inner_text() == "60 %"
    page.get_by_role("button", name="As proposed").click()
    assert days_left.locator("dd").inner_text() == "5.5"
    assert page.locator("[data-table] table").is_hidden()
    page.get_by_text("The same as a table").click()
    assert page.locator("[data-table] table").is_visible()


def test_a_storyboard_is_clicked_through_and_ends_where_it_ends(days: Watched) -> None:
    page = days.page
    board = page.get_by_role("region", name="Option A, step by step")
    back, on = board.get_by_role("button", name="Previous"), board.get_by_role("button", name="Next")
    steps, place = board.locator(".steps__step"), board.get_by_role("status")
    assert [step.is_visible() for step in steps.all()] == [True, False, False]
    assert back.get_attribute("aria-disabled") == "true"
    on.click()
    assert place.inner_text() == "Step 2 of 3: 09:00, morning"
    page.keyboard.press("ArrowRight")
    assert [step.is_visible() for step in steps.all()] == [False, False, True]
    assert on.get_attribute("aria-disabled") == "true"
    page.keyboard.press("ArrowRight")
    assert place.inner_text() == "Step 3 of 3: 12:00, noon"
    back.click()
    assert place.inner_text() == "Step 2 of 3: 09:00, morning"
    image = steps.nth(1).locator("img")
    assert image.evaluate("e => e.getBoundingClientRect().width") > 200


def test_what_is_long_is_folded_on_a_phone_only(days: Watched) -> None:
    page = days.page
    narrow = page.evaluate("innerWidth") < 720
    assert page.locator("details[data-fold]").first.evaluate("e => e.open") is not narrow
    page.locator("summary", has_text="Option A, trade winds").click()
    assert page.get_by_text("The sun lifts the bus; lithium joins.").is_visible() is narrow


def test_a_storyboard_and_sliders_need_no_script(browser: Browser, site_folder: Path) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 390, "height": 800})
    page = context.new_page()
    page.goto((site_folder / "days.html").as_uri())
    assert page.locator(".steps__step").count() == 4
    assert all(step.is_visible() for step in page.locator(".steps__step").all())
    assert page.locator(".sliders__axes").is_hidden()
    assert page.locator("[data-table] table").is_visible()
    context.close()


@pytest.fixture(scope="module")
def marram_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Marram's own pages about its days, made up: many options' worth of words, drawings and grid points."""
    made = evaluate(load_project(PROJECTS / "marram"), {}, "a test")
    results = with_behaviour(made.results)
    drawings = draw_all(results, made.circuits, made.designations)
    folder = tmp_path_factory.mktemp("marram")
    for name, data in render_site(make_book(results, tuple(drawings)), drawings, {}).items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return folder


@pytest.mark.parametrize("width", [1280, 390])
def test_the_page_of_a_boats_days_answers_offline(browser: Browser, marram_folder: Path, width: int) -> None:
    tab = Watched(browser, width, 900)
    page = tab.page
    page.goto((marram_folder / "behaviour.html").as_uri())
    assert page.locator("article .box").first.locator(".box__title").inner_text().endswith("Take option B")
    starts = page.locator("[data-answer]", has_text="Starts after being left alone").first
    assert "No" in starts.locator("dd").inner_text()
    page.get_by_label("House batteries").focus()
    page.keyboard.press("End")
    page.get_by_label("Daily use").focus()
    page.keyboard.press("Home")
    assert "Perhaps" in starts.locator("dd").inner_text()
    boards = page.locator(".steps")
    assert boards.count() == 4
    boards.first.get_by_role("button", name="Next").click()
    assert "Step 2 of 6" in boards.first.get_by_role("status").inner_text()
    image = boards.first.locator(".steps__step:visible img")
    image.scroll_into_view_if_needed()
    assert image.evaluate("e => e.decode().then(() => e.naturalWidth)") > 0
    assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0
    assert tab.said == []
    assert tab.outside(marram_folder) == []
    page.close()


SHOWN = """() => [...document.querySelectorAll('.photo img')].map(e => {
    const r = e.getBoundingClientRect();
    return [Math.round(r.left), Math.round(r.top), r.width, r.height, e.naturalWidth, e.naturalHeight];
})"""


@pytest.mark.parametrize(("width", "columns"), [(1280, 3), (390, 1)])
def test_photos_stand_beside_each_other_where_there_is_room(
    browser: Browser, site_folder: Path, width: int, columns: int
) -> None:
    tab = Watched(browser, width, 900)
    page = tab.page
    page.goto((site_folder / "photos.html").as_uri())
    for photo in page.locator(".photo img").all():
        photo.scroll_into_view_if_needed()
        assert photo.evaluate("e => e.decode().then(() => e.naturalWidth)") > 0
    shown = page.evaluate(SHOWN)
    assert len({top for _, top, *_ in shown}) == len(shown) // columns
    if columns == 1:  # each in its own shape, and none blown up
        for _, _, wide, high, own_wide, own_high in shown:
            assert wide / high == pytest.approx(own_wide / own_high, rel=0.01)
            assert wide <= own_wide
    else:
        assert page.locator(".photo img").first.evaluate("e => getComputedStyle(e).objectFit") == "contain"
    page.get_by_role("link", name="the fuse box").click()
    top = page.locator("[id='photo.2']").bounding_box()
    header = page.locator("header").bounding_box()
    assert top is not None
    assert header is not None
    assert header["height"] <= top["y"] < 700
    page.locator(".photo a").first.click()
    page.wait_for_url("**/photos/photo-wide.jpg")
    assert tab.said == []
    assert tab.outside(site_folder) == []
    page.close()


# WCAG 2.1, relative luminance and contrast
CONTRAST = """e => {
    const parts = colour => colour.match(/[\\d.]+/g).slice(0, 3).map(Number);
    const light = colour => parts(colour).map(c => c / 255)
        .map(c => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4)
        .reduce((sum, c, n) => sum + c * [0.2126, 0.7152, 0.0722][n], 0);
    const [low, high] = [getComputedStyle(e).color, getComputedStyle(e).backgroundColor]
        .map(light).sort((a, b) => a - b);
    return (high + 0.05) / (low + 0.05);
}"""


@pytest.mark.parametrize("width", [1280, 390])
def test_a_warning_cannot_be_overlooked(browser: Browser, site_folder: Path, width: int) -> None:
    tab = Watched(browser, width, 900)
    page = tab.page
    page.goto((site_folder / "index.html").as_uri())
    large = page.locator(".beware")
    assert large.is_visible()
    assert "Do not energise: one danger stands against it" in large.inner_text()
    assert large.evaluate("e => parseFloat(getComputedStyle(e).fontSize)") > 24
    assert large.evaluate(CONTRAST) >= 4.5
    box = large.bounding_box()
    assert box is not None
    assert box["y"] + box["height"] < 420
    page.goto((site_folder / "cables.html").as_uri())
    page.mouse.wheel(0, 1500)
    page.wait_for_timeout(200)
    small = page.locator(".top__warning")
    assert small.is_visible()
    there = small.bounding_box()
    assert there is not None
    assert 0 <= there["y"] < 120  # it stays while one reads on
    assert small.evaluate(CONTRAST) >= 4.5
    assert tab.said == []
    assert tab.outside(site_folder) == []
    page.close()
