"""`dunnage trace`: from a figure to its parcels, from a parcel to file and row."""

from __future__ import annotations

import argparse

from pipelines import options

SUMMARY = "Lead from a figure of the review to its parcels, and from each parcel to file and row"
EXAMPLE = "dunnage trace marts.item_type_costs --item-type tripod --month 2026-10"
FILTERS = ("item_type", "carrier", "surcharge", "packing_method", "invoice_number", "parcel_id", "sale_id")


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("table", type=options.words, help="a mart, such as marts.item_type_costs")
    parser.add_argument("--month", type=options.month, help="month of shipping, as 2026-10")
    for name in FILTERS:
        parser.add_argument(
            f"--{name.replace('_', '-')}", type=options.words, help=f"only this {name.replace('_', ' ')}"
        )
    limit = options.whole(1, 100_000)
    parser.add_argument("--limit", type=limit, default=20, help="parcels shown, largest amounts first (default 20)")
    parser.add_argument("--most", type=limit, dest="limit", action=options.Renamed, help=argparse.SUPPRESS)


def run(args: argparse.Namespace) -> int:
    from rich.console import Console

    from dashboards import formats
    from models.visible import visible
    from pipelines import printing
    from pipelines.intake.repaired import repaired_rows
    from pipelines.review import tracing
    from pipelines.shop import settings, warehouse

    wanted = {name: getattr(args, name) for name in FILTERS if getattr(args, name) is not None}
    if args.month:
        wanted["shipped_month"] = f"{args.month}-01"
    console, shop = Console(), settings.load_from(args.shop)
    units = shop.shop.shown_units
    with warehouse.reading(shop) as connection:
        behind = tracing.parcels_behind(connection, args.table, wanted, args.limit)
        parcels = behind.rows
        figures, count = tracing.figures(connection, args.table, wanted, args.limit)
        found = tracing.sources(connection, parcels["parcel_id"].tolist())
        repaired = repaired_rows(connection, shop, found[["delivery_id", "row_number"]].itertuples(index=False))
    if count == 1:
        console.print(printing.record(args.table, figures, units), "")
    else:
        console.print(printing.rows(args.table, figures, units, most=args.limit, of=count, narrow=True), "")
    parcels_said = f"{behind.parcel_count:,} parcel{'' if behind.parcel_count == 1 else 's'}"
    money = formats.money(behind.amount_cents or 0, units.currency)
    printing.say(behind.words.format(parcels=parcels_said, money=money))
    if parcels.empty:
        return 0
    console.print(printing.rows("its parcels", parcels, units, of=behind.parcel_count, most=args.limit), "")
    places = found.drop(columns=["content_hash", "delivery_id"]) if len(parcels) == 1 else tracing.by_file(found)
    console.print(printing.rows("where they were read", places, units))
    for row in repaired:
        where = f"Row {row.row_number} of {row.file_name} has quote marks within a cell and was read as it stands: "
        printing.say(visible(where + row.text))
    return 0
