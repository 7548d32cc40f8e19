"""Where a figure of the club stands: from its path to its record and back."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import is_dataclass, replace
from typing import Any

from waterkit.club.club_file import BY_MONTH, HEAD
from waterkit.club.columns import key_of
from waterkit.club.models import MONTHS, Slot, slots_of
from waterkit.club.schema import Club, Figure
from waterkit.club.water_tests import TESTS_FILE
from waterkit.ice.paint import Ratio
from waterkit.water.ions import SPECIES
from waterkit.water.sample import Sample

ANALYTE_FIELDS = {
    "alkalinity": "alkalinity_meq_l",
    "hardness": "hardness_mg_l_caco3",
    "pH": "ph",
    "temperature": "temperature_c",
    "conductivity": "conductivity_us_cm",
    "TDS": "tds_mg_l",
}
"""Fields of a sample that hold an analyte of their own."""


def slots_for(record: object) -> Mapping[str, Slot]:
    """The fields of a record by their written keys."""
    kind: type = type(record)
    return slots_of(kind)


def club_field(key: str) -> str:
    """The field of the club that a table of club.toml is read into: ``meter`` is ``meters``."""
    return key if key in Club.__dataclass_fields__ else f"{key}s"


def split_path(path: str) -> tuple[str, str, str]:
    """File, place and column of a table's figure; a key of club.toml has no place and column."""
    file, mark, rest = path.partition(":")
    if not mark or not file.endswith(".csv"):
        return "", "", ""
    place, _, column = rest.rpartition(":")
    return file, place, column


def places_of(file: str, records: Sequence[Any], figures: Iterable[Figure]) -> list[str]:
    """The place of each row of a table, as its figures' paths name it.

    A row is called by its first field; where several rows share that, by the line it stood in,
    which is found by its figures. A row without figures of its own has no place then.
    """
    found: dict[str, dict[str, float]] = {}
    for figure in figures:
        of, place, column = split_path(figure.path)
        if of == file:
            found.setdefault(place, {})[key_of(column)] = figure.value
    names = [_name(record) for record in records]
    count = Counter(names)
    own = {name for name in names if count[name] == 1 and name in found}
    others = {place: values for place, values in found.items() if place not in own}
    return [
        name if name in own else _take(others, record)
        for name, record in zip(names, records, strict=True)
    ]


def _name(record: Any) -> str:
    return str(getattr(record, next(iter(slots_for(record).values())).attribute))


def _take(places: dict[str, dict[str, float]], record: Any) -> str:
    """The first place that holds just the figures of a record; it is used up."""
    slots = slots_for(record)
    for place, values in places.items():
        if all(key in slots and value_at(record, key) == told for key, told in values.items()):
            del places[place]
            return place
    return ""


def value_at(record: Any, key: str) -> float | None:
    """The figure that a record holds under a written key."""
    value: Any = getattr(record, slots_for(record)[key].attribute)
    return value.value_kg_l if isinstance(value, Ratio) else value


def with_figure(club: Club, path: str, value: float) -> Club:
    """The club with another value for one of its figures, found by the figure's path.

    Raises
    ------
    KeyError
        If the club has no such figure.
    """
    file, place, column = split_path(path)
    if not file:
        key, *rest = path.split(".")
        if key not in slots_of(HEAD):
            raise KeyError(path)
        name = club_field(key)
        return replace(club, **{name: _changed(getattr(club, name), rest, value)})
    if file == TESTS_FILE:
        return _with_analyte(club, place, column, value)
    name = file.removesuffix(".csv")
    rows = getattr(club, name)
    places = places_of(file, rows, club.figures)
    if place not in places:
        raise KeyError(path)
    row = places.index(place)
    moved = _changed(rows[row], [key_of(column)], value)
    changed: dict[str, Any] = {name: (*rows[:row], moved, *rows[row + 1 :])}
    return replace(club, **changed)


def _with_analyte(club: Club, sample: str, analyte: str, value: float) -> Club:
    samples = list(club.samples)
    for number, one in enumerate(samples):
        if one.sample == sample and analyte in measured_in(one):
            samples[number] = with_analyte(one, analyte, value)
            return replace(club, samples=tuple(samples))
    raise KeyError(analyte)


def measured_in(sample: Sample) -> dict[str, float]:
    """Everything that a sample tells, by analyte, in core units."""
    told = {key: getattr(sample, name) for key, name in ANALYTE_FIELDS.items()}
    plain = {key: value for key, value in told.items() if value is not None}
    return {**sample.mmol_l, **plain, **sample.others}


def with_analyte(sample: Sample, analyte: str, value: float) -> Sample:
    """The sample with one analyte set, in its core unit."""
    if analyte in ANALYTE_FIELDS:
        return replace(sample, **{ANALYTE_FIELDS[analyte]: value})  # type: ignore[arg-type]
    if analyte in SPECIES:
        return replace(sample, mmol_l={**sample.mmol_l, analyte: value})
    return replace(sample, others={**sample.others, analyte: value})


def _changed(part: Any, path: Sequence[Any], value: float) -> Any:
    """A part of the club with another value at a path of written keys."""
    if not path:
        return replace(part, value_kg_l=value) if isinstance(part, Ratio) else value
    key, *rest = path
    if isinstance(part, tuple):
        number = int(key) - 1
        return (*part[:number], _changed(part[number], rest, value), *part[number + 1 :])
    if isinstance(part, Mapping):
        if key not in part:  # a name with a point in it
            key, rest = ".".join(path), []
        return {**part, key: _changed(part[key], rest, value)}
    if not is_dataclass(part):
        raise KeyError(key)
    if rest and rest[0] in MONTHS and BY_MONTH in slots_for(part):
        key, rest = BY_MONTH, [MONTHS.index(rest[0]) + 1]
    record: Any = part
    name = slots_for(record)[key].attribute
    return replace(record, **{name: _changed(getattr(record, name), rest, value)})
