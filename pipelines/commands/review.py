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


def run(args: argparse.Namespace) -> None:

    from pipelines import progress
    from pipelines.printing import say
    from pipelines.review import runs

    shop = options.shop_of(args)
    with progress.shown(shop.folder, "review", "opening the records", "building") as step:
        made = runs.run_review(shop, args.month, progress=step)
    print(f"review of {made.month:%Y-%m}")
    say(f"  {made.review.edition_words}")
    print(f"  page      {made.page}")
    print(f"  workbook  {made.workbook}")
