"""The page that lists every key of club.toml and every column of the tables, from the records."""

import collections.abc
import dataclasses
import datetime as dt
import inspect
import re
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from typing import Annotated, Any, Literal, get_args, get_origin

from docs.tables import MADE, table
from waterkit.club.club_file import HEAD
from waterkit.club.columns import IN_CELL, title_of
from waterkit.club.models import Slot, slots_of
from waterkit.club.reading import TABLES
from waterkit.club.scenarios import ScenarioKeys
from waterkit.ice.layers import Area
from waterkit.ice.paint import Ratio
from waterkit.quantities import PERCENT, TEMPERATURE
from waterkit.treatment.ion_exchange import Endpoint
from waterkit.water.limits import COMMON_LIMITS
from waterkit.water.readings import Reading
from waterkit.water.sample import WaterTest

HEADS = ("holds", "if left out", "meaning")
WORDS = {
    str: "text", int: "whole number", bool: "true or false", float: "number", Decimal: "money",
    dt.datetime: "date and time",
    dt.date: "date", dt.time: "time", dt.date | int: "date or weekday",
    dt.date | str: "date or step",
    tuple[str, ...]: "names, with `;` between them",
    Area: "`sheets`, `floor`, or an area such as `120 m2`",
    Ratio: "such as `0.1 kg/L water` or `0.1 kg/L mix`",
    Endpoint: "such as `5 uS/cm`, `silica 0.5 mg/L`, `90 % of rated litres`",
    Mapping[int, Annotated[float, TEMPERATURE]]: "or by month: `{ jan = \"5 degC\", ... }`",
    Mapping[str, Annotated[float, PERCENT]]: "shares by ion: `{ Ca = \"97 %\", ... }`",
    Mapping[str, str]: "files: `{ \"vessels.csv\" = \"other-vessels.csv\" }`",
    Mapping[str, float]: "shares: `{ well = \"60 %\", ... }`",
}  # fmt: skip
WRITTEN_AS = {"by_month": "temperature"}  # a table of months in place of the one figure


def _holds(slot: Slot, in_table: bool) -> str:
    if slot.quantity is not None and get_origin(slot.hint) is not collections.abc.Mapping:
        unit = "" if slot.quantity.unit == "1" or in_table else f" [{slot.quantity.unit}]"
        return f"{slot.quantity.name}{unit}"
    return _words(slot.hint)


def _words(hint: Any) -> str:
    if hint in WORDS:
        return WORDS[hint]
    if get_origin(hint) is Literal:
        return ", ".join(f"`{word}`" for word in get_args(hint))
    if get_origin(hint) is tuple:
        return f"list: {_words(get_args(hint)[0])}"
    if dataclasses.is_dataclass(hint):
        keys = ", ".join(f"`{key}`" for key in slots_of(hint))  # type: ignore[arg-type]
        return f"table with {keys}"
    raise TypeError(f"no words for {hint!r}")


def _default(slot: Slot) -> str:
    value = slot.default
    if slot.required:
        return "**must be there**"
    if value is None or value in ("", (), {}):
        return ""
    unit = slot.quantity.unit if slot.quantity and slot.quantity.unit != "1" else ""
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {_shown(part)} {unit}".strip() for key, part in value.items())
    return f"{_shown(value)} {unit}".strip()


def _shown(value: Any) -> str:
    for kind, show in SHOWN.items():
        if isinstance(value, kind):
            return show(value)
    return str(value)


def _endpoint(mark: Endpoint) -> str:
    units = {"litres": "% of rated litres", "silica": "mg/L silica", "conductivity": "uS/cm"}
    return f"{mark.value:g} {units[mark.watched]}"


SHOWN: Mapping[type, Callable[[Any], str]] = {
    bool: lambda value: str(value).lower(),
    float: lambda value: f"{value:g}",
    Ratio: lambda value: f"{value.value_kg_l:g} kg/L {value.per}",
    Area: lambda value: value.of,
    Endpoint: _endpoint,
    tuple: lambda value: ", ".join(map(_shown, value)),
}


def meanings_of(record: type) -> dict[str, str]:
    """What a record's docstring says about its fields, by their names in the code."""
    docstring = inspect.getdoc(record) or ""
    _, _, section = docstring.partition("Parameters\n----------\n")
    found: dict[str, str] = {}
    for entry in re.split(r"\n(?=\S)", section):
        head, _, text = entry.partition("\n")
        plain = re.sub(r"\s*\[[^\]]*\]\.?$", "", " ".join(text.split())).rstrip(".")
        for name in head.partition(" : ")[0].split(","):
            found[name.strip()] = plain
    return found


def _summary(record: type) -> str:
    docstring = inspect.getdoc(record) or ""
    text = " ".join(docstring.partition("Parameters\n---")[0].split())
    return re.sub(r"``([^`]*)``", r"`\1`", text)


def _rows(record: type, in_table: bool) -> Iterator[tuple[str, ...]]:
    meanings = meanings_of(record)
    for key, slot in slots_of(record).items():
        name = _column(slot) if in_table else WRITTEN_AS.get(key, key)
        meaning = meanings.get(slot.attribute, "")
        yield f"`{name}`", _holds(slot, in_table), _default(slot), meaning


def _column(slot: Slot) -> str:
    unit = slot.quantity.unit if slot.quantity and slot.key not in IN_CELL else "1"
    return title_of(slot.key) + ("" if unit == "1" else f" [{unit}]")


def _toml_parts() -> Iterator[str]:
    plain: list[tuple[str, ...]] = []
    parts: list[str] = []
    for key, slot in slots_of(HEAD).items():
        hint = slot.hint
        inner = get_args(hint)[0] if get_origin(hint) is tuple else hint
        if key == "limits":
            parts.append(_limits())
        elif get_args(inner) and all(map(dataclasses.is_dataclass, get_args(inner))):
            for kind in get_args(inner):
                (word,) = get_args(slots_of(kind)["kind"].hint)
                parts.append(_section(f"`[[{key}]]` of kind `{word}`", kind))
        elif dataclasses.is_dataclass(inner):
            mark = f"`[[{key}]]`" if get_origin(hint) is tuple else f"`[{key}]`"
            parts.append(_section(mark, inner))  # type: ignore[arg-type]
        else:
            plain.append((f"`{key}`", _holds(slot, False), _default(slot), ""))
    yield f"### At the top of the file\n\n{table(('key', *HEADS), plain)}"
    yield from parts


def _limits() -> str:
    rows = [
        (f"`[limits.{use}]`", f"{limit.good_us_cm:g} uS/cm", f"{limit.act_us_cm:g} uS/cm",
         f"{limit.solids_mg_l:g} mg/L", f"{limit.hardness_mg_l:g} mg/L")
        for use, limit in COMMON_LIMITS.items()
    ]  # fmt: skip
    head = ("table", "`good`", "`act`", "`solids`", "`hardness`")
    text = "Up to `good` (at 25 degC) water is used, above `act` it is not; the defaults:"
    return f"### `[limits.USE]`\n\n{text}\n\n{table(head, rows)}"


def _section(heading: str, record: type) -> str:
    summary = _summary(record)
    return f"### {heading}\n\n{summary}\n\n{table(('key', *HEADS), _rows(record, False))}"


def _csv_parts() -> Iterator[str]:
    for name, record in {"water-tests": WaterTest, **TABLES, "readings": Reading}.items():
        rows = table(("column", *HEADS), _rows(record, True))
        yield f"### {name}.csv\n\n{_summary(record)}\n\n{rows}"


def keys_page() -> str:
    """Every key and every column that is read."""
    toml, tables = "\n".join(_toml_parts()), "\n".join(_csv_parts())
    return f"""# Keys and columns

{MADE}
All that this version reads, with its default. [folder.md](folder.md) tells how to write it. In the
tables, a heading may name any unit of the same kind in its brackets
([nomenclature.md](nomenclature.md)); beside a column `X` that holds a figure, `X low` and `X high`
may stand, and in any table `basis` and `note`.

## club.toml

{toml}
## scenarios/NAME.toml

Any key of club.toml but `format` and `[files]`, which it replaces, and these.

{table(("key", *HEADS), _rows(ScenarioKeys, False))}
## Tables

{tables}"""
