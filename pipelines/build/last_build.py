"""What the last build saw: an unchanged warehouse is not built again, a changed one only where it changed."""

import hashlib
from dataclasses import dataclass

from models.reference import RECORDS
from models.sql_texts import sql_texts
from models.tables import TABLES
from models.tables.incremental_rules import DATED
from pipelines.build.sql_models import BUILT_SCHEMAS
from pipelines.shop import program_text, warehouse
from pipelines.shop.settings import Settings


@dataclass(frozen=True)
class Inputs:
    """Digests of what a build depends on beside records, models and the shop.

    grounds: what every month depends on (tariff files). others: what only tables over all months depend on.
    """

    grounds: str = ""
    others: str = ""


NO_INPUTS = Inputs()


def is_current(connection: warehouse.Connection, settings: Settings, inputs: Inputs) -> bool:
    """Whether the last build saw the same records, settings, models and inputs."""
    built = connection.execute("select fingerprint from intake.builds").fetchall()
    return built == [(_fingerprint(connection, settings, inputs),)]


def mark(connection: warehouse.Connection, settings: Settings, inputs: Inputs) -> None:
    """Remember what the build that just ended saw."""
    connection.execute("delete from intake.builds")
    last = sql_texts("queries")["last_number"]
    connection.execute(
        f"insert into intake.builds (fingerprint, grounds, delivery_id) values (?, ?, ({last}))",
        [_fingerprint(connection, settings, inputs), _grounds(settings, inputs)],
    )
    connection.execute("delete from intake.built_counts")
    for kind in RECORDS:
        connection.execute(f"insert into intake.built_counts select '{kind}', count(*) from accepted.{kind}")


def last_delivery(connection: warehouse.Connection, settings: Settings, inputs: Inputs) -> int | None:
    """The last delivery that the tables depend on, where nothing but deliveries of sales, weights, charges and claims
    has come since; None where everything must be built.
    """
    built = connection.execute("select delivery_id from intake.builds where grounds = ?", [_grounds(settings, inputs)])
    found = built.fetchall()
    if not found or found[0][0] is None:
        return None
    delivery = int(found[0][0])
    counted = dict(connection.execute("select kind, row_count from intake.built_counts").fetchall())
    accounted = all(_is_accounted_for(connection, kind, delivery, counted.get(kind)) for kind in RECORDS)
    return delivery if accounted else None


def _is_accounted_for(connection: warehouse.Connection, kind: str, delivery: int, counted: int | None) -> bool:
    """Whether the rows counted then are all known: they stand, or, of dated kinds, later deliveries replaced them."""
    asked = (
        f"select count(*) filter (delivery_id <= {delivery}), count(*) filter (delivery_id > {delivery}), "
        f"(select count(*) from superseded.{kind} where delivery_id <= {delivery} and superseded_by > {delivery}) "
        f"from accepted.{kind}"
    )
    stand, added, replaced = connection.execute(asked).fetchall()[0]
    return bool(stand + replaced == counted and (kind in DATED or not added + replaced))


def _grounds(settings: Settings, inputs: Inputs) -> str:
    texts = [dict(sql_texts(schema)) for schema in (*BUILT_SCHEMAS, "whatif")]
    forms = [
        (name, {column: each.columns[column].sql_type for column in each.columns}) for name, each in TABLES.items()
    ]
    seen = (settings.shop, settings.near_misses, texts, forms, inputs.grounds)
    return hashlib.sha256(repr(seen).encode()).hexdigest()


def code_digest() -> str:
    """A digest of the text of all that computes."""
    return program_text.digest("models", "pipelines")


def _fingerprint(connection: warehouse.Connection, settings: Settings, inputs: Inputs) -> str:
    counted = connection.execute(
        "select (select count(*) from intake.deliveries), "
        "(select count(*) from rejected.rows where resolved_by is null)"
    ).fetchall()
    return hashlib.sha256(
        repr((counted, _grounds(settings, inputs), inputs.others, code_digest())).encode()
    ).hexdigest()
