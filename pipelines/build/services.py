"""What each parcel would have cost on every other service of the tariffs in force on its day, by the one rating."""

from datetime import date

from models.sql_texts import sql_texts
from models.tables import TABLES
from models.tables.rating import CLASS_PRICES
from pipelines.build import rating
from pipelines.build.loading import TEMPORARY, created, load_query
from pipelines.build.sql_models import with_schemas
from pipelines.build.working_tables import first_judged, temporary_tables
from pipelines.shop import warehouse

# The tables written, each with its text.
WRITES = {"analysis.compared_parcels": "compared_parcels", "analysis.parcel_services": "compared"}
WORKING, RATED = f"{TEMPORARY}services_", f"{TEMPORARY}service_rating_"
PLACES = {"services": WORKING, "service_rating": RATED}
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
    """Write the tables of WRITES: one row per parcel of so many last months, and one per parcel and other service.

    Parcels are rated as they were sent, only where the other service is promised to be as fast; what cannot be compared
    keeps its reason. Raises ContractError.
    """
    with temporary_tables(connection, *PLACES.values()):
        _rated(connection, first_judged(connection, judged_months))
        for table, text in WRITES.items():
            load_query(connection, TABLES[table], with_schemas(sql_texts("services")[text], PLACES))


def _rated(connection: warehouse.Connection, since: date) -> None:
    """Write the working tables: parcels since a day, what they may go by, and what it would cost."""
    texts = sql_texts("services")
    _write(connection, "parcels", texts["parcels"], {"since": since})
    for name in ("destinations", "ways", "requests"):
        _write(connection, name, texts[name])
    is_any = bool(connection.execute(f"select 1 from {WORKING}requests limit 1").fetchall())
    if is_any:
        rating.rate(connection, f"{WORKING}requests", RATED, until=CLASS_PRICES)
    priced = with_schemas(sql_texts("rating")["priced"], {"rating": RATED}) if is_any else NONE_RATED
    connection.execute(f"{created(f'{RATED}priced', 'view')} as {priced}")
    for name, sql in (_learned(connection) if is_any else NONE_LEARNED).items():
        _write(connection, name, sql)


def _write(connection: warehouse.Connection, name: str, sql: str, stated: dict[str, object] | None = None) -> None:
    kind = "view" if name == "requests" else "table"
    connection.execute(f"{created(f'{WORKING}{name}', kind)} as {with_schemas(sql, PLACES)}", stated or {})


def _learned(connection: warehouse.Connection) -> dict[str, str]:
    if not connection.execute("select 1 from shop.tariffs where learned_first_on is not null limit 1").fetchall():
        return NONE_LEARNED
    texts = sql_texts("tariff_comparison")
    return {name: with_schemas(texts[text], renamed) for name, (text, renamed) in LEARNED.items()}
