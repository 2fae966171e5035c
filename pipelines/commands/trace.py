"""`dunnage trace`: from a figure to its parcels, from a parcel to file and row."""

import argparse

from dashboards import sentences
from dashboards.sentences.letters import TRACE
from models.visible import visible
from pipelines import options, printing
from pipelines.intake.file_lines import lines_of, repaired_rows
from pipelines.review import tracing
from pipelines.review.traced_names import table_named, titles
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings

EXAMPLE = "dunnage trace marts.item_type_costs --item-type tripod --month 2026-10"
FILTERS = ("item_type", "carrier", "surcharge", "packing_method", "invoice_number", "parcel_id", "sale_id")
# What may stand between a traced figure and its parcels.
TRACED = ("trace.added", "trace.exactly", "trace.among", "trace.part", "trace.none")


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "table",
        nargs="?",
        type=options.words,
        help='a table, such as marts.item_type_costs, or a title of the page, such as "Margin by zone"; without it all '
        "of them are listed",
    )
    parser.add_argument("--month", type=options.month, help="month of shipping, as 2026-10")
    for name in FILTERS:
        parser.add_argument(
            f"--{name.replace('_', '-')}", type=options.words, help=f"only this {name.replace('_', ' ')}"
        )
    limit = options.whole(1, 100_000)
    parser.add_argument("--limit", type=limit, default=20, help="parcels shown, largest amounts first (default 20)")
    options.json_argument(parser)
    parser.add_argument("--most", type=limit, dest="limit", action=options.Renamed, help=argparse.SUPPRESS)


def run(args: argparse.Namespace) -> None:
    shop = options.shop_of(args)
    if args.table:
        _trace(args, table_named(args.table), shop)
    else:
        _listed(args, shop)


def _listed(args: argparse.Namespace, shop: Settings) -> None:
    """What can be traced, and where the page shows it."""
    import pandas as pd

    units = shop.shop.shown_units
    shown = sorted(titles().items(), key=lambda named: (not named[1], named[0]))
    found = pd.DataFrame([{"table_name": name, "shown_as": "; ".join(seen) or None} for name, seen in shown])
    if args.json:
        printing.print_json({"traced_tables": found}, units)
        return
    printing.show(printing.rows("what can be traced", found, units))
    printing.say("next: `dunnage trace TABLE --month 2026-10`, or a title in quotes instead of the table")


def _trace(args: argparse.Namespace, table: str, shop: Settings) -> None:
    wanted = {name: getattr(args, name) for name in FILTERS if getattr(args, name) is not None}
    if args.month:
        wanted["shipped_month"] = f"{args.month}-01"
    units = shop.shop.shown_units
    with warehouse.reading(shop) as connection:
        behind = tracing.parcels_behind(connection, table, wanted, args.limit)
        parcels = behind.rows
        figures, count = tracing.figures(connection, table, wanted, args.limit)
        found = tracing.sources(connection, parcels["parcel_id"].tolist())
        places = list(zip(found["delivery_id"], found["row_number"], strict=True))
        repaired = repaired_rows(connection, shop, places)
        lines = lines_of(connection, shop, places)
    found["row_number"] = [lines[int(delivery), int(number)] for delivery, number in places]
    if args.json:
        printing.print_json({table: figures, "parcels": parcels, "sources": found}, units)
        return
    if count == 1:
        printing.show(printing.record(table, figures, units), "")
    else:
        printing.show(printing.rows(table, figures, units, most=args.limit, of=count, narrow=True), "")
    led_to = {name: getattr(behind, name) for name in ("relation", "parcel_count", "amount_cents")}
    printing.say("\n".join(sentences.lines_of(TRACED, TRACE, [led_to], units)))
    if parcels.empty:
        return
    printing.show(printing.rows("its parcels", parcels, units, of=behind.parcel_count, most=args.limit), "")
    reported = found.drop(columns=["content_hash", "delivery_id"]) if len(parcels) == 1 else tracing.by_file(found)
    reported = reported.rename(columns={"row_number": "line", "row_numbers": "lines"})
    printing.show(printing.rows("where they were read", reported, units))
    for row in repaired:
        where = f"Line {lines[row.delivery_id, row.row_number]} of {row.file_name}"
        printing.say(visible(f"{where} has quote marks within a cell and was read as it stands: {row.text}"))
