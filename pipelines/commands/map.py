"""`dunnage map`: propose a column map for a file and, on --write, put it into dunnage.toml."""

from __future__ import annotations

import argparse
from pathlib import Path

from pipelines import options

SUMMARY = "propose how a file's columns become a record's, with reasons"
EXAMPLE = (
    "dunnage map inbox/sales-2026-10.csv --as sales --write. Of a text file it also finds delimiter, encoding, quote, "
    "escape, skip (lines above the header), header_rows and end_of_table; change them in dunnage.toml if need be"
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    parser.add_argument(
        "file", type=options.path, help="a CSV, TSV, XLSX, JSON, JSON Lines or Parquet file, also zipped"
    )
    parser.add_argument(
        "--as", dest="kind", metavar="KIND", type=options.words, help="kind of record (default: the one that fits best)"
    )
    parser.add_argument(
        "--name", type=options.words, help="name of the source in dunnage.toml (default: from the file's name)"
    )
    parser.add_argument("--files", metavar="GLOB", type=options.words, help="which files in the inbox it stands for")
    parser.add_argument("--sheet", type=options.words, help="sheet of a workbook (default: the first)")
    parser.add_argument(
        "--column",
        action="append",
        default=[],
        metavar="COLUMN=HEADER",
        type=options.pair,
        help='state a column yourself; with its unit as in "scale_weight_lb=weight [kg]"',
    )
    parser.add_argument(
        "--constant",
        action="append",
        default=[],
        metavar="COLUMN=VALUE",
        type=options.pair,
        help="state one value for every row",
    )
    parser.add_argument("--write", action="store_true", help="write it into dunnage.toml")
    parser.add_argument("--replace", action="store_true", help="replace the source of the same name")


def run(args: argparse.Namespace) -> int:
    """Show the proposal; write it when asked. Returns 0."""
    from rich.console import Console

    from pipelines.intake.mapping import propose_for, stated_pairings
    from pipelines.intake.mapping.showing import show
    from pipelines.intake.mapping.writing import write_source
    from pipelines.shop import settings

    console = Console(highlight=False)
    stated = stated_pairings(args.column, args.constant)
    proposed = propose_for(args.file, args.kind, name=args.name, files=args.files, sheet=args.sheet, stated=stated)
    show(proposed, console, settings.units_of(args.shop))
    if not args.write:
        console.print("Nothing was written. Add --write to keep this map in dunnage.toml.")
        return 0
    written = write_source(args.shop or Path(), proposed, is_replacing=args.replace)
    console.print(f"Written to {written}: source {proposed.name}, files {proposed.files}.", markup=False)
    return 0
