"""A claim's sheet: what is asked for, by when, what may hurt, and what may be claimed."""

from __future__ import annotations

from datetime import date
from typing import Any

from models.claims.deadlines import ClaimTerm, deadlines
from models.claims.sheet import GLASS, HEAVY, KNIVES, Sheet, goods_cents

TODAY = date(2026, 11, 29)
GOODS = [{"item_price_cents": 18_900, "packed_quantity": 1}, {"item_price_cents": 4_500, "packed_quantity": 2}]


def sheet(weight: float | None = 11.0, **more: Any) -> Sheet:
    parcel = {"parcel_id": "P1", "scale_weight_lb": weight}
    return Sheet(TODAY, parcel, more.pop("goods", GOODS), (), more.pop("claims", ()), more.pop("days", ()), **more)


def test_what_the_goods_were_sold_for_can_be_claimed_unless_a_price_is_not_known() -> None:
    assert sheet().claimable_cents == 18_900 + 2 * 4_500
    assert sheet(goods=[*GOODS, {"item_price_cents": None, "packed_quantity": 1}]).claimable_cents is None
    assert goods_cents([], "item_price_cents") is None


def test_the_buyer_is_asked_only_for_what_no_file_shows() -> None:
    assert len(sheet().to_ask) == 5
    found = sheet(kept={"label": 2, "closed": 1, "other": 4})
    assert found.missing == ["contents", "cushioning", "tape", "value"]
    assert len(found.to_ask) == 3  # the shop itself has the proof of value


def test_the_buyer_answers_before_the_carriers_next_last_day() -> None:
    def by(days: int) -> date:
        stated = deadlines([ClaimTerm("filing", days, "days", "shipped_on")], {"shipped_on": date(2026, 11, 1)}, TODAY)
        return sheet(days=stated).reply_by

    assert by(60) == date(2026, 12, 2)
    assert by(29) == date(2026, 11, 30)
    assert by(28) == TODAY
    assert by(10) == date(2026, 12, 2)  # nothing is due any more


def test_cautions_are_for_broken_goods_knives_and_weight() -> None:
    assert sheet().cautions == sheet(None).cautions == [GLASS, KNIVES]
    assert sheet(25.5).cautions == [GLASS, KNIVES, HEAVY]


def test_the_sheet_is_about_damage_before_other_causes() -> None:
    causes = ["delay", "damage", "other"]
    found = sheet(claims=[{"claim_cause": cause, "claim_id": cause} for cause in causes])
    assert found.claim is not None and found.claim["claim_id"] == "damage"
    assert sheet().claim is None
