"""`dunnage bridge`: what changed the margin between any two spans of months."""

import argparse

from pipelines import options, printing
from pipelines.shop import warehouse

EXAMPLE = "dunnage bridge 2025-05..2025-10 2026-05..2026-10"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("before", type=options.months, help="a month as 2025-10, or months as 2025-05..2025-10")
    parser.add_argument("after", type=options.months, help="the same, to compare with it")
    options.json_argument(parser)


def run(args: argparse.Namespace) -> None:
    from dashboards.bridge_words import bridge_lines, margins
    from pipelines.review import bridging

    shop = options.shop_of(args)
    with warehouse.reading(shop) as connection:
        rows = bridging.bridged(connection, args.before, args.after)
    if args.json:
        ends = printing.records("months margin_cents", margins(rows, args.before, args.after))
        printing.print_json({"margins": ends, "bridge": rows}, shop.shop.shown_units)
        return
    printing.say("\n".join(bridge_lines(rows, args.before, args.after, shop.shop.shown_units)))
