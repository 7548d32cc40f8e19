"""Clubs whose pages are opened in a browser, and how a page is opened."""

import dataclasses
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from waterkit import read_club
from waterkit.club.starting import read_hardness, season_after, write_start
from waterkit.errors import Problem
from waterkit.ice.layers import LayerStep
from waterkit.ice.paint import Ratio
from waterkit.plan import SeasonPlan, plan_season

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

NASTY = "<b>&\"'</b><script>document.title = 'taken over'</script>"
LONG = "Donaudampfschifffahrtsgesellschaft" * 6
LAPTOP = 1280


def _named(plan: SeasonPlan, name: str) -> SeasonPlan:
    """The plan of a club whose every name is bad news for a page."""
    club = plan.club
    first, *items = club.items
    step, *layers = club.layers
    sample, *samples = club.samples
    meters = tuple(dataclasses.replace(meter, name=name) for meter in club.meters)
    offers = tuple(
        dataclasses.replace(o, item=name if o.item == first.item else o.item, supplier=name)
        for o in club.offers
    )
    named = dataclasses.replace(
        club,
        name=name,
        items=(dataclasses.replace(first, item=name), *items),
        layers=(dataclasses.replace(step, step=name), *(_after(row, step, name) for row in layers)),
        samples=(dataclasses.replace(sample, sample=name), *samples),
        people=dataclasses.replace(club.people, release=name),
        white=dataclasses.replace(club.white, powder=name),
        figures=tuple(dataclasses.replace(figure, note=name) for figure in club.figures),
        meters=meters,
        offers=offers,
    )
    return plan_season(named, plan.as_of)


def _after(row: LayerStep, step: LayerStep, name: str) -> LayerStep:
    needs = tuple(name if need == step.step else need for need in row.needs)
    return dataclasses.replace(row, needs=needs)


def _as(plan: SeasonPlan, **changes: object) -> SeasonPlan:
    """The plan of the club with other settings."""
    return plan_season(dataclasses.replace(plan.club, **changes), plan.as_of)  # type: ignore[arg-type]


def _many(plan: SeasonPlan, count: int) -> SeasonPlan:
    """The plan of a club with so many items."""
    items = tuple(
        dataclasses.replace(plan.club.items[n % len(plan.club.items)], item=f"item {n}")
        for n in range(count)
    )
    offers = tuple(
        dataclasses.replace(plan.club.offers[0], item=item.item, unit=item.unit) for item in items
    )
    return plan_season(dataclasses.replace(plan.club, items=items, offers=offers), plan.as_of)


def _tall(plan: SeasonPlan) -> SeasonPlan:
    """The plan of a club that has so much to remark that rows run over many lines."""
    figures = tuple(
        dataclasses.replace(
            figure, note=f"{figure.path}: " + "asked once more and written down " * 9
        )
        for figure in plan.club.figures
    )
    return _as(plan, figures=figures)


def _broken(plan: SeasonPlan) -> SeasonPlan:
    """The plan of a club with an error in its layers and one in its offers."""
    errors = {part: (Problem(f"{part}.csv", "broken", line=2),) for part in ("layers", "offers")}
    return plan_season(dataclasses.replace(plan.club, broken=errors), plan.as_of)


def _new(plan: SeasonPlan) -> SeasonPlan:
    """The plan of a club that has only just begun its folder."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "club"
        test = read_hardness("360 mg/L as CaCO3", plan.as_of)
        write_start(path, 3, test, season_after(plan.as_of))
        return plan_season(read_club(path), plan.as_of)


CLUBS: dict[str, Callable[[SeasonPlan], SeasonPlan]] = {
    "demo": lambda plan: plan,
    "nasty": lambda plan: _named(plan, NASTY),
    "long": lambda plan: _named(plan, LONG),
    "none": lambda plan: _many(plan, 0),
    "many": lambda plan: _many(plan, 300),
    "tall": _tall,
    "broken": _broken,
    "new": _new,
    "German": lambda plan: _as(plan, locale="de_DE"),
    "US": lambda plan: _as(plan, display="us", locale="en_US"),
    "per mix": lambda plan: _as(
        plan, white=dataclasses.replace(plan.club.white, ratio=Ratio(0.12, "mix"), scale_g=50.0)
    ),
}
Folders = Callable[[str], Path]


class Visit:
    """A page opened from its file, with all that it asked for and said."""

    def __init__(self, browser: "Browser", path: Path) -> None:
        self.requests: list[str] = []
        self.said: list[str] = []
        self.address = path.as_uri()
        self.page: Page = browser.new_page(viewport={"width": LAPTOP, "height": 800})
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.goto(self.address)

    def __enter__(self) -> "Visit":
        return self

    def __exit__(self, *_: object) -> None:
        self.page.close()
