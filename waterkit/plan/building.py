"""The build: layers with their water and hours, and what the plant can freeze."""

from dataclasses import replace

from waterkit.club.schema import Club
from waterkit.ice.common_layers import default_layers
from waterkit.ice.freezing import PlantRate, plant_rate_l_h
from waterkit.ice.layers import LayerStep, step_hours, step_water
from waterkit.season.build import PlannedStep, schedule


def plan_freezing(club: Club) -> PlantRate:
    """What the plant freezes in an hour, as measured or from its kilowatts."""
    chiller = club.chiller
    return plant_rate_l_h(
        chiller.freeze_test_l_h,
        chiller.spare_kw,
        chiller.capacity_kw,
        chiller.standing_load_kw,
        club.source.temperature_on(club.season.first_draw),
        club.rink.sheets,
    )


def plan_build(club: Club, freezing: PlantRate) -> tuple[PlannedStep, ...]:
    """The steps of the layer plan with water, hours and dates."""
    planned = []
    for row in (_pulled_down(row, club) for row in club.layers or default_layers(club.rink)):
        water = step_water(row, club.rink, club.white)
        hours = step_hours(water, row, freezing.litres_per_hour, club.boom)
        planned.append(PlannedStep(row, water, hours))
    return schedule(planned, club.season, club.timezone)


def _pulled_down(row: LayerStep, club: Club) -> LayerStep:
    if row.kind != "pull-down" or row.minimum_wait_h:
        return row
    return replace(row, minimum_wait_h=club.chiller.pull_down_d * 24)
