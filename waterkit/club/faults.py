"""What pydantic finds wrong, told in the words of the club's files."""

import dataclasses
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, get_args

from pydantic_core import ValidationError

from waterkit.club.fields import FaultsError, Settings, did_you_mean, shown
from waterkit.club.models import TAG, Path, Slot, WrittenRecord, slots_of, tags_of
from waterkit.errors import FieldError
from waterkit.units import units_of

_QUOTED = re.compile(r"'([^']*)'")
_TABLE = ("a table", "write {head} with its keys below")
_SHAPES = {
    "list_type": ("a list", "put it in square brackets"),
    "model_type": _TABLE,
    "model_attributes_type": _TABLE,
    "dict_type": _TABLE,
}


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with a record: the path of written keys to it, what is wrong, the cure."""

    path: Path
    message: str
    hint: str


def validate(
    model: type[WrittenRecord], raw: Mapping[str, object], settings: Settings
) -> tuple[WrittenRecord | None, tuple[Fault, ...]]:
    """What a table or row says, or everything that is wrong with it."""
    try:
        return model.read(raw, settings), ()
    except ValidationError as error:
        details = error.errors(include_url=False)
        return None, tuple(fault for each in details for fault in _faults(model.record, each))


def _faults(record: type, detail: Any) -> Iterator[Fault]:
    around, path = _follow(record, detail["loc"])
    found = detail["input"]  # a cell may already hold what is wrong with it
    cause = found if isinstance(found, FieldError) else detail.get("ctx", {}).get("error")
    if isinstance(cause, FieldError):
        for one in cause.every if isinstance(cause, FaultsError) else (cause,):
            yield Fault((*path, one.field) if one.field else path, one.message, one.hint)
        return
    message, hint = _worded(around, path, detail)
    tagged = detail["type"].startswith("union_tag") and isinstance(found, Mapping) and TAG in found
    yield Fault((*path, TAG) if tagged else path, message, hint)


def _worded(record: type, path: Path, detail: Any) -> tuple[str, str]:
    kind, raw, context = detail["type"], detail["input"], detail.get("ctx", {})
    key = path[-1]
    slot = slots_of(record).get(str(key))
    if kind == "missing":
        return "is missing", _how_to_write(slot) if slot else ""
    if kind == "extra_forbidden":
        return "this key is not known", did_you_mean(str(key), slots_of(record))
    if kind == "literal_error":
        known = _QUOTED.findall(context["expected"])
        return f"{shown(raw)} is not one of the known words", did_you_mean(str(raw), known)
    if kind.startswith("union_tag"):
        return _worded_kind(raw, context)
    wanted, hint = _SHAPES.get(kind, ("what belongs here", ""))
    head = f"[[{path[-2]}]]" if isinstance(key, int) else f"[{key}]"
    return f"{shown(raw)} is not {wanted}", hint.format(head=head)


def _how_to_write(slot: Slot) -> str:
    if dataclasses.is_dataclass(slot.hint):
        return f"write [{slot.key}] with its keys below"
    if slot.quantity and slot.quantity.unit != "1":
        return f"write it in {units_of(slot.quantity)}"
    return "write a plain number" if slot.is_figure else "write it"


def _worded_kind(raw: object, context: Mapping[str, Any]) -> tuple[str, str]:
    known = _QUOTED.findall(context.get("expected_tags", ""))
    if not isinstance(raw, Mapping) or TAG not in raw:
        return f"the row has no {TAG}", f'write {TAG} = "di" or what else stands there'
    word = raw[TAG]
    return f"{shown(word)} is no {TAG} of process", did_you_mean(str(word), known)


def _follow(record: type, location: Path) -> tuple[type, Path]:
    """The record around a place that pydantic names, and the place without pydantic's own words."""
    around, candidates, path = record, [record], []
    for part in location:
        named = [one for one in candidates if part in slots_of(one)]
        if named:
            around = named[0]
            candidates = list(_records_in(slots_of(around)[str(part)].hint)) or [around]
        elif len(candidates) > 1 and isinstance(part, str):
            candidates = [one for one in candidates if part in tags_of(one)] or candidates
            continue
        elif part == "[key]":
            continue
        else:
            around = candidates[0]
        path.append(part)
    return around, tuple(path)


def _records_in(hint: Any) -> Iterator[type]:
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        yield hint
    for part in get_args(hint):
        yield from _records_in(part)
