"""Shares of few parcels are told as counts, on the page and in no cell of the workbook."""

from __future__ import annotations

import pandas as pd
import pytest

from dashboards import small_shares
from models import columns
from models.fields import Quantity


@pytest.mark.common_practice
@pytest.mark.parametrize(("parcels", "is_few"), [(49, True), (50, False)])
def test_fifty_parcels_are_enough(parcels: int, is_few: bool) -> None:
    row = pd.Series({"parcel_count": parcels, "surcharge_rate": 0.5, "charged_parcel_count": 7})
    assert small_shares.is_of_few("surcharge_rate", row) == is_few
    assert small_shares.counts("surcharge_rate", row) == f"7 of {parcels}"
    assert not small_shares.is_of_few("charged_parcel_count", row)
    assert len(small_shares.enough(row.to_frame().T)) == (not is_few)


def test_a_share_without_its_count_is_called_too_few_and_a_row_without_parcels_stays() -> None:
    assert small_shares.counts("rate_low", pd.Series({"parcel_count": 3})) == "too few"
    assert (
        small_shares.counts("surcharge_rate", pd.Series({"parcel_count": 3, "charged_parcel_count": None})) == "too few"
    )
    assert not small_shares.is_of_few("surcharge_rate", pd.Series({"surcharge_rate": 0.5}))
    chances = pd.DataFrame({"cheapest_chance": [0.5]})
    assert small_shares.without_few(chances) is chances
    assert small_shares.enough(chances) is chances


def test_shares_of_few_become_null_and_all_others_stay() -> None:
    rows = pd.DataFrame({"parcel_count": [49, 50], "crude_claim_rate": [0.5, 0.25], "cheapest_chance": [0.1, 0.2]})
    kept = small_shares.without_few(rows)
    assert kept["crude_claim_rate"].isna().tolist() == [True, False]
    assert kept["crude_claim_rate"].iloc[1] == 0.25
    assert kept["cheapest_chance"].tolist() == [0.1, 0.2]


def test_shares_and_their_counts_are_columns_of_their_kind() -> None:
    assert all(columns.quantity(name) is Quantity.FRACTION for name in small_shares.SHARES)
    assert all(columns.quantity(name) is Quantity.COUNT for name in small_shares.SHARES.values() if name)
