"""The fast reading: canonical cells typed by the engine in one pass, by the same rules as models/cells/texts.py.

A cell that an expression here does not read comes out as null and is then read by models/cells/texts.py, once for each
distinct text. Each expression is guarded by a whole-text pattern, because the engine's own casts are lenient: they
read `1_000`, `0x10`, `epoch` and times whose offset they forget. Most cells need no pattern: the engine writes what it
read by the same signs, so there was nothing else in the cell. To see that takes half the time of a pattern.
"""

from collections.abc import Callable
from fractions import Fraction

from models.cells.texts import NO, PIECES, YES, Reading, minor_digits
from models.cells.units import FACTORS
from models.fields import Quantity
from models.sql_quoting import literal

_DAY = r"[12][0-9]{3}-[0-9]{2}-[0-9]{2}"
_CLOCK = r"([01][0-9]|2[0-3]):[0-5][0-9](:[0-5][0-9](\.[0-9]{1,6})?)?"
_FIGURES = "(" + "|".join(rf"[0-9]{{2}}{mark}[0-9]{{2}}{mark}[12][0-9]{{3}}" for mark in ("/", r"\.", "-")) + ")"
_OFFSET = "(Z|[+-](0[0-9]|1[0-7]):[0-5][0-9])"
# Where in DD/MM/YYYY or MM/DD/YYYY the month and the day begin.
_PLACES = {"dmy": (4, 1), "mdy": (1, 4)}


def fast_reading(text: str, reading: Reading) -> str:
    """SQL that reads the trimmed text `text` (a column's name): the typed value, or null for what it does not read."""
    return _READINGS[reading.quantity](text, reading)


def _guarded(text: str, pattern: str, value: str, again: str = "") -> str:
    """again: a condition that holds for cells of the pattern only, and for most of them."""
    first = f"when {again} then {value} " if again else ""
    return f"case {first}when regexp_full_match({text}, {literal(pattern)}) then {value} end"


def _again(text: str, kind: str, bound: str) -> str:
    """That the cell is the very text by which the engine writes what it reads there. bound: what it must be besides."""
    return f"{bound} and cast(try_cast({text} as {kind}) as varchar) = {text}"


def _whole(text: str, most: int) -> str:
    again = _again(text, "bigint", f"strlen({text}) <= {most}")
    return _guarded(text, f"-?[0-9]{{1,{most}}}", f"try_cast({text} as bigint)", again)


def _dotted(text: str, reading: Reading) -> str:
    return f"replace({text}, ',', '.')" if reading.decimal == "," else text


def _mark(reading: Reading) -> str:
    return "," if reading.decimal == "," else r"\."


def _text(text: str, reading: Reading) -> str:
    return text


def _count(text: str, reading: Reading) -> str:
    return _whole(text, 15)


def _money(text: str, reading: Reading) -> str:
    digits = minor_digits(reading.currency)
    if reading.unit in PIECES:
        return "cast(null as bigint)"
    if reading.unit == "cents" or not digits:
        return _whole(text, 12)
    kind = f"decimal(18,{digits})"
    # Three figures behind a point may be thousands, and a stated comma is no point.
    is_point = reading.decimal == "." or (reading.decimal is None and digits < 3)
    return _guarded(
        text,
        _decimals(reading, 12, digits),
        f"cast(try_cast({_dotted(text, reading)} as {kind}) * {10**digits} as bigint)",
        _again(text, kind, f"strlen({text}) <= {13 + digits}") if is_point else "",
    )


def _number(text: str, reading: Reading) -> str:
    return _guarded(
        text, _decimals(reading, *_figures(reading)), f"try_cast({_dotted(text, reading)} as double){_factor(reading)}"
    )


def _decimals(reading: Reading, whole: int, part: int) -> str:
    """The pattern of a number with at most so many figures before and after its mark.

    Where no mark is stated, `1.500` is left out, which may be fifteen hundred.
    """
    if reading.decimal or part < 3:
        return rf"-?[0-9]{{1,{whole}}}({_mark(reading)}[0-9]{{1,{part}}})?"
    more = rf"|[0-9]{{4,{part}}}" if part > 3 else ""
    no_group = rf"(0[0-9]{{0,{whole - 1}}}|[0-9]{{4,{whole}}})\.[0-9]{{3}}"
    return rf"-?([0-9]{{1,{whole}}}(\.([0-9]{{1,2}}{more}))?|{no_group})"


def _figures(reading: Reading) -> tuple[int, int]:
    """Figures before and after the mark for which a double is surely right: 15 in all, fewer where it is converted
    and rounded to six decimals.

    Sixteenths and sixtieths of finer numbers end on a half, which a double cannot tell from just below it.
    """
    factor = FACTORS.get(reading.quantity, {}).get(reading.unit or "", Fraction(1))
    if factor == 1:
        return 6, 9
    return (6, 2) if factor.denominator in (16, 60) else (6, 6)


def _measure(text: str, reading: Reading) -> str:
    if reading.needs_unit:
        return "cast(null as double)"
    value = _number(text, reading)
    return f"round({value}, 6)" if _factor(reading) else value


def _factor(reading: Reading) -> str:
    factor = FACTORS.get(reading.quantity, {}).get(reading.unit or "", 1)
    return "" if factor == 1 else f" * {factor.numerator}e0 / {factor.denominator}e0"


def _flag(text: str, reading: Reading) -> str:
    yes, no = (", ".join(map(literal, sorted(words))) for words in (YES, NO))
    return f"case when lower({text}) in ({yes}) then true when lower({text}) in ({no}) then false end"


def _date(text: str, reading: Reading) -> str:
    day = _guarded(text, _DAY, f"try_cast({text} as date)", _again(text, "date", _of_our_time(text, 10)))
    if reading.date_order not in _PLACES:
        return day
    figures = _guarded(text, _FIGURES, f"try_cast({_turned(text, reading.date_order)} as date)")
    return f"coalesce({day}, {figures})"


def _instant(text: str, reading: Reading) -> str:
    ways = [
        _guarded(
            text,
            f"{_DAY}([ T]{_CLOCK})?",
            f"try_cast({text} as timestamp)",
            _again(text, "timestamp", _of_our_time(text, 19)),
        ),
        _guarded(
            text,
            f"{_DAY}[ T]{_CLOCK}{_OFFSET}",
            f"timezone({literal(reading.time_zone)}, try_cast({text} as timestamptz))",
        ),
    ]
    if reading.date_order in _PLACES:
        turned = f"{_turned(text, reading.date_order)} || substr({text}, 11)"
        ways.append(_guarded(text, f"{_FIGURES}( {_CLOCK})?", f"try_cast({turned} as timestamp)"))
    return f"coalesce({', '.join(ways)})"


def _of_our_time(text: str, length: int) -> str:
    """A year of four figures that begins with 1 or 2, and neither `infinity` nor a year before our era."""
    return f"strlen({text}) = {length} and {text} > '1' and {text} < '3'"


def _turned(text: str, order: str) -> str:
    month, day = _PLACES[order]
    return f"substr({text}, 7, 4) || '-' || substr({text}, {month}, 2) || '-' || substr({text}, {day}, 2)"


_READINGS: dict[Quantity, Callable[[str, Reading], str]] = {
    Quantity.TEXT: _text,
    Quantity.COUNT: _count,
    Quantity.MONEY: _money,
    Quantity.LENGTH: _measure,
    Quantity.WEIGHT: _measure,
    Quantity.MINUTES: _measure,
    Quantity.FRACTION: _number,
    Quantity.NUMBER: _number,
    Quantity.FLAG: _flag,
    Quantity.DATE: _date,
    Quantity.INSTANT: _instant,
}
