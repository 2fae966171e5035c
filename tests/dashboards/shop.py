"""Plausible tables of an invented shop, each held to its contract: what the page is drawn from in these tests."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import cache
from typing import Any

import pandas as pd

from dashboards.panels import Section
from dashboards.review_tables import Review
from dashboards.sections import all_sections
from models.analyses import comparisons, margin_band
from models.analyses.question import Question
from models.shop_units import Units
from tests.dashboards.carton_rows import carton_tables
from tests.dashboards.completion_rows import completion_tables
from tests.dashboards.first_screen import first_screen_tables
from tests.dashboards.margins import margin_tables
from tests.dashboards.parcels import MONTHS, PACKING, Rows, held, parcels

MONTH = dt.date(2026, 10, 1)
MADE_AT = dt.datetime(2026, 11, 3, 6, 30)


def item_type_costs(costs: pd.DataFrame) -> pd.DataFrame:
    """One row per month and item type."""
    return held(
        "marts.item_type_costs", [_item_row(key, part) for key, part in costs.groupby(["shipped_month", "item_type"])]
    )


def _item_row(key: Any, part: pd.DataFrame) -> dict[str, Any]:
    row = {"shipped_month": key[0], "item_type": key[1], **_cents(part)}
    pieces = 0 if key[1] == "account fees" else len(part)
    row |= {
        "parcel_count": pieces,
        "piece_count": pieces,
        "cost_per_piece_cents": None,
        "margin_per_parcel_cents": None,
    }
    if pieces:
        costs = sum(row[name] for name in ("billed_cents", *PACKING, "damage_net_cents"))
        row |= {
            "cost_per_piece_cents": round(costs / pieces),
            "margin_per_parcel_cents": round(row["margin_cents"] / pieces),
        }
    return row


def _cents(part: pd.DataFrame) -> dict[str, int]:
    return {str(name): int(part[name].sum()) for name in part.columns if str(name).endswith("_cents")}


def shipping_margin(costs: pd.DataFrame) -> pd.DataFrame:
    """One row per month."""
    rows: Rows = []
    for month, part in costs.groupby("shipped_month"):
        parcel_count = int((~part["is_account"]).sum())
        row: dict[str, Any] = {"shipped_month": month, "parcel_count": parcel_count, **_cents(part)}
        row["carriage_per_parcel_cents"] = round(row["billed_cents"] / parcel_count)
        row["margin_per_parcel_cents"] = round(row["margin_cents"] / parcel_count)
        row["margin_change_cents"] = row["margin_cents"] - rows[-1]["margin_cents"] if rows else None
        rows.append(row)
    return held("marts.shipping_margin", rows)


def surcharge_frequency(costs: pd.DataFrame) -> pd.DataFrame:
    """One row per month, carrier and surcharge; half of each sum stands for a second surcharge."""
    rows: Rows = []
    for (month, carrier), part in costs[~costs["is_account"]].groupby(["shipped_month", "carrier"]):
        charged = part[part["surcharge_cents"] > 0]
        for name, kept in (("long side", charged), ("heavy parcel", charged.iloc[::3])):
            if len(kept):
                rows.append(
                    {
                        "shipped_month": month,
                        "carrier": carrier,
                        "surcharge": name,
                        "parcel_count": len(part),
                        "charged_parcel_count": len(kept),
                        "surcharge_rate": len(kept) / len(part),
                        "amount_cents": int(kept["surcharge_cents"].sum()),
                    }
                )
    return held("marts.surcharge_frequency", rows)


def damage(costs: pd.DataFrame, table: str, by: list[str], months: int) -> pd.DataFrame:
    """One row per month and `by`: claims of the `months` months that end with it."""
    goods = costs[~costs["is_account"]]
    rows: Rows = []
    for month in MONTHS:
        since = month - pd.DateOffset(months=months - 1)
        for key, part in goods[goods["shipped_month"].between(since, month)].groupby(by):
            damaged = int((part["damage_net_cents"] > 0).sum())
            rows.append(
                {
                    "shipped_month": month,
                    **dict(zip(by, key, strict=True)),
                    "parcel_count": len(part),
                    "damage_count": damaged,
                    "loss_count": 0,
                    "other_claim_count": 0,
                    "crude_damage_rate": damaged / len(part),
                    "damage_net_cents": int(part["damage_net_cents"].sum()),
                }
            )
    return held(table, rows)


def coverage(costs: pd.DataFrame) -> pd.DataFrame:
    """One row per month; the newest month is not fully invoiced."""
    rows: Rows = []
    for month, part in costs[~costs["is_account"]].groupby("shipped_month"):
        charged = len(part) - (9 if month == MONTHS[-1] else 1)
        rows.append(
            {
                "shipped_month": month,
                "parcel_count": len(part),
                "benched_parcel_count": len(part) - 2,
                "measured_parcel_count": len(part) - 11,
                "charged_count": charged,
                "sold_parcel_count": len(part) - 2,
                "invoiced_share": charged / len(part),
                "dated_by_invoice_count": 0,
                "dated_by_claim_count": 0,
            }
        )
    return held("marts.coverage", rows)


def record_states() -> pd.DataFrame:
    """One row per record kind; nothing landed yet of one of them."""
    rows = [
        _state("sales", 1604, "2025-05-01", "2026-10-31", 18, 0),
        _state("weights", 1611, "2025-05-01", "2026-10-31", 18, 4),
        _state("charges", 5210, "2025-05-08", "2026-10-30", 36, 2),
        _state("claims", 37, "2025-05-20", "2026-10-29", 17, 0),
        _state("skus", 0, None, None, 0, 0),
    ]
    return held("marts.record_states", rows)


def _state(kind: str, rows: int, first: str | None, last: str | None, deliveries: int, rejected: int) -> dict[str, Any]:
    landed = "2026-11-01 06:00:00" if deliveries else None
    span = {"first_on": pd.Timestamp(first) if first else None, "last_on": pd.Timestamp(last) if last else None}
    counts = {"row_count": rows, "delivery_count": deliveries, "rejected_count": rejected}
    return {"kind": kind, **span, **counts, "landed_at": pd.Timestamp(landed) if landed else None}


def warnings() -> pd.DataFrame:
    """Two warnings that found rows."""
    rows = [
        {
            "warning": "unknown cartons",
            "meaning": "Parcels whose carton has no catalogue entry: their carton cost counts as nothing.",
            "row_count": 3,
            "examples": "parcel_id NL26100003, shipped_on 2026-10-02, carton_code C-99",
        },
        {
            "warning": "uncharged parcels",
            "meaning": "Parcels shipped more than 45 days before the carrier's latest invoice that no invoice names.",
            "row_count": 17,
            "examples": "parcel_id NL25060011, carrier Corvane, shipped_on 2025-06-14",
        },
    ]
    return held("analysis.warnings", rows)


@cache
def tables() -> dict[str, pd.DataFrame]:
    """All tables of the page's first form."""
    costs = parcels()
    margin, known, items = shipping_margin(costs), coverage(costs), item_type_costs(costs)
    completed = completion_tables(margin, known)
    months = {"marts.shipping_margin": margin, "marts.coverage": known, **completed}
    return {
        **months,
        **margin_band.compute(Question(months, MONTHS[-1].date())),
        **comparisons.compute(Question(months, MONTHS[-1].date())),
        "marts.parcel_costs": costs,
        "marts.item_type_costs": items,
        "marts.surcharge_frequency": surcharge_frequency(costs),
        "marts.damage_counts": damage(costs, "marts.damage_counts", ["item_type", "packing_method"], 1),
        "marts.damage_year": damage(costs, "marts.damage_year", ["item_type", "packing_method"], 12),
        "marts.packing_method_year": damage(costs, "marts.packing_method_year", ["packing_method"], 12),
        "marts.record_states": record_states(),
        "analysis.warnings": warnings(),
        **margin_tables(costs),
        **first_screen_tables(months, costs, items),
        **carton_tables(costs),
    }


def review(currency: str = "USD", **more: Any) -> Review:
    """A review of the invented shop; `more` replaces any of its parts."""
    parts: dict[str, Any] = {
        "shop_name": "Fernmoor Optics",
        "units": Units(currency),
        "month": MONTH,
        "made_at": MADE_AT,
        "tables": tables(),
        "notes": ("Northline's invoice of 31 October has not come yet.",),
        "workbook_name": "review-2026-10.xlsx",
        "index_name": "index.html",
    }
    return Review(**{**parts, **more})


def sections_shown() -> list[Section]:
    """The sections that the page of this shop has: those whose tables it has."""
    has_any = {section.name: any(part.table in tables() for part in section.parts) for section in all_sections()}
    return [section for section in all_sections() if section.is_headline or has_any[section.name]]


def parts_filled() -> list[Any]:
    """Their parts that stand on one of the shop's tables."""
    return [part for section in sections_shown() for part in section.parts if part.table in tables()]


def changed(table: str, change: Callable[[pd.DataFrame], pd.DataFrame]) -> dict[str, pd.DataFrame]:
    """The shop's tables with one of them changed."""
    return {**tables(), **changed_only(table, change)}


def changed_only(table: str, change: Callable[[pd.DataFrame], pd.DataFrame]) -> dict[str, pd.DataFrame]:
    """One of the shop's tables, changed."""
    return {table: change(tables()[table].copy())}


def complete(margin: pd.DataFrame | None = None) -> dict[str, pd.DataFrame]:
    """The shop's tables with every parcel packed, billed and sold; margin: another one than the shop's."""

    def all_known(rows: pd.DataFrame) -> pd.DataFrame:
        names = ("benched_parcel_count", "charged_count", "sold_parcel_count")
        return rows.assign(**dict.fromkeys(names, rows["parcel_count"]), invoiced_share=1.0)

    known = changed("marts.coverage", all_known)
    made = known["marts.shipping_margin"] if margin is None else margin
    return known | {"marts.shipping_margin": made} | completion_tables(made, known["marts.coverage"])
