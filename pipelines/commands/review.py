"""`dunnage review`: the month's page and workbook."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from dashboards import sentences
from dashboards.review_tables import Records
from dashboards.sentences.letters import CHOSEN, COVERAGE
from pipelines import options, progress
from pipelines.printing import say
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings

if TYPE_CHECKING:
    from pipelines.review.runs import ReviewMade

EXAMPLE = "dunnage review 2026-10"
# Why a month was reviewed that nobody named, and which later ones are on record.
WHY = ("reviews.chosen", "reviews.chosen_unbilled", "reviews.chosen_open", "reviews.later")


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "month",
        nargs="?",
        type=options.month,
        help="month of shipping, as 2026-10 (default: the last that is over and billed)",
    )


def run(args: argparse.Namespace) -> None:
    from pipelines.review import runs

    shop = options.shop_of(args)
    with progress.shown(shop.folder, "review", "opening the records", "building") as step:
        made = runs.run_review(shop, args.month, progress=step)
    print(f"review of {made.month:%Y-%m}")
    say(f"  {made.review.edition_words}")
    for line in () if args.month else _chosen(shop, made):
        say(f"  {line}")
    print(f"  page      {made.page}")
    print(f"  workbook  {made.workbook}")


def _chosen(shop: Settings, made: ReviewMade) -> list[str]:
    import pandas as pd

    from pipelines.review import month_review

    with warehouse.reading(shop) as connection:
        standing = pd.DataFrame([month_review.standing(connection, made.month)])
    known = Records(tables={CHOSEN: standing, COVERAGE: made.tables[COVERAGE]}, month=made.month)
    return sentences.lines(WHY, known, shop.shop.shown_units)
