"""Where keys stand in a TOML text; the values themselves are the standard library's."""

import tomllib
from typing import Any

import pytest

from waterkit.club.toml_lines import Path, TomlError, load_toml

TEXT = '''name = "a [b] = # c"
"odd key" = 'x'
long = """
a = 1
[x]
"""
[season]
first = 2027-10-02 # comment with = and [
num = 1.5
closures = [
  { from = 2027-12-20, why = "x" },

  { from = 2028-12-20 },
]
at = ["5 uS/cm", [1, 2]]
[[train]]
kind = "di"
[[train]]
kind = "tank"
[train.sub]
a.b = 3
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("name",), 1),
        (("odd key",), 2),
        (("long",), 3),
        (("season",), 7),
        (("season", "num"), 9),
        (("season", "closures"), 10),
        (("season", "closures", 0, "why"), 11),
        (("season", "closures", 1, "from"), 13),
        (("season", "closures", 1, "until"), 13),
        (("season", "at", 1), 15),
        (("train",), 16),
        (("train", 0, "kind"), 17),
        (("train", 1, "kind"), 19),
        (("train", 1, "sub", "a", "b"), 21),
        (("nothing",), None),
    ],
)
def test_line_of_a_path(path: Path, line: int | None) -> None:
    assert load_toml(TEXT)[1].of(path) == line


def test_every_path_leads_to_a_value() -> None:
    """The scanner finds no key that the standard parser does not."""
    whole: Any = tomllib.loads(TEXT)
    for path in load_toml(TEXT)[1].at:
        value = whole
        for part in path:
            value = value[part]


@pytest.mark.parametrize(
    ("text", "line", "message"),
    [
        ("a = 1\nb = \n", 2, "this is no value"),
        ("a = 1\n\na = 2\n", 3, "this key or table stands further up already"),
        ("[a]\n[a]\n", 2, "this table stands further up already"),
        ("a = { b = 1 }\n[a.c]\n", 2, "this table stands further up already"),
        ("a = { b = 1, b = 2 }\n", 1, "a key stands twice between the braces"),
        ('a = "b\nc = 1\n', 1, "a quote is left open in this line"),
        ('# "\n\na = """\nb\n\n', 3, "a quote is left open"),
        ("a = [1\n", 1, "a square bracket is left open"),
        ("a = [1,\n", 1, "the value breaks off"),
        ("a = \u201c2000 L\u201d\n", 1, "\u201c is a quote of printed text"),
        ("a = 1 2\n", 1, "something stands behind the value"),
        ("a = 2027-02-30", 1, "there is no date 2027-02-30"),
        ("x = " + "[" * 5000, None, "brackets are nested too deeply"),
        ("m = 1\nn = " + "9" * 5000, 2, "this number has thousands of digits"),
    ],
)
def test_text_that_is_not_toml(text: str, line: int | None, message: str) -> None:
    with pytest.raises(TomlError, match=message) as caught:
        load_toml(text)
    assert caught.value.line == line
    assert caught.value.hint
