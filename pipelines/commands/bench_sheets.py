"""`dunnage bench-sheets`: what the packing bench needs on paper."""

from __future__ import annotations

import argparse

from pipelines import options

SUMMARY = "Write printable sheets for the packing bench: carton, cut height, where to score, weight, cautions"
EXAMPLE = "dunnage bench-sheets"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--item-type", type=options.words, metavar="NAME", help="one item type only")


def run(args: argparse.Namespace) -> int:
    from pipelines.review import runs
    from pipelines.shop import settings

    path, count = runs.write_bench_sheets(settings.load_from(args.shop), args.item_type)
    if not count:
        print("There is no bench sheet yet: it needs packed sides of item types, packing methods and cartons.")
    else:
        print(f"{count} bench {'sheet' if count == 1 else 'sheets'} in {path}")
    return 0
