"""`dunnage trial`: two packing methods for an item type, assigned by chance and compared."""

import argparse

from pipelines import options, printing, progress
from pipelines.build import trials
from pipelines.shop import settings
from pipelines.shop.settings import Settings

EXAMPLE = 'dunnage trial start tripod "corner blocks" --from 2026-12-01'


def arguments(parser: argparse.ArgumentParser) -> None:
    steps = parser.add_subparsers(dest="step", required=True, metavar="start|list|end")
    start = steps.add_parser("start", help="assign the method tried and the usual one by chance from a day on")
    start.add_argument("item_type", type=options.words, help="item type")
    start.add_argument("method", type=options.words, help="packing method to try")
    start.add_argument("--against", default="", type=options.remark, help="the usual one (default: the one used now)")
    start.add_argument("--from", dest="started_on", type=options.day, metavar="DAY", help="first day, as 2026-12-01")
    start.add_argument("--until", type=options.day, metavar="DAY", help="last day (default: when parcels will suffice)")
    start.add_argument(
        "--by",
        choices=("sale", "week"),
        default="sale",
        help="sale: the bench list names the method of each; week: the two take turns (default: sale)",
    )
    start.add_argument(
        "--expect",
        type=options.number(0, 0.95),
        default=0.5,
        metavar="RATIO",
        help="damage with the method tried, as a share of the usual one's, that is to be found (0.5)",
    )
    start.add_argument("--id", default="", type=options.remark, help="name of the trial (default: made from both)")
    listed = steps.add_parser("list", help="trials, what they found, and what is worth one")
    options.json_argument(listed)
    end = steps.add_parser("end", help="end a trial: no more parcels are assigned")
    end.add_argument("id", type=options.words, help="name of the trial")
    end.add_argument("--on", type=options.day, metavar="DAY", help="last day (default: today)")


def run(args: argparse.Namespace) -> None:
    {"start": _start, "list": _list, "end": _end}[args.step](options.shop_of(args), args)


def _start(shop: Settings, args: argparse.Namespace) -> None:
    from dashboards.damage_words import care_lines
    from pipelines.review import planning_trials

    wanted = planning_trials.Wanted(
        *(args.item_type, args.method, args.against, args.started_on, args.until, args.by, args.expect, args.id)
    )
    made = planning_trials.start(shop, wanted)
    said = f"started as {made.trial.id}: {made.needed} parcels, until {made.trial.planned_end_on}"
    how = {
        "sale": "the bench list names the method of each sale: dunnage bench-list",
        "week": f"the two take turns week by week; this week it is {made.first_method}",
    }
    printing.say("\n".join([said, how[made.trial.by], *care_lines(shop.shop.shown_units)]))


def _list(shop: Settings, args: argparse.Namespace) -> None:
    from dashboards.damage_words import trial_lines
    from pipelines.review import runs

    with progress.shown(shop.folder, "trial", "opening the records", "building", is_quiet=args.json) as step:
        _, tables = runs.month_tables(shop, None, step)
    if args.json:
        found = {name: tables[name] for name in ("analysis.trials", "analysis.trial_proposals")}
        printing.print_json(found, shop.shop.shown_units)
    else:
        printing.say("\n".join(trial_lines(tables, shop.shop.shown_units)))


def _end(shop: Settings, args: argparse.Namespace) -> None:
    ended_on = args.on or settings.now_at(shop).date()
    trials.end(shop, args.id, ended_on)
    print(f"{args.id} ends on {ended_on}; its last look is at the next month ends")
