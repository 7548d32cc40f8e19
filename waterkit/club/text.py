"""Bytes of a club's file turned into text, or a problem that says how to save the file."""

from pathlib import Path

from waterkit.errors import FieldError, MachineError, Problem

_MARK = "\ufeff"
"""The byte order mark."""
LONGEST_LINE = 20_000
"""Characters of a line; nothing that people write comes near."""
_HOW_TO_SAVE = "save it as plain text: 'CSV UTF-8' in a spreadsheet, encoding UTF-8 in an editor"


class TextError(FieldError):
    """A file that cannot be read as a whole; ``line`` tells where it was seen."""

    def __init__(self, message: str, hint: str, field: str = "", line: int | None = None) -> None:
        super().__init__(message, hint, field)
        self.line = line


def problem_of(file: str, error: FieldError) -> Problem:
    """What is wrong with a file, with the line where it was seen."""
    line = error.line if isinstance(error, TextError) else None
    return Problem(file, error.message, error.hint, line, error.field)


def read_text(path: Path) -> str:
    """The text of a UTF-8 file, with or without byte order mark, any line ends.

    Raises
    ------
    FieldError
        For a folder, a binary file, or text in another encoding.
    MachineError
        If the file is there but the machine does not hand it over.
    """
    return decode(read_bytes(path))


def is_there(path: Path) -> bool:
    """Whether something of that name is in the folder, be it a link that leads nowhere."""
    return path.exists() or path.is_symlink()


def read_bytes(path: Path) -> bytes:
    """The bytes of a file.

    Raises
    ------
    FieldError
        For what is no file: a folder, a link that leads nowhere, a pipe.
    MachineError
        If the file is there but the machine does not hand it over.
    """
    if path.is_dir():
        raise FieldError("is a folder, not a file", "move the folder away")
    if path.is_symlink() and not path.exists():
        raise FieldError("is a link that leads nowhere", "mend the link, or take it away")
    if path.exists() and not path.is_file():
        raise FieldError("is no file that can be read through", "move it away")
    try:
        return path.read_bytes()
    except OSError as error:
        raise MachineError(f"{path}: {error.strerror or error}") from error


def decode(data: bytes) -> str:
    """Text from bytes, every line ending in a plain line feed.

    Raises
    ------
    FieldError
        For a binary file, text in another encoding, or a line that nobody wrote.
    """
    if data.startswith((b"\xff\xfe\0\0", b"\0\0\xfe\xff")):
        raise FieldError("the text is UTF-32, not UTF-8", _HOW_TO_SAVE)
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise FieldError("the text is UTF-16, not UTF-8", _HOW_TO_SAVE)
    if b"\0" in data:
        raise FieldError("this is a binary file, not text", _HOW_TO_SAVE)
    try:
        text = data.decode().lstrip(_MARK)  # a program may set one before another's
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise TextError("the text is not UTF-8", _HOW_TO_SAVE, line=line) from error
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    _check_lines(text)
    return text


def _check_lines(text: str) -> None:
    at = 0
    while len(text) - at > LONGEST_LINE:
        end = text.rfind("\n", at, at + LONGEST_LINE + 1)
        if end < 0:
            size, number = len(text[at:].partition("\n")[0]), text.count("\n", 0, at) + 1
            hint = f"a line has at most {LONGEST_LINE} characters; look for lost line ends"
            raise TextError(f"the line has {size} characters", hint, line=number)
        at = end + 1
