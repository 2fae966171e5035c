"""`dunnage explain`: the story of one parcel."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from dashboards import sentences
from dashboards.explanation import explanation, margin_words
from dashboards.packing_words import packing_words
from dashboards.sentences.parcel import PACKING
from models.errors import NotFoundError
from models.plain_rows import as_dicts
from models.shop_units import Units
from pipelines import options, printing
from pipelines.review import explaining
from pipelines.shop import settings, warehouse
from pipelines.shop.warehouse import Connection

if TYPE_CHECKING:
    import pandas as pd

EXAMPLE = "dunnage explain NL40017733"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("parcel", type=options.words, help="the parcel's number")
    options.json_argument(parser)


def run(args: argparse.Namespace) -> None:
    shop = options.shop_of(args)
    units = shop.shop.shown_units
    with warehouse.reading(shop) as connection:
        story, bill = explaining.story(connection, args.parcel), explaining.bill(connection, args.parcel)
        if args.json:
            printing.print_json({**bill, **story}, units)
            return
        paragraphs = _bill(bill, units, settings.now_at(shop))
        packing = _packing(connection, args.parcel, units)
    for paragraph in (*paragraphs, packing):
        printing.say(f"{paragraph}\n")
    for table, rows in story.items():
        printing.show(printing.either(explaining.PARTS[table][0], rows, units), "")


def _bill(bill: dict[str, pd.DataFrame], units: Units, made_at: datetime) -> Iterator[str]:
    """The margin first, then why the bill is what it is."""
    if len(bill["margin"]):
        yield margin_words(as_dicts(bill["margin"])[0], units)
    if len(bill["parcel"]):
        row = as_dicts(bill["parcel"])[0]
        yield explanation(row, bill["lines"], bill["near"], bill["disputes"], units, made_at)


def _packing(connection: Connection, parcel: str, units: Units) -> str:
    """How its goods lie in the carton, or why nobody can tell."""
    from pipelines.review import placements

    try:
        return packing_words(placements.placed_rows(connection, parcel, units), units)
    except NotFoundError as lacking:
        why = {"lacking_words": lacking.what}
        return "\n".join(sentences.lines_of(["parcel.packing_not_known"], PACKING, [why], units))
