"""waterkit plans the water of a small curling club: resin, layers, paint, pebble and purchases.

Three functions are for notebooks and scripts. Each loads what it needs when it is called, so that
``import waterkit`` costs nothing.
"""

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from waterkit.club.schema import Club
    from waterkit.plan import SeasonPlan

__version__ = "0.1.0"
__all__ = ["__version__", "plan_season", "read_club", "write_pages"]


def read_club(folder: str | Path) -> "Club":
    """Read a club's folder; raise :class:`waterkit.errors.InputError` if it holds an error."""
    from waterkit import club

    return club.read_club(Path(folder))


def plan_season(club: "Club", as_of: dt.date) -> "SeasonPlan":
    """Plan the season of a club as it stands on the day ``as_of``."""
    from waterkit import plan

    return plan.plan_season(club, as_of)


def write_pages(season_plan: "SeasonPlan", folder: str | Path) -> "list[Path]":
    """Write every page of a plan into ``folder`` and return the files written."""
    from waterkit import pages

    return pages.write_pages(season_plan, Path(folder))
