"""A layer plan of common practice, for a club that has none of its own yet.

From bare slab to playing ice, some 5 to 6.5 m3 of treated water for a sheet. Every figure is common
practice, no source, and stands in for the club's own: whoever shows it says so.
"""

from waterkit.ice.layers import Area, Kind, LayerStep
from waterkit.ice.sheet import Rink

_SPRAY_LOSS, _FLOOD_LOSS = 7.5, 2.0


def default_layers(rink: Rink) -> tuple[LayerStep, ...]:
    """Steps of common practice; floods cover the floor where it was measured, else the sheets."""
    all_wet = Area("sheets" if rink.floor_m2 is None else "floor")
    return (*_base(all_wet), *_markings(), *_top(all_wet))


def _base(area: Area) -> tuple[LayerStep, ...]:
    """Bare slab to level ice, ready for white."""
    return (
        LayerStep("wash the slab", "wash", draws_from="feed", litres_per_pass_and_sheet_l=12.5),
        LayerStep("pull down", "pull-down"),
        _mist("seal the slab", area, 6, surface_c=-6.0, kind="mist", needs=("pull down",)),
        LayerStep(
            "edges and hack wells", "edges", litres_per_pass_and_sheet_l=2.5, passes=4,
            minimum_wait_h=0.1, surface_at_most_c=-6.0, needs=("pull down",), people=1,
        ),
        LayerStep(
            "heavier sprays", "spray", area=area, depth_per_pass_mm=0.35, passes=6,
            loss_percent=_SPRAY_LOSS, minimum_wait_h=0.4, surface_at_most_c=-6.0,
            needs=("seal the slab", "edges and hack wells"), people=2,
        ),
        _flood("first small flood", area, 0.9, 1, wait_h=1.0),
        _flood("second flood", area, 1.35, 1, wait_h=2.0),
        _flood("levelling floods", area, 2.15, 5, wait_h=6.0),
        LayerStep("scrape, pull colder", "scrape", minimum_wait_h=12.0),
    )  # fmt: skip


def _markings() -> tuple[LayerStep, ...]:
    """White, houses and lines, on the sheets only."""
    sheets = Area("sheets")
    return (
        LayerStep(
            "white", "white", minimum_wait_h=0.25, surface_at_most_c=-8.0, water_c=10.0, people=4
        ),
        _mist("seal the white", sheets, 5, surface_c=-8.0),
        LayerStep("lay out", "lay-out", minimum_wait_h=4.0, people=4),
        LayerStep(
            "set the hacks", "hacks", litres_per_pass_and_sheet_l=3.5, minimum_wait_h=1.5, people=2
        ),
        LayerStep(
            "houses", "houses", litres_per_pass_and_sheet_l=10.0, passes=2, minimum_wait_h=0.7,
            people=6,
        ),
        LayerStep(
            "lines", "lines", litres_per_pass_and_sheet_l=10.0, minimum_wait_h=0.1,
            needs=("set the hacks", "lay out"), people=6,
        ),
        _mist("seal the markings", sheets, 12, surface_c=-6.0, needs=("houses", "lines")),
    )  # fmt: skip


def _top(area: Area) -> tuple[LayerStep, ...]:
    """Clear ice over the markings, and the first pebble."""
    return (
        _flood("small floods over the markings", area, 0.85, 2, wait_h=1.5),
        _flood("top floods", area, 2.15, 2, wait_h=6.0),
        LayerStep("scrape before the last flood", "scrape", minimum_wait_h=1.0, people=2),
        _flood("last flood, hall warmed", area, 2.15, 1, wait_h=12.0, surface_c=-4.0),
        LayerStep("clean scrape", "scrape", minimum_wait_h=1.0, people=2),
        LayerStep(
            "levelling pebble and scrapes", "pebble", litres_per_pass_and_sheet_l=6.5, passes=6,
            loss_percent=15.0, minimum_wait_h=0.25, surface_at_most_c=-5.0, people=2,
        ),
        LayerStep(
            "game pebble", "pebble", litres_per_pass_and_sheet_l=4.5, loss_percent=15.0,
            minimum_wait_h=0.1, surface_at_most_c=-4.0, water_c=45.0, people=1,
        ),
    )  # fmt: skip


def _mist(
    name: str,
    area: Area,
    passes: int,
    surface_c: float,
    needs: tuple[str, ...] = (),
    kind: Kind = "seal",
) -> LayerStep:
    return LayerStep(
        name, kind, area=area, depth_per_pass_mm=0.065,
        passes=passes, loss_percent=_SPRAY_LOSS, minimum_wait_h=0.05, surface_at_most_c=surface_c,
        needs=needs, people=2,
    )  # fmt: skip


def _flood(
    name: str, area: Area, depth_mm: float, passes: int, wait_h: float, surface_c: float = -5.0
) -> LayerStep:
    return LayerStep(
        name, "flood", area=area, depth_per_pass_mm=depth_mm, passes=passes,
        loss_percent=_FLOOD_LOSS, minimum_wait_h=wait_h, surface_at_most_c=surface_c, people=2,
    )  # fmt: skip
