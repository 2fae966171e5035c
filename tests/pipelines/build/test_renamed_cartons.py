"""A carton that the catalogue goes on under another code: advice names it as it can be bought today."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

from models.plain_rows import as_dicts
from models.settings.cartons import Cartons
from models.sql_texts import sql_texts
from pipelines.build import analysing, cartons
from tests.pipelines.build.test_cartons import LONG, SHORT, listed, parcel
from tests.shops import Rows, rows

OLD = {**SHORT, "carton_code": "S-1", "effective_from": "2026-01-01", "unit_cost_cents": 100}
NEW = {**OLD, "carton_code": "S-2", "effective_from": "2026-07-01", "unit_cost_cents": 105}
STOCK = (OLD, NEW, {**LONG, "effective_from": "2025-06-01", "is_cuttable": False})
MONTHS = [f"2026-{month:02}-10" for month in range(3, 11)]


def sent(old: str = "S-1", new: str = "S-2", until: int = 4) -> list[dict[str, Any]]:
    """Each month one parcel in LONG and one in the short carton, under its first code for so many months."""
    return [
        parcel(2 * at + place, shipped_on=day, carton_code=code, sale_id="S1")
        for at, day in enumerate(MONTHS)
        for place, code in enumerate(("LONG", old if at < until else new))
    ]


def judged(weights: Rows, catalogue: Rows = STOCK) -> dict[str, pd.DataFrame]:
    """The carton tables, what the list of actions reads of them, and which codes another one has taken the place of."""
    with listed(weights, catalogue) as connection:
        found = cartons.review_tables(connection, Cartons())
        connection.execute("create schema if not exists analysis")
        for name in ("analysis.best_cartons", "analysis.changes_held_out"):
            analysing.store(connection, name, found[name])
        found["action_cartons"] = connection.execute(sql_texts("queries")["action_cartons"]).df()
        found["renamed"] = connection.execute("select * from core.renamed_cartons order by all").df()
    return found


def advised(found: dict[str, pd.DataFrame]) -> set[str]:
    best = found["analysis.best_cartons"]
    return set(best.loc[best["carton_code"] == "LONG", "best_carton_code"])


def test_advice_names_the_code_that_can_be_bought_today() -> None:
    found = judged(sent())
    (renamed,) = as_dicts(found["renamed"])
    assert (renamed["carton_code"], renamed["today_code"]) == ("S-1", "S-2")
    assert str(renamed["renamed_on"])[:10] == "2026-07-01"
    assert advised(found) == {"S-2"}


def test_all_is_as_if_both_entries_had_had_that_code() -> None:
    """What the first entry cost counts until the second one begins. Parcels that stay in it keep their code."""
    renamed = judged(sent())
    same = judged(sent("S-2"), [{**OLD, "carton_code": "S-2"}, *STOCK[1:]])
    assert same["renamed"].empty
    for name in ("analysis.carton_ladder", "analysis.carton_ladder_months", "analysis.bench_sheets", "action_cartons"):
        pd.testing.assert_frame_equal(renamed[name], same[name])
    best = renamed["analysis.best_cartons"].replace({"S-1": "S-2"})
    keys = ["shipped_month", "carton_code"]
    pd.testing.assert_frame_equal(
        best.sort_values(keys, ignore_index=True), same["analysis.best_cartons"].sort_values(keys, ignore_index=True)
    )


@pytest.mark.parametrize(
    ("catalogue", "until"),
    [
        # Still packed when the other one was in use already.
        (STOCK, 8),
        # Pieces counted after that.
        (({**OLD, "on_hand": 5, "counted_on": "2026-09-01"}, *STOCK[1:]), 4),
        # Another carton: a board, a style, a side.
        (({**OLD, "board_in": 0.25}, *STOCK[1:]), 4),
        (({**OLD, "carton_style": "0201"}, {**NEW, "carton_style": "0203"}, STOCK[2]), 4),
        ((OLD, {**NEW, "inside_height_in": 45.75}, STOCK[2]), 4),
    ],
)
def test_nothing_is_taken_for_another_code_that_the_records_tell_apart(catalogue: Rows, until: int) -> None:
    weights = [*sent(until=until), parcel(99, shipped_on="2026-07-20", carton_code="S-2", sale_id="S1")]
    assert judged(weights, catalogue)["renamed"].empty


def test_a_code_that_was_never_packed_takes_no_place() -> None:
    assert judged(sent(until=8))["renamed"].empty


def test_of_several_codes_the_latest_counts() -> None:
    last = {**NEW, "carton_code": "S-3", "effective_from": "2026-09-01"}
    weights = [
        *sent()[:-4],
        *(parcel(90 + at, shipped_on=day, carton_code="S-3") for at, day in enumerate(MONTHS[-2:])),
    ]
    weights += [parcel(80 + at, shipped_on=day, carton_code="LONG") for at, day in enumerate(MONTHS[-2:])]
    found = judged(weights, [*STOCK, last])
    assert [
        (row["carton_code"], row["today_code"], str(row["renamed_on"])[:10]) for row in as_dicts(found["renamed"])
    ] == [("S-1", "S-3", "2026-07-01"), ("S-2", "S-3", "2026-09-01")]
    assert advised(found) == {"S-3"}


def test_the_bench_marks_parcels_by_todays_code_only() -> None:
    with listed(sent(), STOCK) as connection:
        codes = rows(connection, sql_texts("queries")["bench_codes"])
    assert {row["code"] for row in codes if row["mark"] == "carton_code"} == {"S-2", "LONG"}
