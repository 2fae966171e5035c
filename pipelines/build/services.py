"""What each parcel would have cost on every other service of the tariffs in force on its day, by the one rating."""

from __future__ import annotations

from models.sql_texts import sql_texts
from models.tables import TABLES
from models.tables.rating import PRICED
from pipelines.build import rating
from pipelines.build.loading import load_query
from pipelines.build.sql_models import with_schemas
from pipelines.build.working import first_judged, working_schemas
from pipelines.shop import warehouse

WRITES = "analysis.parcel_services"
WORKING, RATED = "services", "service_rating"
# How far learned prices may be off, by the texts of the comparison of tariffs: of the service used, and of others.
LEARNED = {
    "learned_own": ("learned", {"whatif": "rating", "announced": "shop"}),
    "learned_others": ("offered", {"whatif": RATED, "announced": "shop"}),
}
NONE_LEARNED = {
    "learned_own": "select '' as request_id, 0.0 as within_cents, 0.0 as fuel_share where false",
    "learned_others": "select 0 as request_id, 0.0 as within_cents, true as is_learned where false",
}

NONE_RATED = "select 0 as request_id, 0 as expected_cents, '' as lacking where false"


def compare(connection: warehouse.Connection, judged_months: int) -> None:
    """Write analysis.parcel_services: one row per parcel of so many last months and other service.

    Parcels are rated as they were sent, only where the other service is promised to be as fast; what cannot be compared
    keeps its reason. Call it within the build's transaction. Raises ContractError.
    """
    with working_schemas(connection, WORKING, RATED):
        _write(connection, "parcels", sql_texts(WORKING)["parcels"], {"since": first_judged(connection, judged_months)})
        for name in ("destinations", "ways", "requests"):
            _write(connection, name, sql_texts(WORKING)[name])
        is_any = bool(connection.execute(f"select 1 from {WORKING}.requests limit 1").fetchall())
        if is_any:
            rating.rate(connection, f"{WORKING}.requests", RATED, until=PRICED)
        else:
            connection.execute(f"create or replace table {RATED}.priced as {NONE_RATED}")
        for name, sql in (_learned(connection) if is_any else NONE_LEARNED).items():
            _write(connection, name, sql)
        load_query(connection, TABLES[WRITES], sql_texts(WORKING)["compared"])


def _write(connection: warehouse.Connection, name: str, sql: str, stated: dict[str, object] | None = None) -> None:
    connection.execute(f"create or replace table {WORKING}.{name} as {sql}", stated or {})


def _learned(connection: warehouse.Connection) -> dict[str, str]:
    if not connection.execute("select 1 from shop.tariffs where learned_first_on is not null limit 1").fetchall():
        return NONE_LEARNED
    texts = sql_texts("tariff_comparison")
    return {name: with_schemas(texts[text], renamed) for name, (text, renamed) in LEARNED.items()}
