"""A claim's sheet from the warehouse: every fact is a row of it, and what no row says is None."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from models.claims.sheet import Sheet
from models.claims.terms import ClaimTerm, Days, deadlines
from models.errors import NotFoundError
from models.sql_texts import sql_texts
from pipelines.review.claims import standings
from pipelines.shop import warehouse

_OF_PARCEL = ("shipped_on",)
_OF_CLAIM = ("delivered_on", "opened_on", "filed_on", "decided_on", "appealed_on")


def gathered(connection: warehouse.Connection, parcel_id: str, made_on: dt.date) -> Sheet:
    """The sheet without evidence, texts and money. Raises NotFoundError for a parcel that no built record names."""
    found = rows(connection, "parcel", parcel_id)
    if not found:
        raise NotFoundError(
            f"parcel {parcel_id}",
            "is in no record that was built",
            "this claim",
            "check the number, or run `dunnage intake` and `dunnage review`",
        )
    parcel = found[0]
    claims = standings.of_parcel(connection, parcel_id)
    sheet = Sheet(
        made_on, parcel, rows(connection, "goods", parcel_id), rows(connection, "invoice_lines", parcel_id), claims, ()
    )
    days = _days(parcel, sheet.claim or {})
    found_terms = terms(connection, parcel["tariff_key"])
    return Sheet(made_on, parcel, sheet.goods, sheet.lines, claims, deadlines(found_terms, days, made_on))


def rows(connection: warehouse.Connection, name: str, asked: object) -> list[dict[str, Any]]:
    """The rows of a query of models/sql/claims that asks for one thing."""
    return standings.asked(connection, sql_texts("claims")[name], asked)


def terms(connection: warehouse.Connection, tariff_key: int | None) -> list[ClaimTerm]:
    """The terms of a tariff; none where no tariff held."""
    if tariff_key is None:
        return []
    found = rows(connection, "terms", tariff_key)
    return [ClaimTerm(row["claim_step"], row["term_number"], row["term_unit"], row["term_start"]) for row in found]


def _days(parcel: Mapping[str, Any], claim: Mapping[str, Any]) -> Days:
    return {name: parcel[name] for name in _OF_PARCEL} | {name: claim.get(name) for name in _OF_CLAIM}


def due(connection: warehouse.Connection, today: dt.date) -> list[dict[str, Any]]:
    """Every claim that waits for a step of the shop, with its next last day, the first first."""
    standings.claims_now(connection)
    waiting = []
    for row in standings.asked(connection, sql_texts("claims")["open_claims"]):
        found = deadlines(terms(connection, row["tariff_key"]), _days(row, row), today)
        waiting.append({**row, "deadlines": found})
    return waiting
