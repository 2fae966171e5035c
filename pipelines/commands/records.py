"""`dunnage records`: the data dictionary, from the contracts themselves."""

import argparse
import json
from collections.abc import Sequence

from models.contracts import Contract
from models.dictionary import Entry, entries, markdown, order_lines, rule_lines
from models.errors import NotFoundError
from models.reference import RECORDS
from models.shop_units import Units
from models.tables import TABLES
from pipelines import options
from pipelines.printing import Listing, listed, say, show
from pipelines.shop import settings

EXAMPLE = "dunnage records sales"


def arguments(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    parser.add_argument(
        "kind",
        nargs="?",
        type=options.words,
        help="one kind of record, or a table such as marts.coverage (default: every kind)",
    )
    parser.add_argument("--markdown", action="store_true", help="print Markdown instead of a table")
    options.json_argument(parser)


def run(args: argparse.Namespace) -> None:
    """Print the dictionary. Raises NotFoundError for an unknown kind."""
    known, units = {**TABLES, **RECORDS}, settings.units_of(args.shop)
    if args.kind is not None and args.kind not in known:
        what = "is no kind of record and no table of the warehouse"
        raise NotFoundError(repr(args.kind), what, "nothing", f"use one of {', '.join(RECORDS)}")
    kinds = [args.kind] if args.kind else list(RECORDS)
    if args.json:
        _print_json(kinds, known, units)
    elif args.markdown and not set(kinds) - set(RECORDS):
        print(markdown(units, kinds))
    else:
        _print_tables(kinds, known, units)


def _print_json(kinds: list[str], known: dict[str, Contract], units: Units) -> None:
    print(json.dumps({kind: [vars(each) for each in entries(known[kind], units)] for kind in kinds}, indent=1))


def _print_tables(kinds: list[str], known: dict[str, Contract], units: Units) -> None:
    for kind in kinds:
        show("")
        show(_listing(f"{kind}  {known[kind].grain}", entries(known[kind], units)))
        for reason in rule_lines(known[kind], units):
            say(f"rejected if {reason}")
        for line in order_lines(known[kind], units):
            say(line)


def _listing(title: str, known: Sequence[Entry]) -> Listing:
    heads = ("column", "meaning", "unit", "needed", "example", "allowed")
    rows = (
        (each.column, each.meaning, each.unit, "yes" if each.is_needed else "", each.example, each.allowed)
        for each in known
    )
    return listed(title, heads, rows, worded=heads[1:])
