"""Which missing or assumed input would move the answer most: by planning with its low and high.

Each input is moved by itself, over the club's own range or, where it gives none, over a usual one.
The change of the season's litres, of the litres of a vessel and of the money tells how much it
matters.
"""

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Literal

from waterkit.club.columns import key_of
from waterkit.club.places import split_path, with_figure
from waterkit.club.schema import Club, Figure
from waterkit.errors import FieldError, InputError
from waterkit.plan.missing import missing_inputs
from waterkit.plan.season import SeasonPlan, plan_season
from waterkit.plan.usual import USUAL
from waterkit.quantities import REGISTER

MOST = 5
NOTICED = 0.002
"""Least share by which an input must move a result to be named."""
BY_ROW = ("items",)
"""Tables whose rows have nothing to do with each other; a column of any other moves as a whole."""
_WATER = ("feed", "processes", "load", "resin")
_BUILD = ("freezing", "steps", "white")
_PLAY = ("plays", "ice_days")
UNMOVED: Mapping[str, tuple[str, ...]] = {
    "items": (*_WATER, *_BUILD, *_PLAY, "demand", "plant", "handed", "supply", "facts"),
    "meters": (*_WATER, *_BUILD, *_PLAY, "demand", "plant", "handed", "supply", "facts"),
    "vessels": ("feed", *_BUILD, *_PLAY, "demand"),
    "train": ("feed", *_BUILD, *_PLAY, "demand"),
    "samples": (*_BUILD, *_PLAY, "demand"),
    "source": _PLAY,
    "pebble": (*_WATER, *_BUILD),
    "draws": (*_WATER, *_BUILD),
    "flush": (*_WATER, *_BUILD, *_PLAY),
    "rink": _WATER,
    **dict.fromkeys(("layers", "white", "boom", "chiller", "slab"), (*_WATER, *_PLAY)),
}
"""Steps of the plan that stay as they are when a part of the club is changed."""
AGREED = ("items.rate",)
"""Figures that are agreed once they are quoted: one exchange for each fill."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a plan comes to: treated water of the season and of one vessel [L], and money.

    A vessel's water is counted until its change. None where that cannot be worked out.
    """

    litres_di: float | None = None
    litres_to_change: float | None = None
    money: float | None = None

    @property
    def results(self) -> tuple[float | None, ...]:
        """All three, in order."""
        return self.litres_di, self.litres_to_change, self.money


@dataclass(frozen=True, slots=True)
class Advice:
    """One input worth finding out, and what the plan comes to with its low, as is, and its high.

    ``key`` tells how to find it out, ``path`` where it stands or belongs; ``own_range`` whether low
    and high are the club's. ``rows`` counts the rows of a table that share the figure.
    """

    key: str
    path: str
    file: str
    reason: Literal["missing", "assumed", "quoted"]
    low: Outcome
    likely: Outcome
    high: Outcome
    unit: str = ""
    value: float | None = None
    bounds: tuple[float, float] | None = None
    own_range: bool = False
    rows: int = 1
    line: int | None = None

    @property
    def moves(self) -> float:
        """The largest share by which a result changes from low to high."""
        results = (outcome.results for outcome in (self.low, self.likely, self.high))
        return max(_share(*three) for three in zip(*results, strict=True))


def advise(club: Club, as_of: dt.date, most: int = MOST) -> tuple[Advice, ...]:
    """The inputs that would move litres or money most, the first one most.

    What was quoted comes after what is missing or assumed.

    Raises
    ------
    InputError
        If the folder's errors leave neither litres nor money to be moved.
    """
    plan = plan_season(club, as_of)
    likely = outcome(plan)
    if likely == Outcome():
        raise InputError([problem for part in club.broken.values() for problem in part])
    found = [
        *_of_missing(plan, likely),
        *(one for group in groups(club.figures) for one in _of_group(plan, group, likely)),
    ]
    noticed = [one for one in found if one.moves >= NOTICED]
    noticed.sort(key=lambda one: (one.reason == "quoted", -one.moves))
    return tuple(noticed[:most])


def outcome(plan: SeasonPlan) -> Outcome:
    """What a plan comes to, as far as the folder's errors leave an answer."""
    return Outcome(
        _unless_broken(lambda: float(plan.supply.litres_di[0])),
        _unless_broken(lambda: plan.litres_to_change(plan.reaching)),
        _unless_broken(lambda: float(plan.totals.likely)),
    )


def replanned(plan: SeasonPlan, club: Club) -> SeasonPlan:
    """The plan of a changed club; what the change does not move is taken over."""
    changed = [
        field.name
        for field in fields(Club)
        if getattr(club, field.name) is not getattr(plan.club, field.name)
    ]
    stay = set.intersection(*(set(UNMOVED.get(name, ())) for name in changed)) if changed else set()
    moved = plan_season(club, plan.as_of)
    vars(moved).update({name: step for name, step in vars(plan).items() if name in stay})
    return moved


def _unless_broken(result: Callable[[], float | None]) -> float | None:
    try:
        return result()
    except InputError:
        return None


def _share(low: float | None, likely: float | None, high: float | None) -> float:
    """How far a result moves, as a share of what it likely is; all of it if that is not known."""
    told = [value for value in (low, likely, high) if value is not None]
    if likely is None:
        return 1.0 if told else 0.0
    return (max(told) - min(told)) / likely if likely else 0.0


def key_of_figure(path: str) -> str:
    """The key of :data:`USUAL` that a figure's path belongs to, but for the kind of a process."""
    file, _, column = split_path(path)
    if file:
        return f"{file.removesuffix('.csv')}.{key_of(column)}"
    parts = [part for part in path.split(".") if not part.isdigit()]
    return ".".join(parts[:2])


def _key(club: Club, path: str) -> str:
    table, _, rest = path.partition(".")
    number, _, key = rest.partition(".")
    if table == "train" and number.isdigit():
        return f"train.{club.train[int(number) - 1].kind}.{key.partition('.')[0]}"
    return key_of_figure(path)


def groups(figures: Iterable[Figure]) -> Iterator[tuple[Figure, ...]]:
    """Figures that are moved together: a column of a table, a figure of club.toml, a row's own."""
    found: dict[str, list[Figure]] = defaultdict(list)
    for figure in figures:
        file, _, column = split_path(figure.path)
        shared = file and file.removesuffix(".csv") not in BY_ROW
        if figure.basis != "measured":
            found[f"{file}:{column}" if shared else figure.path].append(figure)
    yield from map(tuple, found.values())


def _of_group(plan: SeasonPlan, group: Sequence[Figure], likely: Outcome) -> Iterator[Advice]:
    first = max(group, key=lambda figure: figure.basis == "assumed")
    key = _key(plan.club, first.path)
    if key not in USUAL or (key in AGREED and first.basis == "quoted" and not _own(first)):
        return
    ranges = [bounds_of(figure, key) for figure in group]
    if all(math.isclose(low, high) for low, high in ranges):
        return
    ends = []
    for end in (0, 1):
        moved = plan.club
        for figure, bounds in zip(group, ranges, strict=True):
            moved = with_figure(moved, figure.path, bounds[end])
        ends.append(_possible(plan, moved))
    if (low := ends[0]) is None or (high := ends[1]) is None:
        return
    same = len({figure.value for figure in group}) == 1
    yield Advice(
        key, first.path, first.file, "assumed" if first.basis == "assumed" else "quoted",
        low, likely, high, first.unit, first.value if same else None,
        bounds_of(first, key) if same else None, _own(first), len(group), first.line,
    )  # fmt: skip


def _own(figure: Figure) -> bool:
    return figure.low is not None or figure.high is not None


def bounds_of(figure: Figure, key: str) -> tuple[float, float]:
    """The figure's own range, else the usual one, cut at what the register calls plausible."""
    low, high = USUAL[key].around(figure.value)
    if _own(figure):
        low = figure.value if figure.low is None else figure.low
        high = figure.value if figure.high is None else figure.high
    plausible = next((q for q in REGISTER if q.unit == figure.unit and figure.unit != "1"), None)
    if plausible is None:
        return low, high
    return max(low, plausible.low), min(high, plausible.high)


def _possible(plan: SeasonPlan, club: Club) -> Outcome | None:
    """What a changed club comes to; None where such a club cannot be."""
    try:
        return outcome(replanned(plan, club))
    except (FieldError, ValueError):
        return None


def _of_missing(plan: SeasonPlan, likely: Outcome) -> Iterator[Advice]:
    for one in missing_inputs(plan.club, plan.as_of):
        low, high = (_possible(plan, changed) for changed in one.clubs)
        if low is not None and high is not None:
            known = one.low is not None and one.high is not None
            bounds = (one.low or 0.0, one.high or 0.0) if known else None
            yield Advice(
                one.key, one.path, one.file, "missing", low, likely, high, one.unit, None, bounds
            )
