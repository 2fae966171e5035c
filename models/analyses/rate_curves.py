"""How far prices learned from bills miss: those that tariffs use, and those of days without a price list."""

from __future__ import annotations

from collections.abc import Hashable

import pandas as pd

from models.analyses.question import Question
from models.rate_curve import learned

READS, WRITES = ("rate_bills",), ("analysis.rate_curves",)
LANE = ("carrier", "service", "zone", "tariff_code", "learned_first_on", "learned_last_on")
FOUND = (
    *("is_in_use", "bill_count", "seen_from_lb", "seen_to_lb"),
    *("left_out_error_cents", "left_out_error_share", "left_out_unpriced_count"),
)


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.rate_curves from the query rate_bills, one row per carrier, service, zone, tariff and days.

    A tariff whose prices were learned from bills that the records do not hold has a row with no bills and no error.
    """
    lanes = question.table("rate_bills").groupby(list(LANE), sort=True, dropna=False)
    rows = [dict(zip(LANE, key, strict=True)) | _found(key, part) for key, part in lanes]
    return {"analysis.rate_curves": pd.DataFrame(rows, columns=[*LANE, *FOUND])}


def _found(key: tuple[Hashable, ...], part: pd.DataFrame) -> dict[str, object]:
    is_in_use = {"is_in_use": not pd.isna(part["tariff_code"].iloc[0])}
    times = part["bill_count"].tolist()
    bills = part.loc[part.index.repeat(times), ["carrier", "service", "zone"]].assign(
        period=str(key[-2]),
        billed_weight=part["billed_weight_lb"].repeat(times),
        base_cents=part["base_cents"].repeat(times),
    )
    curves = learned(bills)
    if not curves:
        return is_in_use | {"bill_count": 0, "left_out_unpriced_count": 0}
    (curve,) = curves
    return is_in_use | {
        "bill_count": curve.parcel_count,
        "seen_from_lb": float(curve.weights[0]),
        "seen_to_lb": float(curve.weights[-1]),
        "left_out_error_cents": None if curve.error_cents is None else int(curve.error_cents + 0.5),
        "left_out_error_share": curve.error_share,
        "left_out_unpriced_count": curve.outside_count,
    }
