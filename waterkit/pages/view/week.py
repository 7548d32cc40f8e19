"""What needs doing this week and soon after, what is uncertain, and what the plan was made from."""

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from operator import attrgetter

from waterkit.errors import InputError, Problem
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.season import NO_RANGE
from waterkit.pages.view.sentences import counted, is_or_are, sentence, sentences
from waterkit.pages.view.shapes import Column, Table, Topic, brief, unanswered
from waterkit.pages.view.workings import sentence_case
from waterkit.plan import SeasonPlan
from waterkit.plan.week import KINDS, WEEK, Due
from waterkit.plan.week import Topic as About
from waterkit.working import Note

PLACES: Mapping[About, str] = {
    "buy": "treasurer.html#purchases",
    "layers": "season.html#layers",
    "resin": "season.html#resin",
    "water": "season.html#water",
    "card": "tank-card.html#limits",
}
"""Where a page tells more of a thing to do."""
MORE = "#pages"
"""Where the first page leads to all others."""
SOON = 6


@dataclass(frozen=True, slots=True)
class Agenda:
    """Everything that is due, in order of days, and the kinds that cannot be told."""

    dues: tuple[Due, ...]
    missing: Mapping[str, tuple[Problem, ...]]


def agenda(plan: SeasonPlan) -> Agenda:
    """All kinds of things to do, as far as the folder's errors leave them."""
    dues: list[Due] = []
    missing = {}
    for kind, find in KINDS.items():
        try:
            dues += find(plan)
        except InputError as error:
            missing[kind] = error.problems
    return Agenda(tuple(sorted(dues, key=attrgetter("day"))), missing)


def this_week(plan: SeasonPlan, figures: Figures) -> Topic:
    """What needs doing this week, late things first, and what comes after."""
    found = agenda(plan)
    end = plan.as_of + WEEK
    now = [due for due in found.dues if due.day < end]
    soon = [due for due in found.dues if due.day >= end]
    until = figures.day(end - dt.timedelta(days=1))
    return Topic(
        "This week",
        findings=_findings(plan, found, figures),
        tables=(
            _due_table(f"To do until {until}", now, plan.as_of, figures),
            _next_table(soon, plan.as_of, figures),
        ),
        answer=sentence_case(_known(found) + _answer(now, soon, plan.as_of, figures)),
    )


def _findings(plan: SeasonPlan, found: Agenda, figures: Figures) -> tuple[str, ...]:
    """What water and build ask somebody to act on, and what cannot be told, with the cure once."""
    parts: tuple[Callable[[], Iterable[Note]], ...] = (
        lambda: plan.supply_findings,
        lambda: plan.build_findings,
    )
    told = sentences([note for part in parts for note in _told(part)], figures)
    blocked = {kind: unanswered(kind, problems) for kind, problems in found.missing.items()}
    lines = [
        line
        for kind, topic in blocked.items()
        for line in (f"Not told: {kind}.", *topic.findings[:-1])
    ]
    cures = [topic.findings[-1] for topic in blocked.values()][:1]
    return tuple(dict.fromkeys((*told, *lines, *cures)))


def _known(found: Agenda) -> str:
    """The beginning of the answer where some kinds cannot be told."""
    if not found.missing:
        return ""
    kinds = " and ".join(found.missing)
    return f"{kinds} cannot be told; as far as is known "


def _answer(now: list[Due], soon: list[Due], as_of: dt.date, figures: Figures) -> str:
    late = sum(due.day < as_of for due in now)
    todo = len(now) - late
    parts = [
        f"{counted(count, 'thing')} {is_or_are(count)} {what}"
        for count, what in ((late, "late"), (todo, "due this week"))
        if count
    ]
    first = " and ".join(parts) or "nothing needs doing this week"
    if not soon:
        return f"{first}."
    return f"{first}; the next thing is due on {figures.date(soon[0].day)}."


def _due_table(title: str, dues: list[Due], as_of: dt.date, figures: Figures) -> Table:
    columns = (Column("By"), Column("What to do"))
    rows = tuple(
        (
            f"late: {figures.brief(due.day)}" if due.day < as_of else figures.weekday(due.day),
            sentence(_briefly(due.note), figures),
        )
        for due in dues
    )
    links = {row: PLACES[due.topic] for row, due in enumerate(dues)}
    marks = frozenset(row for row, due in enumerate(dues) if due.day < as_of)
    return Table(title, columns, rows, marks=marks, head=1, links=links)


def _briefly(note: Note) -> Note:
    """A note whose names fit a line; whole they stand on the page that the line leads to."""
    values = {key: brief(v) if isinstance(v, str) else v for key, v in note.values.items()}
    return replace(note, values=values)


def _next_table(soon: list[Due], as_of: dt.date, figures: Figures) -> Table:
    """The first things that come after this week, and how many more there are."""
    table = _due_table("What comes next", soon[:SOON], as_of, figures)
    more = len(soon) - SOON
    if more <= 0:
        return table
    rest = ("later", f"and {more} more: see the pages below.")
    return replace(table, rows=(*table.rows, rest), links={**table.links, SOON: MORE})


def uncertain(plan: SeasonPlan, figures: Figures) -> Topic:
    """What the plan leans on without knowing it."""
    assumed = [figure for figure in plan.club.figures if figure.basis == "assumed"]
    unwritten = sum(figure.line is None for figure in assumed)
    notes = _notes(plan)
    return Topic(
        "What is uncertain",
        notes=(
            f"{len(assumed)} of the plan's {len(plan.club.figures)} figures are assumed,"
            f" {unwritten} of them because nobody wrote them down. 'waterkit check --advice' tells"
            " which to find out first.",
            f"Low and high of all sums are not given: {NO_RANGE}.",
            *sentences(notes, figures),
        ),
    )


def _notes(plan: SeasonPlan) -> tuple[Note, ...]:
    """The notes on what was assumed, of every part that can be told."""
    parts: tuple[Callable[[], Iterable[Note]], ...] = (
        lambda: plan.defaults,
        lambda: (*plan.feed.notes, *plan.feed.completed.notes),
        lambda: plan.resin.notes if plan.resin else (),
        lambda: plan.freezing.notes,
        lambda: (note for step in plan.steps for note in step.water.notes),
        lambda: (note for line in plan.orders for note in line.notes),
    )
    return tuple(note for part in parts for note in _told(part))


def _told(part: Callable[[], Iterable[Note]]) -> tuple[Note, ...]:
    try:
        return tuple(part())
    except InputError:
        return ()


HELD: tuple[tuple[str, str, str, str], ...] = (
    ("water-tests.csv", "samples", "sample", "date"),
    ("layers.csv", "layers", "step", "done_on"),
    ("draws.csv", "draws", "row", ""),
    ("vessels.csv", "vessels", "vessel", "fresh_on"),
    ("changeouts.csv", "changeouts", "changeout", "date"),
    ("checks.csv", "checks", "check", "date"),
    ("items.csv", "items", "item", ""),
    ("suppliers.csv", "suppliers", "supplier", ""),
    ("offers.csv", "offers", "offer", "quoted_on"),
    ("stock.csv", "stock", "lot", "counted_on"),
    ("orders.csv", "orders", "order", "ordered_on"),
    ("spending.csv", "spending", "bill", "date"),
)
"""Each table of the folder: its part of the club, what one row is, which of its days is newest."""


def made_from(plan: SeasonPlan, figures: Figures) -> Table:
    """The files of the folder that the plan was made from, how much each holds, how new it is."""
    club = plan.club
    written = sum(figure.file == "club.toml" and figure.line is not None for figure in club.figures)
    rows = [("club.toml", counted(written, "figure"), "")]
    missing = []
    for file, part, noun, day in HELD:
        members = getattr(club, part)
        if club.lacks(part):
            rows.append((file, "has errors", ""))
        elif members:
            days = [getattr(member, day, None) for member in members]
            rows.append((file, counted(len(members), noun), _newest(days, figures)))
        else:
            missing.append(file)
    if club.readings is not None and len(club.readings):
        newest = club.readings.time.max().astype("datetime64[D]").astype(object)
        rows.append(("readings.csv", counted(len(club.readings), "reading"), figures.day(newest)))
    caption = f"Not there, or empty: {figures.listed(missing)}." if missing else ""
    columns = (Column("File"), Column("Holds"), Column("Newest day in it"))
    return Table("Made from", columns, tuple(rows), caption)


def _newest(days: Iterable[dt.date | None], figures: Figures) -> str:
    newest = max((day for day in days if day is not None), default=None)
    return figures.day(newest) if newest else ""
