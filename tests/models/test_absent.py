"""What no record can say is unknown, and nothing else is."""

from __future__ import annotations

import pandas as pd
import pytest

from models import absent
from models.reference import RECORDS
from models.tables import TABLES

MONTH = pd.Timestamp("2026-07-01")


def states(**counts: int) -> pd.DataFrame:
    return pd.DataFrame({"kind": list(counts), "row_count": list(counts.values())})


def checks(*checked: int) -> pd.DataFrame:
    return pd.DataFrame({"checked_parcel_count": list(checked)})


def month(**cells: int) -> pd.DataFrame:
    known = {"billed_cents": 900, "carton_cents": 0, "damage_net_cents": 0, "margin_cents": -5, "parcel_count": 3}
    return pd.DataFrame([{**known, **cells}])


def test_tables_that_say_nothing_of_records_stay_as_they_are() -> None:
    tables = {"marts.shipping_margin": month()}
    assert absent.absent_kinds(tables) == set()
    pd.testing.assert_frame_equal(absent.as_known(tables)["marts.shipping_margin"], month())


@pytest.mark.parametrize(
    ("kind", "unknown"),
    [
        ("claims", {"damage_net_cents"}),
        ("cartons", {"carton_cents"}),
        ("weights", {"carton_cents"}),
        ("charges", {"billed_cents", "margin_cents"}),
        ("sales", {"margin_cents"}),
        ("labels", set()),
    ],
)
def test_a_kind_that_was_never_imported_fills_no_cell(kind: str, unknown: set[str]) -> None:
    tables = {"marts.record_states": states(**{kind: 0}), "marts.shipping_margin": month()}
    known = absent.as_known(tables)["marts.shipping_margin"]
    assert {name for name in known.columns if known[name].isna().all()} == unknown
    rest = [name for name in known.columns if name not in unknown]
    pd.testing.assert_frame_equal(known[rest], month()[rest])
    there = {"marts.record_states": states(**{kind: 1}), "marts.shipping_margin": month()}
    pd.testing.assert_frame_equal(absent.as_known(there)["marts.shipping_margin"], month())


def test_without_a_checked_bill_there_is_no_tariff_and_without_bills_nobody_knows() -> None:
    rates = pd.DataFrame({"avoidable_share": [0.0], "surcharge_rate": [0.5]})
    for found, is_unknown in ((checks(0, 0), True), (checks(0, 1), False)):
        known = absent.as_known({"marts.billing_checks": found, "analysis.surcharge_rates": rates})
        assert known["analysis.surcharge_rates"]["avoidable_share"].isna().tolist() == [is_unknown]
        assert known["analysis.surcharge_rates"]["surcharge_rate"].tolist() == [0.5]


@pytest.mark.parametrize(("labour_cents", "is_unknown"), [(0, True), (40, False)])
def test_packing_that_never_took_time_was_never_timed(labour_cents: int, is_unknown: bool) -> None:
    items = pd.DataFrame({"item_type": ["rod"], "labour_cents": [0]})
    tables = {"marts.shipping_margin": month(labour_cents=labour_cents), "marts.item_type_costs": items}
    known = absent.as_known(tables)
    assert {rows["labour_cents"].isna().all() for rows in known.values()} == {is_unknown}


def test_tables_of_claims_alone_lose_their_rows_and_keep_their_columns() -> None:
    rates = pd.DataFrame({"claim_count": [0], "damage_rate": [0.0]})
    known = absent.as_known({"marts.record_states": states(claims=0), "analysis.damage_rates": rates})
    assert known["analysis.damage_rates"].empty
    assert list(known["analysis.damage_rates"].columns) == ["claim_count", "damage_rate"]


def test_kinds_tables_and_columns_are_those_of_the_contracts() -> None:
    assert set(absent.FILLED_BY) - {absent.TARIFF, absent.PACKING_TIME} <= set(RECORDS)
    assert {name for names in absent.ONLY_OF.values() for name in names} <= set(TABLES)
    every = {str(column) for table in TABLES.values() for column in table.columns}
    assert {column for columns in absent.FILLED_BY.values() for column in columns} <= every


def test_a_month_of_which_bills_are_missing_has_no_mean_and_no_change() -> None:
    """A month is not better because an invoice is missing: means over all parcels would say so."""
    months = pd.to_datetime(["2026-07-01", "2026-08-01", "2026-09-01", "2026-10-01"])
    rows = pd.DataFrame({"shipped_month": months, "margin_cents": -500, "parcel_count": 100})
    margins = rows.assign(
        margin_per_parcel_cents=-5, carriage_per_parcel_cents=9, margin_change_cents=[float("nan"), 0, 0, 0]
    )
    coverage = rows[["shipped_month", "parcel_count"]].assign(charged_count=[100, 94, 95, 100])
    items = rows.assign(cost_per_piece_cents=7).iloc[[1, 3]]
    tables = {"marts.coverage": coverage, "marts.shipping_margin": margins, "marts.item_type_costs": items}
    known = absent.as_known(tables)
    shown = known["marts.shipping_margin"]
    for name in ("margin_per_parcel_cents", "carriage_per_parcel_cents"):
        assert shown[name].isna().tolist() == [False, True, False, False]
    assert shown["margin_change_cents"].isna().tolist() == [True, True, True, False]
    assert shown["margin_cents"].tolist() == [-500] * 4
    assert known["marts.item_type_costs"]["cost_per_piece_cents"].isna().tolist() == [True, False]
    pd.testing.assert_frame_equal(absent.as_known({"marts.shipping_margin": margins})["marts.shipping_margin"], margins)


def test_a_month_whose_sales_lack_parcels_has_its_means_and_no_change() -> None:
    months = pd.to_datetime(["2026-07-01", "2026-08-01"])
    margins = pd.DataFrame({"shipped_month": months, "margin_per_parcel_cents": 5, "margin_change_cents": 7})
    gaps = pd.DataFrame({"shipped_month": months, "gap": "sales without a parcel", "due_count": 100})
    for missing, is_told in ((5, True), (6, False)):
        tables = {"marts.shipping_margin": margins, "marts.record_gaps": gaps.assign(missing_count=[0, missing])}
        known = absent.as_known(tables)["marts.shipping_margin"]
        assert known["margin_change_cents"].notna().tolist() == [True, is_told]
        assert known["margin_per_parcel_cents"].notna().all()


def test_where_nothing_names_parcels_that_were_never_billed_no_share_of_bills_is_known() -> None:
    coverage = pd.DataFrame(
        {"invoiced_share": [1.0], "charged_count": [9], "parcel_count": [9], "shipped_month": MONTH}
    )
    for kept, is_told in (({"weights": 3, "labels": 0}, True), ({"weights": 0, "labels": 3}, True), ({}, False)):
        tables = {"marts.record_states": states(**{"weights": 0, "labels": 0} | kept), "marts.coverage": coverage}
        assert absent.as_known(tables)["marts.coverage"]["invoiced_share"].notna().tolist() == [is_told]
