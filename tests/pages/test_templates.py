"""The pages in a real browser: quiet, accessible, on a phone, by keyboard, on paper.

Accessibility is judged by axe-core against the rules of WCAG 2.2, levels A and AA.
"""

import dataclasses
import re
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.pages.visits import CLUBS, LAPTOP, NASTY, Folders, Visit
from waterkit.pages.html import PAGES

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

NAMES = tuple(PAGES)
AA = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
CONTRAST = "color-contrast"
PAPER = "getComputedStyle(document.body).backgroundColor"
PHONE, HALF_A_LAPTOP = 360, 640  # a laptop's 1280 px at 200 % zoom are 640
MM = 96 / 25.4
FOOTER_LETTERS = 300
PAPERS = {"A4": 210.0 - 24.0, "Letter": 215.9 - 24.0}  # width between margins of 12 mm [mm]


SLOW = [pytest.param(club, marks=pytest.mark.slow) for club in ("long", "none", "many")]
SOME_SLOW = ["demo", "nasty", *SLOW]


AXE_CLUBS = ["demo", "broken", pytest.param("nasty", marks=pytest.mark.slow), *SLOW]


@pytest.mark.parametrize("club", AXE_CLUBS)
@pytest.mark.parametrize("name", NAMES)
def test_a_page_is_quiet_alone_and_accessible_in_light_and_dark(
    name: str, club: str, folders: Folders, browser: "Browser"
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    with Visit(browser, folders(club) / name) as visit:
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


STUCK = """() => [...document.querySelectorAll('.scroll')].filter(e =>
    e.checkVisibility() && e.scrollWidth > e.clientWidth + 1 &&
    (!['auto', 'scroll'].includes(getComputedStyle(e).overflowX) || e.tabIndex !== 0)
    ).map(e => e.innerText.slice(0, 60))"""
"""Boxes whose contents are wider than they are, but which nobody can scroll, or not by keyboard."""


@pytest.mark.parametrize("club", SOME_SLOW)
@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_wider_than_the_window(
    name: str, club: str, folders: Folders, browser: "Browser"
) -> None:
    with Visit(browser, folders(club) / name) as visit:
        for width in (PHONE, HALF_A_LAPTOP, LAPTOP):
            visit.page.set_viewport_size({"width": width, "height": 800})
            assert visit.page.evaluate("document.documentElement.scrollWidth") <= width
            assert visit.page.evaluate(STUCK) == []


@pytest.mark.parametrize("name", NAMES)
def test_names_are_shown_as_text_and_run_nothing(
    name: str, folders: Folders, browser: "Browser"
) -> None:
    with Visit(browser, folders("nasty") / name) as visit:
        assert visit.page.title() == f"{PAGES[name]} – {NASTY}"
        assert NASTY in visit.page.inner_text("body")
        assert visit.page.locator("b").count() == 0
        assert visit.page.locator("script").count() == 2 * (name == "tank-card.html")
        assert visit.said == []


STOPS = """() => {
    const all = 'a[href], summary, [tabindex="0"], input, select, button, textarea';
    const passed = e => {  // the keyboard stops once at a group of radio buttons
        const group = [...document.querySelectorAll(`[type=radio][name="${e.name}"]`)];
        return e.type === 'radio' && e !== (group.find(one => one.checked) ?? group[0]);
    };
    const shown = [...document.querySelectorAll(all)].filter(e => e.checkVisibility());
    const stops = shown.filter(e => !passed(e));
    stops.forEach((e, n) => { e.dataset.stop = n; });
    return stops.length;
}"""


def _reachable(page: "Page") -> int:
    """Number everything that a keyboard must reach, and count it."""
    return int(page.evaluate(STOPS))


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
    e.checkVisibility() && (e.matches('svg') || !e.closest('svg')) && !e.matches('.spoken') &&
    (e.getBoundingClientRect().right > width + 0.5 || e.getBoundingClientRect().left < -0.5)
    ).map(e => e.outerHTML.slice(0, 99))"""

LABELS = """() => {
    const wrong = [];
    for (const svg of document.querySelectorAll('svg.drawing')) {
        const frame = svg.getBoundingClientRect(), name = svg.getAttribute('aria-labelledby');
        const words = [...svg.querySelectorAll('text')].map(t => [t, t.getBoundingClientRect()]);
        for (const [t, b] of words)
            if (b.left < frame.left - 1 || b.right > frame.right + 1 ||
                b.top < frame.top - 1 || b.bottom > frame.bottom + 1)
                wrong.push(['cut', name, t.textContent]);
        for (const [i, [t, a]] of words.entries()) for (const [u, b] of words.slice(i + 1))
            if (a.left < b.right - 1 && b.left < a.right - 1 &&
                a.top < b.bottom - 3 && b.top < a.bottom - 3)
                wrong.push(['over', name, t.textContent, u.textContent]);
    }
    return wrong;
}"""
"""Words of a drawing that run out of it, or over other words."""


@pytest.mark.parametrize("club", ["demo", "new", "German", "US", "long"])
def test_no_words_of_a_drawing_are_cut_or_run_over_others(
    club: str, folders: Folders, browser: "Browser"
) -> None:
    for name in ("season.html", "treasurer.html"):
        with Visit(browser, folders(club) / name) as visit:
            assert visit.page.locator("svg.drawing").count() > 0 or club == "new"
            assert visit.page.evaluate(LABELS) == []


def test_letters_of_all_drawings_have_one_size(folders: Folders, browser: "Browser") -> None:
    sizes = set()
    for name in ("season.html", "treasurer.html"):
        with Visit(browser, folders("demo") / name) as visit:
            heights = (
                "() => [...document.querySelectorAll('svg.drawing')].map(s => s.getScreenCTM().a)"
            )
            sizes |= {round(scale, 2) for scale in visit.page.evaluate(heights)}
    assert len(sizes) == 1


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


@pytest.mark.parametrize("paper", PAPERS)
def test_a_row_of_several_lines_is_never_cut(
    paper: str, folders: Folders, browser: "Browser", tmp_path: Path
) -> None:
    with Visit(browser, folders("tall") / "treasurer.html") as visit:
        visit.page.emulate_media(media="print")
        sheets = _sheets(visit.page, paper, tmp_path / "page.pdf")
        remarked = [
            row for table in _tables(visit.page) for row in table.rows if "askedonce" in row
        ]
        assert len(remarked) > 2 * len(sheets)
        assert [row for row in remarked if not any(row in sheet for sheet in sheets)] == []


@pytest.mark.parametrize("name", ["season.html", "treasurer.html"])
def test_each_further_sheet_tells_whose_it_is(
    name: str, folders: Folders, browser: "Browser", tmp_path: Path
) -> None:
    with Visit(browser, folders("nasty") / name) as visit:
        first, *others = _sheets(visit.page, "A4", tmp_path / "page.pdf")
        head = _plain(f"{NASTY}, {PAGES[name]}, as of Sun, Aug 15, 2027")
        assert head not in first
        assert others
        assert all(head in sheet for sheet in others)
        assert len(others[-1]) > len(head) + FOOTER_LETTERS  # more than the page's last words


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


CARD_PAPERS = {"A5": (148, 210), "half Letter": (139.7, 215.9), "A4": (210, 297),
               "Letter": (215.9, 279.4)}  # fmt: skip
TWO_SIDES_ABREAST = ("A4", "Letter")


@pytest.mark.parametrize("paper", CARD_PAPERS)
@pytest.mark.parametrize("club", ["demo", "US", "per mix"])
def test_each_side_of_a_paint_card_is_whole_on_its_paper(
    club: str, paper: str, folders: Folders, browser: "Browser", tmp_path: Path
) -> None:
    from pypdf import PdfReader

    if club == "US" and paper in ("A5", "A4"):
        pytest.skip("such clubs print on Letter")
    with Visit(browser, folders(club) / "paint-cards.html") as visit:
        texts = visit.page.locator(".side").all_inner_texts()
        assert all("local codes" in side for side in texts)
        sides = [_plain(side.replace("to fill in", "")) for side in texts]
        width, height = (f"{each}mm" for each in CARD_PAPERS[paper])
        path = tmp_path / "cards.pdf"
        visit.page.pdf(path=path, width=width, height=height, prefer_css_page_size=True)
    printed = [
        sheet
        for sheet in PdfReader(path).pages
        if re.search("Atthetank|Ontheice", _plain(sheet.extract_text()))
    ]
    assert "Atthetank" in _plain(PdfReader(path).pages[1].extract_text())  # cards come first
    assert len(printed) == len(sides) // (2 if paper in TWO_SIDES_ABREAST else 1)
    for sheet in printed:
        wide = sheet.mediabox.width > sheet.mediabox.height
        assert wide == (paper in TWO_SIDES_ABREAST)
    words = [_plain(sheet.extract_text()) for sheet in printed]
    per_sheet = len(sides) // len(printed)
    for number, side in enumerate(sides):
        on = words[number // per_sheet]
        assert side[:20] in on
        assert side[-40:] in on


def test_a_paint_card_can_be_read_and_ticked_with_wet_gloves(
    folders: Folders, browser: "Browser"
) -> None:
    with Visit(browser, folders("demo") / "paint-cards.html") as visit:
        visit.page.emulate_media(media="print")
        boxes = visit.page.locator(".side input").all()
        assert len(boxes) > 50
        for box in boxes:
            bounds = box.bounding_box()
            assert bounds is not None
            assert min(bounds["width"], bounds["height"]) >= 5.9 * MM
        sizes = visit.page.evaluate(
            "[...document.querySelectorAll('.side label')].map("
            "e => parseFloat(getComputedStyle(e).fontSize) * 72 / 96)"
        )
        assert min(sizes) >= 10.4  # points


@pytest.mark.slow
@pytest.mark.parametrize("club", CLUBS)
def test_no_club_makes_a_page_heavy(club: str, folders: Folders) -> None:
    assert all(path.stat().st_size <= 400_000 for path in folders(club).iterdir())
