"""Kinds of array that the damage statistics take, and how cells of a frame become them."""

from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from models.errors import ContractError

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]
NEGLIGIBLE = 1e-9
Dates = Any  # a sequence of days: numpy datetime64, a pandas column or Python dates


def days(dates: Dates) -> npt.NDArray[np.datetime64]:
    """Dates as days; a missing date stays missing (NaT)."""
    known = np.asarray(dates)
    if known.dtype.kind != "M":
        known = pd.to_datetime(pd.Series(list(dates), dtype=object)).to_numpy("datetime64[us]")
    return known.astype("datetime64[D]", copy=False)


def floats(values: Any) -> FloatArray:
    """Values as one array of floats; a missing value counts as nothing."""
    numbers = np.asarray(values)
    if numbers.dtype.kind in "fiu":
        return np.where(np.isnan(numbers), 0.0, numbers).astype(float)
    known = pd.Series(np.asarray(values, dtype=object)).astype("Float64")
    return np.asarray(known.fillna(0.0), dtype=float)


def sums(groups: IntArray, values: FloatArray, count: int) -> FloatArray:
    """Sum of values in each numbered group, shape (count,)."""
    return np.bincount(groups, values, minlength=count).astype(float)


def at_least_the_claims(claims: FloatArray, exposure: FloatArray) -> FloatArray:
    """Exposure, raised to the claims where it is smaller: fresh parcels may have more claims than exposure.

    Less than NEGLIGIBLE of a parcel is no exposure.
    """
    return np.maximum(np.where(exposure < NEGLIGIBLE, 0.0, exposure), claims)


def require_columns(rows: pd.DataFrame, columns: tuple[str, ...], where: str) -> None:
    """Raises ContractError that names the columns which `rows` lacks."""
    missing = [column for column in columns if column not in rows.columns]
    if missing:
        raise ContractError(
            where=where,
            what=f"columns missing: {', '.join(missing)}",
            affected="every figure based on this table",
            next_step="look at the model that builds the table",
        )
