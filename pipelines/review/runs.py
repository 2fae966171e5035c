"""The runs as plain lists of steps. flows.py gives them to the orchestrator, the commands call them directly."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pandas as pd

from pipelines.build.up_to_date import Progress, build_changed, is_current
from pipelines.review import drawn_files, month_review, placements, status
from pipelines.review.editions import review_edition
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, now_at

if TYPE_CHECKING:
    from dashboards.review_tables import Review

INDEX_NAME = "index.html"


@dataclass(frozen=True)
class ReviewMade:
    """One month's review: its month, the files written, the tables and the review it was drawn from."""

    month: date
    page: Path
    workbook: Path
    tables: dict[str, pd.DataFrame]
    review: Review


def run_review(settings: Settings, month: str | None = None, progress: Progress = lambda name: None) -> ReviewMade:
    """Build what is not current, gather the month, draw it, write it. Raises DunnageError."""
    chosen, tables = review_tables(settings, month, progress)
    return draw(settings, chosen, tables)


def review_tables(
    settings: Settings, month: str | None, progress: Progress = lambda name: None
) -> tuple[date, dict[str, pd.DataFrame]]:
    """month_tables for a page: where no letters go out, the month's edition is remembered in the same session."""
    with warehouse.writing(settings, "review") as connection:
        chosen, tables = _gathered(connection, settings, month, progress)
        if not settings.mail.is_set:
            review_edition(connection, chosen, tables, keep=True)
        return chosen, tables


def month_tables(
    settings: Settings, month: str | None, progress: Progress = lambda name: None
) -> tuple[date, dict[str, pd.DataFrame]]:
    """The month reviewed and every table it is drawn from, built first where records or settings have changed."""
    with warehouse.writing(settings, "review") as connection:
        return _gathered(connection, settings, month, progress)


def _gathered(
    connection: warehouse.Connection, settings: Settings, month: str | None, progress: Progress
) -> tuple[date, dict[str, pd.DataFrame]]:
    build_changed(connection, settings, progress)
    progress("rows to show")
    from dashboards.word_columns import worded

    chosen, tables = month_review.month_named(month, connection), month_review.gathered(connection)
    return chosen, worded(tables, settings.shop.shown_units)


WATCHED = "analysis.alarms"


def watched_tables(settings: Settings, progress: Progress = lambda name: None) -> dict[str, pd.DataFrame]:
    """Alarms and what is due, for `dunnage watch`; nothing is written where all is built."""
    from dashboards.word_columns import worded

    if not warehouse.files(settings)[0].exists():
        return month_tables(settings, None, progress)[1]
    with warehouse.reading(settings) as connection:
        if is_current(connection, settings):
            month_review.month_named(None, connection)
            alarms = month_review.tables_of(connection, (WATCHED, "analysis.watched_weeks"))
            return worded({**status.due(connection), **alarms}, settings.shop.shown_units)
    return month_tables(settings, None, progress)[1]


def run_watch(settings: Settings, progress: Progress = lambda name: None) -> pd.DataFrame:
    """Build what is not current, then give the alarms that nobody has acknowledged; no rows where none is computed."""
    _, tables = month_tables(settings, None, progress)
    found = tables.get(WATCHED, pd.DataFrame())
    return found[~found["is_acknowledged"].astype(bool)] if "is_acknowledged" in found.columns else found


def write_bench_sheets(
    settings: Settings, item_type: str | None = None, progress: Progress = lambda name: None
) -> tuple[Path, int]:
    """Write the bench sheets, all or of one item type; returns their file and how many there are.

    Raises NotFoundError for an item type that has none.
    """
    from dashboards.bench_sheets import CARRIERS, render

    with warehouse.writing(settings, "bench-sheets") as connection:
        build_changed(connection, settings, progress)
        rows = month_review.sheets_of(connection, item_type)
        carriers = month_review.tables_of(connection, [CARRIERS])[CARRIERS]
        others = [] if item_type else month_review.without_sheet(connection)
    page = render(settings.shop.name, now_at(settings), rows, carriers, settings.shop.shown_units, others).encode()
    return month_review.written(settings.path("reviews"), {"bench-sheets.html": page})[0], len(rows)


def write_placement(settings: Settings, parcel_id: str) -> Path:
    """Draw how the goods of one parcel lie in its carton; returns the page's file. Raises NotFoundError."""
    from dashboards.placements import cautions, render_placement

    with warehouse.reading(settings) as connection:
        tables = placements.placed(connection, parcel_id, settings.shop.shown_units)
    review = _review(settings, now_at(settings).date(), tables, notes=cautions(tables["placement.cartons"]))
    name = month_review.page_name("placement", parcel_id)
    return month_review.written(settings.path("reviews"), {name: render_placement(review, parcel_id).encode()})[0]


def write_comparison(
    settings: Settings, kind: str, tariff_code: str, tables: dict[str, pd.DataFrame], last: date
) -> Path:
    """Draw what a tariff or the terms of an offer would change; returns the page's file.

    kind: `tariff` or `offer`. tables: of models/tables/tariff_comparison.py, by their names there. last: the last day
    compared.
    """
    from dashboards.tariff_comparison import render_comparison, render_offer

    folder, named = settings.path("reviews"), {f"comparison.{name}": rows for name, rows in tables.items()}
    index_name = INDEX_NAME if (folder / INDEX_NAME).exists() else ""
    review = _review(settings, last, named, index_name=index_name)
    drawn = (render_offer if kind == "offer" else render_comparison)(review, tariff_code)
    return month_review.written(folder, {month_review.page_name(kind, tariff_code): drawn.encode()})[0]


def _review(settings: Settings, month: date, tables: dict[str, pd.DataFrame], **more: Any) -> Review:
    from dashboards.review_tables import Review

    shop = settings.shop
    return Review(
        shop_name=shop.name, units=shop.shown_units, month=month, made_at=now_at(settings), tables=tables, **more
    )


def draw(settings: Settings, month: date, tables: dict[str, pd.DataFrame]) -> ReviewMade:
    """Page, workbook and index of the month, in the shop's reviews folder; what stands is not drawn again."""
    from dashboards.edition_words import edition_words

    with warehouse.reading(settings) as connection:
        edition = review_edition(connection, month, tables)
    name = f"review-{month:%Y-%m}"
    review = _review(
        settings,
        month,
        tables,
        page_name=f"{name}.html",
        workbook_name=f"{name}.xlsx",
        explore_name=f"{name}-explore.html",
        index_name=INDEX_NAME,
        edition_words=edition_words(edition.number, edition.changes, settings.shop.shown_units),
    )
    page, book, _ = drawn_files.drawn(settings.path("reviews"), name, review, _files)
    _draw_index(settings, review)
    return ReviewMade(month, page, book, tables, review)


def _files(review: Review) -> dict[str, bytes]:
    """The content of the review's files by name: page, workbook, the file to explore."""
    from dashboards.explore import render_explore
    from dashboards.review import render
    from dashboards.workbook import workbook

    return {
        review.page_name: render(review).encode(),
        review.workbook_name: workbook(review),
        review.explore_name: render_explore(review).encode(),
    }


def _draw_index(settings: Settings, review: Review) -> None:
    """The list of every month with a review, with the figures that the records give it now."""
    from dashboards.index import render_index

    folder = settings.path("reviews")
    months = review.table("marts.shipping_margin")
    text = render_index(review.shop_name, review.units, months, month_review.reviewed(folder), review.made_at)
    month_review.written(folder, {INDEX_NAME: text.encode()})
