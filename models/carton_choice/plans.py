"""Parcels of one sale joined into one, and parcels of several pieces split: would that have been cheaper?

A plan is priced with the cheapest of the sizes to stock for each of its parcels, and so are the parcels unchanged: what
a better carton alone would save is no saving of the plan. Joining spares the packing (material and minutes) of all
parcels but the most expensive; splitting adds the packing once for each further parcel. Tare and void fill, as far as
they are stated, are those of the carton that a part goes into instead of those of the cartons used.
"""

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from operator import itemgetter
from typing import Any

import pandas as pd

from models.carton_choice.demand import FIELD, LINE, in_words
from models.packing.needed import Contents, PackedItem, contents

JOINED, SPLIT = "joined", "split"
WEIGHTS = ["scale_weight_lb", "used_tare_lb", "used_void_lb"]
LANE = ["carrier", "service", "zone", "shipped_on", "is_residential", "destination_prefix"]
Row = dict[Hashable, Any]


@dataclass(frozen=True)
class Part:
    """Some parcels alike: what one of them holds, its declared value, and how many there are.

    scale_weight_lb: with used_tare_lb of the carton that it had as sent, unknown where it is not stated, and
    used_void_lb of its void fill.
    """

    packed: Contents
    scale_weight_lb: float
    declared_cents: int
    parcels: int = 1
    used_tare_lb: float | None = None
    used_void_lb: float = 0.0


@dataclass(frozen=True)
class Plan:
    """What would be done instead: parts; and what would be left as it is: unchanged.

    like: a row of the query `plan_parcels` that gives the lane. spent_cents: as sent, with packing. packing_cents: of
    the parcels of the plan. sent_packing_cents, void_cents: of the parcels as sent, whose void fill is no part of what
    was spent.
    """

    kind: str
    before: str
    like: Row
    parts: tuple[Part, ...]
    unchanged: tuple[Part, ...]
    spent_cents: int
    packing_cents: int
    sent_packing_cents: int
    void_cents: int

    @property
    def all_parts(self) -> tuple[Part, ...]:
        """The parts of the plan, then the parcels unchanged."""
        return (*self.parts, *self.unchanged)


def plans(rows: pd.DataFrame, items: Mapping[str, PackedItem], weights_lb: Mapping[str, float]) -> list[Plan]:
    """Every plan that the rows of the query `plan_parcels` allow. weights_lb: one piece of each item type."""
    each = rows.sort_values("sale_id", kind="stable").to_dict("records")
    sales = (list(parcels) for _, parcels in groupby(each, itemgetter("sale_id")))
    joined = [_joined(parcels, items) for parcels in sales if _are_one_shipment(parcels)]
    split = [_split(row, items, weights_lb) for row in rows.to_dict("records") if _pieces(row["goods"]) > 1]
    return [*joined, *split]


def _are_one_shipment(parcels: list[Row]) -> bool:
    """Whether these are all parcels of the sale, of nothing else, and went the same way on the same day."""
    first = parcels[0]
    same = all(row[name] == first[name] for row in parcels for name in LANE[:4])
    return len(parcels) > 1 and same and all(row["sale_parcel_count"] == len(parcels) for row in parcels)


def _lines(goods: str) -> list[tuple[str, int]]:
    parted = (line.split(FIELD) for line in goods.split(LINE))
    return [(name, int(quantity)) for name, quantity in parted]


def _pieces(goods: str) -> int:
    return sum(quantity for _, quantity in _lines(goods))


def _known(rows: Iterable[Row], items: Mapping[str, PackedItem]) -> Contents:
    found = list(rows)
    lines = [(items[name], quantity) for row in found for name, quantity in _lines(row["goods"])]
    return contents(lines, max(float(row["clearance_in"]) for row in found))


def _joined(parcels: list[Row], items: Mapping[str, PackedItem]) -> Plan:
    packing = [int(row["packing_cents"]) for row in parcels]
    unchanged = tuple(_as_sent(row, items) for row in parcels)
    tares = [each.used_tare_lb for each in unchanged]
    part = Part(
        _known(parcels, items),
        sum(each.scale_weight_lb for each in unchanged),
        sum(each.declared_cents for each in unchanged),
        used_tare_lb=None if None in tares else sum(each for each in tares if each),
        used_void_lb=sum(each.used_void_lb for each in unchanged),
    )
    before = " | ".join(sorted(in_words(each.packed) for each in unchanged))[:200]
    spent, void = (sum(int(row[name]) for row in parcels) for name in ("spent_cents", "void_cents"))
    return Plan(JOINED, before, parcels[0], (part,), unchanged, spent + sum(packing), max(packing), sum(packing), void)


def _as_sent(row: Row, items: Mapping[str, PackedItem]) -> Part:
    weight, tare, void = (float(row[name]) for name in WEIGHTS)
    used_tare_lb = None if pd.isna(tare) else tare
    return Part(_known([row], items), weight, _cents(row), used_tare_lb=used_tare_lb, used_void_lb=void)


def _split(row: Row, items: Mapping[str, PackedItem], weights_lb: Mapping[str, float]) -> Plan:
    """One parcel per piece; all that is of the whole is shared by the weight of the pieces."""
    lines, pieces = _lines(row["goods"]), _pieces(row["goods"])
    whole = sum(weights_lb[name] * quantity for name, quantity in lines)
    unchanged = _as_sent(row, items)
    parts = tuple(
        _share(unchanged, contents([(items[name], 1)], float(row["clearance_in"])), weights_lb[name] / whole, quantity)
        for name, quantity in lines
    )
    packing, void = int(row["packing_cents"]), int(row["void_cents"])
    spent = int(row["spent_cents"]) + packing
    return Plan(SPLIT, in_words(unchanged.packed), row, parts, (unchanged,), spent, pieces * packing, packing, void)


def _share(whole: Part, packed: Contents, share: float, parcels: int) -> Part:
    tare = None if whole.used_tare_lb is None else whole.used_tare_lb * share
    declared, void = round(whole.declared_cents * share), whole.used_void_lb * share
    return Part(packed, whole.scale_weight_lb * share, declared, parcels, tare, void)


def _cents(row: Row) -> int:
    return 0 if pd.isna(row["declared_value_cents"]) else int(row["declared_value_cents"])


def part_rows(found: list[Plan], keys: Mapping[Contents, int]) -> pd.DataFrame:
    """One row per plan and part, unchanged parcels among them, with what a carrier would know of it but the sides.

    keys: contents_key by contents. The weight is that with the tare and void fill used, which stand beside it.
    """
    rows = [
        {
            "plan_number": number,
            "part_number": at,
            "contents_key": keys[part.packed],
            "parcels": part.parcels,
            "scale_weight_lb": part.scale_weight_lb,
            "used_tare_lb": part.used_tare_lb,
            "used_void_lb": part.used_void_lb,
            "declared_value_cents": part.declared_cents,
            **{name: plan.like[name] for name in LANE},
        }
        for number, plan in enumerate(found)
        for at, part in enumerate(plan.all_parts)
    ]
    columns = ["plan_number", "part_number", "contents_key", "parcels", *WEIGHTS, "declared_value_cents"]
    return pd.DataFrame(rows, columns=[*columns, *LANE]).astype(dict.fromkeys(WEIGHTS, float))


def plan_table(found: list[Plan], parts: pd.DataFrame) -> pd.DataFrame:
    """One row per plan kind, contents before and after. parts: `part_rows` with best_cents, null where none is carried.

    Plans of which a part has no carton, or that the carrier refuses, are left out. Parcels unchanged cost what they did
    cost, or what they would in the sizes to stock where that is less. Void fill counts by what is taken more than as
    sent.
    """
    is_planned = parts["part_number"] < parts["plan_number"].map(dict(enumerate(len(plan.parts) for plan in found)))
    planned, unchanged = (_sums(parts[is_in]) for is_in in (is_planned, ~is_planned))
    sums = zip(planned.index, planned, unchanged, strict=True)
    rows = [_row(found[number], *cents) for number, *cents in sums if not pd.isna(cents[0])]
    columns = ["plan", "contents_before", "contents", "spent_cents", "unchanged_cents", "plan_cents"]
    frame = pd.DataFrame(rows, columns=columns)
    saved = (frame["unchanged_cents"] - frame["plan_cents"]).clip(lower=0)
    frame = frame.assign(plan_sale_count=1, cheaper_count=(saved > 0).astype(int), plan_saving_cents=saved)
    return frame.groupby(columns[:3], as_index=False).sum()


def _sums(parts: pd.DataFrame) -> pd.Series:
    """Best cents of each plan, ascending by its number; null where one part has none."""
    return (parts["best_cents"] * parts["parcels"]).groupby(parts["plan_number"]).sum(skipna=False)


def _row(plan: Plan, of_plan: int, unchanged: Any) -> dict[str, object]:
    again = plan.spent_cents if pd.isna(unchanged) else int(unchanged) + plan.sent_packing_cents - plan.void_cents
    return {
        "plan": plan.kind,
        "contents_before": plan.before,
        "contents": " | ".join(in_words(part.packed) for part in plan.parts)[:200],
        "spent_cents": plan.spent_cents,
        "unchanged_cents": min(plan.spent_cents, again),
        "plan_cents": int(of_plan) + plan.packing_cents - plan.void_cents,
    }
