"""`dunnage rejects`: the rows that were set aside, and how to correct them."""

from __future__ import annotations

import argparse

SUMMARY = "List rejected rows by file and reason, or export them to be corrected and sent again"
EXAMPLE = "dunnage rejects --export"
# Reasons listed of each file, the commonest first.
MOST = 8
NEXT = "`dunnage rejects --export` writes them out to be corrected; `dunnage rejects --all` lists every reason"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--export", action="store_true", help="write one CSV per source into the shop's folder rejects")
    parser.add_argument("--all", action="store_true", dest="every", help=f"every reason, not {MOST} of each file")


def run(args: argparse.Namespace) -> int:
    from datetime import datetime

    from rich.console import Console

    from pipelines import printing
    from pipelines.intake import rejects
    from pipelines.shop import settings, warehouse

    console = Console()
    shop = settings.load_from(args.shop)
    with warehouse.reading(shop) as connection:
        found = rejects.listed(connection, shop.shop.shown_units)
        if found.empty:
            console.print("no rejected rows")
            return 0
        if not args.export:
            for (file, source), rows in found.groupby(["file_name", "source_name"]):
                title = f"{file} (source {source}): {rows['row_count'].sum():,} rows rejected"
                reasons = rows[["column_name", "reason", "row_count", "first_line"]]
                reasons = reasons.sort_values("row_count", ascending=False, kind="stable")
                most = None if args.every else MOST
                console.print(printing.rows(title, reasons, shop.shop.shown_units, most=most), "")
            console.print(printing.prose(NEXT))
            return 0
        for path, rows in rejects.export(connection, shop, datetime.now()):
            console.print(f"{rows} rows: {path}", highlight=False, soft_wrap=True)
        console.print("correct the cells, then: dunnage intake FILE")
    return 0
