"""The plan: from a club to everything that its season asks for."""

from waterkit.plan.season import SeasonPlan, plan_season

__all__ = ["SeasonPlan", "plan_season"]
