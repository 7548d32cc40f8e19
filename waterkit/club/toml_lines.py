"""TOML with line numbers: the standard parser for the values, a small scanner for the places."""

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal

from waterkit.club.text import TextError

Path = tuple[str | int, ...]

_TOKEN = re.compile(
    r'''(?P<text>"""(?:\\.|[^\\])*?"{3,5}|\'\'\'.*?'{3,5}|"(?:\\.|[^"\\\n])*"|'[^'\n]*')'''
    r"|(?P<comment>\#[^\n]*)|(?P<end>\n)|(?P<mark>[][{},=.])|(?P<word>[^\s\[\]{},=.#\"']+)",
    re.DOTALL,
)
_AT_LINE = re.compile(r"\(at line (\d+), column \d+\)")
_OPENING = re.compile(
    r'''"""(?:\\.|[^\\])*?(?:"{3,5}|\Z)|\'{3}.*?(?:\'{3,5}|\Z)'''
    r"""|"(?:\\.|[^"\\\n])*"?|\'[^\'\n]*\'?|\#[^\n]*|[^\s"\'#]+""",
    re.DOTALL,
)
_ENDLESS, _CURLY = re.compile(r"\d{4000,}"), re.compile("[\u201c-\u201f\u2018-\u201b\u00ab\u00bb]")
_HOW_A_LINE_READS = (
    'a line reads key = "text", key = number or [table]; text and quantities need quotes'
)
_TWICE = "this key or table stands further up already"
_ONCE = "keep one of the two"
_REASONS = (
    ("Invalid value (at end", "the value breaks off", "close the bracket, brace or quote"),
    ("Cannot overwrite a value", _TWICE, _ONCE),
    ("Cannot declare", "this table stands further up already", "put all its keys below one head"),
    ("Cannot mutate", _TWICE, "put all its keys into one table"),
    ("Duplicate inline table key", "a key stands twice between the braces", _ONCE),
    ("Illegal character", "a quote is left open in this line", "close it before the line ends"),
    ("Unterminated string", "a quote is left open", "close it"),
    ("Unclosed array", "a square bracket is left open", "close it with ]"),
    ("Unclosed inline table", "a brace is left open", "close it with }"),
    ('Expected "', "a quote is left open", "close it"),
    ("Expected ']'", "the head of a table is left open", "write it as [table] or [[table]]"),
    ("Expected '='", "there is no = after the key", _HOW_A_LINE_READS),
    ("Unescaped '\\'", "a backslash begins what is no letter", "write '...' instead of \"...\""),
    ("Invalid initial character", "a line begins with a key or a [table]", _HOW_A_LINE_READS),
    ("Invalid statement", "a line begins with a key or a [table]", _HOW_A_LINE_READS),
    ("Expected newline", "something stands behind the value", "write one key in each line"),
    ("Expected ',' or", "a comma is missing in a list", "put commas between the values"),
    ("Invalid value", "this is no value", _HOW_A_LINE_READS),
    ("digits", "this number has thousands of digits", "check the digits"),
)
"""What the standard parser says, what it means, and the cure; the first that fits counts."""
_A_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")


class TomlError(TextError):
    """A file that is not TOML; ``line`` tells where the parser gave up."""


@dataclass(frozen=True, slots=True)
class Lines:
    """Where each table, key and array element of a TOML text stands.

    ``files`` names the file of each path that another file laid over this one.
    """

    at: dict[Path, int] = field(default_factory=dict)
    files: dict[Path, str] = field(default_factory=dict)

    def of(self, path: Path) -> int | None:
        """Line of a path, or of the nearest table around it."""
        return self.at.get(self._known(path))

    def file_of(self, path: Path, file: str) -> str:
        """File of a path, or of the nearest table around it; ``file`` is the usual one."""
        return self.files.get(self._known(path), file)

    def under(self, others: "Lines", file: str) -> "Lines":
        """These lines with those of another file laid over them."""
        return Lines(self.at | others.at, self.files | dict.fromkeys(others.at, file))

    def without(self, path: Path) -> "Lines":
        """These lines without all that stands under a path."""
        size = len(path)
        return Lines({known: line for known, line in self.at.items() if known[:size] != path})

    def _known(self, path: Path) -> Path:
        while path and path not in self.at:
            path = path[:-1]
        return path


def load_toml(text: str) -> tuple[dict[str, object], Lines]:
    """The values of a TOML text and the lines they stand in; decimal numbers are exact.

    Raises
    ------
    TomlError
        If the text is not TOML.
    """
    try:
        values = tomllib.loads(text, parse_float=Decimal)
    except RecursionError as error:
        raise TomlError("brackets are nested too deeply", "take some away") from error
    except ValueError as error:
        raise _explain(str(error), text) from error
    at: dict[Path, int] = {}
    for path, line in _places(text):
        at.setdefault(path, line)
    return values, Lines(at)


def _explain(message: str, text: str) -> TomlError:
    found = _AT_LINE.search(message)
    line = int(found.group(1)) if found else _line_of_the_end(message, text)
    written = text.split("\n")[line - 1] if line else ""
    key = written.partition("=")[0].strip() if "=" in written else ""
    key = key if not set(key) & set(" #[\"'") else ""
    if "Invalid date" in message and (date := _A_DATE.search(written)):
        hint = "write a date of the calendar as year-month-day"
        return TomlError(f"there is no date {date.group(0)}", hint, key, line)
    if curly := _CURLY.search(written.partition("#")[0]):
        hint = """write straight ones: " or '"""
        return TomlError(f"{curly.group()} is a quote of printed text", hint, key, line)
    for start, plain, hint in _REASONS:
        if start in message:
            return TomlError(plain, hint, key, line)
    return TomlError("this line cannot be read", _HOW_A_LINE_READS, key, line)


def _line_of_the_end(message: str, text: str) -> int | None:
    """The line of a fault that the parser meets at the end of the text, or tells no line of."""
    if "digits" in message and (number := _ENDLESS.search(text)):
        return text.count("\n", 0, number.start()) + 1
    if "end of document" not in message:
        return None
    opened = 1
    for token in _OPENING.finditer(text):
        if not token.group().startswith("#"):
            opened = text.count("\n", 0, token.start()) + 1
    return opened


def _places(text: str) -> Iterator[tuple[Path, int]]:
    """Every path of a valid TOML text with its line; an outer path comes before its parts."""
    tokens = _Tokens(text)
    table: Path = ()
    counts: dict[Path, int] = {}
    while token := tokens.take():
        line = tokens.line
        if token != "[":
            path = table + tokens.key(token)
            yield path, line
            yield from _inside(tokens, path)
            continue
        first = tokens.take()
        table = _under(counts, tokens.key(tokens.take() if first == "[" else first))
        if first == "[":
            tokens.take()
            yield table, line
            counts[table] = counts.get(table, -1) + 1
            table = (*table, counts[table])
        yield table, line


def _under(counts: dict[Path, int], path: Path) -> Path:
    """The path of a header, with the element's number after each array of tables around it."""
    full: Path = ()
    for part in path[:-1]:
        full = (*full, part)
        if full in counts:
            full = (*full, counts[full])
    return full + path[-1:]


def _inside(tokens: "_Tokens", path: Path) -> Iterator[tuple[Path, int]]:
    """Places inside the value that comes next: elements of arrays, keys of inline tables."""
    token = tokens.take()
    if token == "{":
        while (token := tokens.take()) != "}":
            if token != ",":
                inner = path + tokens.key(token)
                yield inner, tokens.line
                yield from _inside(tokens, inner)
    elif token == "[":
        number = 0
        while (token := tokens.take()) != "]":
            if token == ",":
                number += 1
                continue
            yield (*path, number), tokens.line
            tokens.give_back()
            yield from _inside(tokens, (*path, number))
    else:
        tokens.pass_over_value()


class _Tokens:
    """The tokens of a valid TOML text, one after the other; ``line`` is that of the last one."""

    def __init__(self, text: str) -> None:
        self.line = 1
        self._all: list[tuple[str, int]] = []
        self._next = 0
        line = 1
        for match in _TOKEN.finditer(text):
            if match.lastgroup != "comment":
                self._all.append((match.group(), line))
            line += match.group().count("\n")

    def take(self) -> str:
        """The next token that is not a line end; empty at the end of the text."""
        while self._next < len(self._all):
            token, self.line = self._all[self._next]
            self._next += 1
            if token != "\n":
                return token
        return ""

    def give_back(self) -> None:
        """Take the last token once more."""
        self._next -= 1

    def key(self, first: str) -> Path:
        """The parts of a dotted key, read up to its equals sign or closing bracket."""
        parts = [_unquoted(first)]
        while (token := self.take()) not in ("", "=", "]"):
            if token != ".":
                parts.append(_unquoted(token))
        return tuple(parts)

    def pass_over_value(self) -> None:
        """Pass over what is left of a plain value such as ``1.5`` or ``2027-10-02 18:00``."""
        while self._next < len(self._all) and self._all[self._next][0] not in ("\n", ",", "]", "}"):
            self._next += 1


def _unquoted(token: str) -> str:
    return token[1:-1] if token[:1] in ("'", '"') else token
