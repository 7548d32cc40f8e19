"""club.toml and the files of scenarios as text, from the records."""

from collections.abc import Callable, Mapping
from dataclasses import is_dataclass
from typing import Any, get_args

from waterkit.club.club_file import BY_MONTH, FORMAT, HEAD
from waterkit.club.models import MONTHS, READERS, TAG, Slot, slots_of
from waterkit.club.pen import PLAIN, Pen, figure_text, plain_text, written_as
from waterkit.club.places import club_field, slots_for
from waterkit.club.scenarios import ScenarioKeys
from waterkit.club.schema import Club, Figure, Scenario
from waterkit.club.toml_text import number_text, toml_key, toml_value
from waterkit.water.limits import COMMON_LIMITS


def club_toml(club: Club, pen: Pen) -> str:
    """club.toml: plain keys first, then one table after the other."""
    plain = _key_lines(pen, "", {"format": FORMAT})
    tables: list[str] = []
    for slot in slots_of(HEAD).values():
        name = club_field(slot.key)
        if name not in Club.__dataclass_fields__:
            continue
        value = getattr(club, name)
        if is_dataclass(value):
            tables += _section(pen, f"[{slot.key}]", value, slot.key)
        elif slot.key == "limits":
            tables += _limits(pen, value)
        elif isinstance(value, tuple):
            tables += _rows(pen, slot.key, value)
        else:
            plain += _key_lines(pen, "", {slot.key: plain_text(value, slot)})
    return "\n".join([*plain, *tables]) + "\n"


def scenario_toml(scenario: Scenario) -> str:
    """A what-if: what it costs, and the keys that it lays over club.toml as they were read."""
    costs = {
        slot.key: plain_text(getattr(scenario, slot.attribute), slot)
        for slot in slots_of(ScenarioKeys).values()
        if hasattr(scenario, slot.attribute)
    }
    if scenario.life_seasons is not None:
        costs["life"] = f"{number_text(scenario.life_seasons)} seasons"
    keys = {**costs, "replace": scenario.replaces or None, **scenario.overlay}
    told = {key: value for key, value in keys.items() if value is not None}
    return "".join(f"{toml_key(key)} = {toml_value(value)}\n" for key, value in told.items())


def _limits(pen: Pen, limits: Mapping[Any, object]) -> list[str]:
    lines: list[str] = []
    for use, limit in limits.items():
        path = f"limits.{use}"
        if limit != COMMON_LIMITS[use] or pen.any_written(f"{path}."):
            lines += _section(pen, f"[{path}]", limit, path, "limits")
    return lines


def _rows(pen: Pen, key: str, records: tuple[Any, ...]) -> list[str]:
    lines: list[str] = []
    for number, record in enumerate(records, start=1):
        about = f"{key}.{record.kind}" if hasattr(record, TAG) else key
        lines += _section(pen, f"[[{key}]]", record, f"{key}.{number}", about)
    return lines


def _section(pen: Pen, head: str, record: object, path: str, about: str = "") -> list[str]:
    """A table of club.toml with its comments."""
    about = about or path
    return ["", *_comment(pen, about), head, *_key_lines(pen, about, _keys(pen, record, path))]


def _key_lines(pen: Pen, about: str, keys: Mapping[str, object]) -> list[str]:
    lines: list[str] = []
    for key, value in keys.items():
        told = _comment(pen, f"{about}.{key}" if about else key)
        if isinstance(value, Slot):  # left out; a comment may still ask for it
            lines += [*told, f"# {key} = {_blank(value)}"] if told else []
        else:
            lines += [*told, f"{toml_key(key)} = {toml_value(value)}"]
    return lines


def _comment(pen: Pen, about: str) -> list[str]:
    return [f"# {line}".rstrip() for line in pen.comments.get(about, "").splitlines()]


def _blank(slot: Slot) -> str:
    """What stands for a value that is still to be found out."""
    unit = slot.quantity.unit if slot.quantity else "1"
    return "..." if unit == "1" else f'"... {unit}"'


def _keys(pen: Pen, record: Any, path: str) -> dict[str, object]:
    """The keys of a record; a key that is left out holds its slot."""
    keys: dict[str, object] = {}
    for slot in slots_for(record).values():
        value, key = getattr(record, slot.attribute), slot.key
        if key == BY_MONTH:  # stands in place of the one temperature
            if value:
                months = {MONTHS[month - 1]: degrees for month, degrees in value.items()}
                keys["temperature"] = _of_mapping(pen, months, slot, f"{path}.temperature")
            continue
        written = _written(pen, value, slot, f"{path}.{key}")
        keys[key] = slot if written is None else written
    return keys


def _written(pen: Pen, value: Any, slot: Slot, path: str) -> object:
    """A value as club.toml holds it; None where the key is left out."""
    if value is None:
        return None
    if isinstance(value, Mapping):
        return _of_mapping(pen, value, slot, path) or None
    if slot.is_figure:
        return _figure(pen, value, slot, path)
    if isinstance(value, tuple) and _holds_tables(slot):
        return [_inline(pen, part, f"{path}.{row}") for row, part in enumerate(value, start=1)]
    return plain_text(value, slot)


def _holds_tables(slot: Slot) -> bool:
    part = get_args(slot.hint)[0]
    return is_dataclass(part) and part not in READERS


def _inline(pen: Pen, record: object, path: str) -> dict[str, object]:
    keys = _keys(pen, record, path)
    return {key: value for key, value in keys.items() if not isinstance(value, Slot)}


def _of_mapping(pen: Pen, value: Mapping[str, Any], slot: Slot, path: str) -> Mapping[str, object]:
    write = _share if slot.hint == Mapping[str, float] else _figure
    written = {key: write(pen, part, slot, f"{path}.{key}") for key, part in value.items()}
    return {key: figure for key, figure in written.items() if figure is not None}


def _share(pen: Pen, value: float, slot: Slot, path: str) -> object:
    """A part of one, written in hundredths; its range is in hundredths already."""
    percent = written_as(value, lambda number: number / 100, value * 100)
    return _with_range(pen.known(path, value), f"{number_text(percent)} %", _percent)


def _percent(number: float) -> str:
    return f"{number_text(number)} %"


def _figure(pen: Pen, value: Any, slot: Slot, path: str) -> object:
    known = pen.known(path, value)
    text = figure_text(known.value, slot, value) if known else None
    return _with_range(known, text, lambda number: figure_text(number, slot, value))


def _with_range(known: Figure | None, value: object, text: Callable[[float], object]) -> object:
    """A figure alone, or as a table with range, basis and note where it has any."""
    if known is None:
        return None
    extra = {
        "low": None if known.low is None else text(known.low),
        "high": None if known.high is None else text(known.high),
        "basis": None if known.basis == PLAIN else known.basis,
        "note": known.note or None,
    }
    told = {key: part for key, part in extra.items() if part is not None}
    return {"value": value, **told} if told else value
