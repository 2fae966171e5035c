"""`dunnage damage`: how often goods break in each packing method, and which method pays."""

import argparse

from models.errors import NotFoundError
from pipelines import options, printing, progress
from pipelines.shop import settings

EXAMPLE = "dunnage damage --item-type tripod"

PRINTED = (
    *("analysis.damage_rates", "analysis.packing_decision", "analysis.method_comparison", "analysis.reporting_lag"),
    *("marts.claim_deadlines", "analysis.claim_steps"),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--item-type", type=options.words, help="one item type (default: all)")
    options.json_argument(parser)


def run(args: argparse.Namespace) -> None:
    from dashboards.damage_words import report_lines
    from pipelines.review import runs

    shop = options.shop_of(args)
    with progress.shown(shop.folder, "damage", "opening the records", "building", is_quiet=args.json) as step:
        _, tables = runs.month_tables(shop, None, step)
    known = sorted(set(tables["analysis.damage_rates"]["item_type"]) - {"unknown"})
    if args.item_type and args.item_type not in known:
        raise NotFoundError(
            f"item type {args.item_type!r}", "was never shipped", "this command", f"use one of {', '.join(known)}"
        )
    asked = [args.item_type] if args.item_type else known
    if args.json:
        found = {name: tables[name] for name in PRINTED if name in tables}
        of_items = {name: rows[rows["item_type"].isin(asked)] for name, rows in found.items() if "item_type" in rows}
        printing.print_json({**found, **of_items}, shop.shop.shown_units)
        return
    printing.say("\n".join(report_lines(tables, shop.shop.shown_units, asked, settings.now_at(shop))))
