"""Native cells as the text that a person would write, the same in every format of typed values."""

import math
from datetime import date, datetime


class Native(str):
    """The text of a number with a fraction that the file stores as a number: its mark is the format's."""

    __slots__ = ()


def cell_text(cell: object, decimal: str | None = ".") -> str:
    """A native cell as the text a person would write; numbers with the decimal mark of their column."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return native_number(number_text(cell), decimal)
    if isinstance(cell, datetime):
        return (
            cell.date().isoformat() if cell.time() == datetime.min.time() and not cell.tzinfo else cell.isoformat(" ")
        )
    if isinstance(cell, date):
        return cell.isoformat()
    return str(cell)


def native_number(written: str, decimal: str | None) -> Native:
    """A native number with the decimal mark of its column, as text that reads in one way only.

    With no mark stated, one with three figures behind its point gets a zero more: 1.125 could be eleven hundred.
    """
    if decimal is not None:
        return Native(written.replace(".", decimal))
    is_ambiguous = len(written) > 4 and written[-4] == "." and written[-3:].isdecimal()
    return Native(written + "0" if is_ambiguous else written)


def number_text(number: float, digits: int = 15) -> str:
    """A native number to its significant digits: 33.300000000000004 is 33.3, as whoever wrote it sees it.

    Fifteen decimal digits survive every double and six every single-precision number (IEEE 754); what a sum leaves
    beyond them is noise of the binary form. Whole numbers are written without a point, others as Python does.
    """
    rounded = float(f"{number:.{digits}g}")
    return str(int(rounded)) if abs(rounded) < 1e15 and rounded == int(rounded) else repr(rounded)


def figures_text(written: str, decimal: str | None = ".") -> str:
    """A number as a file of typed values writes it, in figures: whole numbers as they are, others by `number_text`.

    Raises ValueError for what is no number.
    """
    if written.lstrip("-").isdecimal():
        return written
    number = float(written)
    return native_number(written if math.isinf(number) else number_text(number), decimal)
