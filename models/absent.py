"""Absent is not zero: what no record of a shop can say is unknown in every table that is shown.

The marts count what is there, so that sums add up; a column that only one kind of record fills holds zeros where that
kind was never imported. Here these cells become null, and tables of nothing else lose their rows.
"""

from __future__ import annotations

from collections.abc import Mapping

import pandas as pd

from models.money import MOSTLY_BILLED, columns_of

STATES, CHECKS = "marts.record_states", "marts.billing_checks"
TARIFF, PACKING_TIME = "tariff", "packing time"
MONTHS = "marts.shipping_margin"
# What each kind of record alone can fill, by column.
FILLED_BY: dict[str, frozenset[str]] = {
    "claims": frozenset(
        [
            *("damage_net_cents", "damage_per_parcel_cents", "damage_count", "loss_count", "other_claim_count"),
            "crude_damage_rate",
            # Of changes judged, and of trials at the bench.
            *("claims_expected", "claims_seen", "usual_claim_count", "tried_claim_count"),
            *(f"{name}_{side}" for name in ("measured", "likely") for side in ("ratio", "low", "high")),
        ]
    ),
    "returns": frozenset({"return_carriage_cents", "depreciation_cents"}),
    "cartons": frozenset({"carton_cents"}),
    "packing_methods": frozenset({"material_cents"}),
    "weights": frozenset({"carton_cents", "material_cents", "labour_cents"}),
    PACKING_TIME: frozenset({"labour_cents"}),
    "charges": frozenset({*columns_of("charges"), "billed_cents", "invoiced_share"}),
    "sales": frozenset(columns_of("paid")),
    TARIFF: frozenset({"avoidable_count", "avoidable_cents", "avoidable_share", "method_carriage_cents"}),
}
# Without these there is no margin, whatever else is known.
OF_A_MARGIN = ("charges", "sales")
MARGIN = frozenset(
    {
        *("margin_cents", "margin_per_parcel_cents", "margin_change_cents", "carriage_per_parcel_cents"),
        *("from_margin_cents", "until_margin_cents"),
    }
)
# Means that look too good, and changes that look like gains, where bills of a month are missing.
OF_ALL_BILLS = ("margin_per_parcel_cents", "carriage_per_parcel_cents", "cost_per_piece_cents")
CHANGE, COVERAGE, GAPS = "margin_change_cents", "marts.coverage", "marts.record_gaps"
BY_MONTH = (
    "marts.shipping_margin",
    "marts.item_type_costs",
    *(f"marts.margin_by_{name}" for name in ("channel", "service", "zone")),
)
# Tables that say nothing but what one kind of record tells.
ONLY_OF: dict[str, frozenset[str]] = {
    "claims": frozenset(
        [
            *("marts.damage_counts", "marts.damage_year", "marts.packing_method_year", "analysis.reporting_lag"),
            *("analysis.damage_rates", "analysis.monthly_damage", "analysis.method_comparison", "analysis.severity"),
            *("analysis.packing_decision", "analysis.trial_proposals", "analysis.damage_patterns"),
            *("analysis.insurance_rules", "marts.insurance_ledger"),
        ]
    )
}


def absent_kinds(tables: Mapping[str, pd.DataFrame]) -> set[str]:
    """The kinds of record that were never imported, `tariff` where no bill could be checked against one, and `packing
    time` where no parcel of any month has cost any.

    Where the tables do not say it, nothing is absent.
    """
    found: set[str] = set()
    if STATES in tables:
        states = tables[STATES]
        found |= set(states["kind"][states["row_count"] == 0].astype(str))
    if CHECKS in tables and not tables[CHECKS]["checked_parcel_count"].sum():
        found.add(TARIFF)
    costs = tables[MONTHS].get("labour_cents") if MONTHS in tables else None
    if costs is not None and len(costs) and not costs.any():
        found.add(PACKING_TIME)
    return found


def as_known(tables: Mapping[str, pd.DataFrame]) -> dict[str, pd.DataFrame]:
    """The tables, with null for what the shop's records cannot say. No table and no row of another is taken away."""
    absent = absent_kinds(tables)
    unknown = {column for kind in absent & set(FILLED_BY) for column in FILLED_BY[kind]}
    if absent & set(OF_A_MARGIN):
        unknown |= MARGIN
    if {"weights", "labels"} <= absent:
        # Parcels that were never billed are not known, so no share of bills is.
        unknown |= {"invoiced_share"}
    emptied = {name for kind in absent & set(ONLY_OF) for name in ONLY_OF[kind]}
    known = {name: _known(rows.iloc[:0] if name in emptied else rows, unknown) for name, rows in tables.items()}
    partly, unsent = partly_billed(tables), partly_sent(tables)
    return known | {
        name: _means_of_all(known[name], partly, unsent)
        for name in BY_MONTH
        if name in known and len(partly) + len(unsent)
    }


def partly_billed(tables: Mapping[str, pd.DataFrame]) -> pd.Series[pd.Timestamp]:
    """The months of which parcels on record have no bill, more than a few of them."""
    if COVERAGE not in tables:
        return pd.Series(dtype="datetime64[us]")
    rows = tables[COVERAGE]
    is_partly = rows["charged_count"] < MOSTLY_BILLED * rows["parcel_count"]
    return pd.to_datetime(rows["shipped_month"])[is_partly.fillna(False).to_numpy(bool)]


def partly_sent(tables: Mapping[str, pd.DataFrame]) -> pd.Series[pd.Timestamp]:
    """The months of which sales have no parcel on record, more than a few of them."""
    if GAPS not in tables:
        return pd.Series(dtype="datetime64[us]")
    rows = tables[GAPS]
    is_partly = rows["missing_count"] > (1 - MOSTLY_BILLED) * rows["due_count"]
    is_unsent = is_partly & (rows["gap"] == "sales without a parcel")
    return pd.to_datetime(rows["shipped_month"])[is_unsent.fillna(False).to_numpy(bool)]


def _means_of_all(rows: pd.DataFrame, partly: pd.Series[pd.Timestamp], unsent: pd.Series[pd.Timestamp]) -> pd.DataFrame:
    """The rows, without means over parcels where bills are missing, and changes where bills or parcels are."""
    month = pd.to_datetime(rows["shipped_month"])
    is_partly = month.isin(partly)
    found = dict.fromkeys(OF_ALL_BILLS, is_partly)
    if CHANGE in rows.columns:
        months = month.sort_values()
        before = dict(zip(months[1:], months[:-1], strict=True))
        incomplete = pd.concat([partly, unsent])
        found[CHANGE] = month.isin(incomplete) | month.map(before).isin(incomplete)
    return rows.assign(
        **{
            name: rows[name].astype(_type(rows[name])).mask(where)
            for name, where in found.items()
            if name in rows.columns
        }
    )


def _known(rows: pd.DataFrame, unknown: set[str]) -> pd.DataFrame:
    blank = [name for name in rows.columns if name in unknown]
    return rows.assign(**{name: pd.Series(pd.NA, index=rows.index, dtype=_type(rows[name])) for name in blank})


def _type(values: pd.Series[float]) -> pd.Float64Dtype | pd.Int64Dtype:
    return pd.Float64Dtype() if pd.api.types.is_float_dtype(values) else pd.Int64Dtype()
