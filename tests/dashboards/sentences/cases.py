"""Records for sentences: small tables of an invented shop, none of them the demo's."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import pandas as pd

from dashboards.review_tables import Records
from models import columns
from models.fields import Quantity
from models.tables import TABLES
from models.tables.cartons import PLACEMENTS
from models.tables.tariff_comparison import COMPARISON, TERMS

MONTH, BEFORE = dt.date(2027, 3, 1), pd.Timestamp("2027-02-01")
MADE_AT = dt.datetime(2027, 4, 9, 7, 0)
SOONER, LATER = pd.Timestamp("2027-04-08"), pd.Timestamp("2027-04-09")
Tables = Mapping[str, pd.DataFrame]
COMPARED = {f"comparison.{name}": contract for name, contract in COMPARISON.items()} | {"comparison.terms": TERMS}
# Columns of words, which a surface writes beside the table's own.
WRITTEN_IN = {"analysis.actions": ("action_words", "go_on_with", "other_way"), "analysis.alarms": ("alarm_words",)}
CONTRACTS = {**TABLES, **PLACEMENTS, **COMPARED}
PLAIN: dict[Quantity, Any] = {
    Quantity.COUNT: 60,
    Quantity.MONEY: 1_250,
    Quantity.FRACTION: 0.25,
    Quantity.FLAG: False,
    Quantity.DATE: pd.Timestamp(MONTH),
    Quantity.INSTANT: pd.Timestamp(MADE_AT),
    Quantity.NUMBER: 1.5,
    Quantity.LENGTH: 4.0,
    Quantity.WEIGHT: 3.0,
    Quantity.MINUTES: 2.0,
    Quantity.TEXT: "anvil",
}
# Small tables that surfaces make themselves, and what a parcel is explained by.
OTHERS = {
    "explaining.margin": "parcel_id margin_cents has_charges has_bench_log is_sale_known",
    "explaining.parcel": "length_in width_in height_in scale_weight_lb sides_source zone zone_source learned_prefix "
    "agreeing_count zone_bill_count tariff_code length_unit "
    "weight_unit longest_side second_side shortest_side dim_weight rated_weight rated_weight_lb billed_weight "
    "expected_cents billed_cents lacking learned_first_on learned_last_on bill_count left_out_error_cents "
    "interval_cents shipment_id parcel_count shipment_expected_cents shipment_billed_cents shipment_lacking",
    "explaining.lines": "charge_name difference_class expected_cents billed_cents measure measured threshold "
    "length_unit weight_unit",
    "explaining.packing": "lacking_words",
    "explaining.near": "near_miss charge_name change change_in change_lb spared_cents can_cut other_carton_code",
    "letter.edition": "edition edition_before",
    "letter.changes": "measure amount_before amount_after",
    **dict.fromkeys(("letter.due", "letter.actions", "letter.invoices"), "row_count"),
    "letter.files": "attached_names kept_place unasked_place made_at",
    "terminal.bridge": "compared_share parcel_count",
    "terminal.bench": "day_count parcel_count",
    "terminal.bench_sheets": "row_count",
    "terminal.claims": "claim_id",
    "terminal.claims_waiting": "claim_id has_deadline",
    "terminal.letters": "state",
    "terminal.runs": "kind",
    "terminal.overdue": "line",
    "terminal.trace": "relation parcel_count amount_cents",
    "terminal.reviews": "file_name",
    "terminal.month": "is_over is_billed",
    "workbook.sheets": "row_count shown_row_count table_name",
    "workbook.printed_tables": "row_count printed_row_count column_count printed_column_count",
}


@dataclass(frozen=True)
class Case:
    """Records that make a sentence true, and near ones that must suppress it. says: what it then says."""

    shows: Tables
    hides: tuple[Tables, ...]
    says: str = ""
    hides_at: dt.datetime | None = field(default=MADE_AT)
    shows_at: dt.datetime | None = field(default=MADE_AT)


def columns_of(table: str) -> list[str]:
    """The table's columns by its contract, or as its surface makes them."""
    known = list(CONTRACTS[table].columns) if table in CONTRACTS else OTHERS[table].split()
    return [*known, *WRITTEN_IN.get(table, ())]


def rows(table: str, *cells: Mapping[str, Any]) -> dict[str, pd.DataFrame]:
    """The table with a row for each mapping; cells that it does not name are plain. KeyError for another's column."""
    names = columns_of(table)
    for each in cells:
        if set(each) - set(names):
            raise KeyError(f"{table} has no {set(each) - set(names)}")
    found = [{name: each.get(name, PLAIN[columns.quantity(name)]) for name in names} for each in cells]
    return {table: pd.DataFrame(found, columns=names)}


def row(table: str, **cells: Any) -> dict[str, pd.DataFrame]:
    """The table with one row."""
    return rows(table, cells)


def records(tables: Tables, made_at: dt.datetime | None = MADE_AT) -> Records:
    """What a sentence is judged by."""
    return Records(tables=tables, month=MONTH, made_at=made_at)


def states(**counts: int) -> dict[str, pd.DataFrame]:
    """What is imported of each kind."""
    return rows("marts.record_states", *({"kind": kind, "row_count": count} for kind, count in counts.items()))


def coverage(parcels: int = 80, **cells: int) -> dict[str, Any]:
    """A month's coverage, whole but for the named counts."""
    names = ("benched_parcel_count", "measured_parcel_count", "charged_count", "sold_parcel_count")
    known = dict.fromkeys(names, parcels) | {"dated_by_invoice_count": 0, "dated_by_claim_count": 0} | cells
    return {"parcel_count": parcels, **known, "invoiced_share": known["charged_count"] / max(parcels, 1)}


def margin(cents: int, parcels: int = 80, change: int | None = None) -> dict[str, Any]:
    """A month's margin."""
    return {"margin_cents": cents, "parcel_count": parcels, "margin_change_cents": change, "billed_cents": 80_000}


def one_month(cents: int = -500, parcels: int = 80, **missing: int) -> dict[str, pd.DataFrame]:
    """The first month of a shop."""
    return row("marts.shipping_margin", **margin(cents, parcels)) | row(
        "marts.coverage", **coverage(parcels, **missing)
    )


def two_months(
    now: int, before: int, *, missing: int = 0, missing_before: int = 0, is_alike: bool = True, **other: int
) -> Tables:
    """Two months of 80 parcels, of which some have no bill yet. is_alike: whether they may be compared."""
    earlier = {"shipped_month": BEFORE}
    return {
        **rows("marts.shipping_margin", {**margin(before), **earlier}, margin(now, change=now - before)),
        **rows(
            "marts.coverage",
            {**coverage(charged_count=80 - missing_before), **earlier},
            coverage(charged_count=80 - missing, **other),
        ),
        **row(
            "analysis.margin_comparisons",
            compared_with="the month before",
            compared_parcel_count=80,
            is_like_with_like=is_alike,
        ),
    }
