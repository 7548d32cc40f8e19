"""The pages in a real browser: quiet, accessible, on a phone, by keyboard, on paper.

Accessibility is judged by axe-core against the rules of WCAG 2.2, levels A and AA.
"""

import dataclasses
import re
import unicodedata
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from waterkit.ice.layers import LayerStep
from waterkit.pages import write_pages
from waterkit.pages.html import PAGES
from waterkit.plan import SeasonPlan, plan_season

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

NAMES = tuple(PAGES)
AA = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
CONTRAST = "color-contrast"
PAPER = "getComputedStyle(document.body).backgroundColor"
NASTY = "<b>&\"'</b><script>document.title = 'taken over'</script>"
LONG = "Donaudampfschifffahrtsgesellschaft" * 6
PHONE, HALF_A_LAPTOP, LAPTOP = 360, 640, 1280  # a laptop's 1280 px at 200 % zoom are 640
MM = 96 / 25.4
PAPERS = {"A4": 210.0 - 24.0, "Letter": 215.9 - 24.0}  # width between margins of 12 mm [mm]


def _named(plan: SeasonPlan, name: str) -> SeasonPlan:
    """The plan of a club whose every name is bad news for a page."""
    club = plan.club
    first, *items = club.items
    step, *layers = club.layers
    sample, *samples = club.samples
    meters = tuple(dataclasses.replace(meter, name=name) for meter in club.meters)
    offers = tuple(
        dataclasses.replace(o, item=name if o.item == first.item else o.item, supplier=name)
        for o in club.offers
    )
    named = dataclasses.replace(
        club,
        name=name,
        items=(dataclasses.replace(first, item=name), *items),
        layers=(dataclasses.replace(step, step=name), *(_after(row, step, name) for row in layers)),
        samples=(dataclasses.replace(sample, sample=name), *samples),
        people=dataclasses.replace(club.people, release=name),
        white=dataclasses.replace(club.white, powder=name),
        figures=tuple(dataclasses.replace(figure, note=name) for figure in club.figures),
        meters=meters,
        offers=offers,
    )
    return plan_season(named, plan.as_of)


def _after(row: LayerStep, step: LayerStep, name: str) -> LayerStep:
    needs = tuple(name if need == step.step else need for need in row.needs)
    return dataclasses.replace(row, needs=needs)


def _many(plan: SeasonPlan, count: int) -> SeasonPlan:
    """The plan of a club with so many items."""
    items = tuple(
        dataclasses.replace(plan.club.items[n % len(plan.club.items)], item=f"item {n}")
        for n in range(count)
    )
    offers = tuple(
        dataclasses.replace(plan.club.offers[0], item=item.item, unit=item.unit) for item in items
    )
    return plan_season(dataclasses.replace(plan.club, items=items, offers=offers), plan.as_of)


CLUBS: dict[str, Callable[[SeasonPlan], SeasonPlan]] = {
    "demo": lambda plan: plan,
    "nasty": lambda plan: _named(plan, NASTY),
    "long": lambda plan: _named(plan, LONG),
    "none": lambda plan: _many(plan, 0),
    "many": lambda plan: _many(plan, 300),
}
SLOW = [pytest.param(club, marks=pytest.mark.slow) for club in ("long", "none", "many")]
SOME_SLOW = ["demo", "nasty", *SLOW]

Folders = Callable[[str], Path]


@pytest.fixture(scope="session")
def folders(plan: SeasonPlan, tmp_path_factory: pytest.TempPathFactory) -> Folders:
    """Where the pages of a club are, written when they are first asked for."""

    @cache
    def written(club: str) -> Path:
        folder = tmp_path_factory.mktemp(club)
        write_pages(CLUBS[club](plan), folder, workings=club == "long")
        return folder

    return written


class Visit:
    """A page opened from its file, with all that it asked for and said."""

    def __init__(self, browser: "Browser", path: Path) -> None:
        self.requests: list[str] = []
        self.said: list[str] = []
        self.address = path.as_uri()
        self.page: Page = browser.new_page(viewport={"width": LAPTOP, "height": 800})
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.goto(self.address)

    def __enter__(self) -> "Visit":
        return self

    def __exit__(self, *_: object) -> None:
        self.page.close()


@pytest.mark.parametrize("name", NAMES)
def test_a_page_is_quiet_alone_and_accessible_in_light_and_dark(
    name: str, folders: Folders, browser: "Browser"
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    with Visit(browser, folders("demo") / name) as visit:
        visit.page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        results = Axe().run(visit.page, options={"runOnly": AA, "resultTypes": ["violations"]})
        assert results.violations_count == 0, results.generate_report()
        assert len(results.response["passes"]) > 10  # it did look
        paper = visit.page.evaluate(PAPER)
        visit.page.emulate_media(color_scheme="dark")  # which changes nothing but the colours
        assert visit.page.evaluate(PAPER) != paper
        dark = Axe().run(visit.page, options={"runOnly": {"type": "rule", "values": [CONTRAST]}})
        assert dark.violations_count == 0, dark.generate_report()
        assert [rule["id"] for rule in dark.response["passes"]] == [CONTRAST]
        assert visit.requests == [visit.address]
        assert visit.said == []


def test_axe_would_find_what_is_wrong(browser: "Browser", tmp_path: Path) -> None:
    from axe_playwright_python.sync_playwright import Axe

    bad = tmp_path / "bad.html"
    bad.write_text("<!doctype html><p style='color: #bbb; background: #fff'>pale</p>", "utf-8")
    with Visit(browser, bad) as visit:
        results = Axe().run(visit.page, options={"runOnly": AA})
        found = {violation["id"] for violation in results.response["violations"]}
        assert {"color-contrast", "document-title", "html-has-lang"} <= found


@pytest.mark.parametrize("club", SOME_SLOW)
@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_wider_than_the_window(
    name: str, club: str, folders: Folders, browser: "Browser"
) -> None:
    with Visit(browser, folders(club) / name) as visit:
        for width in (PHONE, HALF_A_LAPTOP, LAPTOP):
            visit.page.set_viewport_size({"width": width, "height": 800})
            assert visit.page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("name", NAMES)
def test_names_are_shown_as_text_and_run_nothing(
    name: str, folders: Folders, browser: "Browser"
) -> None:
    with Visit(browser, folders("nasty") / name) as visit:
        assert visit.page.title() == f"{PAGES[name]} – {NASTY}"
        assert NASTY in visit.page.inner_text("body")
        assert visit.page.locator("script, b").count() == 0
        assert visit.said == []


def _reachable(page: "Page") -> int:
    """Number everything that a keyboard must reach, and count it."""
    return int(
        page.evaluate(
            "() => { let n = 0; const all = 'a[href], summary, [tabindex=\"0\"], input';"
            " for (const e of document.querySelectorAll(all))"
            " if (e.checkVisibility()) e.dataset.stop = n++; return n; }"
        )
    )


FOCUSED = """() => {
    const e = document.activeElement, style = getComputedStyle(e), box = e.getBoundingClientRect();
    const shown = box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
    return [e.dataset.stop ?? '', style.outlineStyle, parseFloat(style.outlineWidth), shown];
}"""


@pytest.mark.parametrize("name", NAMES)
def test_the_keyboard_reaches_everything_and_shows_where_it_is(
    name: str, folders: Folders, browser: "Browser"
) -> None:
    with Visit(browser, folders("demo") / name) as visit:
        stops = _reachable(visit.page)
        seen = []
        for _ in range(stops):
            visit.page.keyboard.press("Tab")
            stop, outline, width, shown = visit.page.evaluate(FOCUSED)
            assert outline == "solid"
            assert width >= 2
            assert shown
            seen.append(int(stop))
        assert seen == list(range(stops))


def test_the_keyboard_opens_how_a_figure_was_worked_out(
    folders: Folders, browser: "Browser"
) -> None:
    with Visit(browser, folders("demo") / "treasurer.html") as visit:
        first = visit.page.locator("details.working").first
        assert not first.locator("ul").is_visible()
        first.locator("summary").focus()
        visit.page.keyboard.press("Enter")
        assert first.locator("ul").is_visible()


OUTSIDE = """width => [...document.querySelectorAll('body *')].filter(e =>
    e.checkVisibility() && !e.closest('svg') && !e.matches('.spoken') &&
    e.getBoundingClientRect().right > width + 0.5).map(e => e.outerHTML.slice(0, 99))"""


@pytest.mark.parametrize("club", SOME_SLOW)
@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_lost_at_the_margin_of_paper(
    name: str, club: str, folders: Folders, browser: "Browser"
) -> None:
    with Visit(browser, folders(club) / name) as visit:
        visit.page.emulate_media(media="print")
        for wide_mm in PAPERS.values():
            width = int(wide_mm * MM)
            visit.page.set_viewport_size({"width": width, "height": 900})
            assert visit.page.evaluate(OUTSIDE, width) == []


@dataclasses.dataclass(frozen=True)
class Printed:
    """What one table must show on paper: the words of its head and of each row, run together."""

    head: str
    rows: tuple[str, ...]


def _plain(text: str) -> str:
    """Letters without blanks, and each by itself where a font joins two of them."""
    return re.sub(r"\s", "", unicodedata.normalize("NFKC", text))


def _tables(page: "Page") -> Iterator[Printed]:
    for table in page.locator("table:visible").all():
        texts = [_plain(row) for row in table.locator("tr").all_text_contents()]
        yield Printed(texts[0], tuple(row for row in texts[1:] if row))


def _sheets(page: "Page", paper: str, path: Path) -> list[str]:
    """The words on each sheet of paper, run together."""
    from pypdf import PdfReader

    page.pdf(path=path, format=paper, prefer_css_page_size=True)
    return [_plain(sheet.extract_text()) for sheet in PdfReader(path).pages]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_paper_holds_every_row_whole_under_the_head_of_its_table(
    name: str, paper: str, folders: Folders, browser: "Browser", tmp_path: Path
) -> None:
    with Visit(browser, folders("demo") / name) as visit:
        visit.page.emulate_media(media="print")
        sheets = _sheets(visit.page, paper, tmp_path / "page.pdf")
        for table in _tables(visit.page):
            for row in table.rows:
                on = [number for number, sheet in enumerate(sheets) if row in sheet]
                assert on, f"cut or lost: {row}"
                assert any(table.head in sheets[number] for number in on), f"no head above {row}"


@pytest.mark.slow
def test_a_long_table_repeats_its_head(
    folders: Folders, browser: "Browser", tmp_path: Path
) -> None:
    with Visit(browser, folders("many") / "treasurer.html") as visit:
        visit.page.emulate_media(media="print")
        sheets = _sheets(visit.page, "A4", tmp_path / "many.pdf")
        orders = next(_tables(visit.page))
        heads = [sheet.count(orders.head) for sheet in sheets]
        assert len(orders.rows) > 200
        assert sum(heads) >= 5
        rows_on = [any(row in sheet for row in orders.rows if "item" in row) for sheet in sheets]
        assert all(count for count, has_rows in zip(heads, rows_on, strict=True) if has_rows)


def test_the_first_sheet_for_the_treasurer_is_full(
    folders: Folders, browser: "Browser", tmp_path: Path
) -> None:
    with Visit(browser, folders("demo") / "treasurer.html") as visit:
        visit.page.emulate_media(media="print")
        first = _sheets(visit.page, "A4", tmp_path / "page.pdf")[0]
        orders = next(_tables(visit.page))
        assert sum(row in first for row in orders.rows) > len(orders.rows) / 2


@pytest.mark.slow
@pytest.mark.parametrize("club", CLUBS)
def test_no_club_makes_a_page_heavy(club: str, folders: Folders) -> None:
    assert all(path.stat().st_size <= 400_000 for path in folders(club).iterdir())
