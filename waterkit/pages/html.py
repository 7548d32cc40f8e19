"""Pages from a plan: the words of ``view`` and the drawings of ``charts`` put into templates.

Each page is one file that needs no network and no script.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from waterkit import __version__
from waterkit.pages import charts
from waterkit.pages.charts import Chart
from waterkit.pages.view import basis, cards, ice, money, season, tank, water
from waterkit.pages.view.cautions import RULE
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.shapes import Topic
from waterkit.plan import SeasonPlan

if TYPE_CHECKING:
    from jinja2 import Environment


@dataclass(frozen=True, slots=True)
class Frame:
    """What every page says of itself."""

    title: str
    lead: str
    club: str
    as_of: str
    version: str
    rule: str = RULE


@dataclass(frozen=True, slots=True)
class Section:
    """One part of a page: its anchor, its topic, its drawings, its heading."""

    anchor: str
    topic: Topic
    charts: tuple[Chart, ...] = ()
    heading: str = ""

    @property
    def title(self) -> str:
        """The heading, by default the topic's title."""
        return self.heading or self.topic.title


def render(plan: SeasonPlan) -> dict[str, str]:
    """Every page of a plan: its file's name and its text."""
    figures = Figures.of(plan.club)
    return {
        "treasurer.html": treasurer(plan, figures),
        "paint-cards.html": paint_cards(plan, figures),
        "tank-card.html": tank_card(plan, figures),
        "season.html": season_page(plan, figures),
    }


def treasurer(plan: SeasonPlan, figures: Figures) -> str:
    """Purchases, money, and whose figures they rest on."""
    topic = money.buy(plan, figures)
    frame = _frame(
        "Purchases and money", "What to order by when, and what it comes to.", plan, figures
    )
    whose = Topic("Whose figures these are", tables=basis.basis_tables(plan, figures))
    sections = (Section("purchases", topic), Section("figures", whose))
    return _page("treasurer.html.j2", frame, sections=sections)


def paint_cards(plan: SeasonPlan, figures: Figures) -> str:
    """One card for each batch of the white."""
    frame = _frame("Paint cards", "One card for each batch of the white.", plan, figures)
    batches = cards.cards(plan, figures)
    return _page("paint-cards.html.j2", frame, cards=batches, topic=ice.paint(plan, figures))


def tank_card(plan: SeasonPlan, figures: Figures) -> str:
    """The limits on paper, for whoever stands at the tank."""
    frame = _frame(
        "Tank card", "May this water be used? Take a reading, then look it up.", plan, figures
    )
    return _page(
        "tank-card.html.j2",
        frame,
        topic=_without_rule(tank.card(plan, figures)),
        questions=tank.questions(plan),
        refuse=tank.REFUSE,
        disbelieve=tank.DISBELIEVE,
        release=plan.club.people.release,
        log=tank.log_rows(figures),
    )


def season_page(plan: SeasonPlan, figures: Figures) -> str:
    """The whole season: supply, build, ice, water, resin."""
    frame = _frame(
        "Season", "Whether the water will be there, from bare slab to last draw.", plan, figures
    )
    sections = (
        Section(
            "supply",
            season.season(plan, figures),
            _drawn(charts.water_by_week, plan, figures),
            "Demand and supply",
        ),
        Section("layers", ice.layers(plan, figures)),
        Section("pebble", ice.pebble(plan, figures)),
        Section("water", water.water(plan, figures)),
        Section("resin", water.resin(plan, figures), _drawn(charts.resin_left, plan, figures)),
    )
    return _page("season.html.j2", frame, sections=_each_once(sections))


def _drawn(draw: Any, plan: SeasonPlan, figures: Figures) -> tuple[Chart, ...]:
    chart = draw(plan, figures)
    return () if chart is None else (chart,)


def _each_once(sections: tuple[Section, ...]) -> tuple[Section, ...]:
    """A page's sections, each sentence told only where it first stands; the rule ends the page."""
    told = {RULE}
    kept = []
    for section in sections:
        topic = section.topic
        notes = tuple(note for note in topic.notes if note not in told)
        findings = tuple(finding for finding in topic.findings if finding not in told)
        cautions = tuple(caution for caution in topic.cautions if caution not in told)
        told.update(notes, findings, cautions)
        topic = replace(topic, notes=notes, findings=findings, cautions=cautions)
        kept.append(replace(section, topic=topic))
    return tuple(kept)


def _without_rule(topic: Topic) -> Topic:
    return replace(topic, cautions=tuple(text for text in topic.cautions if text != RULE))


def _frame(title: str, lead: str, plan: SeasonPlan, figures: Figures) -> Frame:
    return Frame(title, lead, plan.club.name, figures.date(plan.as_of), __version__)


def _page(template: str, frame: Frame, **parts: object) -> str:
    context: Mapping[str, object] = {"frame": frame, **parts}
    text = _environment().get_template(template).render(context)
    return "\n".join(line.rstrip() for line in text.splitlines() if line.strip()) + "\n"


def _environment() -> "Environment":
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader("waterkit.pages", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
