"""Parcels joined and split: given parcels, expected plans and cents."""

from __future__ import annotations

from typing import Any

import pandas as pd

from models.carton_choice import plans
from models.carton_choice.demand import FIELD, LINE
from models.packing.needed import contents
from tests.models.packing.goods import item

TRIPOD, MOUNT = item("tripod", 40, 6, 6), item("mount", 12, 10, 8)
ITEMS = {"tripod": TRIPOD, "mount": MOUNT}
WEIGHTS_LB = {"tripod": 9.0, "mount": 18.0}
SENT: dict[str, Any] = {
    "sale_id": "S1",
    "sale_parcel_count": 2,
    "goods": f"tripod{FIELD}1",
    "clearance_in": 1.0,
    "scale_weight_lb": 10.0,
    "declared_value_cents": 9_000,
    "spent_cents": 2_000,
    "packing_cents": 300,
    "void_cents": 40,
    "used_tare_lb": 2.0,
    "used_void_lb": 0.5,
    "carrier": "Northline",
    "service": "ground",
    "zone": "5",
    "shipped_on": pd.Timestamp("2026-10-02"),
    "is_residential": True,
    "destination_prefix": "597",
}
MATE = {**SENT, "goods": f"mount{FIELD}1", "clearance_in": 2.0, "scale_weight_lb": 20.0, "packing_cents": 500}
MATE |= {"void_cents": 60, "used_tare_lb": 3.0}
BOTH = {**SENT, "goods": f"mount{FIELD}1{LINE}tripod{FIELD}2", "sale_parcel_count": 1, "scale_weight_lb": 40.0}


def found(*rows: dict[str, Any]) -> list[plans.Plan]:
    return plans.plans(pd.DataFrame(list(rows)), ITEMS, WEIGHTS_LB)


def test_two_parcels_of_a_sale_are_joined_with_the_thicker_clearance_and_one_packing() -> None:
    (plan,) = found(SENT, MATE)
    assert (plan.kind, plan.before) == ("joined", "1 mount | 1 tripod")
    assert plan.parts == (plans.Part(contents([(TRIPOD, 1), (MOUNT, 1)], 2.0), 30.0, 18_000, 1, 5.0, 1.0),)
    assert (plan.spent_cents, plan.packing_cents, plan.sent_packing_cents) == (4_000 + 800, 500, 800)
    assert plan.void_cents == 40 + 60
    assert set(plan.unchanged) == {
        plans.Part(contents([(TRIPOD, 1)], 1.0), 10.0, 9_000, 1, 2.0, 0.5),
        plans.Part(contents([(MOUNT, 1)], 2.0), 20.0, 9_000, 1, 3.0, 0.5),
    }


def test_a_tare_that_one_of_them_does_not_state_is_unknown_of_both() -> None:
    (plan,) = found(SENT, {**MATE, "used_tare_lb": float("nan")})
    assert (plan.parts[0].used_tare_lb, plan.unchanged[0].used_tare_lb) == (None, 2.0)
    assert plans.part_rows([plan], {part.packed: 1 for part in plan.all_parts})["used_tare_lb"].isna().tolist() == [
        True,
        False,
        True,
    ]


def test_a_parcel_of_several_pieces_is_split_by_the_weight_of_the_pieces() -> None:
    (plan,) = found(BOTH)
    # 18 of 36 lb are the mount's, 9 each tripod's; so it is with the 40 lb on the scale and the 90.00 declared.
    assert (plan.kind, plan.before) == ("split", "1 mount, 2 tripod")
    assert set(plan.parts) == {
        plans.Part(contents([(MOUNT, 1)], 1.0), 20.0, 4_500, 1, 1.0, 0.25),
        plans.Part(contents([(TRIPOD, 1)], 1.0), 10.0, 2_250, 2, 0.5, 0.125),
    }
    assert (plan.spent_cents, plan.packing_cents, plan.void_cents) == (2_000 + 300, 3 * 300, 40)


def test_what_did_not_go_together_is_not_joined() -> None:
    assert found(SENT) == []
    assert found(SENT, {**MATE, "shipped_on": pd.Timestamp("2026-10-03")}) == []
    assert found(SENT, {**MATE, "service": "air"}) == []
    assert found({**SENT, "sale_parcel_count": 3}, {**MATE, "sale_parcel_count": 3}) == []
    assert found({**SENT, "sale_parcel_count": 0}, {**MATE, "sale_parcel_count": 0}) == []


def test_an_unknown_value_is_declared_as_none() -> None:
    (plan,) = found({**SENT, "declared_value_cents": None}, MATE)
    assert plan.parts[0].declared_cents == 9_000


def test_each_part_goes_the_way_of_its_parcel() -> None:
    (plan,) = found(BOTH)
    keys = {part.packed: number for number, part in enumerate(plan.all_parts, start=5)}
    parts = plans.part_rows([plan], keys)
    assert parts["plan_number"].tolist() == [0, 0, 0] and parts["part_number"].tolist() == [0, 1, 2]
    # The two parts of the plan, then the parcel unchanged.
    assert parts["contents_key"].tolist() == [5, 6, 7] and len(plan.unchanged) == 1
    assert (parts[plans.LANE] == pd.Series(SENT)[plans.LANE]).all(axis=None)
    assert plans.part_rows([], {}).columns.tolist() == parts.columns.tolist()


def test_plans_of_one_kind_and_contents_add_up_and_dearer_ones_save_nothing() -> None:
    cheap, dear, refused = (found({**BOTH, "spent_cents": spent})[0] for spent in (9_000, 1_000, 9_000))
    rows = [
        {"plan_number": number, "part_number": at, "parcels": part.parcels, "best_cents": cents}
        for number, plan in enumerate((cheap, dear, refused))
        for at, part in enumerate(plan.all_parts)
        # The parcel unchanged costs 7,000 in the sizes to stock, or has none; the last plan's first part has none.
        for cents in [None if (number, at) in ((1, 2), (2, 0)) else 1_500 if at < 2 else 7_000]
    ]
    (row,) = plans.plan_table([cheap, dear, refused], pd.DataFrame(rows).astype({"best_cents": "Float64"})).to_dict(
        "records"
    )
    assert (row["plan"], row["contents_before"]) == ("split", "1 mount, 2 tripod")
    assert (row["plan_sale_count"], row["cheaper_count"]) == (2, 1)
    # Three parcels at 1,500 and 300 of packing for each, against 7,000 and 300 unchanged, both less 40 of fill as sent.
    assert row["plan_cents"] == 2 * (3 * 1_500 + 3 * 300 - 40)
    assert (row["spent_cents"], row["unchanged_cents"]) == (9_300 + 1_300, 7_260 + 1_300)
    assert row["plan_saving_cents"] == 7_300 - 5_400


def test_without_a_plan_the_table_is_empty() -> None:
    parts = plans.part_rows([], {}).assign(best_cents=pd.Series(dtype="Float64"))
    table = plans.plan_table([], parts)
    assert table.empty and "plan_saving_cents" in table.columns
