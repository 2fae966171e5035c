"""The bench list on paper: a row per parcel to pack, with boxes to mark its label, carton and packing method."""

import datetime as dt
from collections.abc import Mapping, Sequence

import pandas as pd

from dashboards import formats, pages
from models.dictionary import BENCH_LIST
from models.plain_rows import as_dicts

# More would not go on a line of paper; any other code is written on the line beside the boxes.
MOST_BOXES = 6


def render(shop_name: str, made_at: dt.datetime, parcels: pd.DataFrame, codes: pd.DataFrame) -> str:
    """The list as one HTML page. parcels: rows of the query `bench_list`, each with its assigned_method; codes: of
    `bench_codes`. Both in their order."""
    return pages.page(
        "bench_list.html",
        {},
        shop_name=shop_name,
        made_at=made_at,
        parcels=[_shown(row) for row in as_dicts(parcels)],
        cartons=_boxes(codes, "carton_code"),
        methods=_boxes(codes, "packing_method"),
        is_trial=bool(parcels["assigned_method"].notna().any()),
    )


def _boxes(codes: pd.DataFrame, mark: str) -> Sequence[str]:
    return [str(code) for code in codes.loc[codes["mark"] == mark, "code"].head(MOST_BOXES)]


def _shown(row: Mapping[str, object]) -> dict[str, str]:
    return {name: "" if formats.is_unknown(value) else str(value) for name, value in row.items()}


def typed(parcels: pd.DataFrame) -> str:
    """The same list as CSV to be filled in: one line per parcel, carton and packing method empty, and what a trial
    assigned."""
    rows = parcels.assign(carton_code="", packing_method="")
    # A label says itself which sale it is of; named twice, a sale in two parcels would count whole in each.
    rows["sale_id"] = rows["sale_id"].where(rows["parcel_id"].isna(), "")
    return rows[list(BENCH_LIST)].to_csv(index=False, lineterminator="\n")
