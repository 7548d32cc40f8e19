"""Whose figure of a process a working shows: what the club told, or a default."""

from dataclasses import MISSING, fields
from typing import Any

from waterkit.quantities import quantity_of, written_name
from waterkit.working import Basis, Given


def given_of(name: str, record: Any, field: str, unit: str, place: str = "") -> Given:
    """One figure of a process as an input of a working.

    ``place`` is where the process stands, such as ``train.2``: by it the club knows the figure. A
    figure that equals its default counts as assumed, where the club does not know better.
    """
    value = getattr(record, field)
    default = next(each.default for each in fields(record) if each.name == field)
    basis: Basis = "assumed" if default is not MISSING and value == default else "quoted"
    key = written_name(field, quantity_of(type(record), field))
    return Given(name, value, unit, basis, f"{place}.{key}" if place else "")
