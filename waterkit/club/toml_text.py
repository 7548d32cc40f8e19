"""Values as TOML text: the syntax only."""

import datetime as dt
import json
import re
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_LONGEST = 80


def number_text(value: float) -> str:
    """A number with all its digits and none besides: ``25``, ``0.065``, ``1e-07``."""
    return repr(float(value)).removesuffix(".0")


def toml_key(key: str) -> str:
    """A key, in quotes where it needs them."""
    return key if _BARE.fullmatch(key) else _quoted(key)


def toml_value(value: object) -> str:
    """A value of a key; a list of tables stands on several lines."""
    for kind, text in _TEXTS.items():
        if isinstance(value, kind):
            return text(value)
    raise TypeError(f"TOML has no form for {value!r}")


def _inline(table: Mapping[str, object]) -> str:
    pairs = (f"{toml_key(str(key))} = {toml_value(part)}" for key, part in table.items())
    return f"{{ {', '.join(pairs)} }}"


def _listed(values: Sequence[object]) -> str:
    parts = [toml_value(value) for value in values]
    if sum(map(len, parts)) <= _LONGEST and not any(part.startswith("{") for part in parts):
        return f"[{', '.join(parts)}]"
    return "[\n" + "".join(f"  {part},\n" for part in parts) + "]"


def _quoted(text: str) -> str:
    """A basic string; JSON escapes what TOML wants escaped, but for the last control character."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


_TEXTS: Mapping[type | tuple[type, ...], Callable[[Any], str]] = {
    bool: lambda value: str(value).lower(),
    str: _quoted,
    Decimal: lambda value: format(value, "f"),
    int: str,
    float: number_text,
    (dt.date, dt.time): lambda value: value.isoformat(),
    Mapping: _inline,
    (list, tuple): _listed,
}
"""How each kind of value is written; the first kind that fits counts."""
