"""What becomes of goods after the sale: returns, and claims that were refused, cut or appealed."""

from __future__ import annotations

from collections import Counter

from tests.sample_data.shop_files import cents, latest, truth


def test_returns_are_counted_and_none_of_them_was_claimed() -> None:
    stated, kept = truth()["returns"], latest("returns", "return_id")
    assert len(kept) == stated["returns"] > 0
    for column, header in (("carriage_cents", "Postage back"), ("depreciation_cents", "Worth lost")):
        assert sum(cents(row[header]) for row in kept if row[header]) == stated[column] > 0
    assert [row["Return"] for row in kept if not row["Sold again"]] == stated["not_sold_again"] != []
    assert not {row["Label out"] for row in kept} & {row["label"] for row in latest("claims", "claim_id")}


def test_claims_were_refused_cut_appealed_and_some_appeals_won() -> None:
    stated = truth()["appeals"]
    now = {row["case"]: row for row in latest("claims", "claim_id")}
    assert dict(Counter(row["state"] for row in now.values())) == stated["claims_by_state"]
    assert {"refused", "paid in part", "paid"} < set(stated["claims_by_state"])
    assert set(stated["won"]) < set(stated["appealed"]) and stated["won"]
    assert all(now[name]["state"] == "paid" and now[name]["got"] == now[name]["asked"] for name in stated["won"])
