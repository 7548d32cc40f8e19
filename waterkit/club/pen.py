"""What would stand in a club's files for the value of a record: the inverse of the readers.

One entry for each kind of value that ``waterkit.club.models.READERS`` reads; all else follows from
the records. Figures come in core units, so that they are read back without a digit lost.
"""

import datetime as dt
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from waterkit.club.models import Slot
from waterkit.club.schema import Figure
from waterkit.club.toml_text import number_text
from waterkit.dates import WEEKDAYS
from waterkit.ice.layers import Area
from waterkit.ice.paint import Ratio
from waterkit.treatment.ion_exchange import Endpoint
from waterkit.working import Basis

NO_COMMENTS: Mapping[str, str] = {}
PLAIN: Basis = "quoted"
"""Whose a figure is that stands there without a word on it."""
MOST_DIGITS = 17
_MARKS = {"conductivity": "{} uS/cm", "silica": "silica {} mg/L", "litres": "{} % of rated litres"}


@dataclass(frozen=True, slots=True)
class Pen:
    """What is known besides the records: figures by their paths, and comments.

    ``unlisted`` is whose the figures are that are not among them.
    """

    figures: Mapping[str, Figure] = field(default_factory=dict)
    comments: Mapping[str, str] = field(default_factory=dict)
    unlisted: Basis = PLAIN

    def known(self, path: str, value: Any) -> Figure | None:
        """What to write of a figure; None for a default, which is left out.

        What the club's figures say counts only as long as they hold this very value.
        """
        number = number_of(value)
        figure = self.figures.get(path)
        if figure is None or figure.value != number:
            return Figure(path, number, "", self.unlisted)
        return None if figure.line is None else figure

    def any_written(self, start: str) -> bool:
        """Whether a figure whose path starts so stands in the club's files."""
        written = (path for path, figure in self.figures.items() if figure.line is not None)
        return any(path.startswith(start) for path in written)


def number_of(value: Any) -> float:
    """The number of a figure; of a ratio its kilograms per litre."""
    return value.value_kg_l if isinstance(value, Ratio) else float(value)


def plain_text(value: Any, slot: Slot) -> object:
    """A value that is no figure and no record, as the files hold it."""
    match value:
        case Area():
            return f"{number_text(value.figure_m2 or 0)} m2" if value.of == "figure" else value.of
        case Endpoint():
            return _MARKS[value.watched].format(number_text(value.value))
        case int() if slot.hint == dt.date | int:
            return WEEKDAYS[value]
        case tuple():
            return [plain_text(part, slot) for part in value]
    return value


def figure_text(value: float, slot: Slot, whole: Any) -> object:
    """A figure with its unit; ``whole`` is what the record holds, for a ratio with its word."""
    if isinstance(whole, Ratio):
        return f"{number_text(value)} kg/L {whole.per}"
    unit = slot.quantity.unit if slot.quantity else "1"
    return value if unit == "1" else f"{number_text(value)} {unit}"


def cell_text(value: object) -> str:
    """A value as a cell of a table holds it."""
    match value:
        case dt.time():
            return f"{value:%H:%M}"
        case list() | tuple():
            return "; ".join(map(str, value))
        case Decimal():
            return format(value, "f")
        case float():
            return number_text(value)
        case dt.date():
            return value.isoformat()
    return str(value)


def written_as(value: float, read: Callable[[float], float], guess: float) -> float:
    """The number with the fewest digits that is read as ``value``; ``guess`` is nearly it."""
    size = -math.floor(math.log10(abs(guess))) if guess else 0
    near = [round(guess, size + digits) for digits in range(MOST_DIGITS)]
    near += [guess, math.nextafter(guess, math.inf), math.nextafter(guess, -math.inf)]
    return next((number for number in near if read(number) == value), guess)
