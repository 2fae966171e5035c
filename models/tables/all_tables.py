"""Contracts of every table that is built: core, rating, marts and analysis; shop.tariff_* are loaded before."""

from models.contracts import Contract
from models.tables.billing import BILLING
from models.tables.cartons import CARTON_STOCK, CARTON_TABLES
from models.tables.core import CORE
from models.tables.damage import DAMAGE, TRIALS
from models.tables.margin import MARGIN
from models.tables.marts import MARTS
from models.tables.near_misses import NEAR_MISSES
from models.tables.rating import RATING, WHAT_IFS
from models.tables.services import SERVICES
from models.tables.tariffs import TARIFFS

TABLES: dict[str, Contract] = {
    schema.name: schema
    for schema in (
        *CORE,
        *TARIFFS,
        *RATING,
        *WHAT_IFS,
        *BILLING,
        *NEAR_MISSES,
        *MARTS,
        *MARGIN,
        *DAMAGE,
        *TRIALS,
        *CARTON_TABLES,
        *CARTON_STOCK,
        *SERVICES,
    )
}
