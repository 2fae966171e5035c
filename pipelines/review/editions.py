"""Which editions of which reports there are: one for each state of the facts that was reported."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime

import pandas as pd

from models import editions
from models.editions import Amounts, changes
from pipelines.shop import warehouse
from pipelines.shop.warehouse import Connection


@dataclass(frozen=True)
class Edition:
    """number: 1 for the first state of the facts that was reported. changes: what differs from the edition before."""

    number: int
    changes: pd.DataFrame


def edition_of(
    connection: Connection, report: str, fingerprint: str, headline: Amounts, now: datetime, *, keep: bool = True
) -> Edition:
    """The edition that reports these facts: the one that did so before, or a new one, which is remembered if `keep`."""
    known = connection.execute(
        "select edition from outbox.editions where report = ? and fingerprint = ?", [report, fingerprint]
    ).fetchall()
    number = int(known[0][0]) if known else _newest(connection, report) + 1
    if keep and not known:
        with warehouse.transaction(connection):
            _remember(connection, report, number, fingerprint, headline, now)
    if number == 1:
        return Edition(1, changes({}, {}))
    return Edition(number, changes(_headline(connection, report, number - 1), headline))


def review_edition(
    connection: Connection, month: date, tables: Mapping[str, pd.DataFrame], *, keep: bool = False
) -> Edition:
    """The edition of a month's review as drawn from its tables; `keep` remembers a new one.

    Where letters go out, an edition is one that was mailed, and a page that was not yet is shown as the next. Without
    a mail server the page is the report, so it is kept for the page.
    """
    facts = editions.report_name(month), editions.fingerprint(tables, month), editions.headline(tables, month)
    return edition_of(connection, *facts, datetime.now(UTC).replace(tzinfo=None), keep=keep)


def _newest(connection: Connection, report: str) -> int:
    found = connection.execute("select max(edition) from outbox.editions where report = ?", [report]).fetchall()
    return int(found[0][0] or 0)


def _remember(
    connection: Connection, report: str, number: int, fingerprint: str, headline: Amounts, now: datetime
) -> None:
    connection.execute("insert into outbox.editions values (?, ?, ?, ?)", [report, number, fingerprint, now])
    for measure, amount in headline.items():
        connection.execute("insert into outbox.headlines values (?, ?, ?, ?)", [report, number, measure, amount])


def _headline(connection: Connection, report: str, number: int) -> Mapping[str, float | None]:
    return dict(
        connection.execute(
            "select measure, amount from outbox.headlines where report = ? and edition = ?", [report, number]
        ).fetchall()
    )
