"""`dunnage explain`: the story of one parcel."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pipelines.warehouse import Connection

SUMMARY = "Tell the story of one parcel: why it cost what it cost, what was packed, charged, claimed and earned"
EXAMPLE = "dunnage explain NL40017733"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("parcel", help="the parcel's number")


def run(args: argparse.Namespace) -> int:
    from rich.console import Console

    from dashboards.explanation import explanation
    from pipelines import explaining, printing, settings, warehouse

    console = Console()
    shop = settings.load_from(args.shop)
    with warehouse.reading(shop) as connection:
        story = explaining.story(connection, args.parcel)
        bill = explaining.bill(connection, args.parcel)
        packing = _packing(connection, args.parcel)
    if len(bill["parcel"]):
        row = bill["parcel"].to_dict("records")[0]
        told = explanation(row, bill["lines"], bill["near"], bill["disputes"], shop.shop.currency)
        console.print(told, markup=False, highlight=False, soft_wrap=True)
    console.print(packing, markup=False, highlight=False, soft_wrap=True)
    for title, rows in story.items():
        console.print(printing.either(title, rows))
    return 0


def _packing(connection: Connection, parcel: str) -> str:
    """How its goods lie in the carton, or why nobody can tell."""
    from dashboards.packing_words import packing_words
    from models.errors import NotFoundError
    from pipelines import placing

    try:
        return packing_words(placing.placed(connection, parcel))
    except NotFoundError as lacking:
        return f"Packing: not known; {lacking.what}."
