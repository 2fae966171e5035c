"""`dunnage intake`: source files into the warehouse."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from itertools import groupby
from typing import TYPE_CHECKING, Any

from dashboards.values import day
from models.errors import IntakeError
from models.visible import LONGEST_NAME, visible
from pipelines import options, progress
from pipelines.commands import charges
from pipelines.intake.next_steps import after_import
from pipelines.intake.units import units_stated
from pipelines.printing import Listing, listed, print_json, records, say, show
from pipelines.shop import warehouse

if TYPE_CHECKING:
    from pipelines.intake.deliveries import Delivery
    from pipelines.intake.withdrawing import Withdrawal

EXAMPLE = "dunnage intake                 (or: dunnage intake sales-2026-10.csv --source market-sales)"
_COUNTS = ("row_count", "accepted_count", "corrected_count", "unchanged_count", "rejected_count", "resolved_count")
DELIVERIES = "delivery_id file_name source_name imported_at row_count accepted_count rejected_count withdrawn_at"
_ALWAYS = ("row_count", "accepted_count", "rejected_count")
# Of more files than these nobody reads each by its name.
MOST_UPRIGHT, MOST_NAMED = 10, 3


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("files", nargs="*", type=options.path, help="files or folders (default: the shop's inbox)")
    parser.add_argument("--source", type=options.words, help="read the files as this source, whatever their names")
    parser.add_argument(
        "--again", action="store_true", help="import known content once more, after correcting a column map"
    )
    options.several(
        parser,
        "--unit",
        "COLUMN=UNIT",
        "unit of a column of these files, where a file waits because its measures are off by a unit's factor",
    )
    parser.add_argument("--list", action="store_true", dest="listed", help="list the deliveries and their numbers")
    options.json_argument(parser)
    parser.add_argument(
        "--withdraw",
        type=options.whole(1, 999_999),
        metavar="DELIVERY",
        help="take back the rows of a delivery, by its number; history is kept, and its file can be taken in again",
    )


def run(args: argparse.Namespace) -> int:
    if args.listed or args.withdraw:
        _refuse_more(args)
        return _list(args) if args.listed else _withdraw(args)
    return _take_in(args)


def _refuse_more(args: argparse.Namespace) -> None:
    if args.files or args.source or args.again or args.unit or (args.listed and args.withdraw):
        raise IntakeError(
            "--withdraw" if args.withdraw else "--list",
            "goes with no file and no other option",
            "this command; nothing was changed",
            "give it alone first, then take in files with a command of their own",
        )


def _list(args: argparse.Namespace) -> int:
    from pipelines.intake.deliveries import listed

    shop = options.shop_of(args)
    with warehouse.reading(shop) as connection:
        found = listed(connection)
    if args.json:
        print_json({"deliveries": records(DELIVERIES, found)}, shop.shop.shown_units)
        return 0
    show(_deliveries(found) if found else "Nothing was imported yet.")
    return 0


def _deliveries(found: Sequence[tuple[Any, ...]]) -> Listing:
    shown = [
        (
            number,
            visible(file, 2 * LONGEST_NAME),
            "withdrawn" if withdrawn_at else "",
            day(imported_at),
            f"{count:,}",
            f"{accepted:,}",
            visible(source, LONGEST_NAME),
            f"{rejected:,}",
        )
        for number, file, source, imported_at, count, accepted, rejected, withdrawn_at in found
    ]
    # Of those before the last, the later ones are left out first.
    heads = ("Delivery", "File", "State", "Imported", "Rows", "Accepted", "Source", "Rejected")
    table = listed("", heads, shown, figures=("Delivery", "Rows", "Accepted", "Rejected"))
    said = [column for column in table.columns if not column.is_bare]
    return Listing("deliveries, the latest first", said, narrow=True)


def _withdraw(args: argparse.Namespace) -> int:
    from pipelines.intake.withdrawing import withdraw

    shop = options.shop_of(args)
    with progress.shown(shop.folder, "withdraw", "taking back the delivery"):
        done = withdraw(shop, args.withdraw, now=datetime.now(UTC))
    for line in _done(done):
        say(line)
    return 0


def _done(done: Withdrawal) -> Iterator[str]:
    name = visible(done.file_name, 2 * LONGEST_NAME)
    restored = "1 corrected row is" if done.restored_count == 1 else f"{done.restored_count:,} corrected rows are"
    yield f"delivery {done.delivery_id} ({name}): {_rows(done.taken_back_count)} taken back, {restored} as before again"
    if done.closed_count:
        yield f"of its rejected rows {done.closed_count:,} are closed"
    if done.reopened_count:
        yield f"rejected rows that it had answered, open again: {done.reopened_count:,}; see `dunnage rejects`"
    yield "history is kept; correct the column map and take the file in again, or run `dunnage review`"


def _rows(count: int) -> str:
    return f"{count:,} row" if count == 1 else f"{count:,} rows"


def _take_in(args: argparse.Namespace) -> int:
    from pipelines.intake.importing import import_files

    shop = options.shop_of(args)
    with progress.shown(shop.folder, "intake", "looking for files", "taking in") as step:
        deliveries = import_files(
            shop,
            args.files or None,
            now=datetime.now(UTC),
            source=args.source,
            again=args.again,
            units=units_stated(args.unit),
            progress=step,
        )
    _show(deliveries)
    if any(each.kind == "charges" and each.delivery_id and not each.is_known for each in deliveries):
        charges.ask(shop)
    say(after_import(shop))
    return 1 if any(delivery.error for delivery in deliveries) else 0


def _show(deliveries: Sequence[Delivery]) -> None:
    imported = [delivery for delivery in deliveries if delivery.delivery_id and not delivery.is_known]
    if imported:
        show(_table(imported))
    for line in _remarks(deliveries):
        say(line)
    for refused in (delivery.error for delivery in deliveries if delivery.error):
        reason = f"{refused.where}: {refused.what}\n  affected: {refused.affected}\n  next: {refused.next_step}"
        say(reason, is_error=True)


def _table(imported: Sequence[Delivery]) -> Listing:
    shown = [name for name in _COUNTS if name in _ALWAYS or any(getattr(each, name) for each in imported)]
    counts = ["Rows" if name == "row_count" else name.removesuffix("_count").capitalize() for name in shown]
    rows = [
        (each.delivery_id, visible(each.file_name, 2 * LONGEST_NAME), *(f"{getattr(each, name):,}" for name in shown))
        for each in imported
    ]
    # Few stand upright with all of their numbers; of many the table leaves out what has no room, and says so.
    is_narrow = len(imported) > MOST_UPRIGHT
    return listed("imported", ("Delivery", "File", *counts), rows, figures=("Delivery", *counts), narrow=is_narrow)


def _alike(noted: Sequence[Delivery]) -> Iterator[tuple[str, list[str]]]:
    """Each note with the files it is about: those next to one another that have just this one."""
    for notes, same in groupby(noted, key=lambda delivery: delivery.notes):
        names = [delivery.file_name for delivery in same]
        if len(notes) == 1 and len(names) > MOST_NAMED:
            yield notes[0], names
        else:
            yield from ((note, [name]) for name in names for note in notes)


def _files(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{names[0]} to {names[-1]}, {len(names)} files, each"


def _remarks(deliveries: Sequence[Delivery]) -> list[str]:
    if not deliveries:
        return ["No file is in the inbox."]
    known = [delivery for delivery in deliveries if delivery.is_known]
    noted = [each for each in deliveries if len(known) == 1 or not each.is_known]
    lines = [f"{_files(names)}: {note}" for note, names in _alike(noted)]
    if len(known) > 1:
        lines.append(f"{len(known)} files are already imported; nothing was done with them")
    dropped = sorted(
        {
            f"{visible(header, LONGEST_NAME)} ({kind})"
            for delivery in deliveries
            for header, kind in delivery.dropped.items()
        }
    )
    if dropped:
        lines.append(f"never stored, because they look personal: {', '.join(dropped)}")
    ignored = sorted(
        {f'"{visible(header, LONGEST_NAME)}" of {each.source_name}' for each in deliveries for header in each.ignored}
    )
    if ignored:
        lines.append(f"not mapped, so not read: {', '.join(ignored)}")
    if rejected := sum(delivery.rejected_count for delivery in deliveries):
        counted = "1 row was" if rejected == 1 else f"{rejected:,} rows were"
        lines.append(f"{counted} rejected; see `dunnage rejects`")
    return lines
