"""What can go wrong: one exception family, and the shape of a problem with the input.

Formulas raise ``ValueError`` naming the parameter; what reads text raises :class:`FieldError` with
the cure. Whoever reads a club's files turns both into a :class:`Problem`, collects all of them and
raises one :class:`InputError`. Only ``waterkit.cli`` prints.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Severity = Literal["error", "warning"]


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with the input: where it stands, what is wrong, and the cure."""

    file: str
    message: str
    hint: str = ""
    line: int | None = None
    field: str = ""
    severity: Severity = "error"

    @property
    def place(self) -> str:
        """File and line, as editors understand it (``water-tests.csv:14``)."""
        return self.file if self.line is None else f"{self.file}:{self.line}"

    @property
    def order(self) -> tuple[str, int, str, str]:
        """What problems are sorted by: file, line, field, message."""
        return (self.file, self.line or 0, self.field, self.message)

    @property
    def row(self) -> dict[str, object]:
        """The problem as a row for JSON; what is not known is None."""
        return {
            "file": self.file,
            "line": self.line,
            "field": self.field or None,
            "message": self.message,
            "hint": self.hint or None,
            "severity": self.severity,
        }

    def __str__(self) -> str:
        field = f"{self.field}: " if self.field else ""
        return f"{self.place}: {field}{self.message}"


class WaterkitError(Exception):
    """Root of all exceptions that waterkit raises on purpose."""


class FieldError(WaterkitError, ValueError):
    """One value that cannot be used; whoever knows file and line makes a Problem of it."""

    def __init__(self, message: str, hint: str = "", field: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint
        self.field = field


class InputError(WaterkitError):
    """The club's folder holds errors; ``problems`` lists all of them, warnings too."""

    def __init__(self, problems: "tuple[Problem, ...] | list[Problem]") -> None:
        self.problems = tuple(sorted(problems, key=lambda problem: problem.order))
        super().__init__("\n".join(str(problem) for problem in self.problems))


class MachineError(WaterkitError):
    """The machine refused (disk full, no permission, locked); nothing was half written."""


def listing(problems: Sequence[Problem]) -> str:
    """Problems as text: one line each, its cure indented below, and a count at the end."""
    if not problems:
        return ""
    lines = []
    for problem in problems:
        mark = "warning: " if problem.severity == "warning" else ""
        lines.append(str(problem).replace(": ", f": {mark}", 1))
        lines += [f"    {problem.hint}"] if problem.hint else []
    errors = sum(problem.severity == "error" for problem in problems)
    parts = (_counted(errors, "error"), _counted(len(problems) - errors, "warning"))
    lines.append(f"{_counted(len(problems), 'problem')}: {', '.join(filter(None, parts))}")
    return "\n".join(lines)


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}" if count else ""
