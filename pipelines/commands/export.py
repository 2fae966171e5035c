"""`dunnage export`: a whole table of the warehouse as a file."""

import argparse

from pipelines import options
from pipelines.review import exporting
from pipelines.shop import warehouse

EXAMPLE = "dunnage export marts.parcel_costs parcel-costs.csv"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("table", type=options.words, help="a mart or analysis table, such as marts.parcel_costs")
    parser.add_argument("file", type=options.path, help="the file to write; .csv or .parquet says how")


def run(args: argparse.Namespace) -> None:
    shop = options.shop_of(args)
    with warehouse.reading(shop) as connection:
        rows = exporting.export(connection, args.table, args.file, shop.shop.shown_units)
    print(f"{rows:,} rows: {args.file}")
