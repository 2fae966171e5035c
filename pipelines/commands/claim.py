"""`dunnage claim`: one damaged or lost parcel, from the buyer's message to the packet for the carrier."""

import argparse
import json
import shutil
import sys
from datetime import datetime
from pathlib import Path

from dashboards.claim_facts import plain_values
from dashboards.claim_page import render
from dashboards.claim_sheet import lines
from models.claims.evidence import KINDS
from models.claims.sheet import Sheet
from models.errors import SettingsError
from models.visible import visible, wrapped
from pipelines import options
from pipelines.review.claims import evidence, packets, sheets, standings
from pipelines.shop import settings, warehouse
from pipelines.shop.settings import Settings

EXAMPLE = "dunnage claim NL40017733 --cause damage --opened 2026-11-18 --delivered 2026-11-12"
# As it is typed -> as it is kept. A return that is no damage is a claim of another cause.
CAUSES = {
    "damage": "damage",
    "loss": "loss",
    "not as described": "not as described",
    "delay": "delay",
    "return": "other",
}


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("parcel", type=options.words, help="the number on its label")
    parser.add_argument(
        "--cause", choices=tuple(CAUSES), metavar="CAUSE", help=f"open a claim for this cause: {', '.join(CAUSES)}"
    )
    parser.add_argument(
        "--opened", type=options.day, metavar="DAY", help="the day the buyer reported it; today if left out"
    )
    parser.add_argument("--delivered", type=options.day, metavar="DAY", help="the day of delivery, as tracking says")
    parser.add_argument("--part", type=options.words, metavar="WORDS", help="what broke, such as focuser")
    parser.add_argument("--attach", action="store_true", help="take up the files in the parcel's folder of evidence")
    options.several(
        parser,
        "--shows",
        "KIND=FILE",
        "what a file of that folder shows: contents, cushioning, closed, tape, label, value (with --attach)",
    )
    parser.add_argument("--page", action="store_true", help="write the sheet as a page to print")
    parser.add_argument(
        "--packet", type=options.path, metavar="FILE", help="write sheet, letter, lines and pictures as zip"
    )
    parser.add_argument("--json", action="store_true", help="print the sheet as JSON")
    parser.add_argument("--erase", action="store_true", help="remove evidence and all that was said here of its claims")


def run(args: argparse.Namespace) -> None:
    shop = options.shop_of(args)
    now = settings.now_at(shop)
    if args.erase:
        _erase(shop, args.parcel)
        return
    if args.cause:
        _open(shop, args, now)
    if args.attach or args.shows:
        _attach(shop, args)
    _show(shop, args, now)


def _open(shop: Settings, args: argparse.Namespace, now: datetime) -> None:
    opened_on = args.opened or now.date()
    with warehouse.writing(shop, "claim") as connection:
        standings.open_claim(connection, args.parcel, CAUSES[args.cause], opened_on, now, args.delivered, args.part)


def _attach(shop: Settings, args: argparse.Namespace) -> None:
    shows = {name: kind for kind, name in (each.split("=", 1) for each in args.shows)}
    for kind in shows.values():
        if kind not in KINDS:
            raise SettingsError(f"--shows {kind}", "is not known", "this command", f"use one of {', '.join(KINDS)}")
    found = evidence.attach(shop, args.parcel, shows)
    print(f"{len(found.kept)} files taken up", file=sys.stderr if args.json else sys.stdout)
    for name, reason in found.refused.items():
        print(visible(f"not taken up: {name} {reason}"), file=sys.stderr)


def _show(shop: Settings, args: argparse.Namespace, now: datetime) -> None:
    with standings.reading(shop) as connection:
        sheet = sheets.sheet(connection, shop, args.parcel, now.date())
    if args.packet:
        _packet(shop, sheet, args.packet)
    elif args.page:
        _page(shop, sheet)
    elif args.json:
        _json(shop, sheet)
    else:
        _print(shop, sheet)


def _packet(shop: Settings, sheet: Sheet, place: Path) -> None:
    made = packets.write(shop, sheet, place)
    print(f"packet of {made.file_count} pictures and documents in {made.path}")
    if made.missing:
        print(f"not in it, and usually asked for: {', '.join(made.missing)}")


def _page(shop: Settings, sheet: Sheet) -> None:
    from pipelines.review import month_review

    name = month_review.page_name("claim", str(sheet.parcel["parcel_id"]))
    page = render(sheet, shop.shop.shown_units, shop.shop.name).encode()
    print(f"sheet in {month_review.written(shop.path('reviews'), {name: page})[0]}")


def _json(shop: Settings, sheet: Sheet) -> None:
    print(json.dumps(plain_values(sheet, shop.shop.shown_units), ensure_ascii=False, indent=1))


def _print(shop: Settings, sheet: Sheet) -> None:

    # The console of other commands takes longer to load than the answer takes.
    width = shutil.get_terminal_size().columns
    for line in lines(sheet, shop.shop.shown_units):
        print(wrapped(visible(line), width))


def _erase(shop: Settings, parcel: str) -> None:
    with warehouse.writing(shop, "claim") as connection:
        said = standings.erase(connection, parcel)
        files = evidence.erase(shop, parcel)
    print(f"{files} files and {said} rows on {parcel} erased; copies in backups stay until these go")
