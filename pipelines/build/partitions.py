"""How each table is kept where only what new or corrected records touch is built again: by its contract and its SQL.

A table whose key names a month or day of shipping is kept by month where it reads tables by parcel alone; one that
names a parcel or a sale is kept by it where all that it reads is kept by part. Any other table is built whole every
time, and so is one that nobody thought of: it cannot go out of date. models/tables/incremental_rules.py lists the
exceptions.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache

from models.contracts import Contract
from models.reference import RECORDS
from models.tables import TABLES
from models.tables.incremental_rules import DATED, LOOKUPS, ROW_BY_ROW, SHARED, WORKINGS
from pipelines.build.sql_models import Model, models, ordered

EXCEPTIONS = frozenset({*LOOKUPS, *SHARED, *WORKINGS})
REFERENCE = frozenset(f"accepted.{kind}" for kind in RECORDS if kind not in DATED)
MONTHS, PARCELS, SALES = ("shipped_month", "shipped_on"), ("parcel_id", "request_id"), ("sale_id",)


@dataclass(frozen=True)
class Parts:
    """Tables with the column that says of which parcel, sale or month a row is; row_by_row: the same in any part."""

    by_parcel: dict[str, str] = field(default_factory=dict)
    by_sale: dict[str, str] = field(default_factory=dict)
    by_month: dict[str, str] = field(default_factory=dict)
    row_by_row: set[str] = field(default_factory=lambda: set(ROW_BY_ROW))

    @property
    def every(self) -> frozenset[str]:
        """All that is built beside the warehouse."""
        return EXCEPTIONS.union(self.by_parcel, self.by_sale, self.by_month, self.row_by_row)

    @property
    def merged(self) -> frozenset[str]:
        """What is not built in the warehouse where touched parcels and months are merged."""
        return self.every - self.row_by_row - set(LOOKUPS)


@cache
def parts() -> Parts:
    """How the SQL models are kept."""
    return parts_of(models(), TABLES)


def parts_of(found: Mapping[str, Model], contracts: Mapping[str, Contract]) -> Parts:
    """How these models are kept."""
    kept = Parts()
    for model in ordered(found):
        if model.name not in EXCEPTIONS:
            _keep(kept, model, contracts[model.name])
    return kept


def _keep(kept: Parts, model: Model, contract: Contract) -> None:
    rests_on = {name for name in model.references if not name.startswith(("accepted.", "shop."))}
    months, parcels, sales = (
        [name for name in names if name in columns]
        for names, columns in ((MONTHS, contract.key), (PARCELS, contract.columns), (SALES, contract.key))
    )
    if model.name in kept.row_by_row or not rests_on <= kept.every - set(kept.by_month):
        return
    if rests_on <= kept.row_by_row and all(name in REFERENCE for name in model.references - rests_on):
        kept.row_by_row.add(model.name)
    elif months and rests_on <= {*kept.by_parcel, *kept.row_by_row}:
        kept.by_month[model.name] = months[0]
    elif parcels:
        kept.by_parcel[model.name] = parcels[0]
    elif sales:
        kept.by_sale[model.name] = sales[0]
