"""A figure as a laboratory's sheet writes it: a number, '<' and a limit, or a range."""

import re

from waterkit.errors import FieldError
from waterkit.units import UnitError, parse_number

RANGE = re.compile(r"(<?\d+(?:\.\d+)?)\s*(?:-|\u2013|to)\s*(\d+(?:\.\d+)?)")
_BELOW = "below detection is written '<' and the limit, for example <0.05"
_NOT_DETECTED = re.compile(
    r"(?:n\.?\s?d\.?|b\.?d\.?l\.?|not? detected|not? det\.|below detection.*|traces?|none.*|-+)",
    re.IGNORECASE,
)
_WITH_RANGE = re.compile(r"[\d.]+\s*\(\s*([\d.]+)\s*(?:-|\u2013|to)\s*([\d.]+)\s*\)")


def read_value(text: str, key: str, called: str) -> tuple[float, bool]:
    """A written figure, and whether it is half a limit of detection.

    Parameters
    ----------
    text : str
        What stands in the cell.
    key, called : str
        The analyte, and how it is called.

    Returns
    -------
    tuple of float and bool
        The number, half of the limit where it is below detection, in the unit that stands beside
        it; and whether it is below detection [1].

    Raises
    ------
    FieldError
        If it is no such figure; the hint says how to write it.

    References
    ----------
    Half the detection limit: common practice, no source.
    """
    text = text.strip()
    below = text.startswith("<")
    try:
        number = parse_number(text.removeprefix("<"))
    except UnitError as error:
        raise FieldError(error.message, _hint(text, error), "value") from error
    if below and key in ("pH", "temperature"):
        raise FieldError(f"{text!r} cannot be below detection", "write the number read", "value")
    if number < 0 and key != "temperature":
        hint = f"no {called} is less than none; below detection is written '<' and the limit"
        raise FieldError(f"{text} is negative", hint, "value")
    return (number / 2.0 if below else number), below


def _hint(text: str, error: UnitError) -> str:
    """How to write what cannot be read."""
    if _NOT_DETECTED.fullmatch(text):
        return f"{_BELOW}: the foot of the sheet, or the laboratory, tells the limit"
    if told := _WITH_RANGE.fullmatch(text):
        low, high = told.groups()
        return f"write the range alone, {low}-{high}, or the figure before it alone"
    if text.startswith((">", "\u2265")):
        return "write the figure after the sign and ask for a test that reaches further"
    if not error.message.endswith("is not a number"):
        return error.hint
    return f"{error.hint}; {_BELOW}; a range is written 18-24"
