"""`dunnage claims`: every claim that waits for something, and what became of each."""

import argparse
from datetime import date

from dashboards import sentences
from dashboards.claim_list import due_lines, every_line
from dashboards.sentences.letters import CLAIMS, WAITING
from models.cells.currencies import minor_digits
from models.shop_units import Units
from pipelines import options, printing
from pipelines.printing import say
from pipelines.review import disputing
from pipelines.review.claims import sheets, standings
from pipelines.review.claims.texts import write_texts
from pipelines.shop import settings, warehouse
from pipelines.shop.warehouse import Connection

EXAMPLE = "dunnage claims mark NL40017733/damage filed --claimed 189.00"
AMOUNTS = {
    "claimed": "asked of the carrier",
    "paid": "paid by the carrier",
    "refund": "refunded to the buyer",
    "replacement": "cost of goods sent again",
    "return-cost": "cost of the return",
    "salvage": "worth of what came back",
}
# What stands below the claims that wait, or instead of them.
THEN = ("claims.none_waits", "claims.no_terms", "claims.mark")
STATES = ("open", "filed", "asked", "paid in part", "paid", "refused", "appealed", "closed")


def arguments(parser: argparse.ArgumentParser) -> None:
    actions = parser.add_subparsers(dest="action", metavar="ACTION")
    parser.set_defaults(action="list", every=False)
    options.json_argument(parser)
    listing = actions.add_parser("list", help="claims that wait for a step, the nearest deadline first")
    listing.add_argument("--all", action="store_true", dest="every", help="every claim on record")
    options.json_argument(listing, is_inner=True)
    mark = actions.add_parser("mark", help="note a claim's next step")
    mark.add_argument("claim", type=options.words, help="its id from the list, or the parcel where it has one only")
    mark.add_argument("state", choices=STATES)
    mark.add_argument("--on", type=options.day, metavar="DAY", help="the day it happened; today if left out")
    mark.add_argument("--delivered", type=options.day, metavar="DAY", help="the day of delivery, as tracking says")
    for name, words in AMOUNTS.items():
        mark.add_argument(f"--{name}", type=options.amount, metavar="AMOUNT", help=words)
    insure = actions.add_parser(
        "insure", help="what insuring parcels would have cost and brought, going back over the records"
    )
    options.json_argument(insure, is_inner=True)
    actions.add_parser("texts", help="write the texts to buyer and carrier into the shop's folder, to be changed")


def run(args: argparse.Namespace) -> None:
    {"list": _list, "mark": _mark, "insure": _insure, "texts": _texts}[args.action](args)


def _list(args: argparse.Namespace) -> None:
    shop = options.shop_of(args)
    units, today = shop.shop.shown_units, settings.now_at(shop).date()
    with standings.reading(shop) as connection:
        if args.json:
            _print_json(connection, args.every, today, units)
            return
        said = _every(connection, units) if args.every else _waiting(connection, today, units)
    printing.say("\n".join(said))


def _every(connection: Connection, units: Units) -> list[str]:
    found = standings.every(connection)
    known = [{"claim_id": row["claim_id"]} for row in found]
    return [
        *(every_line(row, units) for row in found),
        *sentences.lines_of(["claims.none_on_record"], CLAIMS, known, units),
    ]


def _waiting(connection: Connection, today: date, units: Units) -> list[str]:
    """Each claim that waits, then what to do with them."""
    found = sheets.due(connection, today)
    known = [{"claim_id": row["claim_id"], "has_deadline": bool(due and due.due_on)} for row, due in found]
    return [*due_lines(found, units), *sentences.lines_of(THEN, WAITING, known, units)]


def _print_json(connection: Connection, is_every: bool, today: date, units: Units) -> None:
    """Each claim as it stands; of open ones the step that it waits for, too."""
    import pandas as pd

    if is_every:
        rows = [dict(row) for row in standings.every(connection)]
    else:
        steps = sheets.due(connection, today)
        rows = [{**row, "claim_step": due and due.step, "step_due_on": due and due.due_on} for row, due in steps]
    printing.print_json({"claims": pd.DataFrame(rows)}, units)


def _mark(args: argparse.Namespace) -> None:
    shop = options.shop_of(args)
    now, digits = settings.now_at(shop), minor_digits(shop.shop.currency)
    names = {name: f"{name.replace('-', '_')}" for name in AMOUNTS}
    amounts = {f"{key}_cents": disputing.cents(getattr(args, key), digits, f"--{name}") for name, key in names.items()}
    with warehouse.writing(shop, "claims") as connection:
        now_stands = standings.mark(
            connection, args.claim, args.state, args.on or now.date(), now, amounts, args.delivered
        )
    print(f"{now_stands.claim_id}: {now_stands.claim_state}")


def _insure(args: argparse.Namespace) -> None:
    from dashboards.insurance_words import LEDGER, LISTED, RULES, said

    shop = options.shop_of(args)
    units = shop.shop.shown_units
    with standings.reading(shop) as connection:
        tables = {name: connection.execute(f"select * from {name} order by all").df() for name in (RULES, LEDGER)}
    if args.json:
        printing.print_json(tables, units)
        return
    for name, (title, shown) in LISTED.items():
        # What was sent tells nothing of insuring where no premium was paid and no claim made.
        if tables[name][["premium_cents", "claim_count"]].to_numpy().any():
            printing.show(printing.rows(title, tables[name][list(shown)], units, narrow=True), "")
    printing.say("\n".join(said(tables, units)))


def _texts(args: argparse.Namespace) -> None:
    shop = options.shop_of(args)
    written = write_texts(shop)
    for path in written:
        print(path)
    if not written:
        say(f"The texts are in {shop.path('texts')}; nothing was written over.")
