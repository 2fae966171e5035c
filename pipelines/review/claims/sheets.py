"""A claim's sheet made whole: records, evidence, the shop's texts. Every fact is a row; what no row says is None."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from dashboards.claim_facts import facts
from models.claims.deadlines import ClaimTerm, Days, Deadline, deadlines
from models.claims.evidence import counted
from models.claims.lessons import broken, lesson
from models.claims.refunds import Money, by_evidence, recovery, ways
from models.claims.sheet import Sheet, goods_cents
from models.claims.steps import open_steps
from models.claims.texts import filled
from models.sql_texts import sql_texts
from pipelines.build.sql_models import with_table
from pipelines.review.claims import evidence, standings
from pipelines.review.claims.texts import texts
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings

_OF_PARCEL = ("shipped_on",)
_OF_CLAIM = ("delivered_on", "opened_on", "filed_on", "decided_on", "appealed_on")


def gathered(connection: warehouse.Connection, parcel_id: str, made_on: dt.date) -> Sheet:
    """The sheet without evidence, texts and what the carrier may pay.

    Raises NotFoundError for a parcel that no built record names.
    """
    found = rows(connection, "parcel", parcel_id)
    if not found:
        raise standings.not_built(parcel_id, "this claim")
    parcel = found[0]
    claims = standings.of_parcel(connection, parcel_id)
    sheet = Sheet(
        made_on, parcel, rows(connection, "goods", parcel_id), rows(connection, "invoice_lines", parcel_id), claims, ()
    )
    days = _days(parcel, sheet.claim or {})
    return replace(
        sheet,
        deadlines=deadlines(terms(connection, parcel["tariff_key"]), days, made_on),
        ways=ways(_money(sheet)),
        lesson=lesson(rows(connection, "likes", parcel_id)[0]),
        rules_broken=broken(parcel, sheet.goods, parcel["clearance_in"]),
    )


def _money(sheet: Sheet) -> Money:
    """Carriage is what the tariff asks for the parcel as it was sent; without a tariff what was billed."""
    parcel, goods = sheet.parcel, sheet.goods
    priced = parcel["expected_cents"] if parcel["expected_cents"] is not None else parcel["billed_cents"]
    packing = parcel["carton_cents"] + parcel["material_cents"] + parcel["labour_cents"]
    return Money(
        price=goods_cents(goods, "item_price_cents"),
        cost=goods_cents(goods, "item_cost_cents"),
        shipping=sum(row["shipping_charged_cents"] for row in goods),
        fee=sum(row["marketplace_fee_cents"] or 0 for row in goods),
        packing=packing if parcel["carton_code"] and parcel["packing_method"] else None,
        carriage=priced,
    )


def decided(connection: warehouse.Connection, sheet: Sheet) -> list[dict[str, Any]] | None:
    """Claims of the cause that the carrier decided; None for a cause that no carrier pays for."""
    cause = sheet.claim["claim_cause"] if sheet.claim else "damage"
    if cause not in ("damage", "loss"):
        return None
    return rows(connection, "recovery", {"carrier": sheet.parcel["carrier"], "cause": cause})


def rows(connection: warehouse.Connection, name: str, asked: object) -> list[dict[str, Any]]:
    """The rows of a query of models/sql/claims that asks for one thing."""
    return standings.asked(connection, sql_texts("claims")[name], asked)


def terms(connection: warehouse.Connection, tariff_key: int | None) -> list[ClaimTerm]:
    """The terms of a tariff; none where no tariff held."""
    if tariff_key is None:
        return []
    found = rows(connection, "terms", tariff_key)
    return [ClaimTerm(row["claim_step"], row["term_length"], row["term_unit"], row["term_start"]) for row in found]


def _days(parcel: Mapping[str, Any], claim: Mapping[str, Any]) -> Days:
    return {name: parcel[name] for name in _OF_PARCEL} | {name: claim.get(name) for name in _OF_CLAIM}


def due(connection: warehouse.Connection, today: dt.date) -> list[tuple[Mapping[str, Any], Deadline | None]]:
    """Every open claim with the step that it waits for: the build's question, asked of claims as they now stand."""
    standings.claims_now(connection)
    waiting = with_table(sql_texts("queries")["open_claims"], "core.claims", "claims_now")
    return open_steps(standings.asked(connection, waiting), today)


def sheet(connection: warehouse.Connection, settings: Settings, parcel_id: str, made_on: dt.date) -> Sheet:
    """The sheet of one parcel on a day. Raises NotFoundError, SettingsError for a text of the shop that is wrong."""
    units = settings.shop.shown_units
    found = gathered(connection, parcel_id, made_on)
    found = replace(
        found, kept=counted(evidence.kept(settings, parcel_id)), folder=evidence.shown_folder(settings, parcel_id)
    )
    found = _with_recovery(connection, settings, found)
    known = facts(found, units, settings.shop.name)
    written = {name: filled(text, known, where) for name, (where, text) in texts(settings).items()}
    return replace(found, texts=written)


def _with_recovery(connection: warehouse.Connection, settings: Settings, found: Sheet) -> Sheet:
    claims = decided(connection, found)
    if claims is None:
        return found
    shows = {
        name: frozenset(each.kind for each in evidence.kept(settings, name))
        for name in {str(row["parcel_id"]) for row in claims}
    }
    return replace(found, recovery=recovery(claims), by_evidence=by_evidence(claims, shows))
