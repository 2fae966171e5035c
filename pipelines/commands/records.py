"""`dunnage records`: the data dictionary, from the contracts themselves."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.shop_units import Units

from pipelines import options

SUMMARY = "Show which columns each kind of record has, with unit, example and limits"
EXAMPLE = "dunnage records sales"


def arguments(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    parser.add_argument("kind", nargs="?", type=options.words, help="one kind of record (default: all)")
    parser.add_argument("--markdown", action="store_true", help="print Markdown instead of a table")


def run(args: argparse.Namespace) -> int:
    """Print the dictionary. Returns 0; raises NotFoundError for an unknown kind."""
    from models.errors import NotFoundError
    from models.reference import RECORDS
    from pipelines.shop import settings

    if args.kind is not None and args.kind not in RECORDS:
        raise NotFoundError(repr(args.kind), "is no kind of record", "nothing", f"use one of {', '.join(RECORDS)}")
    kinds = [args.kind] if args.kind else list(RECORDS)
    if args.markdown:
        from models.dictionary import markdown

        print(markdown(settings.units_of(args.shop), kinds))
        return 0
    _print_tables(kinds, settings.units_of(args.shop))
    return 0


def _print_tables(kinds: list[str], units: Units) -> None:
    from rich.console import Console
    from rich.table import Table

    from models.dictionary import entries, order_lines, rule_lines
    from models.reference import RECORDS

    console = Console(highlight=False)
    for kind in kinds:
        console.print(f"\n[bold]{kind}[/bold]  {RECORDS[kind].grain}")
        table = Table(box=None, pad_edge=False)
        for title in ("column", "meaning", "unit", "needed", "example", "allowed"):
            table.add_column(title, no_wrap=title == "column", overflow="fold")
        for entry in entries(RECORDS[kind], units):
            needed = "yes" if entry.is_needed else ""
            table.add_row(entry.column, entry.meaning, entry.unit, needed, entry.example, entry.allowed)
        console.print(table)
        for reason in rule_lines(RECORDS[kind], units):
            console.print(f"turned away where {reason}")
        for line in order_lines(RECORDS[kind], units):
            console.print(line)
