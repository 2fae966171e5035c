"""A claim's sheet made whole: records, evidence on record and the shop's own texts, filled in."""

import datetime as dt
from dataclasses import replace

from dashboards.claim_facts import facts
from models.claims.evidence import counted
from models.claims.refunds import by_evidence, recovery
from models.claims.sheet import Sheet
from models.claims.texts import filled
from pipelines.review.claims import evidence, gathering
from pipelines.review.claims.texts import texts
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings


def sheet(connection: warehouse.Connection, settings: Settings, parcel_id: str, made_on: dt.date) -> Sheet:
    """The sheet of one parcel on a day. Raises NotFoundError, SettingsError for a text of the shop that is wrong."""
    units = settings.shop.shown_units
    found = gathering.gathered(connection, parcel_id, made_on)
    found = replace(
        found, kept=counted(evidence.kept(settings, parcel_id)), folder=evidence.shown_folder(settings, parcel_id)
    )
    found = _with_recovery(connection, settings, found)
    known = facts(found, units, settings.shop.name)
    written = {name: filled(text, known, where) for name, (where, text) in texts(settings).items()}
    return replace(found, texts=written)


def _with_recovery(connection: warehouse.Connection, settings: Settings, found: Sheet) -> Sheet:
    decided = gathering.decided(connection, found)
    if decided is None:
        return found
    shows = {
        name: frozenset(each.kind for each in evidence.kept(settings, name))
        for name in {str(row["parcel_id"]) for row in decided}
    }
    return replace(found, recovery=recovery(decided), by_evidence=by_evidence(decided, shows))
