"""Cartons of small shops: what is bounded, left out, refused or empty, each by given rows and expected rows."""

from __future__ import annotations

from contextlib import AbstractContextManager
from typing import Any

import pandas as pd
import pytest

from models.contracts import validated
from models.errors import ContractError, NotFoundError
from models.packing.fit import Effort
from models.settings.cartons import Cartons
from models.shop_units import Units
from models.tables import TABLES
from pipelines.build import analysing, cartons, suppliers
from pipelines.build.cartons import classes
from pipelines.shop import warehouse
from tests.pipelines.parcels import JUDGED, demo_tariffs
from tests.shops import Rows, built

SHORT = {
    "carton_code": "SHORT",
    "inside_length_in": 8.5,
    "inside_width_in": 8.5,
    "inside_height_in": 45.5,
    "board_in": 0.16,
    "is_cuttable": False,
}
LONG = {**SHORT, "carton_code": "LONG", "inside_height_in": 48.5, "is_cuttable": True, "minimum_height_in": 20}
TRIPOD = {"item_type": "tripod", "length_in": 43, "width_in": 6, "height_in": 6, "turns": "any", "may_lie_under": True}
PAPER = {"packing_method": "paper", "clearance_in": 1}
PARCEL = {
    "sale_id": "S1",
    "carton_code": "LONG",
    "packing_method": "paper",
    "scale_weight_lb": 13,
    "length_in": 49.25,
    "width_in": 9,
    "height_in": 9,
    "is_residential": True,
}


def listed(weights: Rows, catalogue: Rows, **more: Any) -> AbstractContextManager[warehouse.Connection]:
    """What judging cartons reads of a shop of one item type and method, rated by the demo's tariffs."""
    stated: dict[str, Any] = {"sales": [{"sale_id": "S1"}], "item_types": [TRIPOD], "packing_methods": [PAPER]}
    listed_by = {"price_lists": demo_tariffs(), "needed": JUDGED}
    return built(weights=weights, cartons=catalogue, **listed_by | stated | more)


def tables(
    weights: Rows,
    catalogue: Rows = (SHORT, LONG),
    items: Rows = (TRIPOD,),
    settings: Cartons | None = None,
    **more: Any,
) -> dict[str, pd.DataFrame]:
    """The review's carton tables of such a shop."""
    more.setdefault("sales", [{"sale_id": "S1"}, {"sale_id": "S2", "item_type": "globe"}])
    with listed(weights, catalogue, item_types=items, **more) as connection:
        wanted = settings or Cartons()
        bundles = cartons.bundle_tables(connection, wanted)
        for name, rows in bundles.items():
            connection.execute("create schema if not exists analysis")
            analysing.store(connection, name, rows)
        return bundles | cartons.review_tables(connection, wanted)


def parcel(number: int = 1, **other: Any) -> dict[str, Any]:
    return {"parcel_id": f"P{number}", **PARCEL, **other}


def test_a_shorter_carton_from_stock_saves_the_surcharge() -> None:
    found = tables([parcel()])
    (best,) = found["analysis.best_cartons"].to_dict("records")
    assert (best["carton_code"], best["best_carton_code"], best["is_cut"]) == ("LONG", "SHORT", False)
    assert best["saving_cents"] > 1000 and best["contents"] == "1 tripod"
    ladder = found["analysis.carton_ladder"].set_index("ladder_step")
    assert ladder.loc["right carton from stock", "better_parcel_count"] == 1
    assert ladder.loc["right carton from stock", "saving_cents"] == best["saving_cents"]
    assert "best sizes" not in ladder.index


def test_parcels_of_the_last_months_are_judged_and_no_older_ones() -> None:
    sent = [parcel(1, shipped_on="2026-08-31"), parcel(2, shipped_on="2026-09-01"), parcel(3, shipped_on="2026-10-31")]
    found = tables(sent, settings=Cartons(judged_months=2))
    assert list(found["analysis.carton_coverage"]["parcel_count"]) == [1, 1]
    assert found["analysis.best_cartons"]["parcel_count"].sum() == 2


def test_without_it_the_long_one_is_cut_and_the_cut_is_paid_for() -> None:
    (best,) = tables([parcel()], [LONG])["analysis.best_cartons"].to_dict("records")
    (slow,) = tables([parcel()], [LONG], settings=Cartons(cut_minutes=5))["analysis.best_cartons"].to_dict("records")
    assert (best["best_carton_code"], best["best_height_in"], best["is_cut"]) == ("LONG", 45.0, True)
    assert best["saving_cents"] - slow["saving_cents"] == 3 * 2_400 / 60


def test_a_cut_below_the_minimum_height_is_never_offered() -> None:
    (best,) = tables([parcel()], [{**LONG, "minimum_height_in": 48}])["analysis.best_cartons"].to_dict("records")
    assert best["best_height_in"] >= 48.0


@pytest.mark.parametrize("unknown", [{"sale_id": "S2"}, {"packing_method": "straw"}, {"packing_method": None}])
def test_goods_of_unknown_sides_are_bounded_by_the_carton_used(unknown: dict[str, Any]) -> None:
    """They lay in LONG: SHORT may be too short for them, LONG may not be cut, and the review counts them."""
    found = tables([parcel(**unknown)])
    (best,) = found["analysis.best_cartons"].to_dict("records")
    assert (best["best_carton_code"], best["is_cut"], best["contents"]) == ("LONG", False, "goods of unknown sides")
    (coverage,) = found["analysis.carton_coverage"].to_dict("records")
    assert (coverage["considered_parcel_count"], coverage["bounded_parcel_count"]) == (1, 1)


def test_the_same_goods_cut_before_are_bounded_by_the_cut() -> None:
    found = tables([parcel(sale_id="S2", cut_height_in=45, length_in=46.25), parcel(2)], [LONG])
    best = found["analysis.best_cartons"].set_index("contents")
    assert best.loc["goods of unknown sides", "best_height_in"] == 45.0


@pytest.mark.parametrize(
    "lacking", [{"scale_weight_lb": None}, {"service": "pigeon"}, {"carton_code": None, "packing_method": None}]
)
def test_what_cannot_be_priced_or_bounded_is_left_out_and_counted(lacking: dict[str, Any]) -> None:
    found = tables([parcel(**lacking), parcel(2)])
    (coverage,) = found["analysis.carton_coverage"].to_dict("records")
    assert (coverage["parcel_count"], coverage["considered_parcel_count"]) == (2, 1)
    assert coverage["left_out_parcel_count"] == 1
    assert found["analysis.best_cartons"]["parcel_count"].sum() == 1


def test_a_carton_that_the_carrier_refuses_is_not_offered() -> None:
    """Corvane takes nothing of more than 31.5 kg; the price of a heavier parcel exists in no carton."""
    found = tables([parcel(carrier="Corvane", service="economy", scale_weight_lb=80), parcel(2)])
    assert found["analysis.carton_coverage"]["left_out_parcel_count"].sum() == 1


def test_what_open_fits_could_save_at_most_is_what_they_save_once_proved(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two tripods fit the shorter carton. Where nothing is placed, that stays open, and nothing else is offered."""
    wide = [{**each, "inside_length_in": 15.5, "is_cuttable": False} for each in (SHORT, LONG)]
    sent = [parcel(length_in=49.25, width_in=16, packed_quantity=2)]
    two = [{"sale_id": "S1", "quantity": 2}]
    proved = tables(sent, wide, sales=two)
    monkeypatch.setattr(classes, "usual_effort", lambda _: Effort(built=0))
    unproved = tables(sent, wide, sales=two)
    (known,), (unknown,) = (found["analysis.carton_coverage"].to_dict("records") for found in (proved, unproved))
    (best,), (kept,) = (found["analysis.best_cartons"].to_dict("records") for found in (proved, unproved))
    assert (known["open_fit_parcel_count"], known["open_saving_cents"]) == (0, 0)
    assert (unknown["open_fit_parcel_count"], kept["saving_cents"]) == (1, 0)
    assert unknown["open_saving_cents"] == best["saving_cents"] > 0


def test_an_unmeasured_carton_is_taken_to_bulge_like_the_others() -> None:
    """LONG closes 0.11 in over its stated 49.14 in on five parcels; SHORT has none, and is reckoned longer too."""
    weights = [parcel(number, length_in=49.25) for number in range(5)]
    with listed(weights, [SHORT, LONG]) as connection, classes.working(connection):
        judged = classes.judge(connection, Cartons())
    offered = judged.offered.rows.set_index(["carton_code", "option_kind"])
    assert offered.loc[("SHORT", "stocked"), "length_in"] == pytest.approx(45.5 + 0.64 + 0.11)
    assert offered.loc[("LONG", "stocked"), "length_in"] == pytest.approx(49.25)


@pytest.mark.parametrize(
    ("weights", "catalogue", "items", "is_rated", "judged"),
    [
        ([], [], [], False, 0),
        ([], [SHORT], [TRIPOD], True, 0),
        ([parcel()], [], [], True, 0),
        ([parcel()], [], [TRIPOD], True, 1),
        ([parcel()], [SHORT, LONG], [], True, 1),
        ([parcel()], [SHORT, LONG], [TRIPOD], False, 0),
    ],
)
def test_shops_that_lack_records_get_tables_not_tracebacks(
    weights: Rows, catalogue: Rows, items: Rows, is_rated: bool, judged: int
) -> None:
    found = tables(weights, catalogue, items, price_lists=demo_tariffs() if is_rated else [])
    for name, rows in found.items():
        validated(rows, TABLES[name], "the test")
    assert found["analysis.carton_coverage"]["parcel_count"].sum() == len(weights)
    assert found["analysis.carton_coverage"]["considered_parcel_count"].sum() == judged
    ladder = found["analysis.carton_ladder"]
    assert ladder.loc[ladder["ladder_step"] == "spent", "parcel_count"].sum() == judged


def chosen(connection: warehouse.Connection, settings: Cartons, supplier: pd.DataFrame) -> dict[str, pd.DataFrame]:
    return cartons.chosen_tables(connection, settings, supplier, pd.Timestamp("2026-11-01"), Units("USD"))


def two_months() -> list[dict[str, Any]]:
    return [parcel(n, shipped_on=day) for n, day in enumerate(["2026-08-04", "2026-08-20", "2026-09-08", "2026-09-17"])]


def test_a_suppliers_size_may_be_chosen() -> None:
    supplier = suppliers.no_supplier()
    row: list[Any] = ["SUP-45", 45.0, 8.0, 8.0, 10, 20]
    supplier.loc[0] = row
    with listed(two_months(), [LONG]) as connection:
        found = chosen(connection, Cartons(sizes=1, hold_out_months=1, new_size_cents=0), supplier)
    (size,) = found["analysis.assortment"].to_dict("records")
    assert (size["size_code"], size["size_source"], size["served_parcel_count"]) == ("SUP-45", "supplier", 4)
    advice = found["analysis.purchase_advice"].set_index("size_code")
    assert advice.loc["SUP-45", "advice"] == "buy" and advice.loc["LONG", "advice"] == "use up"
    # Two parcels a month for three months are six: one pack of twenty at ten cents.
    assert (advice.loc["SUP-45", "order_count"], advice.loc["SUP-45", "order_cents"]) == (20, 200)
    saving = found["analysis.assortment_saving"].set_index(["saving_part", "saving_against"])
    assert saving.loc[("held out", "spent"), "parcel_count"] == 2
    assert saving["saving_per_parcel_cents"].loc[("held out", "spent")] > 1000


def test_sizes_to_keep_and_drop_are_respected() -> None:
    with listed(two_months(), [SHORT, LONG]) as connection:
        kept = chosen(connection, Cartons(sizes=2, hold_out_months=1, keep=["LONG"], drop=["SHORT"]), no_rows())
        assert "LONG" in set(kept["analysis.assortment"]["size_code"])
        assert "SHORT" not in set(kept["analysis.assortment"]["size_code"])
        with pytest.raises(NotFoundError, match="NOPE"):
            chosen(connection, Cartons(hold_out_months=1, keep=["NOPE"]), no_rows())
        with pytest.raises(NotFoundError, match="hold out fewer"):
            chosen(connection, Cartons(hold_out_months=2), no_rows())


def no_rows() -> pd.DataFrame:
    return suppliers.no_supplier()


def test_a_suppliers_list_may_be_in_centimetres(tmp_path: Any) -> None:
    listed = tmp_path / "sizes.csv"
    header = "size_code,inside_length_cm,inside_width_cm,inside_height_cm,unit_cost_cents\n"
    listed.write_text(header + "S,50.8,25.4,10,120\n", encoding="utf-8")
    (row,) = suppliers.read(listed).to_dict("records")
    sides = [row[f"inside_{side}_in"] for side in ("length", "width", "height")]
    assert sides == [20.0, 10.0, pytest.approx(10 / 2.54)]


def test_a_suppliers_list_is_held_to_its_contract(tmp_path: Any) -> None:
    listed = tmp_path / "sizes.csv"
    header = "size_code,inside_length_in,inside_width_in,inside_height_in,unit_cost_cents,pack_quantity\n"
    listed.write_text(header + "0016,16,16,7,120,\n", encoding="utf-8")
    (row,) = suppliers.read(listed).to_dict("records")
    assert row["size_code"] == "0016" and pd.isna(row["pack_quantity"])
    listed.write_text(header + "A,16,17,7,120,25\n", encoding="utf-8")
    with pytest.raises(ContractError, match="inside_width_in"):
        suppliers.read(listed)
