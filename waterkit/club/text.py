"""Bytes of a club's file turned into text, or a problem that says how to save the file."""

from pathlib import Path

from waterkit.errors import FieldError, MachineError

_HOW_TO_SAVE = "save it as plain text: 'CSV UTF-8' in a spreadsheet, encoding UTF-8 in an editor"


def read_text(path: Path) -> str:
    """The text of a UTF-8 file, with or without byte order mark, any line ends.

    Raises
    ------
    FieldError
        For a folder, a binary file, or text in another encoding.
    MachineError
        If the file is there but the machine does not hand it over.
    """
    if path.is_dir():
        raise FieldError("is a folder, not a file", "move the folder away")
    try:
        data = path.read_bytes()
    except OSError as error:
        raise MachineError(f"{path}: {error.strerror or error}") from error
    return decode(data)


def decode(data: bytes) -> str:
    """Text from bytes, every line ending in a plain line feed."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise FieldError("the text is UTF-16, not UTF-8", _HOW_TO_SAVE)
    if b"\0" in data:
        raise FieldError("this is a binary file, not text", _HOW_TO_SAVE)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        message = f"the text is not UTF-8 (first seen in line {line})"
        raise FieldError(message, _HOW_TO_SAVE) from error
    return text.replace("\r\n", "\n").replace("\r", "\n")
