"""The demo club as planned on the day of the sample pages."""

import dataclasses
import datetime as dt
from pathlib import Path

import pytest

from waterkit.club import read_club
from waterkit.pages.view.figures import Figures
from waterkit.plan import SeasonPlan, plan_season

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
