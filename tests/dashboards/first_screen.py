"""The waterfall and the causes of the invented shop's months, from its parcels."""

from __future__ import annotations

from collections.abc import Mapping

import pandas as pd

from models.analyses import causes, waterfall
from models.analyses.question import Question
from models.plain_rows import as_dicts
from tests.dashboards.parcels import MONTHS, held

LAST = MONTHS[-1].date()


def first_screen_tables(
    months: Mapping[str, pd.DataFrame], costs: pd.DataFrame, items: pd.DataFrame
) -> dict[str, pd.DataFrame]:
    """analysis.margin_waterfall and analysis.causes. items: marts.item_type_costs."""
    cells = costs.assign(
        parcel_count=(~costs["is_account"]).astype(int), service=costs["service"].fillna("unknown")
    ).drop(columns="zone")
    summed = cells.groupby(["shipped_month", "item_type", "carrier", "service"]).sum(numeric_only=True).reset_index()
    found = causes.compute(
        Question({"marts.margin_cells": summed, "marts.item_type_costs": items}, LAST)
    ) | waterfall.compute(Question(months, LAST))
    return {name: held(name, as_dicts(rows)) for name, rows in found.items()}
