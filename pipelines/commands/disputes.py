"""`dunnage disputes`: what the carriers billed wrongly and can still be asked for."""

import argparse

from dashboards.explanation import dispute, no_dispute_lines
from dashboards.formats import minor_digits
from models.plain_rows import as_dicts
from pipelines import options, printing
from pipelines.printing import say
from pipelines.review import disputing
from pipelines.shop import settings, warehouse

EXAMPLE = "dunnage disputes mark NL40017733/wrong-zone won --recovered 14.25"


def arguments(parser: argparse.ArgumentParser) -> None:
    actions = parser.add_subparsers(dest="action", metavar="ACTION")
    parser.set_defaults(action="list", every=False)
    options.json_argument(parser)
    listing = actions.add_parser("list", help="those that can still be sent, the next deadline first")
    listing.add_argument("--all", action="store_true", dest="every", help="also past, sent, won and lost ones")
    options.json_argument(listing, is_inner=True)
    export = actions.add_parser("export", help="write them as CSV with the evidence of both sides")
    export.add_argument("file", type=options.path, help="the CSV file to write")
    export.add_argument("--all", action="store_true", dest="every", help="also past, sent, won and lost ones")
    mark = actions.add_parser("mark", help="note what became of one")
    mark.add_argument("dispute", type=options.words, help="its id from the list, or the parcel where it has only one")
    mark.add_argument("state", choices=("sent", "won", "lost"))
    mark.add_argument(
        "--recovered",
        type=options.amount,
        metavar="AMOUNT",
        help="what the carrier agreed to give back; the margin counts it when the credit is billed",
    )


def run(args: argparse.Namespace) -> None:
    {"list": _list, "export": _export, "mark": _mark}[args.action](args)


def _list(args: argparse.Namespace) -> None:
    shop = options.shop_of(args)
    with warehouse.reading(shop) as connection:
        rows, checks = disputing.listed(connection, every=args.every), disputing.checks(connection)
    if args.json:
        printing.print_json({"marts.billing_disputes": rows}, shop.shop.shown_units)
        return
    lines = [dispute(row, shop.shop.shown_units, settings.now_at(shop)) for row in as_dicts(rows)]
    for line in lines or no_dispute_lines(rows, checks, shop.shop.shown_units):
        printing.say(line)


def _export(args: argparse.Namespace) -> None:
    shop = options.shop_of(args)
    with warehouse.reading(shop) as connection:
        count = disputing.export(connection, args.file, shop.shop.shown_units, every=args.every)
    say(f"{count} disputes written to {args.file}")


def _mark(args: argparse.Namespace) -> None:
    shop = options.shop_of(args)
    recovered = disputing.cents(args.recovered, minor_digits(shop.shop.currency))
    with warehouse.writing(shop, "disputes") as connection:
        dispute_id = disputing.mark(connection, args.dispute, args.state, recovered, settings.now_at(shop))
    print(f"{dispute_id}: {args.state}")
