"""A supplier's list of carton sizes, as candidates for stock: CSV with the columns of SUPPLIER."""

from __future__ import annotations

from pathlib import Path

import pandas as pd

from models.contracts import contract, validated
from models.errors import SourceFileError
from models.rules import AtMost

SUPPLIER = contract(
    "supplier sizes",
    "One row per carton size that a supplier sells.",
    "size_code",
    "size_code inside_length_in inside_width_in inside_height_in unit_cost_cents pack_quantity?",
    (AtMost("inside_width_in", "inside_length_in"),),
)


def no_supplier() -> pd.DataFrame:
    """A list without rows."""
    return pd.DataFrame(columns=list(SUPPLIER.columns))


def read(path: Path) -> pd.DataFrame:
    """The rows of a supplier's list, inches and cents. Raises SourceFileError, ContractError that names the column."""
    try:
        rows = pd.read_csv(path, dtype={"size_code": "str"})
    except (OSError, ValueError) as wrong:
        raise SourceFileError(
            str(path),
            f"cannot be read as CSV: {str(wrong).splitlines()[0]}",
            "this choice of sizes",
            f"give a CSV with the columns {', '.join(SUPPLIER.columns)}",
        ) from None
    missing = [name for name in SUPPLIER.columns if name not in rows and name != "pack_quantity"]
    if missing:
        raise SourceFileError(
            str(path),
            f"lacks {', '.join(missing)}",
            "this choice of sizes",
            f"give the columns {', '.join(SUPPLIER.columns)}",
        )
    return validated(rows.reindex(columns=list(SUPPLIER.columns)), SUPPLIER, "this choice of sizes")
