import dataclasses
import re
from xml.etree import ElementTree

import pytest

from waterkit.pages import charts
from waterkit.pages.charts import Chart
from waterkit.pages.view.figures import Figures
from waterkit.plan import SeasonPlan

DRAWINGS = [charts.resin_left, charts.water_by_week]


@pytest.fixture(params=DRAWINGS, ids=lambda draw: str(draw.__name__))
def chart(request: pytest.FixtureRequest, plan: SeasonPlan, figures: Figures) -> Chart:
    drawn = request.param(plan, figures)
    assert isinstance(drawn, Chart)
    return drawn


def test_a_chart_tells_what_it_shows(chart: Chart) -> None:
    root = ElementTree.fromstring(chart.svg)  # noqa: S314 - our own drawing
    assert root.get("role") == "img"
    words = {
        element.get("id"): element.text for element in root if element.tag in ("title", "desc")
    }
    assert [words[name] for name in (root.get("aria-labelledby") or "").split()] == [
        chart.title,
        chart.description,
    ]


def test_a_chart_has_colours_of_the_page_only_and_names_nothing_outside(chart: Chart) -> None:
    assert not re.findall(r"#[0-9a-fA-F]{6}\b", chart.svg)
    assert "http" not in chart.svg
    assert "<metadata" not in chart.svg
    assert "<text" in chart.svg  # letters stay letters
    assert set(re.findall(r"var\((--[\w-]+)\)", chart.svg)) <= {
        name[4:-1] for name in charts.COLOURS.values()
    }


def test_ids_are_the_charts_own_and_resolve(chart: Chart) -> None:
    ids = re.findall(r'\bid="([^"]+)"', chart.svg)
    assert len(ids) == len(set(ids))
    used = re.findall(r'href="#([^"]+)"', chart.svg) + re.findall(r"url\(#([^)]+)\)", chart.svg)
    assert set(used) <= set(ids)
    assert len({name.split("-")[0] for name in ids}) == 1


@pytest.mark.parametrize("draw", DRAWINGS)
def test_the_same_plan_gives_the_same_bytes_whatever_the_machine_is_set_to(
    draw: object, plan: SeasonPlan, figures: Figures
) -> None:
    import matplotlib as mpl

    first = draw(plan, figures)  # type: ignore[operator]
    with mpl.rc_context({"font.size": 30, "axes.grid": True, "svg.fonttype": "path"}):
        second = draw(plan, figures)  # type: ignore[operator]
        assert mpl.rcParams["font.size"] == 30
    assert first == second


def test_a_changeout_stands_in_the_description(plan: SeasonPlan, figures: Figures) -> None:
    chart = charts.resin_left(plan, figures)
    assert chart is not None
    assert figures.day(plan.supply.change_days()[0]) in chart.description


def test_without_a_vessel_there_is_no_resin_chart(plan: SeasonPlan, figures: Figures) -> None:
    assert charts.resin_left(dataclasses.replace(plan, resin=None), figures) is None
