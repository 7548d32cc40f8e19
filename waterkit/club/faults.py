"""What pydantic finds wrong, told in the words of the club's files."""

import dataclasses
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, get_args

from pydantic import ValidationError

from waterkit.club.fields import Settings, did_you_mean, shown
from waterkit.club.models import TAG, Path, Slot, WrittenRecord, slots_of
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
        return model.model_validate(raw, context=settings), ()
    except ValidationError as error:
        details = error.errors(include_url=False)
        return None, tuple(_fault(model.record, detail) for detail in details)


def _fault(record: type, detail: Any) -> Fault:
    around, path = _follow(record, detail["loc"])
    found = detail["input"]  # a cell may already hold what is wrong with it
    cause = found if isinstance(found, FieldError) else detail.get("ctx", {}).get("error")
    if isinstance(cause, FieldError):
        return Fault((*path, cause.field) if cause.field else path, cause.message, cause.hint)
    message, hint = _worded(around, path, detail)
    return Fault(path, message, hint)


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
    return f"write it in {units_of(slot.quantity)}" if slot.quantity else "write it"


def _worded_kind(raw: object, context: Mapping[str, Any]) -> tuple[str, str]:
    word = str(raw.get(TAG, "")) if isinstance(raw, Mapping) else ""
    known = _QUOTED.findall(context.get("expected_tags", ""))
    if not word:
        return f"the row has no {TAG}", f'write {TAG} = "di" or what else stands there'
    return f"{word!r} is no {TAG} of process", did_you_mean(word, known)


def _follow(record: type, location: Path) -> tuple[type, Path]:
    """The record around a place that pydantic names, and the place without pydantic's own words."""
    around, candidates, path = record, [record], []
    for part in location:
        named = [one for one in candidates if part in slots_of(one)]
        if named:
            around = named[0]
            candidates = list(_records_in(slots_of(around)[str(part)].hint)) or [around]
        elif len(candidates) > 1 and isinstance(part, str):
            candidates = [one for one in candidates if part in _tags(one)] or candidates
            continue
        elif part == "[key]":
            continue
        else:
            around = candidates[0]
        path.append(part)
    return around, tuple(path)


def _tags(record: type) -> tuple[object, ...]:
    return get_args(slots_of(record)[TAG].hint)


def _records_in(hint: Any) -> Iterator[type]:
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        yield hint
    for part in get_args(hint):
        yield from _records_in(part)
