"""`dunnage rejects`: the rows that were set aside, and how to correct them."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import groupby
from shlex import quote
from typing import TYPE_CHECKING

from models.errors import NotFoundError
from models.visible import visible
from pipelines import options, printing
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings

if TYPE_CHECKING:
    from pipelines.intake.correcting import Reason
    from pipelines.intake.deliveries import Delivery

EXAMPLE = "dunnage rejects --word charge_kind:Zuschlag=surcharge     (or: dunnage rejects --export)"
# Reasons listed of each file, the commonest first.
MOST = 8
REASONS = "file_name source_name column_name reason row_count first_line texts corrected_by"
NEXT = "`dunnage rejects --export` writes them out to be corrected; `dunnage rejects --all` lists every reason"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--export", action="store_true", help="write one CSV per source into the shop's folder rejects")
    parser.add_argument("--all", action="store_true", dest="every", help=f"every reason, not {MOST} of each file")
    parser.add_argument("--source", type=options.words, help="whose rows to correct, where several have rejected rows")
    options.several(
        parser,
        "--word",
        "COLUMN:TEXT=WORD",
        "what a cell's text means: written into the column map, and the rows are sent again",
    )
    options.several(parser, "--unit", "COLUMN=UNIT", "unit of a column's cells, likewise")
    parser.add_argument("--decimal", choices=[".", ","], help="decimal mark of the source's files, likewise")
    parser.add_argument("--date-order", choices=["dmy", "mdy", "ymd"], help="date order of the files, likewise")
    options.json_argument(parser)


def run(args: argparse.Namespace) -> int:
    shop = options.shop_of(args)
    if args.word or args.unit or args.decimal or args.date_order:
        return _correct(args, shop)
    return _export(shop) if args.export else _list(args, shop)


def _list(args: argparse.Namespace, shop: Settings) -> int:
    from pipelines.intake import correcting

    with warehouse.reading(shop) as connection:
        found = correcting.reasons(connection, shop)
    if args.json:
        rows = printing.records(REASONS, map(_record, found))
        printing.print_json({"rejection_reasons": rows}, shop.shop.shown_units)
        return 0
    if not found:
        print("No row is rejected.")
        return 0
    for line in _lines(found, None if args.every else MOST):
        printing.say(shop.shop.shown_units.converted(line))
    printing.say(NEXT)
    return 0


def _record(reason: Reason) -> list[object]:
    found = reason.rejection
    texts = [{"text": text, "row_count": rows} for text, rows in found.texts]
    corrected_by = [each.shown for each in reason.corrections]
    place = [reason.file_name, reason.source_name, found.column, found.reason]
    return [*place, found.rows, found.first_line, texts, corrected_by]


def _lines(found: Sequence[Reason], most: int | None) -> Iterator[str]:
    for (file, source), each in groupby(found, key=lambda reason: (reason.file_name, reason.source_name)):
        reasons = list(each)
        yield f"{file} (source {source}): {sum(reason.rejection.rows for reason in reasons):,} rows rejected"
        for reason in reasons[:most]:
            yield from _reason_lines(reason)
        if most is not None and len(reasons) > most:
            yield f"  and {len(reasons) - most} more reasons"


def _reason_lines(reason: Reason) -> Iterator[str]:
    from pipelines.shown_maps import spoken_texts

    found = reason.rejection
    rows = f"{found.rows:,} row{'' if found.rows == 1 else 's'}"
    where = f"first in line {found.first_line:,}"
    yield visible(f"  {rows}: {found.spoken}{spoken_texts(found.texts)}; {where}")
    for each in reason.corrections:
        others = f" (or: {', '.join(each.answers[1:])})" if len(each.answers) > 1 else ""
        others = others if each.has_likely else f", where ... is one of: {', '.join(each.answers)}"
        verb = "to correct" if each.is_ready else "to correct, after a choice"
        yield visible(f"    {verb}: dunnage rejects --source {quote(reason.source_name)} {each.shown}{others}")


def _export(shop: Settings) -> int:
    from pipelines.intake import rejects_export

    with warehouse.reading(shop) as connection:
        try:
            written = rejects_export.export(connection, shop, datetime.now())
        except NotFoundError:
            print("No row is rejected.")
            return 0
    for path, rows in written:
        print(f"{rows} rows: {path}")
    print("correct the cells, then: dunnage intake FILE")
    return 0


def _correct(args: argparse.Namespace, shop: Settings) -> int:
    from pipelines.intake.correcting import correct
    from pipelines.intake.mapping import answers_of

    answers = answers_of(args.unit, args.word, decimal=args.decimal, date_order=args.date_order)
    written, deliveries = correct(shop, args.source, answers, now=datetime.now())
    printing.say(f"written to {written}")
    for line in _became(deliveries):
        printing.say(line)
    return 1 if any(delivery.error for delivery in deliveries) else 0


def _became(deliveries: Sequence[Delivery]) -> Iterator[str]:
    for delivery in deliveries:
        if delivery.error:
            yield f"{delivery.file_name}: {delivery.error.what}; next: {delivery.error.next_step}"
            continue
        accepted = delivery.accepted_count + delivery.unchanged_count
        still = f"still rejected {delivery.rejected_count:,}"
        yield f"sent again: {delivery.row_count:,} rows; accepted {accepted:,}, {still}"
