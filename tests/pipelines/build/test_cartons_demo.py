"""Cartons of the demo shop: what was planted is found, what is offered holds and is carried, the choice saves later."""

from __future__ import annotations

import datetime as dt
import io
import json
import shutil
from collections.abc import Iterator
from contextlib import redirect_stdout
from pathlib import Path
from typing import cast

import numpy as np
import pandas as pd
import pytest

from models.tables import TABLES
from pipelines.build.cartons import classes
from pipelines.cli import main
from pipelines.commands.cartons import SHOWN
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from sample_data import shop
from tests.damage_shops import only
from tests.pipelines.build.planted_cartons import HELD_OUT_FROM, planted_saving_cents
from tests.sample_data import shop_files
from tests.shops import rows, table


@pytest.fixture(scope="module")
def answered(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """A copy of the demo shop after `dunnage cartons --sizes 8 --json` in a few seconds, and what that printed."""
    folder = tmp_path_factory.mktemp("chosen") / "shop"
    shutil.copytree(demo_folder, folder)
    with (folder / "dunnage.toml").open("a", encoding="utf-8") as settings:
        settings.write("\n[cartons]\nseconds = 6.0\n")
    with redirect_stdout(io.StringIO()) as printed:
        assert main(["--shop", str(folder), "cartons", "--sizes", "8", "--json"]) == 0
    return folder, printed.getvalue()


@pytest.fixture(scope="module")
def chosen_folder(answered: tuple[Path, str]) -> Path:
    return answered[0]


@pytest.mark.slow(15)
def test_the_choice_as_json_is_what_is_stored(answered: tuple[Path, str], chosen: warehouse.Connection) -> None:
    found = json.loads(answered[1])
    assert set(found) == set(SHOWN)
    for name, shown in found.items():
        # The demo proves no growth and has no announced list: its one demand is compared with none.
        assert shown or name == "analysis.assortment_demands"
        assert all(list(row) == list(TABLES[name].columns) for row in shown), name
        cents = [column for column in TABLES[name].columns if column.endswith("_cents")]
        assert {type(row[column]) for row in shown for column in cents} <= {int, type(None)}, name
        assert len(shown) == len(table(chosen, name))
        for column in cents:
            assert sum(row[column] or 0 for row in shown) == table(chosen, name)[column].sum(), column


@pytest.fixture(scope="module")
def chosen(chosen_folder: Path) -> Iterator[warehouse.Connection]:
    with warehouse.reading(load(chosen_folder)) as connection:
        yield connection


def test_every_parcel_is_judged_or_named(demo: warehouse.Connection) -> None:
    coverage = table(demo, "analysis.carton_coverage")
    assert coverage["parcel_count"].sum() == shop_files.truth()["shop"]["parcels"]
    assert (coverage["considered_parcel_count"] + coverage["left_out_parcel_count"] == coverage["parcel_count"]).all()
    # Left out: no bench log, or no scale weight.
    shop = shop_files.truth()["shop"]
    unweighed = shop["parcels_without_scale_weight"] + len(shop["parcels_without_bench_log"])
    assert coverage["left_out_parcel_count"].sum() == unweighed


def test_ladder_goes_down_and_keeps_every_parcel(demo: warehouse.Connection) -> None:
    ladder = table(demo, "analysis.carton_ladder")
    steps = ladder.pivot(index=["shipped_month", "item_type"], columns="ladder_step", values="ladder_cents")
    assert (steps["spent"] >= steps["right carton from stock"]).all()
    assert (steps["right carton from stock"] >= steps["cut down"]).all()
    assert (steps["cut down"] >= steps["made to measure"]).all()
    spent = steps["spent"].sum()
    assert ladder["saving_cents"].sum() == (spent - steps.sum()).sum()
    counts = ladder.groupby("ladder_step")["parcel_count"].sum()
    judged = table(demo, "analysis.carton_coverage")["considered_parcel_count"].sum()
    assert set(counts) == {judged}
    months = table(demo, "analysis.carton_ladder_months")
    assert months.groupby("ladder_step")["ladder_cents"].sum().to_dict() == steps.sum().astype(int).to_dict()


def test_spent_is_what_the_rating_and_the_cartons_say(demo: warehouse.Connection) -> None:
    (found,) = rows(
        demo,
        "select cast(sum(q.expected_cents + p.carton_cents) as bigint) as cents from core.parcels as p "
        "inner join rating.priced as q on q.request_id = p.parcel_id where p.carton_code is not null",
    )
    ladder = table(demo, "analysis.carton_ladder")
    assert ladder.loc[ladder["ladder_step"] == "spent", "ladder_cents"].sum() == found["cents"]
    assert table(demo, "analysis.best_cartons")["spent_cents"].sum() == found["cents"]


def test_best_cartons_are_the_ladder_in_detail(demo: warehouse.Connection) -> None:
    ladder, best = table(demo, "analysis.carton_ladder"), table(demo, "analysis.best_cartons")
    cut = ladder[ladder["ladder_step"] == "cut down"].set_index(["shipped_month", "item_type"])["saving_cents"]
    pd.testing.assert_series_equal(best.groupby(["shipped_month", "item_type"])["saving_cents"].sum(), cut)


def test_the_carton_an_inch_too_long_is_found(demo: warehouse.Connection) -> None:
    """Tripods closed at 49 in: C-46 from stock or a cut saves the long-side surcharge, and little else beside it."""
    planted = shop_files.truth()["long_carton"]
    best = table(demo, "analysis.best_cartons")
    long = best[(best["carton_code"] == planted["carton_code"]) & (best["contents"] == "1 tripod")]
    saved = long[long["saving_cents"] > 0]
    assert planted["parcels_charged"] * 0.97 <= saved["parcel_count"].sum() <= planted["parcels"]
    # The surcharge is most of it; the rest is fuel on it and the few pounds of dimensional weight of two inches.
    assert planted["surcharges_net_of_discount_cents"] <= long["saving_cents"].sum()
    assert long["saving_cents"].sum() <= 1.25 * planted["surcharges_net_of_discount_cents"]
    by_carton = saved.groupby(["best_carton_code", "is_cut"])["parcel_count"].sum()
    assert by_carton.idxmax() == (planted["avoided_by_carton"], False)


def test_the_missing_size_is_chosen(chosen: warehouse.Connection) -> None:
    """Mirrors leave the carton that is far too large for a new one that is cut to just the height they need."""
    planted = shop_files.truth()["missing_size"]
    moved = table(chosen, "analysis.assortment_cartons")
    mirrors = moved[(moved["contents"] == "1 primary mirror") & (moved["carton_code"] == "M-20")]
    by_size = mirrors.groupby(["size_code", "size_source", "best_height_in"])["parcel_count"].sum()
    code, source, height = cast(tuple[str, str, float], by_size.idxmax())
    sizes = table(chosen, "analysis.assortment").set_index("size_code")
    assert (source, height) == ("new", planted["needed_inside_in"][2])
    inside = sizes.loc[code, ["inside_length_in", "inside_width_in", "inside_height_in"]].to_numpy()
    assert (inside >= planted["needed_inside_in"]).all() and inside[1] == planted["needed_inside_in"][1]
    assert table(chosen, "analysis.purchase_advice").set_index("size_code").loc[code, "advice"] == "buy"


def test_the_choice_is_dated_and_near_what_is_proven_to_be_the_least(chosen: warehouse.Connection) -> None:
    (run,) = rows(chosen, "select * from analysis.assortment_runs")
    assert run["size_count"] == 8 and run["held_out_month_count"] == 3
    assert 0 <= run["gap_share"] < 0.05 and run["is_proven"] == (run["gap_share"] <= 2e-9)
    assert run["bound_monthly_cents"] <= run["monthly_cents"] <= run["bound_monthly_cents"] * 1.05
    assert (run["chosen_from_on"], run["chosen_to_on"]) == (dt.date(2025, 5, 1), dt.date(2026, 10, 1))
    curve = table(chosen, "analysis.assortment_curve").sort_values("size_count")
    assert (np.diff(curve["monthly_cents"]) <= 0).all() and curve["is_knee"].sum() == 1
    assert curve.set_index("size_count").loc[8, "monthly_cents"] == run["monthly_cents"]


def test_held_out_saving_lies_within_what_was_planted(chosen: warehouse.Connection) -> None:
    held = only(table(chosen, "analysis.assortment_saving"), saving_part="held out", saving_against="spent")
    ladder = table(chosen, "analysis.carton_ladder")
    late = ladder[ladder["shipped_month"] >= pd.Timestamp(HELD_OUT_FROM)]
    floor = late.loc[late["ladder_step"] == "made to measure", "saving_cents"].sum()
    assert 0.9 * planted_saving_cents() <= held["saving_cents"] <= floor
    assert held["parcel_count"] == late.loc[late["ladder_step"] == "spent", "parcel_count"].sum()
    assert held["saving_low_cents"] > 0
    assert held["saving_low_cents"] <= held["saving_per_parcel_cents"] <= held["saving_high_cents"]


def test_the_next_review_shows_the_chosen_sizes(chosen: warehouse.Connection) -> None:
    ladder = table(chosen, "analysis.carton_ladder")
    best, kept = ladder[ladder["ladder_step"] == "best sizes"], table(chosen, "analysis.assortment_ladder")
    assert best["ladder_cents"].sum() == kept["ladder_cents"].sum()
    assert len(best) == len(kept) == ladder[["shipped_month", "item_type"]].drop_duplicates().shape[0]


def test_working_tables_are_gone(chosen: warehouse.Connection) -> None:
    schemas = {row["schema_name"] for row in rows(chosen, "select schema_name from information_schema.schemata")}
    assert not schemas & set(classes.SCHEMAS)


def test_bench_sheets_of_the_demo(demo: warehouse.Connection) -> None:
    sheets = table(demo, "analysis.bench_sheets")
    tripod = sheets[sheets["item_type"] == "tripod"]
    assert set(tripod["best_carton_code"]) == {"C-46"}
    cut = sheets[sheets["is_cut"].astype(bool)]
    assert len(cut) and (cut["score_at_in"] > cut["inside_height_in"]).all()
    assert (cut["flap_in"] >= cut["needed_flap_in"]).all()
    whole = sheets[~sheets["is_cut"].astype(bool)]
    assert whole[["score_at_in", "trim_at_in", "flap_in"]].isna().all(axis=None)


def test_bad_questions_are_answered_in_words(
    chosen_folder: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    shop = ["--shop", str(chosen_folder), "cartons"]
    assert main([*shop, "--sizes", "1"]) == 1
    assert "at least 2 are needed" in capsys.readouterr().err
    assert main([*shop, "--hold-out", "18"]) == 1
    assert "hold out fewer" in capsys.readouterr().err
    supplier = tmp_path / "sizes.csv"
    supplier.write_text("code,length\nA,4\n", encoding="utf-8")
    assert main([*shop, "--supplier", str(supplier)]) == 1
    assert "lacks size_code" in capsys.readouterr().err


def test_what_is_left_is_what_was_counted_less_what_the_bench_packed_since(demo: warehouse.Connection) -> None:
    """Counted again from the bench log's rows, carton by carton."""
    bench = demo.execute("select distinct parcel_id, carton_code, shipped_on from accepted.weights").df()
    found = table(demo, "marts.carton_stock").set_index("carton_code")
    lefts = demo.execute("select carton_code, stock_left from marts.carton_stock").fetchall()
    stated = {str(code): left for code, left in lefts}
    for code, carton in shop.CARTONS.items():
        counted = carton.counted_on
        later = bench["shipped_on"] > pd.Timestamp(counted) if counted else bench["shipped_on"].isna()
        packed = int((later & (bench["carton_code"] == code)).sum())
        left = None if packed > carton.on_hand else carton.on_hand - packed
        assert stated[code] == left, code
        assert found.loc[code, "is_recount_due"] == (left is None)
    states = table(demo, "analysis.carton_orders").set_index("carton_code")["order_state"]
    assert (states["T-42"], states["T-16"]) == ("out of stock", "count again")


def test_what_stands_in_for_a_carton_that_has_run_out_or_is_bought_for_years(demo: warehouse.Connection) -> None:
    found = table(demo, "analysis.carton_substitutes")
    orders = table(demo, "analysis.carton_orders").set_index("carton_code")
    long = set(orders.index[orders["order_months"] > 12])
    assert set(found["carton_code"]) == {"T-42", *long} and long == {"L-28"}
    assert not found["substitute_code"].isin(["T-42"]).any()
    assert (found["substitute_code"] != found["carton_code"]).all()
