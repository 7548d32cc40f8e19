"""The pages as files: self-contained, well formed, safe, readable.

The sample pages in reports/ are what the program makes of the demo today; they are made anew by
``python -m waterkit report data/demo-club -o reports/demo-club --as-of 2027-08-15``.
"""

import dataclasses
import re
from collections.abc import Iterator
from html import unescape
from html.parser import HTMLParser
from importlib.metadata import version
from itertools import pairwise
from pathlib import Path

import pytest

from waterkit import __version__
from waterkit.errors import InputError, MachineError, Problem
from waterkit.pages import html as makers
from waterkit.pages import write_pages
from waterkit.pages.html import PAGES, css_text, render, soft
from waterkit.pages.view.cautions import Place, cautions_at
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.shapes import Topic
from waterkit.plan import SeasonPlan, plan_season

ROOT = Path(__file__).parents[2]
SAMPLES = ROOT / "reports" / "demo-club"
DRAWS_OR_WORDS = ("babel", "Jinja2", "matplotlib", "numpy", "pandas")
NAMES = tuple(PAGES)
VOID = {"meta", "input", "br", "wbr", "path", "rect", "use"}
MOST_BYTES = 400_000
MOST_NUMBERS = 5
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
        if self.open and self.open[-1] not in ("style", "script"):
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


def test_a_page_needs_no_network_and_only_the_tank_card_has_a_script_within_it(
    text: str, page: Page, pages: dict[str, str]
) -> None:
    assert not re.search(r"https?:|//[a-z]|@import|javascript:", text)
    assert not {"link", "img", "iframe", "object"} & {e.tag for e in page.elements}
    scripts = [element.attributes for element in page.all("script")]
    own: list[dict[str, str | None]] = [{"type": "application/json", "id": "carried"}, {}]
    assert scripts == (own if text == pages["tank-card.html"] else [])
    assert not re.findall(r"url\((?!#)", text)
    assert not [name for e in page.elements for name in e.attributes if name.startswith("on")]


def test_every_link_resolves_and_every_id_is_one_of_a_kind(
    page: Page, pages: dict[str, str]
) -> None:
    ids = page.values("id")
    assert len(ids) == len(set(ids))
    for href in page.values("href"):
        file, _, anchor = href.partition("#")
        target = Page(pages[file]) if file else page
        assert not anchor or anchor in target.values("id"), href
    for names in (*page.values("aria-labelledby"), *page.values("aria-describedby")):
        assert set(names.split()) <= set(ids)


def test_a_page_says_whose_when_and_by_what(page: Page, plan: SeasonPlan) -> None:
    assert page.text.count(plan.club.name) >= 2
    assert "as of Sun, Aug 15, 2027" in page.text
    assert f"Made by waterkit {__version__}." in page.text


def test_a_page_has_a_language_one_heading_and_no_gap_between_levels(page: Page) -> None:
    assert next(page.all("html")).attributes["lang"] == "en"
    levels = [int(e.tag[1]) for e in page.elements if re.fullmatch(r"h[1-6]", e.tag)]
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_tables_have_heads_names_and_a_box_that_scrolls(page: Page) -> None:
    tables, heads = list(page.all("table")), list(page.all("thead"))
    boxes = [e for e in page.elements if "scroll" in (e.attributes.get("class") or "").split()]
    assert len(tables) == len(heads) == len(list(page.all("caption"))) > 0
    assert all(e.attributes["aria-labelledby"] for e in tables)
    assert len(boxes) >= len(tables)
    stops = [e for e in boxes if "tabindex" in e.attributes]
    assert {(e.attributes["tabindex"], e.attributes["role"]) for e in stops} <= {("0", "group")}
    assert {e.attributes["scope"] for e in page.all("th")} <= {"row", "col", "rowgroup"}


def test_a_page_is_light(text: str) -> None:
    assert len(text.encode()) <= MOST_BYTES


def test_a_page_begins_with_a_sentence_and_few_numbers(text: str) -> None:
    """Counted are the numbers of the first sentence and of the figures before the first table.

    Days do not count, nor what is said in small letters beside a figure.
    """
    answer = re.search(r'<p class="answer">(.*?)</p>', text)
    assert answer is not None
    sentence = answer.group(1)
    assert sentence.endswith(".")
    first = text.partition("<h2>")[2].partition("<h2>")[0]
    facts = re.findall(r"\d[\d.,]*", " ".join(re.findall(r"<dd>\s*<strong>(.*?)</strong>", first)))
    dates = r"\w{3},\s\w{3}\s\d+(,\s\d{4})?(,\s\d+:\d+)?"
    numbers = re.findall(r"\d[\d.,]*", re.sub(dates, "", sentence))
    assert len(numbers) + len(facts) <= MOST_NUMBERS


def test_workings_are_folded_and_open_when_asked(plan: SeasonPlan, text: str) -> None:
    folded = re.findall(r"<details[^>]*>", text)
    assert not [tag for tag in folded if "open" in tag]
    (name,) = (name for name, made in render(plan).items() if made == text)
    opened = render(plan, workings=True)[name]
    assert re.findall(r"<details[^>]*>", opened) == [tag[:-1] + " open>" for tag in folded]
    assert opened.replace(" open>", ">") == text


def test_the_figures_that_matter_open_to_their_working(pages: dict[str, str]) -> None:
    told = {name: Page(text).text for name, text in pages.items()}
    assert "Litres to exhaustion = capacity of the vessel / anion load" in told["season.html"]
    for figure in ("Load on the resin", "Charge balance error", "Latest start of the build"):
        assert f"{figure} = " in told["season.html"]
    assert "Still to buy, likely = packs + delivery + tax" in told["treasurer.html"]
    for figure in ("Ice built", "The plant freezes", "Thinnest ice", "Resin vessels to change"):
        assert f"{figure} = " in told["season.html"]
    assert "Price of 1 m³ of treated water = " in told["treasurer.html"]
    assert "Powder of batch 1 = " in told["paint-cards.html"]
    assert "Limit for mist at the coldest water of the card = " in told["tank-card.html"]


def test_the_first_page_tells_what_to_do_and_leads_to_all_others(
    pages: dict[str, str], plan: SeasonPlan
) -> None:
    page = Page(pages["index.html"])
    late = [line for line in plan.orders if line.late]
    assert page.text.count("late: ") == len(late) > 0
    assert all(line.need.item.item in page.text for line in late)
    assert {f"{name}" for name in NAMES} - {"index.html"} <= set(page.values("href"))
    assert f"by waterkit {__version__}, from the files" in page.text
    assert "water-tests.csv 1 sample Jun 22, 2027" in page.text


def test_a_part_that_cannot_be_answered_says_so_and_the_others_answer(plan: SeasonPlan) -> None:
    problem = Problem("layers.csv", "'x' is not a number", line=3, field="passes")
    broken = dataclasses.replace(plan.club, broken={"layers": (problem,)})
    texts = {name: Page(t).text for name, t in render(plan_season(broken, plan.as_of)).items()}
    assert "Not told: steps of the build." in texts["index.html"]
    assert str(problem) in texts["index.html"]
    assert "every check of it passes" in texts["season.html"]
    assert "look up the limit" in texts["tank-card.html"]
    assert "Not answered yet" in texts["paint-cards.html"]


def test_a_page_whose_whole_answer_is_in_the_way_says_so(plan: SeasonPlan) -> None:
    error = InputError([Problem("club.toml", "broken")])

    def fail(plan: SeasonPlan, figures: object) -> Topic:
        raise error

    section = makers._section("a", "A", plan, Figures(), fail)
    assert section.topic.findings[0] == "club.toml: broken"
    assert "'waterkit check' tells the cures." in section.topic.findings[1]
    assert section.title == "A"


def test_long_words_may_break_and_short_ones_stay_whole() -> None:
    assert soft("plain words") == "plain words"
    assert soft("a" * 25) == f"{'a' * 10}<wbr>{'a' * 10}<wbr>{'a' * 5}"
    assert soft("<" * 20) == f"{'&lt;' * 10}<wbr>{'&lt;' * 10}"


def test_a_long_word_breaks_at_its_own_marks_first() -> None:
    assert soft("limits.mist.hardness_of_feed") == (
        "limits.<wbr>mist.<wbr>hardness_<wbr>of_<wbr>feed"
    )


def test_a_name_within_the_style_is_text_and_ends_nothing() -> None:
    assert css_text("a1") == "a1"
    assert css_text('</style>"}') == "\\00003c\\00002fstyle\\00003e\\000022\\00007d"


SECTION = re.compile(r'<section id="(\w+)">(.*?)(?=<section id=|</main>)', re.DOTALL)


def test_every_section_keeps_the_cautions_of_its_own_hazard(pages: dict[str, str]) -> None:
    sections = dict(SECTION.findall(pages["season.html"]))
    places: dict[str, tuple[Place, ...]] = {
        "water": ("treatment",),
        "resin": ("resin", "changeout"),
        "layers": ("plant", "flooding", "burners"),
        "pebble": ("pebbling", "people"),
    }
    for section, hazards in places.items():
        told = unescape(_words(sections[section]))
        assert all(caution in told for caution in cautions_at(*hazards))


def test_names_are_words_and_never_markup(plan: SeasonPlan) -> None:
    first, *others = plan.club.items
    items = (dataclasses.replace(first, item=NASTY), *others)
    nasty = plan_season(dataclasses.replace(plan.club, name=NASTY, items=items), plan.as_of)
    for text in render(nasty).values():
        page = Page(text.replace("<wbr>", ""))
        assert NASTY in page.text
        assert "b" not in {e.tag for e in page.elements}
        assert len(list(page.all("script"))) == 2 * ("Tank card – " in text)
        assert "&lt;b&gt;&amp;&#34;&#39;" in text.replace("<wbr>", "")


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
    (tmp_path / "pages" / "index.html").mkdir(parents=True)
    with pytest.raises(MachineError):
        write_pages(plan, tmp_path / "pages")
    assert [path.name for path in (tmp_path / "pages").iterdir()] == ["index.html"]


def test_a_club_without_vessels_or_white_has_its_pages_too(bare: SeasonPlan) -> None:
    texts = {name: Page(text).text for name, text in render(bare).items()}
    assert "no vessel stands in the lead or alone" in texts["season.html"]
    assert "There is no white to mix." in texts["paint-cards.html"]


def _same_packages() -> bool:
    """Whether what draws and words the pages is what the samples were made with."""
    pins = (ROOT / "constraints.txt").read_text("utf-8")
    pinned = dict(re.findall(r"^(\S+)==(\S+)$", pins, flags=re.MULTILINE))
    return all(pinned[name] == version(name) for name in DRAWS_OR_WORDS)


def _words(text: str) -> str:
    without = re.sub(r"<svg.*?</svg>|<style>.*?</style>|<[^>]+>", " ", text, flags=re.DOTALL)
    return " ".join(without.split())


def _structure(text: str) -> list[str]:
    without = re.sub(r"<svg.*?</svg>", "<svg>", text, flags=re.DOTALL)
    return re.findall(r"</?(\w+)", without)


def _drawn_words(text: str) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]*)</text>", text)


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_is_what_the_program_makes(name: str, pages: dict[str, str]) -> None:
    sample, made = (SAMPLES / name).read_text("utf-8"), pages[name]
    if _same_packages():
        assert made == sample
    assert _words(made) == _words(sample)
    assert _structure(made) == _structure(sample)
    assert _drawn_words(made) == _drawn_words(sample)


def test_no_sample_is_left_over() -> None:
    assert sorted(path.name for path in SAMPLES.iterdir()) == sorted(NAMES)
