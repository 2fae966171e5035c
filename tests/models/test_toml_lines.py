"""Which line a setting stands on: against documents whose values say it themselves."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from models.settings.toml_lines import Place, line_of, lines

WHOLE = """\
# a comment with [brackets] and = signs
first = 2
"a quoted.key" = 3
dotted . key.'literal' = 4

[table]  # [not.this]
text = \"\"\"
fake = 0
[[fake]]
\\\"\"\" still text
\"\"\"\"
after = 12
literal = '''
x = 0 '''''
next = 15
inline = { one = 16, "two" = { three = 16, four = "}" }, list = [16, 16] }
list = [
  18, # ] no end
  19,
  { in = 20 },
  [21,
   22],
]
when = 2026-03-01 07:30:00
path = 'C:\\new'

[[many]]
n = 28
[many.inner]
n = 30
[[many.deep]]
n = 32
[[many.deep]]
n = 34

[[many]]
n = 37
[[many.deep]]
n = 39
"""


def leaves(value: Any, place: Place = ()) -> Iterator[tuple[Place, Any]]:
    if isinstance(value, dict | list):
        for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from leaves(inner, (*place, key))
    else:
        yield place, value


def test_every_number_of_an_awkward_document_stands_on_its_own_line() -> None:
    found = lines(WHOLE)
    numbers = [(place, value) for place, value in leaves(tomllib.loads(WHOLE)) if isinstance(value, int)]
    assert len(numbers) == 20
    assert [(place, line_of(found, place)) for place, _ in numbers] == numbers


def test_windows_line_ends_count_once() -> None:
    assert lines(WHOLE.replace("\n", "\r\n")) == lines(WHOLE)


def test_tables_and_what_is_missing_have_the_line_of_what_is_around() -> None:
    found = lines(WHOLE)
    assert (line_of(found, ("table",)), line_of(found, ("many", 1)), line_of(found, ("many", 0, "inner"))) == (
        6,
        36,
        29,
    )
    assert line_of(found, ("many", 1, "deep", 0, "lacking")) == 38
    assert line_of(found, ("nowhere",)) is None


def test_a_list_too_deep_is_left_out_and_what_stands_before_it_found() -> None:
    assert line_of(lines("a = 1\nb = " + "[" * 5000 + "]" * 5000), ("a",)) == 1


KEYS = st.sampled_from(["a", "b", '"c d"', "'e.f'", "g.h", '"#"', '"\\"]"', "-1", "[x]"])
GAPS = st.sampled_from(["", "\n", "# [a] = {\n", "\r\n", "  \n\t# ]\n"])
TEXTS = st.sampled_from(['"#"', "'\"'", '"""\n[a]\n\\""""""', "'''\n= [ '''", "[ '#', # ]\n]", "{ }", "1.5e3", "inf"])


@st.composite
def documents(draw: st.DrawFn) -> str:
    """Valid TOML in which each number n = 1000 + k stands on line k."""
    text = ""
    for number in range(draw(st.integers(1, 6))):
        text += draw(GAPS)
        heading = draw(st.sampled_from(["", f"[t{number}]\n", "[[many]]\n", f"[ 'u {number}' . v ] # [\n"]))
        text += heading if text or heading else ""
        text += f"k{number}x = {draw(TEXTS)}\n"
        key = f"k{number}.{draw(KEYS)}" if draw(st.booleans()) else f"k{number}"
        shape = draw(st.sampled_from(["{}", "[ {} ]", "{{ in = {} }}", "[\n # [\n {},\n]", "[[], {{ a.b = [{}] }}]"]))
        before = shape.split("{}")[0]
        written = text + f"{key} = " + before
        text += f"{key} = " + shape.format(1000 + written.count("\n") + 1) + "\n"
    return text


def _is_valid(text: str) -> bool:
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return False
    return True


@settings(max_examples=150, deadline=None)
@given(documents().filter(_is_valid))
def test_lines_of_any_document(text: str) -> None:
    found = lines(text)
    numbers = [(place, value) for place, value in leaves(tomllib.loads(text)) if type(value) is int]
    assert numbers
    for place, value in numbers:
        assert line_of(found, place) == value - 1000
