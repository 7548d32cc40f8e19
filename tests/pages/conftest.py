"""The demo club as planned on the day of the sample pages."""

import dataclasses
import datetime as dt
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.pages.phones import NOW, Card, Open, card_text, open_on, phone
from tests.pages.visits import CLUBS, Folders
from waterkit.club import read_club
from waterkit.pages import write_pages
from waterkit.pages.view.figures import Figures
from waterkit.plan import SeasonPlan, plan_season

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext

AS_OF = dt.date(2027, 8, 15)


@pytest.fixture(scope="session")
def plan(demo_folder: Path) -> SeasonPlan:
    return plan_season(read_club(demo_folder), AS_OF)


@pytest.fixture(scope="session")
def bare(plan: SeasonPlan) -> SeasonPlan:
    """The same club without resin, meters or white."""
    layers = tuple(row for row in plan.club.layers if row.kind != "white")
    train = tuple(process for process in plan.club.train if process.kind != "di")
    club = dataclasses.replace(plan.club, train=train, vessels=(), meters=(), layers=layers)
    return plan_season(club, AS_OF)


@pytest.fixture(scope="session")
def figures(plan: SeasonPlan) -> Figures:
    return Figures.of(plan.club)


@pytest.fixture(scope="session")
def folders(plan: SeasonPlan, tmp_path_factory: pytest.TempPathFactory) -> Folders:
    """Where the pages of a club are, written when they are first asked for."""

    @cache
    def written(club: str) -> Path:
        folder = tmp_path_factory.mktemp(club)
        write_pages(CLUBS[club](plan), folder, workings=club == "long")
        return folder

    return written


@pytest.fixture
def open_card(browser: "Browser", plan: SeasonPlan, tmp_path: Path) -> Iterator[Open]:
    """Opens the tank card of the demo club, with other settings, on a phone without a network."""
    contexts: list[BrowserContext] = []
    path = tmp_path / "tank-card.html"

    def open_(
        now: str = NOW, script: str = "", zone: str = "UTC", dark: bool = False,
        javascript: bool = True, **changes: Any,
    ) -> Card:  # fmt: skip
        path.write_text(card_text(plan, **changes), "utf-8")
        contexts.append(phone(browser, path, zone, dark, javascript))
        return open_on(contexts[-1], path, now if javascript else None, script)

    yield open_
    for context in contexts:
        context.close()
