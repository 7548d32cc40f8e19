"""Pages from a plan: the words of ``view`` and the drawings of ``charts`` put into templates.

Each page is one file that needs no network, and no script: the tank card alone has one, and stays
a card without it.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

from waterkit import __version__
from waterkit.errors import InputError
from waterkit.pages.charts import DRAWINGS
from waterkit.pages.drawing import Chart
from waterkit.pages.view import (
    basis,
    cards,
    ice,
    money,
    paint,
    phone,
    resin,
    season,
    tank,
    water,
    week,
)
from waterkit.pages.view.card_parts import BLANK
from waterkit.pages.view.cautions import RULE
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.shapes import Table, Topic, brief, unanswered
from waterkit.plan import SeasonPlan
from waterkit.plan.carried import Carried

if TYPE_CHECKING:
    from jinja2 import Environment

PAGES = {
    "index.html": "This week",
    "season.html": "Season",
    "tank-card.html": "Tank card",
    "paint-cards.html": "Paint cards",
    "treasurer.html": "Purchases and money",
}
"""The files that are written, in the order in which people meet them, and their titles."""
SMALL_COLUMNS, SMALL_ROWS = 6, 12
NARROW = 2
"""Columns that even a phone shows side by side."""
WHOLE_ROWS = 6
"""Rows of a table that is never parted between two sheets of paper."""


@dataclass(frozen=True, slots=True)
class Frame:
    """What every page says of itself; ``lead`` is the sentence that is read first."""

    name: str
    lead: str
    club: str
    as_of: str
    version: str = __version__
    rule: str = RULE

    @property
    def title(self) -> str:
        """The page's heading."""
        return PAGES[self.name]


@dataclass(frozen=True, slots=True)
class Exhibit:
    """A table and the drawing that belongs to it."""

    table: Table
    chart: Chart | None = None

    @property
    def small(self) -> bool:
        """Whether it leaves room for another one at its side."""
        narrow = len(self.table.columns) <= SMALL_COLUMNS
        return narrow and len(self.table.rows) <= SMALL_ROWS and not self.table.groups


@dataclass(frozen=True, slots=True)
class Section:
    """One part of a page: its anchor, its topic, its tables with their drawings, its heading."""

    anchor: str
    topic: Topic
    exhibits: tuple[Exhibit, ...] = ()
    heading: str = ""

    @property
    def title(self) -> str:
        """The heading, by default the topic's title."""
        return self.heading or self.topic.title


@dataclass(frozen=True, slots=True)
class Entry:
    """One page as the first page tells of it: its file, its title, its answer."""

    file: str
    title: str
    answer: str


def render(plan: SeasonPlan, workings: bool = False) -> dict[str, str]:
    """Every page of a plan: its file's name and its text; ``workings`` opens what is folded."""
    figures = Figures.of(plan.club, plan.as_of)
    makers = {
        "season.html": season_page,
        "tank-card.html": tank_card,
        "paint-cards.html": paint_cards,
        "treasurer.html": treasurer,
    }
    made = {name: make(plan, figures) for name, make in makers.items()}
    entries = tuple(Entry(name, PAGES[name], page.frame.lead) for name, page in made.items())
    pages = {"index.html": index(plan, figures, entries), **made}
    return {name: page.text(workings) for name, page in pages.items()}


@dataclass(frozen=True, slots=True)
class Page:
    """A page before it is put into its template."""

    template: str
    frame: Frame
    parts: dict[str, object]

    def text(self, workings: bool) -> str:
        """The page as HTML."""
        shared = {"frame": self.frame, "pages": PAGES, "opened": workings}
        text = _environment().get_template(self.template).render({**shared, **self.parts})
        return "\n".join(line.rstrip() for line in text.splitlines() if line.strip()) + "\n"


def index(plan: SeasonPlan, figures: Figures, entries: tuple[Entry, ...]) -> Page:
    """What needs doing, what is uncertain, where to read on, what it was made from."""
    topic = week.this_week(plan, figures)
    return Page(
        "index.html.j2",
        _frame("index.html", topic, plan, figures),
        {
            "due": Section("week", topic, tuple(map(Exhibit, topic.tables))),
            "uncertain": week.uncertain(plan, figures),
            "entries": entries,
            "made_from": Exhibit(week.made_from(plan, figures)),
        },
    )


def treasurer(plan: SeasonPlan, figures: Figures) -> Page:
    """Purchases, money, and whose figures they rest on."""
    whose = Topic("Whose figures these are", tables=basis.basis_tables(plan, figures))
    exhibits = tuple(map(Exhibit, whose.tables))
    purchases = _section("purchases", "Purchases", plan, figures, money.buy)
    figured = Section("figures", whose, exhibits)
    return _sections("treasurer.html", (purchases, figured), plan, figures)


def paint_cards(plan: SeasonPlan, figures: Figures) -> Page:
    """One card for each batch of the white."""
    try:
        batches = cards.cards(plan, figures)
    except InputError as error:
        return _unanswered("paint-cards.html", error, plan, figures)
    section = _section("paint", "White paint", plan, figures, paint.paint)
    frame = _frame("paint-cards.html", section.topic, plan, figures)
    (section,) = _each_once((section,))
    return Page("paint-cards.html.j2", frame, {"section": section, "cards": batches})


def tank_card(plan: SeasonPlan, figures: Figures) -> Page:
    """The verdict on a phone, the limits on paper, for whoever stands at the tank."""
    try:
        topic = tank.card(plan, figures)
        carried = phone.phone(Carried(plan.club, plan.as_of), figures)
    except InputError as error:
        return _unanswered("tank-card.html", error, plan, figures)
    (section,) = _each_once((Section("limits", topic, tuple(map(Exhibit, topic.tables))),))
    return Page(
        "tank-card.html.j2",
        _frame("tank-card.html", topic, plan, figures),
        {
            "section": section,
            "carried": carried,
            "form": phone.asking(plan.club, carried),
            "questions": tank.questions(plan),
            "tables": (section.exhibits[0], *map(Exhibit, tank.meter_tables(plan, figures))),
            "refuse": tank.refuse(plan),
            "disbelieve": tank.DISBELIEVE,
            "release": plan.club.people.release,
            "log": Exhibit(tank.log_rows(figures)),
        },
    )


def season_page(plan: SeasonPlan, figures: Figures) -> Page:
    """The whole season: supply, build, ice, water, resin."""
    answers: tuple[tuple[str, str, Callable[[SeasonPlan, Figures], Topic]], ...] = (
        ("supply", "Water asked for and made", season.season),
        ("layers", "Layers", ice.layers),
        ("pebble", "Pebble and scraping", ice.pebble),
        ("water", "Water", water.water),
        ("resin", "Resin", resin.resin),
    )
    sections = (
        _section(anchor, heading, plan, figures, answer) for anchor, heading, answer in answers
    )
    return _sections("season.html", tuple(sections), plan, figures)


def _section(
    anchor: str,
    heading: str,
    plan: SeasonPlan,
    figures: Figures,
    answer: Callable[[SeasonPlan, Figures], Topic],
) -> Section:
    """A section with its answer; without one, what in the folder stands in its way."""
    try:
        topic = answer(plan, figures)
        exhibits = tuple(_exhibit(table, plan, figures) for table in topic.tables)
    except InputError as error:
        return Section(anchor, unanswered(heading, error.problems))
    return Section(anchor, topic, exhibits, heading)


def _exhibit(table: Table, plan: SeasonPlan, figures: Figures) -> Exhibit:
    draw = DRAWINGS.get(table.name)
    return Exhibit(table, draw(plan, figures) if draw else None)


def _sections(name: str, sections: tuple[Section, ...], plan: SeasonPlan, figures: Figures) -> Page:
    """A page of sections, which the first one's answer leads."""
    frame = _frame(name, sections[0].topic, plan, figures)
    return Page("sections.html.j2", frame, {"sections": _each_once(sections, {frame.lead})})


def _unanswered(name: str, error: InputError, plan: SeasonPlan, figures: Figures) -> Page:
    section = Section("unanswered", unanswered("Not answered", error.problems))
    return _sections(name, (section,), plan, figures)


def _each_once(sections: tuple[Section, ...], told: set[str] | None = None) -> tuple[Section, ...]:
    """A page's sections, each note and finding told where it first stands, the rule at the end.

    Cautions stay in every section that has the hazard.
    """
    told = {RULE, *(told or ())}
    kept = []
    for section in sections:
        topic = section.topic
        notes = tuple(note for note in topic.notes if note not in told)
        findings = tuple(finding for finding in topic.findings if finding not in told)
        cautions = tuple(caution for caution in topic.cautions if caution != RULE)
        answer = "" if topic.answer in told else topic.answer
        told.update(notes, findings)
        topic = replace(topic, notes=notes, findings=findings, cautions=cautions, answer=answer)
        kept.append(replace(section, topic=topic))
    return tuple(kept)


def _frame(name: str, topic: Topic, plan: SeasonPlan, figures: Figures) -> Frame:
    return Frame(name, topic.answer, plan.club.name, figures.date(plan.as_of))


@cache
def _environment() -> "Environment":
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("waterkit.pages", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(soft=soft, ruled=ruled, brief=brief, css_text=css_text)
    environment.globals.update(NARROW=NARROW, WHOLE_ROWS=WHOLE_ROWS)
    return environment


def ruled(text: str) -> str:
    """A text in which a line is drawn for what is to be written by hand."""
    from markupsafe import Markup

    line = Markup('<span class="blank"><span class="spoken">to fill in</span></span>')
    return line.join(soft(part) for part in text.split(BLANK))


LONG_WORD, BREAK_EVERY = 20, 10


def soft(text: str) -> str:
    """A text whose very long words may break, so that no table grows wider than its page."""
    from markupsafe import Markup

    return Markup(" ").join(
        word if len(word) < LONG_WORD else _breaking(word) for word in str(text).split(" ")
    )


def _breaking(word: str) -> str:
    """A word that may break behind a mark within it, and where it has none, every ten letters."""
    from markupsafe import Markup, escape

    pieces = [
        part[at : at + BREAK_EVERY] if len(part) >= LONG_WORD else part
        for part in re.findall(r"[^._/-]*[._/-]+|[^._/-]+", word)
        for at in range(0, len(part) if len(part) >= LONG_WORD else 1, BREAK_EVERY)
    ]
    return Markup("<wbr>").join(map(escape, pieces))


def css_text(text: str) -> str:
    """A text within a string of CSS: whatever is no letter or digit by its number."""
    return "".join(c if c.isalnum() else f"\\{ord(c):06x}" for c in text)
