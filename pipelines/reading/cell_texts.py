"""Native cells as the text that a person would write, the same in every format of typed values."""

from __future__ import annotations

import math
from datetime import date, datetime


def cell_text(cell: object, decimal: str = ".") -> str:
    """A native cell as the text a person would write; numbers with the decimal mark of their column."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return number_text(cell).replace(".", decimal)
    if isinstance(cell, datetime):
        return (
            cell.date().isoformat() if cell.time() == datetime.min.time() and not cell.tzinfo else cell.isoformat(" ")
        )
    if isinstance(cell, date):
        return cell.isoformat()
    return str(cell)


def number_text(number: float, digits: int = 15) -> str:
    """A native number to its significant digits: 33.300000000000004 is 33.3, as whoever wrote it sees it.

    Fifteen decimal digits survive every double and six every single-precision number (IEEE 754); what a sum leaves
    beyond them is noise of the binary form. Whole numbers are written without a point, others as Python does.
    """
    rounded = float(f"{number:.{digits}g}")
    return str(int(rounded)) if abs(rounded) < 1e15 and rounded == int(rounded) else repr(rounded)


def figures_text(written: str, decimal: str = ".") -> str:
    """A number as a file of typed values writes it, in figures: whole numbers as they are, others by `number_text`.

    Raises ValueError for what is no number.
    """
    if written.lstrip("-").isdecimal():
        return written
    number = float(written)
    return (written if math.isinf(number) else number_text(number)).replace(".", decimal)
