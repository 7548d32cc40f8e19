"""Charts as inline SVG: the same bytes for the same plan, colours from the page's own style."""

import datetime as dt
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from waterkit.pages.view.figures import Figures
from waterkit.pages.view.season import LOST, by_week
from waterkit.plan import SeasonPlan
from waterkit.quantities import VOLUME
from waterkit.water.limits import USES

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INK, PAPER, GRID = "#010203", "#010204", "#010205"
SERIES = ("#010211", "#010212", "#010213", "#010214", "#010215", "#010216")
HATCHES = ("---", "////", "", "xxxx", "", "\\\\\\\\")
"""Hatching tells the uses apart where colours do not."""
COLOURS: Mapping[str, str] = {
    INK: "var(--ink)",
    PAPER: "var(--paper)",
    GRID: "var(--line)",
    **{sentinel: f"var(--series-{number})" for number, sentinel in enumerate(SERIES, start=1)},
}
"""Marker colours that matplotlib draws with, and the style variables that replace them."""

_RC: Mapping[str, object] = {
    "svg.fonttype": "none",
    "font.family": ["DejaVu Sans"],
    "font.size": 11,
    "text.color": INK,
    "axes.labelcolor": INK,
    "axes.edgecolor": INK,
    "axes.facecolor": "none",
    "axes.axisbelow": True,
    "xtick.color": INK,
    "ytick.color": INK,
    "grid.color": GRID,
    "grid.linewidth": 0.8,
    "hatch.color": PAPER,
    "hatch.linewidth": 1.0,
    "figure.facecolor": "none",
    "savefig.facecolor": "none",
    "legend.facecolor": PAPER,
    "legend.edgecolor": "none",
    "legend.framealpha": 1.0,
}


@dataclass(frozen=True, slots=True)
class Chart:
    """A drawing to put into a page, with what it shows in words."""

    title: str
    description: str
    svg: str


def resin_left(plan: SeasonPlan, figures: Figures) -> Chart | None:
    """Litres that the lead vessel can still treat, day by day; None without a vessel."""
    if plan.resin is None or not plan.supply.days:
        return None
    unit, days = figures.unit(VOLUME), plan.supply.days
    litres = [_shown(float(value), figures) for value in plan.supply.resin_left[:, 0]]
    changes = plan.supply.change_days()
    with _drawing() as figure:
        axes = figure.subplots()
        axes.step(
            [day.toordinal() for day in days], litres, where="post", color=SERIES[0], linewidth=2
        )
        for day in changes:
            axes.axvline(day.toordinal(), color=INK, linestyle=(0, (4, 3)), linewidth=1)
        axes.set_ylim(bottom=0)
        axes.set_ylabel(f"left [{unit}]")
        _calendar(axes, days, figures)
        svg = _svg(figure, "resin")
    listed = ", ".join(figures.day(day) for day in changes) or "none"
    description = (
        f"From {figures.text(plan.supply.resin_left[0, 0], VOLUME)} on {figures.day(days[0])} the"
        f" line falls as water is made and jumps up at each changeout (dashed): {listed}."
    )
    return _told("Resin left in the lead vessel, by day", description, svg, "resin")


def water_by_week(plan: SeasonPlan, figures: Figures) -> Chart | None:
    """Water that each week asks for, stacked by use; None where nothing is asked."""
    weeks = by_week(plan)
    if not weeks:
        return None
    mondays = [dt.date.fromisoformat(f"{week.week}-1") for week in weeks]
    unit = figures.unit(VOLUME)
    with _drawing() as figure:
        axes = figure.subplots()
        below = [0.0] * len(weeks)
        for number, use in enumerate((*USES, LOST)):
            heights = [_shown(week.asked[use], figures) for week in weeks]
            if any(heights):
                _bars(axes, mondays, heights, below, number, use)
            below = [low + height for low, height in zip(below, heights, strict=True)]
        axes.set_ylabel(f"asked in a week [{unit}]")
        axes.legend(loc="upper right", ncols=3, handlelength=1.6)
        axes.set_ylim(top=max(below) * 1.22 or 1.0)
        _calendar(axes, mondays, figures)
        svg = _svg(figure, "weeks")
    most = max(weeks, key=lambda week: sum(week.asked.values()))
    description = (
        f"The week from {figures.week(most.week)} asks for most,"
        f" {figures.about(sum(most.asked.values()), VOLUME)}. Each bar stacks the uses from the"
        f" bottom: {figures.listed([*USES, 'lost and hoses'])}."
    )
    return _told("Treated water asked for, by week", description, svg, "weeks")


def _shown(litres: float, figures: Figures) -> float:
    return figures.shown(litres, VOLUME) or 0.0


def _bars(
    axes: "Axes",
    mondays: Sequence[dt.date],
    heights: Sequence[float],
    below: Sequence[float],
    number: int,
    use: str,
) -> None:
    axes.bar(
        [monday.toordinal() for monday in mondays],
        heights,
        bottom=below,
        width=5.6,
        color=SERIES[number],
        edgecolor=PAPER,
        linewidth=0,
        hatch=HATCHES[number],
        label="lost, hoses" if use == LOST else use,
    )


def _calendar(axes: "Axes", days: Sequence[dt.date], figures: Figures) -> None:
    """A mark at each first of a month, named in the club's locale."""
    from babel.dates import format_date

    firsts = sorted({day.replace(day=1) for day in days if day.replace(day=1) >= days[0]})
    ticks = firsts or [days[0]]
    names = [format_date(day, "MMM", locale=figures.locale) for day in ticks]
    axes.set_xticks([day.toordinal() for day in ticks], names)
    axes.yaxis.set_major_formatter(lambda value, _position: figures.plain(value))
    axes.grid(axis="y")
    axes.spines[["top", "right"]].set_visible(False)
    axes.margins(x=0.01)


@contextmanager
def _drawing() -> Iterator["Figure"]:
    """An empty drawing under our own settings, whatever the machine's own are."""
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context():
        mpl.rcdefaults()
        mpl.rcParams.update(_RC)  # type: ignore[arg-type]
        yield Figure(figsize=(8.0, 3.4), layout="constrained")


def _svg(figure: "Figure", name: str) -> str:
    import matplotlib as mpl

    mpl.rcParams["svg.hashsalt"] = f"waterkit-{name}"
    buffer = io.StringIO()
    figure.savefig(buffer, format="svg", metadata={"Date": None})
    return buffer.getvalue()


def _told(title: str, description: str, svg: str, name: str) -> Chart:
    """A drawing made fit for a page: no outside names, its own ids, colours by variable, words."""
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r"<metadata>.*?</metadata>\s*", "", svg, flags=re.DOTALL)
    svg = re.sub(r'\s(xmlns(:\w+)?|version|width|height)="[^"]*"', "", svg.split(">", 1)[0]) + (
        ">" + svg.split(">", 1)[1]
    )
    svg = re.sub(r"<defs>\s*<style.*?</style>\s*</defs>\s*", "", svg, flags=re.DOTALL)
    svg = svg.replace("xlink:href", "href")
    svg = re.sub(r'\bid="', f'id="{name}-', svg)
    svg = re.sub(r'href="#', f'href="#{name}-', svg)
    svg = re.sub(r"url\(#", f"url(#{name}-", svg)
    for sentinel, variable in COLOURS.items():
        svg = svg.replace(sentinel, variable)
    svg = re.sub(r'fill="(var\([^)]*\))"', r'style="fill: \1"', svg)
    svg = re.sub(r"'DejaVu Sans'(, sans-serif)?", "system-ui, sans-serif", svg)
    head = f'<svg role="img" aria-labelledby="{name}-title {name}-desc"'
    words = (
        f'<title id="{name}-title">{escape(title)}</title>'
        f'<desc id="{name}-desc">{escape(description)}</desc>'
    )
    opening, rest = svg.removeprefix("<svg").split(">", 1)
    lines = (line.rstrip() for line in f"{head}{opening}>{words}{rest}".splitlines())
    return Chart(title, description, "\n".join(lines))
