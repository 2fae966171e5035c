"""How claims stand: read from records and marks as the build reads them, opened, marked and erased at the command line.

What was said is a row of shop.claim_openings or shop.claim_marks: rows are only added, until the owner erases a claim.
"""

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, fields, replace
from typing import Any

from models.claims.states import AMOUNTS, REPORTED, Standing, moved
from models.errors import NotFoundError, SettingsError, WarehouseError
from models.sql_texts import sql_texts
from pipelines.review import appended_notes
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings

_MARKED = tuple(each.name for each in fields(Standing) if each.name not in ("opened_on",))


@contextmanager
def reading(settings: Settings) -> Iterator[warehouse.Connection]:
    """A reading connection; raises WarehouseError where the last build was made by another version of the program."""
    with warehouse.reading(settings) as connection:
        try:
            yield connection
        except warehouse.EngineError as broken:
            raise WarehouseError(
                str(settings.folder),
                f"was last built by another version: {str(broken).splitlines()[0]}",
                "this command",
                "run `dunnage review` once, then this again",
            ) from None


def claims_now(connection: warehouse.Connection) -> None:
    """Write temp.claims_now: every claim by the very model of the build, with what was said since."""
    sql = sql_texts("core")["claims"]
    connection.execute(f"create or replace temp table claims_now as {sql}")


def asked(connection: warehouse.Connection, sql: str, *stated: object) -> list[dict[str, Any]]:
    """The rows of a query, a dictionary each, as the engine gives them: days are dates, what is not known is None."""
    named = stated[0] if len(stated) == 1 and isinstance(stated[0], dict) else list(stated)
    found = connection.execute(sql, named)
    names = [str(column[0]) for column in found.description]
    return [dict(zip(names, row, strict=True)) for row in found.fetchall()]


def of_parcel(connection: warehouse.Connection, parcel_id: str) -> list[dict[str, Any]]:
    """The parcel's claims as they stand, the latest first."""
    claims_now(connection)
    sql = "select * from claims_now where parcel_id = ? order by opened_on desc, claim_id"
    return asked(connection, sql, parcel_id)


def every(connection: warehouse.Connection) -> list[dict[str, Any]]:
    """Every claim as it stands, the latest step first."""
    claims_now(connection)
    return asked(connection, "select * from claims_now order by last_step_on desc, claim_id")


def open_claim(
    connection: warehouse.Connection,
    parcel_id: str,
    cause: str,
    opened_on: dt.date,
    now: dt.datetime,
    delivered_on: dt.date | None = None,
    damaged_part: str | None = None,
) -> str:
    """Open a claim; returns its id. Said again, it changes nothing.

    Raises NotFoundError for an unknown parcel, SettingsError for a day or part that cannot stand, or a second claim of
    the same cause.
    """
    shipped_on = _shipped_on(connection, parcel_id)
    _hold_days(parcel_id, shipped_on, delivered_on, opened_on, now.date())
    part = impersonal(damaged_part, "--part") if damaged_part else None
    for known in of_parcel(connection, parcel_id):
        if known["claim_cause"] == cause:
            return str(known["claim_id"])
    claim_id = f"{parcel_id}/{cause.replace(' ', '-')}"
    with warehouse.transaction(connection):
        connection.execute(
            f"insert into shop.claim_openings values (?, ?, ?, ?, ?, ?, {_last_number()})",
            [claim_id, parcel_id, opened_on, cause, part, now],
        )
        if delivered_on:
            opened = Standing(claim_id, REPORTED, opened_on, opened_on, delivered_on=delivered_on)
            _write(connection, opened, claim_id, parcel_id, now)
        appended_notes.ask_for_a_build(connection)
    return claim_id


def impersonal(text: str, where: str) -> str:
    """The text, where it holds nothing personal. Raises SettingsError that says what it seems to hold."""
    from models.persons import Doubts, doubtful  # lists of names, which only a text to be kept needs
    from models.privacy import blanked

    found = doubtful(text)
    what = "a name" if Doubts.NAME in found else "a street" if Doubts.STREET in found else ""
    if blanked(text, phones=True) != text:
        what = "an e-mail address or a phone number"
    if what:
        raise SettingsError(where, f"seems to hold {what}; it was not kept", "this claim", "say it without that")
    return text


def mark(
    connection: warehouse.Connection,
    name: str,
    state: str,
    on: dt.date,
    now: dt.datetime,
    amounts: dict[str, int | None],
    delivered_on: dt.date | None = None,
) -> Standing:
    """Note a claim's next step; returns how it then stands. Said twice, it is noted once.

    name: the claim's id, or the parcel where it has one claim only. Raises NotFoundError, SettingsError.
    """
    row = _named(connection, name)
    before = _standing(row)
    after = moved(before, state, on, now.date(), amounts)
    if delivered_on:
        _hold_days(str(row["parcel_id"]), _shipped_on(connection, str(row["parcel_id"])), delivered_on, on, on)
        after = replace(after, delivered_on=delivered_on)
    if after != before:
        marked_id = _marked_id(connection, row)
        # Only what was said is kept: an amount that a record states must stay the record's, which may correct it.
        stated = {each: cents for each, cents in amounts.items() if cents is not None}
        said: dict[str, Any] = {**_said_amounts(connection, marked_id), **stated}
        with warehouse.transaction(connection):
            _write(connection, replace(after, **said), marked_id, str(row["parcel_id"]), now)
            appended_notes.ask_for_a_build(connection)
    return after


def erase(connection: warehouse.Connection, parcel_id: str) -> int:
    """Remove all that was said of the parcel's claims at the command line; returns how many rows went.

    Claims of the records stay: `dunnage intake --withdraw` takes those back.
    """
    gone = 0
    with warehouse.transaction(connection):
        for table in ("claim_openings", "claim_marks"):
            found = connection.execute(f"delete from shop.{table} where parcel_id = ?", [parcel_id]).fetchall()
            gone += int(found[0][0])
        if gone:
            # What is gone no delivery names: everything is built again.
            connection.execute("update intake.builds set fingerprint = '', grounds = ''")
    return gone


def _last_number() -> str:
    return f"({sql_texts('queries')['last_number']})"


def _write(
    connection: warehouse.Connection, standing: Standing, claim_id: str, parcel_id: str, now: dt.datetime
) -> None:
    at = appended_notes.after_the_last(connection, "shop.claim_marks.claim_id", claim_id, now)
    said = {**asdict(standing), "claim_id": claim_id, "parcel_id": parcel_id, "marked_at": at}
    names = (*_MARKED, "parcel_id", "marked_at")
    marks = ", ".join("?" for _ in names)
    connection.execute(
        f"insert into shop.claim_marks ({', '.join(names)}, delivery_id) values ({marks}, {_last_number()})",
        [said[name] for name in names],
    )


def _said_amounts(connection: warehouse.Connection, claim_id: str) -> dict[str, int | None]:
    """The amounts of the claim's last mark; none of them known where there is none."""
    found = connection.execute(
        f"select {', '.join(AMOUNTS)} from shop.claim_marks where claim_id = ? order by marked_at desc limit 1",
        [claim_id],
    ).fetchall()
    return dict(zip(AMOUNTS, found[0] if found else (None,) * len(AMOUNTS), strict=True))


def _shipped_on(connection: warehouse.Connection, parcel_id: str) -> dt.date | None:
    """The day of shipping; None where only an invoice or a claim dates the parcel, which may be later."""
    day_known = "case when dated_by in ('shipping', 'label') then shipped_on end"
    found = connection.execute(f"select {day_known} from core.parcels where parcel_id = ?", [parcel_id]).fetchall()
    if not found:
        raise not_built(parcel_id, "this claim; nothing was noted")
    day: dt.date | None = found[0][0]
    return day


def not_built(parcel_id: str, affected: str) -> NotFoundError:
    """The error for a parcel that no built record names."""
    return NotFoundError(
        f"parcel {parcel_id}",
        "is in no record that was built",
        affected,
        "check the number, or run `dunnage intake` and `dunnage review`",
    )


def _hold_days(
    parcel_id: str, shipped_on: dt.date | None, delivered_on: dt.date | None, opened_on: dt.date, today: dt.date
) -> None:
    known = {"shipped": shipped_on, "delivered": delivered_on}
    days = [*(day for day in known.values() if day), opened_on, today]
    if days != sorted(days):
        was = ", ".join(f"{name} on {day}" for name, day in known.items() if day)
        raise SettingsError(
            f"parcel {parcel_id}",
            f"{f'was {was}, and ' if was else ''}cannot have been reported on {opened_on}",
            "this claim; nothing was noted",
            "correct the day; it is written as 2026-11-20",
        )


def _named(connection: warehouse.Connection, name: str) -> dict[str, Any]:
    claims_now(connection)
    sql = "select * from claims_now where claim_id = ? or parcel_id = ? order by claim_id"
    found = asked(connection, sql, name, name)
    appended_notes.hold_to_one([str(row["claim_id"]) for row in found], "claim", name)
    return found[0]


def _marked_id(connection: warehouse.Connection, row: dict[str, Any]) -> str:
    """Under which id what is said of the claim is kept: that of its opening, where the record came later."""
    opened = connection.execute(
        "select claim_id from shop.claim_openings where parcel_id = ? and claim_cause = ?",
        [row["parcel_id"], row["claim_cause"]],
    ).fetchall()
    return str(opened[0][0] if opened else row["claim_id"])


def _standing(row: dict[str, Any]) -> Standing:
    return Standing(**{each.name: row[each.name] for each in fields(Standing)})
