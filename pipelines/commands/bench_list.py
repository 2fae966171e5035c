"""`dunnage bench-list`: what is still to be packed, with boxes for label, carton and packing method."""

import argparse

from dashboards import sentences
from dashboards.sentences.letters import BENCH
from pipelines import options
from pipelines.printing import say

EXAMPLE = "dunnage bench-list --days 1"


def arguments(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    parser.add_argument(
        "--days",
        type=options.whole(1, 366),
        default=7,
        metavar="N",
        help="labels and sales of so many days, up to the latest that was imported (default: 7)",
    )


def run(args: argparse.Namespace) -> None:
    """Write the list and its file; say how to send it back."""
    from pipelines.review.bench_lists import write_bench_list

    shop = options.shop_of(args)
    made = write_bench_list(shop, args.days)
    if not made.parcel_count:
        asked = {"day_count": args.days, "parcel_count": 0}
        say("\n".join(sentences.lines_of(["bench.nothing_waits"], BENCH, [asked], shop.shop.shown_units)))
        return
    print(f"{made.parcel_count} {'parcel' if made.parcel_count == 1 else 'parcels'} to mark: {made.page}")
    print(f"to be filled in: {made.file}")
    say("next: type carton and packing method, remove the lines of parcels that were not packed, put it into the inbox")
    if made.assigned_count:
        say(f"{made.assigned_count} of them have a packing method assigned by a trial: pack them so where you can")
    if made.assigned_count and made.source and not made.reads_assigned:
        say(f'  source {made.source} does not read it yet: add assigned_method = "assigned_method" to its columns')
    if made.source is None:
        say(f"  no source reads it yet: `dunnage map inbox/{made.file.name} --write`")
