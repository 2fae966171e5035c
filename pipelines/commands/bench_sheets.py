"""`dunnage bench-sheets`: what the packing bench needs on paper."""

import argparse

from dashboards import sentences
from dashboards.sentences.letters import BENCH_SHEETS
from pipelines import options, progress
from pipelines.printing import say

EXAMPLE = "dunnage bench-sheets"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--item-type", type=options.words, metavar="NAME", help="one item type only")


def run(args: argparse.Namespace) -> None:
    from pipelines.review import runs

    shop = options.shop_of(args)
    with progress.shown(shop.folder, "bench-sheets", "opening the records", "building") as step:
        path, count = runs.write_bench_sheets(shop, args.item_type, step)
    nothing = sentences.lines_of(["bench.no_sheet"], BENCH_SHEETS, [], shop.shop.shown_units)
    say(f"{count} bench {'sheet' if count == 1 else 'sheets'} in {path}" if count else "\n".join(nothing))
