"""`dunnage rejects`: the rows that were set aside, and how to mend them."""

from __future__ import annotations

import argparse

SUMMARY = "List rejected rows by file and reason, or export them to be mended and sent again"
EXAMPLE = "dunnage rejects --export"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--export", action="store_true", help="write one CSV per source into the shop's folder rejects")


def run(args: argparse.Namespace) -> int:
    from datetime import datetime

    from rich.console import Console

    from pipelines import printing, rejects, settings, warehouse

    console = Console()
    shop = settings.load_from(args.shop)
    with warehouse.reading(shop) as connection:
        found = rejects.listed(connection)
        if found.empty:
            console.print("no rejected rows")
            return 0
        if not args.export:
            console.print(printing.rows("rejected rows", found))
            console.print("`dunnage rejects --export` writes them out to be mended")
            return 0
        for path, rows in rejects.export(connection, shop, datetime.now()):
            console.print(f"{rows} rows: {path}", highlight=False, soft_wrap=True)
        console.print("mend the cells, then: dunnage intake FILE")
    return 0
