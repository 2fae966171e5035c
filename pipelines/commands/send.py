"""`dunnage send`: the month's review by mail, once per recipient."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from pipelines import options, progress
from pipelines.printing import say

if TYPE_CHECKING:
    from pipelines.delivery.reports import Again, Sending

EXAMPLE = "dunnage send 2026-10 --dry-run"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "month", nargs="?", type=options.month, help="month of shipping, as 2026-10 (default: the last whole month)"
    )
    parser.add_argument(
        "--dry-run", action="store_true", help="write the letters as .eml files into the shop's reviews"
    )
    parser.add_argument("--retry-failed", action="store_true", help="queue letters again that the server refused")
    parser.add_argument(
        "--drop-failed", action="store_true", help="give those letters up: `dunnage status` shows them no more"
    )
    parser.add_argument(
        "--retry-unsure", action="store_true", help="queue letters again of which nobody knows whether they arrived"
    )
    parser.add_argument(
        "--arrived", action="store_true", help="count the unsure letters as sent: their recipients have them"
    )


def run(args: argparse.Namespace) -> int:
    from pipelines.delivery import reports
    from pipelines.review import runs

    shop = options.shop_of(args)
    if not args.dry_run:
        reports.required_mail(shop)
    with progress.shown(shop.folder, "send", "opening the records", "building") as step:
        made = runs.run_review(shop, args.month, progress=step)
        step("letters")
        sending = reports.dry_run(shop, made) if args.dry_run else reports.send_review(shop, made, again=_asked(args))
    return _reported(sending)


def _asked(args: argparse.Namespace) -> list[Again]:
    """What the owner decides about letters that would else stay as they are."""
    from pipelines.delivery import outbox

    asked = {
        outbox.note_arrived: args.arrived,
        outbox.drop_failed: args.drop_failed,
        outbox.retry_failed: args.retry_failed,
        outbox.retry_unsure: args.retry_unsure,
    }
    return [decide for decide, is_asked in asked.items() if is_asked]


def _reported(sending: Sending) -> int:
    print(f"{sending.report}, edition {sending.edition}")
    for path in sending.files:
        print(f"  letter  {path}")
    if not sending.is_alone:
        say("  another run is still sending: these letters wait for the next run")
    elif not sending.files and not sending.letters:
        say("  nothing to send now: every recipient has had this edition, or it waits for its next attempt")
    for letter in sending.letters:
        say(f"  {letter.state.value}  {letter.message_id}  {letter.last_error}")
    if is_left := bool(sending.waiting or sending.lost or not sending.is_alone):
        print("  see `dunnage status`")
    return 1 if is_left else 0
