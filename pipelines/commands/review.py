"""`dunnage review`: the month's page and workbook."""

import argparse

from pipelines import options

SUMMARY = "Write a month's review: one page, and a workbook with the same tables"
EXAMPLE = "dunnage review 2026-10"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "month",
        nargs="?",
        type=options.month,
        help="month of shipping, as 2026-10 (default: the last that is over and billed)",
    )


def run(args: argparse.Namespace) -> int:
    from rich.console import Console

    from pipelines import progress
    from pipelines.printing import prose
    from pipelines.review import runs
    from pipelines.shop import settings

    console, shop = Console(), settings.load_from(args.shop)
    with progress.shown(shop.folder, "review", "opening the records", "building") as step:
        made = runs.run_review(shop, args.month, progress=step)
    console.print(f"review of {made.month:%Y-%m}")
    console.print(prose(f"  {made.review.edition_words}"))
    console.print(f"  page      {made.page}", soft_wrap=True)
    console.print(f"  workbook  {made.workbook}", soft_wrap=True)
    return 0
