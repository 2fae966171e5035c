"""What a sample of a column's texts proves about how to read them: decimal mark, date order, fitness for a quantity."""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal, InvalidOperation

from models.cells.dates import read_instant
from models.cells.numbers import Unreadable
from models.column_map.word_maps import FLAG_WORDS, map_words, plain_word
from models.fields import Column, Condition, Quantity

_NUMBER = re.compile(
    r"\(?[-+]?\s*(?P<before>[^\d\s.,()+'-]{1,3})?\s*[-+]?(?P<body>\d[\d.,'\s]*|[.,]\d+)\s*(?P<after>[^\d.,]{0,12})\)?-?"
)
# A cell without a figure but zeros is no charge; read by Python and by the engine.
FIGURE = "[1-9]"
_FEET_POUNDS = re.compile(r"\d[\d.,]*\s*(ft|feet|'|lbs?)\s*\d[\d.,/ ]*\s*(in|inch|inches|\"|oz)?\.?", re.IGNORECASE)
_FRACTION = re.compile(r"\d+\s+\d+/\d+\s*(in|inch|inches|\"|lbs?|oz)?", re.IGNORECASE)
_DATE = re.compile(r"(\d{1,4})([./-])(\d{1,2})\2(\d{1,4})([T ,].*)?")
_ISO = re.compile(r"\d{4}-\d{2}-\d{2}([T ]\d{2}:\d{2}.*)?")
_UNIT_OF = {
    Quantity.LENGTH: frozenset(("", "in", "inch", "inches", '"', "cm", "mm", "m", "ft", "feet", "'", "''")),
    Quantity.WEIGHT: frozenset(("", "lb", "lbs", "oz", "kg", "g", "kgs", "gr")),
    Quantity.MINUTES: frozenset(("", "min", "mins", "minutes", "m")),
}
_AMOUNT_SIGNS = re.compile(r"[\d.()-]")
_MEASURES = _UNIT_OF[Quantity.LENGTH] | _UNIT_OF[Quantity.WEIGHT]
MOST_WORDS = 40
# So many texts of a column show what it holds.
_LOOKED_AT = 200
_LARGEST = {Quantity.LENGTH: 30_000.0, Quantity.WEIGHT: 5_000_000.0, Quantity.MINUTES: 1_440.0}


def known(texts: Iterable[str]) -> list[str]:
    """The texts that hold something, trimmed."""
    return [trimmed for text in texts if (trimmed := text.strip())]


def date_orders(texts: Iterable[str]) -> frozenset[str]:
    """The date orders that the texts prove: nothing, one, or several where they disagree. ISO dates prove nothing."""
    proven = (_proven_order(found) for text in texts if not _ISO.fullmatch(text) and (found := _DATE.fullmatch(text)))
    return frozenset(order for order in proven if order)


def _proven_order(found: re.Match[str]) -> str | None:
    first, second = found[1], found[3]
    if len(first) == 4:
        return "ymd"
    if int(first) > 12:
        return "dmy"
    return "mdy" if int(second) > 12 else None


def has_open_dates(texts: Iterable[str]) -> bool:
    """Whether some text is a date that needs an order to be read."""
    return any(_DATE.fullmatch(text) and not _ISO.fullmatch(text) for text in texts)


def fitness(column: Column, texts: Sequence[str]) -> float:
    """Share of the known texts, 0 to 1, that look like what the column holds; 0.8 where there is none."""
    filled = known(texts[:_LOOKED_AT])
    if not filled:
        return 0.8
    if listed := allowed_words(column):
        distinct = set(filled)
        # Nobody has so many words for a closed list.
        return len(map_words(distinct, listed).words) / len(distinct) if len(distinct) <= MOST_WORDS else 0.0
    looks_right = _LOOKS[column.quantity]
    return sum(count for text, count in Counter(filled).items() if looks_right(text)) / len(filled)


def allowed_words(column: Column) -> tuple[str, ...]:
    """The closed list of a column, or nothing."""
    return next((check.bound for check in column.checks if check.test is Condition.AMONG), ())


def is_closed(column: Column) -> bool:
    """Whether its cells hold but a few words: those of a closed list, or yes and no."""
    return column.quantity is Quantity.FLAG or bool(allowed_words(column))


def amount(text: str, mark: str) -> Decimal | None:
    """The amount of a cell, whatever currency stands beside it; None where it holds none."""
    plain = "".join(_AMOUNT_SIGNS.findall(text.replace("," if mark == "." else ".", "").replace(mark, ".")))
    negative = plain.startswith("(") or "-" in plain
    try:
        found = Decimal(plain.strip("()-").strip("."))
    except InvalidOperation:
        return None
    return -found if negative else found


def has_figure(cell: str) -> bool:
    """Whether a cell holds an amount of something: a figure but zero."""
    return re.search(FIGURE, cell) is not None


def is_count(text: str) -> bool:
    """Whether it is a whole number."""
    return re.fullmatch(r"\d{1,9}([.,]0+)?", text) is not None


def is_one(text: str) -> bool:
    """Whether it is the whole number one."""
    return is_count(text) and float(text.replace(",", ".")) == 1


def _is_money(text: str) -> bool:
    found = _NUMBER.fullmatch(text)
    if found is None or "%" in text:
        return False
    around = f"{found['before'] or ''}{found['after'].strip()}".casefold()
    return not around or (len(around) <= 4 and around not in _MEASURES)


def _measures(wanted: Quantity) -> Callable[[str], bool]:
    def is_measure(text: str) -> bool:
        if _FEET_POUNDS.fullmatch(text) or _FRACTION.fullmatch(text):
            return wanted is not Quantity.MINUTES
        found = _NUMBER.fullmatch(text)
        if found is None or found["before"] or text.startswith(("-", "(")):
            return False
        unit = found["after"].strip().rstrip(".").casefold()
        return unit in _UNIT_OF[wanted] and _size(found["body"]) <= _LARGEST[wanted]

    return is_measure


def looks_like_length(text: str) -> bool:
    """Whether it may be a length, with or without a unit."""
    return _LOOKS[Quantity.LENGTH](text)


def _size(body: str) -> float:
    """Roughly how large: a mark ends the whole number unless just three figures follow it."""
    whole = re.split(r"[.,](?=(?:\d{1,2}|\d{4,})$)", body.strip())[0]
    return float(re.sub(r"\D", "", whole) or 0)


def _is_fraction(text: str) -> bool:
    return re.fullmatch(r"0?[.,]\d+|0|1([.,]0+)?|\d{1,2}([.,]\d+)?\s*%", text) is not None


def _is_number(text: str) -> bool:
    return _NUMBER.fullmatch(text) is not None


def _is_flag(text: str) -> bool:
    return plain_word(text) in FLAG_WORDS


def _is_date(text: str) -> bool:
    return _DATE.fullmatch(text) is not None or _names_month(text)


def _names_month(text: str) -> bool:
    if not any(map(str.isalpha, text)):
        return False
    try:
        read_instant(text, None, "UTC")
    except Unreadable:
        return False
    return True


def _is_instant(text: str) -> bool:
    return _is_date(text)


def _is_text(text: str) -> bool:
    """A line that is no measured number: no date, no decimal fraction."""
    return not _DATE.fullmatch(text) and not re.fullmatch(r"-?[$€£]?\d+[.,]\d{1,2}", text)


_LOOKS: dict[Quantity, Callable[[str], bool]] = {
    Quantity.TEXT: _is_text,
    Quantity.COUNT: is_count,
    Quantity.MONEY: _is_money,
    Quantity.LENGTH: _measures(Quantity.LENGTH),
    Quantity.WEIGHT: _measures(Quantity.WEIGHT),
    Quantity.MINUTES: _measures(Quantity.MINUTES),
    Quantity.FRACTION: _is_fraction,
    Quantity.NUMBER: _is_number,
    Quantity.FLAG: _is_flag,
    Quantity.DATE: _is_date,
    Quantity.INSTANT: _is_instant,
}
