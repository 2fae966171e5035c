"""What no record can say is unknown, and nothing else is."""

from __future__ import annotations

import pandas as pd
import pytest

from models import absent
from models.reference import RECORDS
from models.tables import TABLES


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


def test_tables_of_claims_alone_lose_their_rows_and_keep_their_columns() -> None:
    rates = pd.DataFrame({"claim_count": [0], "damage_rate": [0.0]})
    known = absent.as_known({"marts.record_states": states(claims=0), "analysis.damage_rates": rates})
    assert known["analysis.damage_rates"].empty
    assert list(known["analysis.damage_rates"].columns) == ["claim_count", "damage_rate"]


def test_kinds_tables_and_columns_are_those_of_the_contracts() -> None:
    assert set(absent.FILLED_BY) - {absent.TARIFF} <= set(RECORDS)
    assert {name for names in absent.ONLY_OF.values() for name in names} <= set(TABLES)
    every = {str(column) for table in TABLES.values() for column in table.columns}
    assert {column for columns in absent.FILLED_BY.values() for column in columns} <= every
