"""The index page: every month reviewed, newest first, with its headline figures and its page."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import pandas as pd

from dashboards import pages, sentences
from dashboards.review_tables import Cell, Records, Review
from dashboards.sections.headline import TABLE
from dashboards.sentences.letters import REVIEWS
from dashboards.template_parts import Shown
from dashboards.views import shown
from models.shop_units import Units

COLUMNS = ("shipped_month", "parcel_count", "margin_cents", "margin_change_cents", "margin_per_parcel_cents")


@dataclass(frozen=True)
class Entry:
    """One month of the index: the file its page stands in, and its cells."""

    file: str
    cells: Sequence[Shown]


def render_index(
    shop_name: str, units: Units, months: pd.DataFrame, files: Mapping[dt.date, str], made_at: dt.datetime
) -> str:
    """The page as HTML text.

    months: marts.shipping_margin. files: first day of a month -> file name of its review, beside the index.
    A month without a file is left out; the page says so where none is left.
    """
    review = Review(shop_name=shop_name, units=units, month=made_at.date(), made_at=made_at, tables={TABLE: months})
    entries = _entries(review, files)
    listed = Records(tables={REVIEWS: pd.DataFrame({"file_name": [entry.file for entry in entries]})})
    nothing = " ".join(sentences.lines(["reviews.none"], listed, units))
    return pages.page("index.html", scripts={}, review=review, columns=COLUMNS, entries=entries, nothing=nothing)


def _entries(review: Review, files: Mapping[dt.date, str]) -> list[Entry]:
    rows = review.table(TABLE)
    if rows.empty:
        return []
    newest_first = rows.sort_values("shipped_month", ascending=False)
    return [
        Entry(files[month.date()], [shown(Cell(TABLE, int(row), name, rows.at[row, name]), review) for name in COLUMNS])
        for row, month in zip(newest_first.index, newest_first["shipped_month"], strict=True)
        if month.date() in files
    ]
