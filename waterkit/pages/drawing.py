"""Drawings as inline SVG: the same bytes for the same plan, colours from the page's own style."""

import datetime as dt
import io
import warnings
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.etree import ElementTree as Tree

from waterkit.dates import ONE_DAY
from waterkit.pages.view.figures import Figures

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INK, PAPER, GRID, QUIET = "#010203", "#010204", "#010205", "#010206"
MAIN, SECOND = "#010211", "#010212"
COLOURS: Mapping[str, str] = {
    INK: "var(--ink)",
    PAPER: "var(--paper)",
    GRID: "var(--line)",
    QUIET: "var(--quiet)",
    MAIN: "var(--main)",
    SECOND: "var(--second)",
}
"""Marker colours that matplotlib draws with, and the style variables that replace them.

No drawing tells things apart by colour alone: each has its words beside it.
"""
FONT_PT = 11
_SVG, _LINK = "{http://www.w3.org/2000/svg}", "{http://www.w3.org/1999/xlink}href"
_DROPPED = {f"{_SVG}metadata", f"{_SVG}style"}
_RC: Mapping[str, object] = {
    "svg.fonttype": "none",
    "text.parse_math": False,
    "font.family": ["DejaVu Sans"],
    "font.size": FONT_PT,
    "text.color": INK,
    "axes.labelcolor": INK,
    "axes.edgecolor": INK,
    "axes.facecolor": "none",
    "axes.axisbelow": True,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "xtick.color": INK,
    "ytick.color": INK,
    "grid.color": GRID,
    "grid.linewidth": 0.8,
    "hatch.color": PAPER,
    "figure.facecolor": "none",
    "savefig.facecolor": "none",
}


@dataclass(frozen=True, slots=True)
class Chart:
    """A drawing to put into a page, with what it shows in words."""

    title: str
    description: str
    svg: str


WIDTH = 10.0
"""Of every drawing [inch], so that letters have one size on a page."""


@contextmanager
def drawing(height: float = 3.2) -> "Iterator[Figure]":
    """An empty drawing [inch high] under our own settings, whatever the machine's own are."""
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(), warnings.catch_warnings():
        warnings.filterwarnings("ignore", "Glyph .* missing from", UserWarning)
        mpl.rcdefaults()
        mpl.rcParams.update(_RC)  # type: ignore[arg-type]
        yield Figure(figsize=(WIDTH, height))


def frame(
    figure: "Figure", left: float = 0.8, right: float = 0.2, top: float = 0.3, bottom: float = 0.35
) -> "Axes":
    """Axes with margins of a fixed size [inch], so that nothing has to be measured."""
    width, height = figure.get_size_inches()
    span = ((width - left - right) / width, (height - top - bottom) / height)
    return figure.add_axes((left / width, bottom / height, *span))


ROOM_D = 12
"""Days that a month which has begun before the first day must still have to be named there."""


def months(axes: "Axes", first: dt.date, last: dt.date, figures: Figures) -> None:
    """Name the month of the first day and each that begins after it in the club's locale."""
    from babel.dates import format_date

    next_month = (first.replace(day=1) + 31 * ONE_DAY).replace(day=1)
    starts = [first] if first.day == 1 or (next_month - first).days >= ROOM_D else []
    day = first
    while (day := (day.replace(day=1) + 31 * ONE_DAY).replace(day=1)) <= last:
        starts.append(day)
    names = [format_date(day, "MMM", locale=figures.locale) for day in starts or [first]]
    axes.set_xticks([day.toordinal() for day in starts or [first]], names)
    axes.set_xlim(first.toordinal() - 1, last.toordinal() + 1)


def numbers(axes: "Axes", figures: Figures) -> None:
    """Numbers on the upright axis in the club's marks, alike in decimals, a hairline at each."""

    def told(value: float, _position: float) -> str:
        if axes.get_yscale() == "log":
            return figures.plain(value)
        return figures.fixed(value, decimals_of(list(axes.get_yticks())))

    axes.yaxis.set_major_formatter(told)
    axes.grid(axis="y")
    axes.spines["left"].set_visible(False)
    axes.tick_params(axis="y", length=0)


def decimals_of(ticks: Sequence[float]) -> int:
    """The decimals that tell evenly spaced marks apart."""
    step = abs(ticks[1] - ticks[0]) if len(ticks) > 1 else 1.0
    return next((n for n in range(6) if abs(round(step, n) - step) < 1e-9 * max(step, 1.0)), 6)


@dataclass(frozen=True, slots=True)
class Curve:
    """A line through points, named at its end, with a band from low to high where one is known."""

    label: str
    x: Sequence[float]
    y: Sequence[float]
    low: Sequence[float] | None = None
    high: Sequence[float] | None = None


STROKES = ((MAIN, "solid"), (SECOND, (0, (6, 2))), (INK, (0, (2, 2))))
"""Colour and dashes of the first, second and third line: dashes tell them apart in grey."""


def curves(axes: "Axes", lines: Sequence[Curve]) -> None:
    """Draw up to three curves, each with its band and its name at the end of the line."""
    for line, (colour, dashes) in zip(lines, STROKES, strict=False):
        if line.low is not None and line.high is not None:
            axes.fill_between(line.x, line.low, line.high, color=colour, alpha=0.2, linewidth=0)
        axes.plot(line.x, line.y, color=colour, linestyle=dashes, linewidth=2)
        if line.label:
            beside(axes, line.x[-1], line.y[-1], line.label)


HALO: Mapping[str, object] = {"facecolor": PAPER, "edgecolor": "none", "pad": 1}
"""Paper behind words, so that no hairline runs through them."""


def cut(words: str, inches: float) -> str:
    """Words shortened to a width as a common upright typeface has it."""
    if _inches(words) <= inches:
        return words
    return next(short for end in range(len(words) - 1, -1, -1)
                if _inches(short := words[:end].rstrip() + "…") <= inches)  # fmt: skip


def _inches(words: str) -> float:
    """How wide words run, a little on the safe side: the page's own typeface is not known."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import TextToPath

    font = FontProperties(family=["DejaVu Sans"], size=FONT_PT)
    width, _, _ = TextToPath().get_text_width_height_descent(words, font, ismath=False)
    return float(width) / 72


def beside(
    axes: "Axes", x: float, y: float, words: str, lean: str = "right", rise: float = 5
) -> None:
    """Words above a point; ``lean`` is the side of the words that stands at the point."""
    axes.annotate(
        words, (x, y), xytext=(0, rise), textcoords="offset points", ha=lean, va="bottom",
        annotation_clip=False, bbox=HALO,
    )  # fmt: skip


def finished(figure: "Figure", name: str, title: str, description: str) -> Chart:
    """A drawing made fit for a page: no outside names, its own ids, colours by variable, words."""
    import matplotlib as mpl

    mpl.rcParams["svg.hashsalt"] = f"waterkit-{name}"
    buffer = io.StringIO()
    figure.savefig(buffer, format="svg", metadata={"Date": None})
    root = Tree.fromstring(buffer.getvalue())  # noqa: S314 - our own drawing
    _strip(root)
    for element in root.iter():
        _adopt(element, name)
    root.attrib = {
        "viewBox": root.attrib["viewBox"],
        "role": "img",
        "aria-labelledby": f"{name}-title {name}-desc",
        "class": "drawing",
    }
    for place, (tag, words) in enumerate((("title", title), ("desc", description))):
        element = Tree.Element(tag, {"id": f"{name}-{tag}"})
        element.text = words
        root.insert(place, element)
    return Chart(title, description, Tree.tostring(root, encoding="unicode"))


def _strip(parent: Tree.Element) -> None:
    """Take out what only a file of its own needs."""
    for child in list(parent):
        _strip(child)
        empty = child.tag == f"{_SVG}defs" and len(child) == 0
        if child.tag in _DROPPED or empty:
            parent.remove(child)


def _adopt(element: Tree.Element, name: str) -> None:
    """Give an element names and colours that are at home in a page."""
    element.tag = element.tag.removeprefix(_SVG)
    if _LINK in element.attrib:
        element.set("href", element.attrib.pop(_LINK))
    for key, value in element.attrib.items():
        element.set(key, _at_home(key, value, name))
    fill = element.attrib.pop("fill", "")
    if fill:
        element.set("style", f"fill: {fill}; {element.get('style', '')}".rstrip("; "))


def _at_home(key: str, value: str, name: str) -> str:
    if key == "id":
        return f"{name}-{value}"
    if key == "href":
        return value.replace("#", f"#{name}-", 1)
    value = value.replace("url(#", f"url(#{name}-").replace("'DejaVu Sans'", "var(--sans)")
    for marker, colour in COLOURS.items():
        value = value.replace(marker, colour)
    return value
