"""`dunnage explain`: the story of one parcel."""

from __future__ import annotations

import argparse

SUMMARY = "Tell the story of one parcel: what was packed, charged, claimed and earned"
EXAMPLE = "dunnage explain NL40017733"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("parcel", help="the parcel's number")


def run(args: argparse.Namespace) -> int:
    from rich.console import Console

    from pipelines import explaining, printing, settings, warehouse

    console = Console()
    with warehouse.reading(settings.load_from(args.shop)) as connection:
        for title, rows in explaining.story(connection, args.parcel).items():
            console.print(printing.either(title, rows))
    return 0
