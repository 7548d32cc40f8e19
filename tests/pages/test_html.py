"""The pages as files: self-contained, well formed, safe, readable.

The sample pages in reports/ are what the program makes of the demo today; they are made anew by
``python -m waterkit report data/demo-club -o reports/demo-club --as-of 2027-08-15``.
"""

import dataclasses
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from importlib.metadata import version
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from waterkit import __version__
from waterkit.errors import MachineError
from waterkit.pages import write_pages
from waterkit.pages.html import render
from waterkit.plan import SeasonPlan

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ROOT = Path(__file__).parents[2]
SAMPLES = ROOT / "reports" / "demo-club"
DRAWS_OR_WORDS = ("babel", "Jinja2", "matplotlib", "numpy", "pandas")
NAMES = ("treasurer.html", "paint-cards.html", "tank-card.html", "season.html")
VOID = {"meta", "input", "br", "path", "rect", "use"}
NASTY = "<b>&\"'</b><script>alert(1)</script>"


@dataclasses.dataclass
class Element:
    tag: str
    attributes: dict[str, str | None]


class Page(HTMLParser):
    """The elements of a page; tags that do not match are an error."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[Element] = []
        self.open: list[str] = []
        self.words: list[str] = []
        self.feed(text)
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(Element(tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(Element(tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] != "style":
            self.words.append(data)

    def all(self, tag: str) -> Iterator[Element]:
        return (element for element in self.elements if element.tag == tag)

    def values(self, attribute: str) -> list[str]:
        return [e.attributes[attribute] or "" for e in self.elements if attribute in e.attributes]

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


@pytest.fixture(scope="module")
def pages(plan: SeasonPlan) -> dict[str, str]:
    return render(plan)


@pytest.fixture(params=NAMES)
def text(request: pytest.FixtureRequest, pages: dict[str, str]) -> str:
    return pages[request.param]


@pytest.fixture
def page(text: str) -> Page:
    return Page(text)


def test_a_page_needs_neither_network_nor_script(text: str, page: Page) -> None:
    assert not re.search(r"https?:|//[a-z]|@import|javascript:", text)
    assert not {"script", "link", "img", "iframe", "object"} & {e.tag for e in page.elements}
    assert not re.findall(r"url\((?!#)", text)
    assert not [name for e in page.elements for name in e.attributes if name.startswith("on")]


def test_every_link_resolves_and_every_id_is_one_of_a_kind(page: Page) -> None:
    ids = page.values("id")
    assert len(ids) == len(set(ids))
    assert {href.removeprefix("#") for href in page.values("href")} <= set(ids)
    for names in (*page.values("aria-labelledby"), *page.values("aria-describedby")):
        assert set(names.split()) <= set(ids)


def test_a_page_says_whose_when_and_by_what(page: Page, plan: SeasonPlan) -> None:
    assert page.text.count(plan.club.name) >= 2
    assert "Planned as of Sun, Aug 15, 2027" in page.text
    assert f"Made by waterkit {__version__}." in page.text


def test_a_page_has_a_language_one_heading_and_no_gap_between_levels(page: Page) -> None:
    assert next(page.all("html")).attributes["lang"] == "en"
    levels = [int(e.tag[1]) for e in page.elements if re.fullmatch(r"h[1-6]", e.tag)]
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_tables_have_heads_captions_and_a_box_that_scrolls(page: Page) -> None:
    tables, captions = list(page.all("table")), list(page.all("caption"))
    boxes = [e for e in page.elements if "scroll" in (e.attributes.get("class") or "").split()]
    assert len(tables) == len(captions) > 0
    assert len(boxes) >= len(tables)
    assert all(e.attributes["tabindex"] == "0" and e.attributes["aria-label"] for e in boxes)
    assert {e.attributes["scope"] for e in page.all("th")} <= {"row", "col"}


def test_names_are_words_and_never_markup(plan: SeasonPlan) -> None:
    club = dataclasses.replace(plan.club, name=NASTY)
    first = plan.orders[0]
    item = dataclasses.replace(first.need.item, item=NASTY)
    order = dataclasses.replace(first, need=dataclasses.replace(first.need, item=item))
    nasty = dataclasses.replace(plan, club=club, orders=(order, *plan.orders[1:]))
    for text in render(nasty).values():
        page = Page(text)
        assert NASTY in page.text
        assert {e.tag for e in page.elements} & {"b", "script"} == set()
        assert "&lt;b&gt;&amp;&#34;&#39;" in text


def test_the_same_plan_makes_the_same_pages(plan: SeasonPlan, pages: dict[str, str]) -> None:
    assert render(plan) == pages


def test_pages_are_written_whole_into_a_new_folder(
    plan: SeasonPlan, pages: dict[str, str], tmp_path: Path
) -> None:
    folder = tmp_path / "new" / "pages"
    written = write_pages(plan, folder)
    assert [path.name for path in written] == list(NAMES)
    assert sorted(path.name for path in folder.iterdir()) == sorted(NAMES)
    assert {path.name: path.read_text("utf-8") for path in written} == pages


def test_what_the_machine_refuses_is_told_and_nothing_is_half_written(
    plan: SeasonPlan, tmp_path: Path
) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    with pytest.raises(MachineError, match="cannot write the pages to"):
        write_pages(plan, tmp_path / "taken")
    (tmp_path / "pages" / "treasurer.html").mkdir(parents=True)
    with pytest.raises(MachineError):
        write_pages(plan, tmp_path / "pages")
    assert [path.name for path in (tmp_path / "pages").iterdir()] == ["treasurer.html"]


def test_a_club_without_vessels_or_white_has_its_pages_too(plan: SeasonPlan) -> None:
    bare = dataclasses.replace(plan, vessel=None, resin=None, paint=None)
    texts = {name: Page(text).text for name, text in render(bare).items()}
    assert "no vessel stands in the lead or alone" in texts["season.html"]
    assert "the layer plan has no white to come" in texts["paint-cards.html"]


@pytest.mark.browser
@pytest.mark.parametrize("width", [360, 1280])
@pytest.mark.parametrize("name", NAMES)
def test_no_page_is_wider_than_the_window(
    name: str, width: int, pages: dict[str, str], browser: "Browser"
) -> None:
    window = browser.new_page(viewport={"width": width, "height": 800})
    window.set_content(pages[name])
    assert window.evaluate("document.documentElement.scrollWidth") <= width
    window.close()


def _same_packages() -> bool:
    """Whether what draws and words the pages is what the samples were made with."""
    pins = (ROOT / "constraints.txt").read_text("utf-8")
    pinned = dict(re.findall(r"^(\S+)==(\S+)$", pins, flags=re.MULTILINE))
    return all(pinned[name] == version(name) for name in DRAWS_OR_WORDS)


def _words(text: str) -> str:
    without = re.sub(r"<svg.*?</svg>|<style>.*?</style>|<[^>]+>", " ", text, flags=re.DOTALL)
    return " ".join(without.split())


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_is_what_the_program_makes(name: str, pages: dict[str, str]) -> None:
    sample, made = (SAMPLES / name).read_text("utf-8"), pages[name]
    if _same_packages():
        assert made == sample
    assert _words(made) == _words(sample)


def test_no_sample_is_left_over() -> None:
    assert sorted(path.name for path in SAMPLES.iterdir()) == sorted(NAMES)
