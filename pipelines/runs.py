"""The runs as plain lists of steps. flows.py gives them to the orchestrator, the commands call them directly."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pandas as pd

from pipelines import analysing, build, reviewing, tariffs, warehouse
from pipelines.settings import Settings

if TYPE_CHECKING:
    from dashboards.parts import Review


@dataclass(frozen=True)
class ReviewMade:
    """One month's review: its month, the files written, the tables and the review it was drawn from."""

    month: date
    page: Path
    workbook: Path
    tables: dict[str, pd.DataFrame]
    review: Review


def now_at(settings: Settings) -> datetime:
    """The present wall-clock time in the shop's time zone, without zone, as records hold it."""
    return datetime.now(ZoneInfo(settings.shop.time_zone)).replace(tzinfo=None, microsecond=0)


def run_review(
    settings: Settings, month: str | None = None, progress: Callable[[str], None] = lambda name: None
) -> ReviewMade:
    """Build what is not current, gather the month, draw it, write it. Raises DunnageError."""
    chosen, tables = month_tables(settings, month, progress)
    return draw(settings, chosen, tables)


def month_tables(
    settings: Settings, month: str | None, progress: Callable[[str], None] = lambda name: None
) -> tuple[date, dict[str, pd.DataFrame]]:
    """The month reviewed and every table it is drawn from, built first where records or settings have changed."""
    with warehouse.writing(settings, "review") as connection:
        if not is_current(connection, settings):
            _build(connection, settings, progress)
        return reviewing.month_named(month, connection), reviewing.gathered(connection)


WATCHED = "analysis.alarms"


def run_watch(settings: Settings, progress: Callable[[str], None] = lambda name: None) -> pd.DataFrame:
    """Build what is not current, then give the alarms that nobody has acknowledged; no rows where none is computed."""
    _, tables = month_tables(settings, None, progress)
    found = tables.get(WATCHED, pd.DataFrame())
    return found[~found["is_acknowledged"].astype(bool)] if "is_acknowledged" in found.columns else found


def is_current(connection: warehouse.Connection, settings: Settings) -> bool:
    """Whether the tables of the review were built from the records and settings as they are."""
    return build.is_current(connection, settings, inputs=tariffs.digest(settings))


def _build(connection: warehouse.Connection, settings: Settings, progress: Callable[[str], None]) -> None:
    build.build(
        connection,
        settings,
        prepare=[lambda: tariffs.load(connection, settings)],
        inputs=tariffs.digest(settings),
        conclude=[lambda: analysing.analyse(connection, {}, progress=progress)],
        progress=progress,
    )


def draw(settings: Settings, month: date, tables: dict[str, pd.DataFrame]) -> ReviewMade:
    """Page, workbook and index of the month, in the shop's reviews folder."""
    from dashboards.parts import Review
    from dashboards.review import render
    from dashboards.workbook import workbook

    name = f"review-{month:%Y-%m}"
    review = Review(
        shop_name=settings.shop.name,
        currency=settings.shop.currency,
        month=month,
        made_at=now_at(settings),
        tables=tables,
        workbook_name=f"{name}.xlsx",
    )
    files = {f"{name}.html": render(review).encode(), f"{name}.xlsx": workbook(review)}
    page, book = reviewing.written(settings.path("reviews"), files)
    return ReviewMade(month, page, book, tables, review)
