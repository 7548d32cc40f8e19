"""Pages made by reading the source: the formulas with their sources, and all messages."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from docs.tables import MADE

PACKAGE = Path(__file__).parent.parent / "waterkit"

# Methods: every formula that names its source.

ROOMS = {
    "water": "What is in the water",
    "treatment": "What takes it out",
    "ice": "What the water becomes",
    "season": "When, and will it be there",
    "tank": "Fit to use now?",
}
_SECTION = re.compile(r"^(\w[\w ]*)\n-{3,}$", re.MULTILINE)


def _method(module: str, node: ast.FunctionDef) -> str:
    """One formula: its sentence, its formula, its limits, its source; empty where none is named."""
    docstring = ast.get_docstring(node) or ""
    head, *rest = _SECTION.split(docstring)
    sections = dict(zip(rest[::2], rest[1::2], strict=True))
    if node.name.startswith("_") or "References" not in sections:
        return ""
    sentence, _, formula = head.strip().partition("\n\n")
    lines = [f"**`{module}.{node.name}`**: {_one_line(sentence)}"]
    lines += ["", *_indented(formula)] if formula else []
    if notes := sections.get("Notes", "").strip():
        lines += ["", f"*Limits.* {_one_line(notes)}"]
    return "\n".join([*lines, "", f"*Source.* {_one_line(sections['References'])}", ""])


def _indented(text: str) -> list[str]:
    return [f"    {line}".rstrip() for line in _plain(text).strip().splitlines()]


def _plain(text: str) -> str:
    return re.sub(r":\w+:`~?([^`]*)`", r"`\1`", text).replace("``", "`").replace("\\", "")


def _one_line(text: str) -> str:
    return " ".join(_plain(text).split())


def methods_page() -> str:
    """All formulas, room by room."""
    parts = [_METHODS]
    for room, heading in ROOMS.items():
        found = [
            method
            for path in sorted((PACKAGE / room).rglob("*.py"))
            for node in ast.parse(path.read_text("utf-8")).body
            if isinstance(node, ast.FunctionDef)
            and (method := _method(f"{room}.{path.stem}", node))
        ]
        parts += [f"## {heading}\n", *found] if found else []
    return "\n".join(parts)


_METHODS = f"""# Methods

{MADE}
Every formula is one function with one source, found by its name in the folder `waterkit/`. A source
that is marked *from memory* was not at hand when it was written down; *common practice, no source*
means that the trade does so, and that no published figure was found. Such figures are inputs or
labelled defaults that a club replaces by its own. How the bed of resin is reckoned as a column, and
how that converges, is told with its figure in [column.md](column.md).
"""


# Messages: what the reader of a club's folder can find wrong.

PLACES = {
    "Suspicion": 1,
    "FieldError": 0,
    "UnitError": 0,
    "Fault": 1,
    "Problem": 1,
    "problem": 1,
    "_at": -2,
}
"""What is called with a message, and which of its positional arguments the message is."""


def _texts(node: ast.expr | None, around: ast.AST) -> list[str]:
    """The texts that an expression may be; what is filled in at run time is shown as …"""
    if isinstance(node, ast.Constant):
        return [str(node.value)]
    if isinstance(node, ast.JoinedStr):
        return [
            "".join(
                str(part.value) if isinstance(part, ast.Constant) else "…" for part in node.values
            )
        ]
    if isinstance(node, ast.IfExp):
        return [*_texts(node.body, around), *_texts(node.orelse, around)]
    if isinstance(node, ast.BinOp):
        ends = _texts(node.right, around) or ["…"]
        return [start + end for start in _texts(node.left, around) for end in ends]
    if isinstance(node, ast.Name):
        return [text for value in _values_of(node.id, around) for text in _texts(value, around)]
    return []


def _values_of(name: str, around: ast.AST) -> Iterator[ast.expr]:
    for node in ast.walk(around):
        if isinstance(node, ast.Assign) and any(_names(target, name) for target in node.targets):
            yield node.value


def _names(target: ast.expr, name: str) -> bool:
    return isinstance(target, ast.Name) and target.id == name


def _messages_in(function: ast.FunctionDef) -> Iterator[str]:
    gives_message_and_hint = ast.unparse(function.returns or ast.Name("")) == "tuple[str, str]"
    for node in ast.walk(function):
        if isinstance(node, ast.Call) and (name := _called(node)) in PLACES:
            arguments = dict(enumerate(node.args)) | {-2: node.args[-2:][0] if node.args else None}
            yield from _texts(arguments.get(PLACES[name]), function)
        elif gives_message_and_hint and isinstance(node, ast.Return):
            values = node.value.elts if isinstance(node.value, ast.Tuple) else []
            yield from _texts(next(iter(values), None), function)


def _called(node: ast.Call) -> str:
    return getattr(node.func, "id", "") or getattr(node.func, "attr", "")


def messages() -> list[str]:
    """Every message about a club's files, each once, in alphabetical order."""
    found: set[str] = set()
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.FunctionDef):
                found.update(_messages_in(node))
    found = {text.replace("……", "…") for text in found if text.strip("… ")}
    return sorted(found, key=lambda text: (text.lstrip("'… ").lower(), text))


def messages_page() -> str:
    """All messages of the reader."""
    lines = "".join(f"- {text}\n" for text in messages())
    return f"""# Messages

{MADE}
`waterkit check FOLDER` tells everything that is wrong with a folder in one run, sorted by file and
line. A message reads

```text
water-tests.csv:14: value: '82,4' is not a number
    write digits, with a decimal point if needed
```

that is the file and its line, the key or column, what is wrong, and below it the cure. An error
stops only the parts of the answer that need the figure; a warning is told, and answered. Below, …
stands for what the file holds.

{lines}"""
