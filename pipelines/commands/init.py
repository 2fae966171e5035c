"""`dunnage init`: start a shop's folder."""

import argparse
import sys

from pipelines import options
from pipelines.printing import say
from pipelines.shop.starting import Answers, checked, complete, start

EXAMPLE = 'dunnage init my-shop --name "My shop" --currency EUR --time-zone Europe/Berlin --units metric --wage 18.50'


def arguments(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    parser.add_argument("folder", type=options.path, help="folder to make")
    parser.add_argument("--name", type=options.words, help="name of the shop")
    parser.add_argument("--currency", type=options.currency, help="its three letters, such as USD")
    parser.add_argument("--time-zone", type=options.time_zone, help="an IANA name, such as America/New_York")
    parser.add_argument("--units", choices=("metric", "inch"), help="metric (cm, kg) or inch (in, lb)")
    parser.add_argument("--wage", type=options.amount, help="wage of the packing bench per hour, such as 24.00")
    parser.add_argument("--force", action="store_true", help="use a folder that is not empty; no file is overwritten")


def run(args: argparse.Namespace) -> int:
    """Ask what was not given, if someone is there to ask, and write the folder. Returns 0."""
    said = Answers(args.name, args.currency, args.time_zone, args.units, args.wage)
    shop = checked(complete(said, _ask if sys.stdin.isatty() else None))
    written, kept = start(args.folder, shop, is_forced=args.force)
    print(f"{args.folder}: {len(written)} files written" + (f", {len(kept)} were there and stay" if kept else ""))
    say(
        "next: put your exports into inbox/, then `dunnage map FILE` for each kind of file; or fill in copies of "
        "templates/ and put those into inbox/. Then `dunnage intake`."
    )
    return 0


def _ask(question: str, default: str) -> str:
    try:
        return input(f"{question} [{default}]: " if default else f"{question}: ").strip()
    except EOFError:
        return default
