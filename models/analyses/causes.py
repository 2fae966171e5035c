"""Why a month made or lost what it did: at most three causes that a shop can act on, each with the money it cost.

Causes are found by the tables, and a cause has its table's own figure: near misses, damage of goods packed in one way,
a carrier's open errors, item types and services that lost money. How much was sold is none. What is already said is not
repeated: an item type is left out where its near misses and damage make up half of its loss, a service where item
types named before it do, and the other way round.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import pandas as pd

from models.analyses.question import Question, answer
from models.columns.margin import CAUSE_KINDS
from models.plain_rows import UNNAMED, as_dicts

READS = ("marts.margin_cells", "marts.item_type_costs")
MAY_READ = {name: (name,) for name in ("marts.near_miss_totals", "marts.damage_counts", "marts.billing_totals")}
WRITES = ("analysis.causes",)
MOST = 3
# What a hundredth of the carriage would pay is noise, a month of fewer parcels chance, one parcel an accident, and a
# cause of which half is said is said (common practice, no source).
SMALL_SHARE, FEWEST_OF_MONTH, FEWEST_OF_CAUSE, SAID_SHARE = 0.01, 30, 2, 0.5
NAMELESS = (UNNAMED, "account fees")
NEAR, DAMAGE, ERRORS, ITEM_TYPE, SERVICE = CAUSE_KINDS
GROUPS = {
    "marts.near_miss_totals": (NEAR, "spared_cents", "parcel_count", ("item_type", "carton_code")),
    "marts.damage_counts": (DAMAGE, "damage_net_cents", "damage_count", ("item_type", "packing_method")),
}
LOSING = {ITEM_TYPE: ["item_type"], SERVICE: ["carrier", "service"]}
NAMED_BY = (
    *("item_type", "carrier", "service", "carton_code", "packing_method", "charge_name", "change", "change_in"),
    *("change_lb", "parcel_count", "damage_count", "dispute_count"),
)
Losses = Mapping[tuple[str, str, str], int]


@dataclass(frozen=True)
class Cause:
    """cents: what it cost the month. cells: columns of NAMED_BY that name it."""

    kind: str
    cents: int
    cells: Mapping[str, Any] = field(default_factory=dict)

    @property
    def service(self) -> tuple[Any, Any]:
        """Carrier and service, where it is one."""
        return self.cells.get("carrier"), self.cells.get("service")


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.causes, for every month with parcels enough."""
    cells = question.table("marts.margin_cells")
    months = cells.groupby("shipped_month")
    parcels, billed = months["parcel_count"].sum(), months["billed_cents"].sum()
    fine = {name: _by_month(question.found(name)) for name in MAY_READ}
    items = _by_month(question.table("marts.item_type_costs"))
    rows = [
        {"shipped_month": month, "place": place, "cause_kind": cause.kind, **cause.cells, "cause_cents": cause.cents}
        for month, own in months
        if parcels[month] >= FEWEST_OF_MONTH
        for place, cause in enumerate(_of_month(own, items[month], _at(fine, month), float(billed[month])), start=1)
    ]
    return {WRITES[0]: answer(WRITES[0], rows)}


def _at(tables: Mapping[str, Mapping[Any, pd.DataFrame]], month: Any) -> dict[str, pd.DataFrame]:
    """The month's rows of each table that has any."""
    return {name: months[month] for name, months in tables.items() if month in months}


def _by_month(table: pd.DataFrame | None) -> dict[Any, pd.DataFrame]:
    return {} if table is None else dict(iter(table.groupby("shipped_month")))


def _of_month(
    cells: pd.DataFrame, items: pd.DataFrame, own: Mapping[str, pd.DataFrame], billed_cents: float
) -> list[Cause]:
    least = SMALL_SHARE * billed_cents
    found = [cause for cause in (*_fine(own), *_errors(own)) if cause.cents > least]
    goods = cells[(cells["parcel_count"] > 0) & ~cells["item_type"].isin(NAMELESS)]
    losses = _losses(goods)
    lost = [cause for cause in (*_losing(ITEM_TYPE, items), *_losing(SERVICE, goods)) if cause.cents > least]
    explained = {cause.cells["item_type"] for cause in lost if _is_explained(cause, found)}
    coarse = [cause for cause in lost if not _is_made_of(cause, explained, losses)]
    return _foremost([*found, *coarse], losses)


def _fine(own: Mapping[str, pd.DataFrame]) -> Iterator[Cause]:
    for table, (kind, money, counted, names) in GROUPS.items():
        if table in own:
            rows = own[table]
            rows = rows[(rows[counted] >= FEWEST_OF_CAUSE) & ~rows[list(names)].isin(NAMELESS).any(axis=1)]
            shown = [name for name in NAMED_BY if name in rows.columns]
            yield from (
                Cause(kind, int(row[money]), {name: row[name] for name in shown})
                for row in as_dicts(rows)
                if row[money] > 0
            )


def _errors(own: Mapping[str, pd.DataFrame]) -> Iterator[Cause]:
    if "marts.billing_totals" in own:
        sums = (
            own["marts.billing_totals"].groupby("carrier", as_index=False)[["outstanding_cents", "dispute_count"]].sum()
        )
        for row in as_dicts(sums):
            named = {"carrier": row["carrier"], "dispute_count": row["dispute_count"]}
            yield Cause(ERRORS, int(row["outstanding_cents"]), named)


def _losing(kind: str, rows: pd.DataFrame) -> Iterator[Cause]:
    """Item types or services with a margin below nothing, where there are several."""
    by = LOSING[kind]
    sums = rows[rows["parcel_count"] > 0].groupby(by, as_index=False)[["parcel_count", "margin_cents"]].sum()
    sums = sums[~sums[by[-1]].isin(NAMELESS)]
    for row in as_dicts(sums[sums["margin_cents"] < 0] if len(sums) > 1 else sums.iloc[:0]):
        yield Cause(kind, -int(row["margin_cents"]), {name: row[name] for name in (*by, "parcel_count")})


def _is_explained(cause: Cause, found: Sequence[Cause]) -> bool:
    """Whether it is an item type, and finer causes make up half of its loss."""
    parts = [each.cents for each in found if each.cells.get("item_type") == cause.cells.get("item_type")]
    return cause.kind == ITEM_TYPE and sum(parts) >= SAID_SHARE * cause.cents


def _is_made_of(cause: Cause, items: set[str], losses: Losses) -> bool:
    """Whether it is one of the item types, or a service half of whose loss is theirs."""
    if cause.kind == ITEM_TYPE:
        return cause.cells["item_type"] in items
    return _lost_by(items, cause.service, losses) >= SAID_SHARE * cause.cents


def _lost_by(items: set[Any], service: tuple[Any, Any], losses: Losses) -> int:
    """Cents that the item types lost by the service."""
    return sum(cents for (item, *by), cents in losses.items() if item in items and tuple(by) == service)


def _losses(goods: pd.DataFrame) -> Losses:
    sums = goods.groupby(["item_type", "carrier", "service"])["margin_cents"].sum()
    lost = sums[sums < 0].reset_index()
    keys = zip(lost["item_type"], lost["carrier"], lost["service"], strict=True)
    return dict(zip(keys, (-lost["margin_cents"]).astype(int), strict=True))


def _foremost(causes: Sequence[Cause], losses: Losses) -> list[Cause]:
    """The costliest, without those that one before them tells."""
    kept: list[Cause] = []
    for cause in sorted(causes, key=lambda each: (-each.cents, CAUSE_KINDS.index(each.kind), str(each.cells))):
        if len(kept) < MOST and _said_already(cause, kept, losses) < SAID_SHARE * cause.cents:
            kept.append(cause)
    return kept


def _said_already(cause: Cause, kept: Sequence[Cause], losses: Losses) -> int:
    """Cents of the cause that those kept tell."""
    items = {each.cells.get("item_type") for each in kept if each.kind != ERRORS} - {None}
    whole = {each.cells["item_type"] for each in kept if each.kind == ITEM_TYPE}
    services = {each.service for each in kept if each.kind == SERVICE}
    if cause.kind in (NEAR, DAMAGE):
        return cause.cents if cause.cells["item_type"] in whole else 0
    if cause.kind == ITEM_TYPE:
        own = cause.cells["item_type"]
        return cause.cents if own in items else sum(_lost_by({own}, service, losses) for service in services)
    return _lost_by(items, cause.service, losses) if cause.kind == SERVICE else 0
