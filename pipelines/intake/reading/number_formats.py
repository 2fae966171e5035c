"""Which number formats of a workbook mean a date or a percentage, and what date a number is (ECMA-376 part 1, 18.8.30,
18.17.4).
"""

import re
from collections.abc import Iterable
from datetime import date, datetime, time, timedelta

from pipelines.intake.reading.cell_texts import cell_text, native_number, number_text

PERCENT = "percent"
# Formats that need not be written in the file; the second and third group are dates of East Asian workbooks.
_BUILT_IN = {**dict.fromkeys((*range(14, 23), *range(27, 37), 45, 47, *range(50, 59)), "date"), 46: "duration"}
_BUILT_IN |= {9: PERCENT, 10: PERCENT}
_LITERAL = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?!hh?\]|mm?\]|ss?\])[^\]]*\]', re.IGNORECASE)
_DURATION = re.compile(r"\[(hh?|mm?|ss?)\]", re.IGNORECASE)
_DATE = re.compile("[dmhys]", re.IGNORECASE)


def style_meanings(tags: Iterable[tuple[str, str, dict[str, str]]]) -> dict[int, str]:
    """Style number -> `date`, `duration` or `percent`, from the tags of a workbook's styles. Others are left out.

    Everything else that styles say, fonts and fills, may be as wrong as it likes.
    """
    formats = dict(_BUILT_IN)
    styles: dict[int, str] = {}
    count = 0
    for around, name, tag in tags:
        if name == "numFmt" and around == "numFmts":
            formats[_number(tag.get("numFmtId"))] = meaning(tag.get("formatCode", ""))
        elif name == "xf" and around == "cellXfs":
            if found := formats.get(_number(tag.get("numFmtId"))):
                styles[count] = found
            count += 1
    return styles


def _number(text: str | None) -> int:
    return int(text) if text and text.isascii() and text.isdigit() else 0


def meaning(code: str) -> str:
    """`date`, `duration`, `percent` or nothing, by the signs of a number format; a date by its first section."""
    if "%" in code:
        return PERCENT
    bare = _LITERAL.sub("", code).split(";")[0]
    if _DURATION.search(bare):
        return "duration"
    return "date" if _DATE.search(bare) else ""


def dated_text(serial: float, kind: str, *, is_1904: bool, decimal: str | None = ".") -> str:
    """A stored number as the date, time or length of time that its format shows. Raises ValueError for none of them.

    To the millisecond, which is finer than a day's fraction in a double is sure.
    """
    if kind == "duration":
        return f"{native_number(number_text(round(serial * 86_400_000) / 60_000), decimal)} min"
    days, part = divmod(serial, 1)
    clock = timedelta(milliseconds=round(part * 86_400_000))
    if serial < 0:
        raise ValueError("before the first day")
    if days == 0 and clock < timedelta(days=1):
        return (datetime.min + clock).time().isoformat()
    try:
        return cell_text(_first_day(serial, is_1904=is_1904) + timedelta(days=days) + clock)
    except OverflowError:
        raise ValueError("beyond the last day") from None


def _first_day(serial: float, *, is_1904: bool) -> datetime:
    if is_1904:
        return datetime(1904, 1, 1)
    # The first program of its kind took 1900 for a leap year, so that days before 1 March are one further on.
    return datetime.combine(date(1899, 12, 31 if serial < 60 else 30), time())
