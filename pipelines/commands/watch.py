"""`dunnage watch`: what went up since the last quarter, and what of it was seen."""

import argparse

from dashboards.due_words import due_lines
from pipelines import options, printing, progress
from pipelines.build.acknowledgements import acknowledge
from pipelines.shop import settings

EXAMPLE = "dunnage watch --acknowledge 2026-08-17-damage-tripod"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--acknowledge", metavar="ID", type=options.words, help="mark this alarm as seen: it is not mailed again"
    )
    options.json_argument(parser)
    parser.add_argument("--note", default="", type=options.remark, help="what was found, kept with the acknowledgement")


def run(args: argparse.Namespace) -> None:
    from dashboards.damage_words import alarm_lines
    from pipelines.review import runs, status

    shop = options.shop_of(args)
    with progress.shown(shop.folder, "watch", "opening the records", "building", is_quiet=args.json) as step:
        tables = runs.watched_tables(shop, step)
    alarms = tables[runs.WATCHED]
    if args.acknowledge:
        acknowledge(shop, args.acknowledge, set(alarms["alarm_id"]), settings.now_at(shop).date(), args.note)
        print(f"{args.acknowledge} is acknowledged")
        return
    units = shop.shop.shown_units
    if args.json:
        printing.print_json({name: tables[name] for name in (runs.WATCHED, *status.DUE) if name in tables}, units)
        return
    printing.say("\n".join([*alarm_lines(tables, units), *due_lines(tables, units, settings.now_at(shop))]))
