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
MAIN, SECOND, SOFT = "#010211", "#010212", "#010213"
COLOURS: Mapping[str, str] = {
    INK: "var(--ink)",
    PAPER: "var(--paper)",
    GRID: "var(--line)",
    QUIET: "var(--quiet)",
    MAIN: "var(--main)",
    SECOND: "var(--second)",
    SOFT: "var(--soft)",
}
"""Marker colours that matplotlib draws with, and the style variables that replace them.

No drawing tells things apart by colour alone: each has its words beside it.
"""
_SVG, _LINK = "{http://www.w3.org/2000/svg}", "{http://www.w3.org/1999/xlink}href"
_DROPPED = {f"{_SVG}metadata", f"{_SVG}style"}
_RC: Mapping[str, object] = {
    "svg.fonttype": "none",
    "text.parse_math": False,
    "font.family": ["DejaVu Sans"],
    "font.size": 11,
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


@contextmanager
def drawing(width: float = 8.0, height: float = 3.2) -> "Iterator[Figure]":
    """An empty drawing [inch] under our own settings, whatever the machine's own are."""
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(), warnings.catch_warnings():
        warnings.filterwarnings("ignore", "Glyph .* missing from", UserWarning)
        mpl.rcdefaults()
        mpl.rcParams.update(_RC)  # type: ignore[arg-type]
        yield Figure(figsize=(width, height))


def frame(
    figure: "Figure", left: float = 0.8, right: float = 0.2, top: float = 0.3, bottom: float = 0.35
) -> "Axes":
    """Axes with margins of a fixed size [inch], so that nothing has to be measured."""
    width, height = figure.get_size_inches()
    span = ((width - left - right) / width, (height - top - bottom) / height)
    return figure.add_axes((left / width, bottom / height, *span))


def months(axes: "Axes", first: dt.date, last: dt.date, figures: Figures) -> None:
    """Name each month that begins between two days in the club's locale."""
    from babel.dates import format_date

    starts = [first] if first.day == 1 else []
    day = first
    while (day := (day.replace(day=1) + 31 * ONE_DAY).replace(day=1)) <= last:
        starts.append(day)
    names = [format_date(day, "MMM", locale=figures.locale) for day in starts or [first]]
    axes.set_xticks([day.toordinal() for day in starts or [first]], names)
    axes.set_xlim(first.toordinal() - 1, last.toordinal() + 1)


def numbers(axes: "Axes", figures: Figures) -> None:
    """Numbers on the upright axis in the club's marks, with a hairline at each."""
    axes.yaxis.set_major_formatter(lambda value, _position: figures.plain(value))
    axes.grid(axis="y")
    axes.spines["left"].set_visible(False)
    axes.tick_params(axis="y", length=0)


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


def beside(axes: "Axes", x: float, y: float, words: str, lean: str = "right") -> None:
    """Words just above a point; ``lean`` is the side of the words that stands at the point."""
    axes.annotate(
        words, (x, y), xytext=(0, 5), textcoords="offset points", ha=lean, va="bottom",
        annotation_clip=False,
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
