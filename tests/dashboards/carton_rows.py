"""The carton tables of the invented shop, from its parcels."""

from __future__ import annotations

from typing import Any

import pandas as pd

from models.carton_choice import ladder
from models.plain_rows import as_dicts
from tests.dashboards.parcels import MONTHS, held

CHEAPER = {"stocked": 0.9, "cut": 0.85, "measured": 0.7}


def carton_tables(costs: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """Every table that the section on cartons reads."""
    usages = _usages(costs[~costs["is_account"]].reset_index(drop=True))
    choices = pd.concat([_choices(usages, kind, share) for kind, share in CHEAPER.items()], ignore_index=True)
    offers = pd.DataFrame(
        {
            "option_key": [0, 1, 2],
            "option_kind": list(CHEAPER),
            "carton_code": ["C-46", "C-46", "made to measure"],
            "inside_height_in": [45.35, 40.0, 39.0],
        }
    )
    priced = ladder.priced_usages(usages, choices)
    rungs = ladder.carton_ladder(priced)
    found = {
        "analysis.carton_coverage": _coverage(usages),
        "analysis.carton_ladder": rungs,
        "analysis.carton_ladder_months": ladder.ladder_months(rungs),
        "analysis.best_cartons": ladder.best_cartons(priced, choices, offers, {1: "1 tripod", 2: "2 counterweight"}),
    }
    return {name: held(name, as_dicts(rows)) for name, rows in found.items()} | _chosen()


def _usages(parcels: pd.DataFrame) -> pd.DataFrame:
    return pd.DataFrame(
        {
            "class_key": range(1, len(parcels) + 1),
            "contents_key": [1 + number % 2 for number in range(len(parcels))],
            "shipped_month": parcels["shipped_month"],
            "item_type": parcels["item_type"],
            "packing_method": parcels["packing_method"].fillna("unknown"),
            "carton_code": parcels["carton_code"].fillna("unknown"),
            "today_code": parcels["carton_code"].fillna("unknown"),
            "used_height_in": 8.0,
            "parcel_count": 1,
            "void_cents": 0,
            "spent_cents": (parcels["billed_cents"] + parcels["carton_cents"]).clip(lower=100),
        }
    )


def _choices(usages: pd.DataFrame, kind: str, share: float) -> pd.DataFrame:
    cents = (usages["spent_cents"] * share).round().astype("int64")
    keys = {"class_key": usages["class_key"], "option_kind": kind, "option_key": list(CHEAPER).index(kind)}
    return pd.DataFrame({**keys, "price_cents": cents})


def _coverage(usages: pd.DataFrame) -> pd.DataFrame:
    counts = usages.groupby("shipped_month", as_index=False)[["parcel_count"]].sum()
    known = {"bounded_parcel_count": 2, "left_out_parcel_count": 1, "open_fit_parcel_count": 2}
    known |= {"open_saving_cents": 1_340, "tare_parcel_count": 0}
    return counts.assign(
        considered_parcel_count=counts["parcel_count"] - 1,
        void_fill_cents=pd.Series(pd.NA, counts.index, dtype=object),
        **known,
    )


def _chosen() -> dict[str, pd.DataFrame]:
    rows: dict[str, list[dict[str, Any]]] = {
        "analysis.assortment_runs": [_run()],
        "analysis.assortment": [_size("new 16 x 16 x 7", "new", 205_532), _size("S-08", "stock", -1_961)],
        "analysis.assortment_curve": [_point(1, 812_000, False), _point(2, 691_000, True), _point(3, 690_000, False)],
        "analysis.assortment_demands": [_demand("months on record", 0), _demand("growth", 2_000)],
        "analysis.assortment_growth": [_grown("tripod", 90, 60), _grown("globe", 7, 0)],
        "analysis.assortment_saving": [_saving("chosen on", 543), _saving("held out", 565)],
        "analysis.assortment_cartons": [_moved()],
        "analysis.parcel_plans": [_plan("joined", 9_000), _plan("split", 0)],
        "analysis.purchase_advice": [_advice("new 16 x 16 x 7", "buy"), _advice("S-08", "keep")],
    }
    return {name: held(name, table) for name, table in rows.items()}


def _run() -> dict[str, Any]:
    return {
        "made_at": pd.Timestamp("2026-11-20 18:00"),
        "chosen_from_on": MONTHS[0],
        "chosen_to_on": MONTHS[-4],
        "held_out_month_count": 3,
        "parcel_count": 5_927,
        "size_count": 2,
        "candidate_count": 230,
        "candidate_statement": "all 184 sizes that the demand can need at 1 in steps",
        "monthly_cents": 691_000,
        "bound_monthly_cents": 691_000,
        "gap_share": 0.0,
        "is_proven": True,
        "stocking_month_cents": -500,
        "once_cost_cents": 6_000,
    }


def _size(code: str, source: str, saving: int) -> dict[str, Any]:
    return {
        "size_code": code,
        "size_source": source,
        "inside_length_in": 16.0,
        "inside_width_in": 16.0,
        "inside_height_in": 7.0,
        "unit_cost_cents": 177,
        "served_parcel_count": 263,
        "monthly_use": 17.53,
        "spent_cents": 664_344,
        "best_cents": 407_429,
        "saving_year_cents": saving,
    }


def _point(count: int, cents: int, is_knee: bool) -> dict[str, Any]:
    known = {"size_count": count, "monthly_cents": cents, "bound_monthly_cents": cents}
    return {**known, "gap_share": 0.0, "is_proven": True, "is_knee": is_knee}


def _demand(name: str, regret: int) -> dict[str, Any]:
    cents = {"monthly_cents": 691_000, "best_monthly_cents": 691_000 - regret, "regret_month_cents": regret}
    return {"year_demand": name, "demand_parcels": 395.1, **cents}


def _grown(item_type: str, now: int, before: int) -> dict[str, Any]:
    limits = (1.08, 2.09) if before else (0.9, None)
    return {
        **{"item_type": item_type, "compared_month_count": 3, "parcel_count": now, "year_ago_parcel_count": before},
        **{"growth_ratio": now / before if before else None, "growth_low": limits[0], "growth_high": limits[1]},
        "is_growth_proved": before > 0,
    }


def _saving(part: str, cents: int) -> dict[str, Any]:
    interval = {"saving_low_cents": cents - 80, "saving_high_cents": None if part == "held out" else cents + 80}
    counts = {"parcel_count": 997, "week_count": 14, "saving_cents": cents * 997}
    return {
        "saving_part": part,
        "saving_against": "spent",
        "saving_per_parcel_cents": cents,
        **counts,
        **interval,
        "saving_likely_low_cents": cents - 50,
        "saving_likely_high_cents": None if part == "held out" else cents + 50,
    }


def _moved() -> dict[str, Any]:
    goods = {"shipped_month": MONTHS[-1], "item_type": "tripod", "contents": "1 tripod", "packing_method": "paper"}
    cartons = {"carton_code": "M-20", "size_code": "new 16 x 16 x 7", "size_source": "new", "is_cut": True}
    heights = {"used_height_in": 16.1, "best_height_in": 6.0}
    return {
        **goods,
        **cartons,
        **heights,
        "parcel_count": 9,
        "spent_cents": 900,
        "best_cents": 700,
        "saving_cents": 200,
    }


def _plan(kind: str, saving: int) -> dict[str, Any]:
    counts = {"plan_sale_count": 31, "cheaper_count": 18 if saving else 0, "spent_cents": 60_000, "plan_cents": 51_000}
    counts |= {"unchanged_cents": 60_000}
    goods = {"contents_before": "1 tripod | 1 mount head", "contents": "1 mount head, 1 tripod"}
    return {"plan": kind, **goods, **counts, "plan_saving_cents": saving}


def _advice(code: str, advice: str) -> dict[str, Any]:
    is_new = advice == "buy"
    stock = {"stock_left": None if is_new else 400, "stock_months": None if is_new else 11.3, "order_count": None}
    return {
        "size_code": code,
        "size_source": "new" if is_new else "stock",
        "is_chosen": True,
        "advice": advice,
        "monthly_use": 17.53,
        "pack_quantity": None if is_new else 100,
        "order_unit_cents": None,
        "order_cents": None,
        "leftover_cents": None,
        "saving_year_cents": 205_532,
        **stock,
    }
