"""The demo club as planned on the day of the sample pages."""

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
def figures(plan: SeasonPlan) -> Figures:
    return Figures.of(plan.club)
