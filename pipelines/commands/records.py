"""`dunnage records`: the data dictionary, from the contracts themselves."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.contracts import Contract
    from models.shop_units import Units

from pipelines import options

SUMMARY = "Show which columns each kind of record has, with unit, example and limits"
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


def run(args: argparse.Namespace) -> int:
    """Print the dictionary. Returns 0; raises NotFoundError for an unknown kind."""
    from models.errors import NotFoundError
    from models.reference import RECORDS
    from models.tables import TABLES
    from pipelines.shop import settings

    known, units = {**TABLES, **RECORDS}, settings.units_of(args.shop)
    if args.kind is not None and args.kind not in known:
        what = "is no kind of record and no table of the warehouse"
        raise NotFoundError(repr(args.kind), what, "nothing", f"use one of {', '.join(RECORDS)}")
    kinds = [args.kind] if args.kind else list(RECORDS)
    if args.json:
        _print_json(kinds, known, units)
    elif args.markdown and not set(kinds) - set(RECORDS):
        from models.dictionary import markdown

        print(markdown(units, kinds))
    else:
        _print_tables(kinds, known, units)
    return 0


def _print_json(kinds: list[str], known: dict[str, Contract], units: Units) -> None:
    import json

    from models.dictionary import entries

    print(json.dumps({kind: [vars(each) for each in entries(known[kind], units)] for kind in kinds}, indent=1))


def _print_tables(kinds: list[str], known: dict[str, Contract], units: Units) -> None:
    from rich.console import Console
    from rich.table import Table

    from models.dictionary import entries, order_lines, rule_lines

    console = Console(highlight=False)
    for kind in kinds:
        console.print(f"\n[bold]{kind}[/bold]  {known[kind].grain}")
        table = Table(box=None, pad_edge=False)
        for title in ("column", "meaning", "unit", "needed", "example", "allowed"):
            table.add_column(title, no_wrap=title == "column", overflow="fold")
        for entry in entries(known[kind], units):
            needed = "yes" if entry.is_needed else ""
            table.add_row(entry.column, entry.meaning, entry.unit, needed, entry.example, entry.allowed)
        console.print(table)
        for reason in rule_lines(known[kind], units):
            console.print(f"rejected if {reason}")
        for line in order_lines(known[kind], units):
            console.print(line)
