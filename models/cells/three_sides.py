"""Cells that hold the three sides of a parcel or carton: `48 x 8 x 6`, `122 × 20 × 15 cm`, `48" x 8" x 6"`.

The engine takes a side of a cell (`side_sql`) as Python does (`side`), which a test holds.
"""

import re
from collections.abc import Sequence

from models.sql_quoting import literal

SIDES = ("length", "width", "height")
# Before a cell that does not hold three sides, so that none of its numbers is taken for one.
NO_SIDES = "× "
_BETWEEN = r"[ \t\x{a0}]*(?:[xX×*]|[bB][yY])[ \t\x{a0}]*"
_UNIT_SIGN = "[A-Za-z\"'″′”’]"
# The unit behind the last side is that of all which state none.
_UNIT = rf"{_UNIT_SIGN}+\.?$"
_between = re.compile(_BETWEEN.replace(r"\x{a0}", "\xa0"))
# What is deep beside a length and a width is high.
_LETTERS = {"l": "length", "w": "width", "b": "width", **dict.fromkeys("hdt", "height")}
_ORDER = re.compile(r"(?<![a-z])([a-z]) *[x×*/-] *([a-z]) *[x×*/-] *([a-z])(?![a-z])")


def side(text: str, number: int) -> str:
    """The text of a side, counted from 1, with its unit; a cell without three sides behind NO_SIDES."""
    parts = _between.split(text)
    if not text or len(parts) != len(SIDES):
        return text and NO_SIDES + text
    part = parts[number - 1]
    unit = re.search(_UNIT, parts[-1])
    return part if unit is None or re.search(_UNIT_SIGN, part) else f"{part} {unit[0]}"


def side_sql(text: str, number: int) -> str:
    """The same of SQL for a text."""
    parts, sign, unit = f"regexp_split_to_array(t, {literal(_BETWEEN)})", literal(_UNIT_SIGN), literal(_UNIT)
    part, extracted = f"{parts}[{number}]", f"regexp_extract({parts}[3], {unit})"
    bare = f"{extracted} = '' or regexp_matches({part}, {sign})"
    found = f"case when {bare} then {part} else {part} || ' ' || {extracted} end"
    chosen = f"case when len({parts}) = {len(SIDES)} then {found} else {literal(NO_SIDES)} || t end"
    return f"list_transform([{text}], lambda t: {chosen})[1]"


def order(header: str) -> Sequence[str]:
    """The sides in the order in which the cells of a column give them, as its header says; else length first."""
    found = _ORDER.search(header.casefold())
    named = [_LETTERS.get(letter) for letter in found.groups()] if found else []
    return [str(each) for each in named] if set(named) == set(SIDES) else SIDES
