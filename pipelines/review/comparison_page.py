"""The page of a comparison of tariffs, or of an offer's terms, in the shop's reviews folder."""

from datetime import date
from pathlib import Path

import pandas as pd

from dashboards.review_tables import Review
from dashboards.tariff_comparison import render_comparison, render_offer
from pipelines.review import month_review, runs
from pipelines.shop.settings import Settings, now_at


def written(shop: Settings, named: tuple[str, str], tables: dict[str, pd.DataFrame], last: date) -> Path:
    """The page's path. named: `tariff` or `offer`, and the tariff. last: the last day compared."""
    folder = shop.path("reviews")
    review = Review(
        shop_name=shop.shop.name,
        units=shop.shop.shown_units,
        month=last,
        made_at=now_at(shop),
        tables={f"comparison.{name}": rows for name, rows in tables.items()},
        index_name=runs.INDEX_NAME if (folder / runs.INDEX_NAME).exists() else "",
    )
    kind, tariff_code = named
    drawn = (render_offer if kind == "offer" else render_comparison)(review, tariff_code)
    return month_review.written(folder, {month_review.page_name(kind, tariff_code): drawn.encode()})[0]
