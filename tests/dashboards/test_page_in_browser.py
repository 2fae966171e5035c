"""The page as a browser runs it: no request, no complaint, figures drawn, filter, keyboard, print, accessibility."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from dashboards.chapters import CHAPTERS
from dashboards.review import render
from tests.dashboards import shop
from tests.dashboards.test_hostile_cells import hostile_text
from tests.dashboards.visits import PATIENCE, Visit, chromium, faults

pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium() as started:
        yield started


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    pages = {"plain": render(shop.review()), "hostile": hostile_text()}
    for name, text in pages.items():
        (folder / f"{name}.html").write_text(text, encoding="utf-8")
    return {name: folder / f"{name}.html" for name in pages}


@pytest.fixture(scope="module")
def opened(browser: Any, files: dict[str, Path]) -> dict[str, Visit]:
    return {name: Visit(browser, file) for name, file in files.items()}


@pytest.fixture
def visit(opened: dict[str, Visit]) -> Iterator[Visit]:
    yield opened["plain"]
    opened["plain"].reset()


@pytest.mark.parametrize("name", ["plain", "hostile"])
def test_page_opens_from_its_file_without_request_or_complaint(
    opened: dict[str, Visit], files: dict[str, Path], name: str
) -> None:
    assert opened[name].requests == [files[name].as_uri()]
    assert opened[name].complaints == []
    assert opened[name].page.locator(".picture:visible").count() >= 7


def test_figures_draw_one_mark_per_row(visit: Visit) -> None:
    for part in ("item-type-costs", "item-type-margins"):
        rows, marks = visit.counts(part)
        assert rows == marks > 0, part


def test_a_figure_of_shares_draws_none_of_few_parcels(visit: Visit) -> None:
    for part in ("surcharge-frequency", "damage-methods", "damage-items"):
        rows, marks = visit.counts(part)
        shown = visit.page.locator(f"#{part}-table tr[data-row]:not([hidden])")
        of_many = shown.filter(has=visit.page.locator("td", has_text="%")).count()
        assert rows >= marks == of_many > 0, part


MONEY, DAMAGE = "#chapter-money", "#chapter-damage"


def choose(visit: Visit, chapter: str, column: str, label: str) -> None:
    visit.page.select_option(f"{chapter} select[data-filter={column}]", label=label)


def test_a_filter_changes_the_tables_and_pictures_of_its_chapter_and_no_other(visit: Visit) -> None:
    before = visit.counts("damage-items")
    choose(visit, MONEY, "item_type", "tripod")
    assert visit.counts("item-type-margins") == (1, 1)
    assert visit.counts("damage-items") == before
    assert visit.page.locator("#item-type-margins-table tr[data-row]:not([hidden]) th").inner_text() == "tripod"
    assert "Item type tripod" in visit.page.locator(f"{MONEY} .filter-state").inner_text()
    assert visit.page.locator("#margin-band .whole").is_visible()
    choose(visit, DAMAGE, "item_type", "tripod")
    assert visit.counts("damage-items") == (3, 3)


def test_a_choice_stays_in_the_address(visit: Visit, browser: Any) -> None:
    choose(visit, MONEY, "item_type", "optical tube")
    assert visit.page.url.endswith("#money.item_type=optical%20tube")
    again = browser.new_page()
    again.set_default_timeout(PATIENCE)
    again.goto(visit.page.url)
    assert again.locator("#item-type-margins-table tr[data-row]:not([hidden])").count() == 1
    assert "optical tube" in again.locator(f"{MONEY} .filter-state").inner_text()
    again.close()


def test_a_filter_that_leaves_nothing_says_so(visit: Visit) -> None:
    choose(visit, MONEY, "item_type", "account fees")
    costs = "#item-types details.section"
    visit.page.evaluate(f"document.querySelector('{costs}').open = true")
    assert visit.page.locator("#item-type-costs .nothing").is_visible()
    assert not visit.page.locator("#item-type-costs .drawing").is_visible()
    choose(visit, MONEY, "item_type", "mount")
    assert visit.page.locator("#item-type-costs .drawing").is_visible()


def test_a_link_opens_what_it_leads_to(visit: Visit) -> None:
    assert not visit.page.locator("#next-actions").is_visible()
    visit.page.click(".do a[href='#actions']")
    visit.page.locator("#next-actions").wait_for(state="visible")


def test_everything_can_be_reached_by_keyboard(visit: Visit) -> None:
    visit.page.keyboard.press("Tab")
    assert visit.page.evaluate("document.activeElement.className") == "skip"
    reached = set()
    for _ in range(90):
        visit.page.keyboard.press("Tab")
        reached.add(visit.page.evaluate("document.activeElement.tagName"))
        assert visit.page.evaluate("getComputedStyle(document.activeElement).outlineStyle") != "none"
        if visit.page.evaluate("!!document.activeElement.closest('footer')"):
            break
    assert {"A", "SELECT", "BUTTON", "SUMMARY"} <= reached
    assert visit.page.evaluate("!!document.activeElement.closest('footer')")


def test_only_what_scrolls_is_a_tab_stop(visit: Visit) -> None:
    for is_open in (False, True):
        visit.page.evaluate("is => document.querySelectorAll('details').forEach(each => { each.open = is })", is_open)
        for width in (390, 1280):
            visit.page.set_viewport_size({"width": width, "height": 800})
            visit.page.wait_for_function(
                "[...document.querySelectorAll('.scroll')].filter(each => each.checkVisibility()).every(each => "
                "each.hasAttribute('tabindex') === each.scrollWidth > each.clientWidth + 1)"
            )


def place(visit: Visit, selector: str) -> tuple[float, float]:
    """Where it begins and ends on the page, in pixels from the top."""
    box = visit.page.locator(selector).first.bounding_box()
    assert box is not None
    return box["y"], box["y"] + box["height"]


def test_the_first_screen_holds_the_month_its_causes_actions_and_chapters(visit: Visit) -> None:
    """1280 x 900: the first picture begins above 600, the list of chapters on the screen; 390: within four screens."""
    for selector, until in ((".months", 600), (".picture.desk", 600), (".why, .do", 900), (".front nav", 900)):
        assert place(visit, selector)[0] < until, selector
    assert visit.page.evaluate("document.documentElement.scrollHeight") <= 12 * 900
    visit.page.set_viewport_size({"width": 390, "height": 844})
    assert place(visit, ".months")[0] < 844
    assert place(visit, ".why li")[1] < 844
    assert place(visit, ".do")[1] < 4 * 844


@pytest.mark.parametrize("width", [360, 390, 768, 1280])
def test_page_fits_the_screen(visit: Visit, width: int) -> None:
    visit.page.set_viewport_size({"width": width, "height": 800})
    assert visit.page.evaluate("document.documentElement.scrollWidth") <= width


def test_the_first_table_fits_a_phone_with_a_currency_of_three_letters(visit: Visit) -> None:
    visit.page.set_viewport_size({"width": 390, "height": 844})
    visit.page.evaluate(
        "document.querySelectorAll('.months td').forEach(each => { each.textContent = '-AUD 3,033.79' })"
    )
    right = visit.page.evaluate(
        "Math.max(...[...document.querySelectorAll('.months td')].map(each => each.getBoundingClientRect().right))"
    )
    visit.page.reload()
    assert right <= 390


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_page_prints(visit: Visit, paper: str) -> None:
    printed = visit.page.pdf(format=paper)
    assert printed.startswith(b"%PDF")
    assert 2 <= printed.count(b"/Type /Page\n") <= 12
    visit.page.emulate_media(media="print")
    assert not visit.page.locator("nav").is_visible()
    assert visit.page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"


def test_what_is_folded_is_not_printed(visit: Visit) -> None:
    visit.page.emulate_media(media="print")
    assert visit.page.locator("summary:visible").count() == 0
    assert visit.page.locator("h2:visible").count() > len(CHAPTERS)


@pytest.mark.parametrize(
    ("width", "media", "scheme", "rules"),
    [
        # Colours are the same at every width, and to hold each against what lies behind it takes most of the time.
        (1280, "screen", "light", ("wcag2a", "wcag21a", "best-practice")),
        (390, "screen", "light", ()),
        (390, "screen", "dark", ("color-contrast",)),
        (1280, "print", "light", ("color-contrast",)),
    ],
)
def test_page_passes_the_automatic_accessibility_rules(
    visit: Visit, width: int, media: str, scheme: str, rules: tuple[str, ...]
) -> None:
    visit.page.set_viewport_size({"width": width, "height": 844})
    visit.page.emulate_media(media=media, color_scheme=scheme)
    visit.page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true })")
    if not rules or "color-contrast" in rules:
        visit.hide_rows_alike()
    assert faults(visit, *rules) == []


def test_the_accessibility_rules_see_a_fault(visit: Visit) -> None:
    label = visit.page.evaluate_handle("document.querySelector('label')")
    label.evaluate("label => label.replaceWith(...label.childNodes)")
    found = [fault for fault, _ in faults(visit, "select-name")]
    label.evaluate("label => { const s = document.querySelector('select'); s.before(label); label.append(s) }")
    assert found == ["select-name"]


def test_a_filter_shows_rows_beyond_the_first_ones(visit: Visit) -> None:
    last = visit.page.locator("#item-type-margins-table tr.more th").last
    assert not last.is_visible()
    choose(visit, MONEY, "item_type", last.text_content().strip())
    assert last.is_visible()


def test_tables_and_pictures_are_there_without_scripts(browser: Any, files: dict[str, Path]) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.set_default_timeout(PATIENCE)
    page.goto(files["plain"].as_uri())
    assert page.locator("#item-type-margins-table tbody tr:visible").count() == 5
    assert page.locator(".picture:visible").count() >= 7
    assert page.locator("form:visible").count() == 0
    page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true })")
    drawings = page.locator(".drawing").count()
    assert page.locator(".picture:visible").count() == drawings >= 15
    context.close()
