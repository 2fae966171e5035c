"""`dunnage decide`: log a change of packing, or look whether logged changes worked."""

import argparse

from dashboards.sentences.changes import CHANGES
from models.errors import SettingsError
from pipelines import options, printing, progress
from pipelines.build import decisions

EXAMPLE = 'dunnage decide "corner blocks instead of paper" --item-type tripod --from 2026-03-01 --because claim'
# As the command line writes what led to a change (models/columns/changes.py).
BECAUSE = {"worst": "worst of several", "bad-month": "bad month", "claim": "claim", "planned": "planned"}


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("change", nargs="?", type=options.words, help="what was changed, in a few words")
    options.several(parser, "--item-type", "", "item type changed; may be repeated", options.words)
    parser.add_argument(
        "--from", dest="changed_on", type=options.day, metavar="DAY", help="first day of the change, as 2026-03-01"
    )
    parser.add_argument(
        "--because",
        choices=sorted(BECAUSE),
        metavar="CAUSE",
        help=f"what led to it: {', '.join(sorted(BECAUSE))}; the goods were the worst of several, a bad month, a "
        "claim, or it was planned without looking at claims; what was chosen for a bad record gets better by itself, "
        "and that is allowed for",
    )
    parser.add_argument("--why", default="", type=options.remark, help="the reason, in a few words")
    parser.add_argument(
        "--expect",
        type=options.number(0, 100),
        default=0.5,
        metavar="RATIO",
        help="damage hoped for, as a share of today's (0.5)",
    )
    parser.add_argument(
        "--id", default="", type=options.remark, help="name of the entry (default: made from the change)"
    )
    parser.add_argument("--judge", action="store_true", help="bring the tables up to date and print the verdicts")
    options.json_argument(parser)


def run(args: argparse.Namespace) -> None:
    shop = options.shop_of(args)
    if args.change:
        _record(args, shop)
    if args.judge or not args.change:
        from dashboards.damage_words import judgement_lines
        from pipelines.review import runs

        with progress.shown(shop.folder, "decide", "opening the records", "building", is_quiet=args.json) as step:
            _, tables = runs.month_tables(shop, None, step)
        if args.json:
            printing.print_json({CHANGES: tables[CHANGES]}, shop.shop.shown_units)
            return
        printing.say("\n".join(judgement_lines(tables, shop.shop.shown_units)))


def _record(args: argparse.Namespace, shop: object) -> None:
    if args.changed_on is None:
        raise SettingsError(
            "--from",
            "is not stated",
            "this entry; nothing was written",
            "write the first day of the change, as 2026-03-01",
        )
    if args.because is None:
        raise SettingsError(
            "--because",
            "is not stated",
            "this entry; nothing was written",
            f"write what led to the change, one of {', '.join(sorted(BECAUSE))}: chosen for a bad record, goods get "
            "better by themselves",
        )
    entry = decisions.Decision(
        *(args.id, tuple(args.item_type), args.changed_on, args.change, args.why, args.expect, BECAUSE[args.because])
    )
    made = decisions.record(shop, entry)  # type: ignore[arg-type]
    print(f"logged as {made.id} in {decisions.LOG.file_name}")
