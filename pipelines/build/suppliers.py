"""A supplier's list of carton sizes, as candidates for stock: CSV with the columns of SUPPLIER."""

from pathlib import Path

import pandas as pd

from models.contracts import contract, validated
from models.errors import SourceFileError
from models.rules import AtMost
from models.shop_units import kept_name, kept_value

SUPPLIER = contract(
    "supplier sizes",
    "size_code | inside_length_in inside_width_in inside_height_in unit_cost_cents pack_quantity?",
    "One row per carton size that a supplier sells.",
    rules=(AtMost("inside_width_in", "inside_length_in"),),
)


def no_supplier() -> pd.DataFrame:
    """A list without rows."""
    return pd.DataFrame(columns=list(SUPPLIER.columns))


def _kept(rows: pd.DataFrame) -> pd.DataFrame:
    """The rows with sides in inches, whatever their headers say: inside_length_in or inside_length_cm."""
    metric = [name for name in rows.columns if kept_name(name) != name]
    try:
        converted = {kept_name(name): [kept_value(name, float(cell)) for cell in rows[name]] for name in metric}
    except ValueError:
        return rows
    return rows.drop(columns=metric).assign(**converted)


def read(path: Path) -> pd.DataFrame:
    """The rows of a supplier's list, inches and cents; the list may state its sides in cm.

    Raises SourceFileError, ContractError that names the column.
    """
    try:
        rows = pd.read_csv(path, dtype={"size_code": "str"})
    except (OSError, ValueError) as wrong:
        raise SourceFileError(
            str(path),
            f"cannot be read as CSV: {str(wrong).splitlines()[0]}",
            "this choice of sizes",
            f"give a CSV with the columns {', '.join(SUPPLIER.columns)}",
        ) from None
    rows = _kept(rows)
    missing = [name for name in SUPPLIER.columns if name not in rows and name != "pack_quantity"]
    if missing:
        raise SourceFileError(
            str(path),
            f"lacks {', '.join(missing)}",
            "this choice of sizes",
            f"give the columns {', '.join(SUPPLIER.columns)}",
        )
    return validated(rows.reindex(columns=list(SUPPLIER.columns)), SUPPLIER, "this choice of sizes")
