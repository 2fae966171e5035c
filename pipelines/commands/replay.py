"""`dunnage replay`: the whole history again from the archive, held against the warehouse."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from models.shop_units import Units
from pipelines import options, printing, progress
from pipelines.printing import say

if TYPE_CHECKING:
    import pandas as pd


EXAMPLE = "dunnage replay"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--keep", action="store_true", help="where the warehouse is lost: put the replayed one there")


def run(args: argparse.Namespace) -> int:
    from pipelines.intake import replaying

    shop = options.shop_of(args)
    with progress.shown(shop.folder, "replay", "reading the archive", "importing") as step:
        compared = None if args.keep else replaying.compare(shop, step)
        deliveries = replaying.rebuild(shop, step) if args.keep else 0
    if compared is not None:
        return _reported(compared, shop.shop.shown_units)
    say(f"{deliveries} deliveries are imported again from the archive; run `dunnage review` to build the tables")
    say("disputes that were marked and letters that were sent are not in the archive, only in a backup")
    return 0


def _reported(found: pd.DataFrame, units: Units) -> int:
    filled = found[found["row_count"] > 0]
    if len(filled):
        printing.show(printing.rows("the archive imported again, beside the warehouse", filled, units))
    differing = int(found["differing_count"].sum())
    print(f"{int(found['row_count'].sum()):,} rows compared; {differing:,} differ")
    return 1 if differing else 0
