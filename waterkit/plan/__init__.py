"""The plan: from a club to everything that its season asks for.

The season is loaded once somebody asks for it: whoever stands at the tank does not wait for it.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from waterkit.plan.season import SeasonPlan, plan_season

__all__ = ["SeasonPlan", "plan_season"]


def __getattr__(name: str) -> object:
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from waterkit.plan import season

    return getattr(season, name)
