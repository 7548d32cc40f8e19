import datetime as dt
import re
from xml.etree import ElementTree

import pytest

from waterkit.pages import drawing
from waterkit.pages.drawing import Chart, Curve, beside, curves, finished, frame, months
from waterkit.pages.view.figures import Figures

FIRST, LAST = dt.date(2027, 9, 13), dt.date(2028, 3, 26)


def drawn(words: str = "words", locale: str = "en") -> Chart:
    """One drawing with everything the helpers make: a band, three lines, words, months."""
    days = [FIRST.toordinal(), LAST.toordinal()]
    with drawing.drawing() as figure:
        axes = frame(figure)
        lines = [Curve(f"line {n}", days, [n, n + 1.0]) for n in range(1, 4)]
        curves(axes, [Curve("band", days, [4.0, 5.0], [3.0, 4.0], [5.0, 6.0]), *lines[:2]])
        beside(axes, days[0], 2.0, words, "left")
        drawing.numbers(axes, Figures(locale=locale))
        months(axes, FIRST, LAST, Figures(locale=locale))
        return finished(figure, "sketch", "Title & more", "What it <shows>.")


def test_a_drawing_tells_what_it_shows() -> None:
    root = ElementTree.fromstring(drawn().svg)  # noqa: S314 - our own drawing
    assert root.get("role") == "img"
    told = {each.get("id"): each.text for each in root if each.tag in ("title", "desc")}
    names = (root.get("aria-labelledby") or "").split()
    assert [told[name] for name in names] == ["Title & more", "What it <shows>."]


def test_colours_are_the_pages_own_and_nothing_outside_is_named() -> None:
    svg = drawn().svg
    assert not re.findall(r"#[0-9a-fA-F]{6}\b", svg)
    assert not re.findall(r"http|<metadata|<style|DejaVu|xmlns", svg)
    variables = set(re.findall(r"var\((--[\w-]+)\)", svg)) - {"--sans"}
    assert variables <= {name[4:-1] for name in drawing.COLOURS.values()}


def test_ids_are_the_drawings_own_and_resolve() -> None:
    svg = drawn().svg
    ids = re.findall(r'\bid="([^"]+)"', svg)
    assert len(ids) == len(set(ids))
    assert all(name.startswith("sketch-") for name in ids)
    used = re.findall(r'href="#([^"]+)"', svg) + re.findall(r"url\(#([^)]+)\)", svg)
    assert set(used) <= set(ids)


def test_letters_stay_letters_and_months_are_named_in_the_locale() -> None:
    svg = drawn(locale="de_DE").svg
    shown = re.findall(r"<text[^>]*>([^<]*)</text>", svg)
    assert {"band", "line 1", "line 2", "words", "Okt.", "März"} <= set(shown)


@pytest.mark.parametrize(
    "words", ["costs $5 and $6", '#010203 id="x" href="#y"', "<b>&\"'", "日本 🧹", "a_b^c \\frac"]
)
def test_words_of_people_come_through_unchanged(words: str) -> None:
    root = ElementTree.fromstring(drawn(words).svg)  # noqa: S314 - our own drawing
    assert words in [each.text for each in root.iter("text")]


def test_a_band_is_drawn_from_low_to_high() -> None:
    assert drawn().svg.count("fill-opacity: 0.2") == 1


def test_what_the_machine_is_set_to_changes_nothing() -> None:
    import matplotlib as mpl

    first = drawn()
    with mpl.rc_context({"font.size": 30, "axes.grid": True, "svg.fonttype": "path"}):
        second = drawn()
        assert mpl.rcParams["font.size"] == 30
    assert first == second


def _months(first: dt.date) -> list[str]:
    with drawing.drawing() as figure:
        axes = frame(figure)
        months(axes, first, LAST, Figures())
        return [label.get_text() for label in axes.get_xticklabels()]


def test_the_month_of_the_first_day_is_named_where_it_has_room() -> None:
    assert _months(FIRST)[:2] == ["Sep", "Oct"]
    assert _months(dt.date(2027, 9, 1))[:2] == ["Sep", "Oct"]
    assert _months(dt.date(2027, 9, 25))[:2] == ["Oct", "Nov"]


@pytest.mark.parametrize(
    ("ticks", "decimals"),
    [([0.0, 1000.0], 0), ([1.0, 1.1, 1.2], 1), ([0.0, 0.25, 0.5], 2), ([3.0], 0)],
)
def test_the_numbers_of_an_axis_are_alike_in_decimals(ticks: list[float], decimals: int) -> None:
    assert drawing.decimals_of(ticks) == decimals


def test_words_are_cut_by_their_width_and_not_by_their_letters() -> None:
    wide, narrow = drawing.cut("W" * 60, 2.0), drawing.cut("i" * 60, 2.0)
    assert wide.endswith("…")
    assert len(narrow) > 2 * len(wide)
    assert drawing.cut("lines", 2.0) == "lines"
