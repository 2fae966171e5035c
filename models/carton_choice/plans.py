"""Parcels of one sale joined into one, and parcels of several pieces split: would that have been cheaper?

A plan is priced with the cheapest of the sizes to stock for each of its parcels, and so are the parcels unchanged: what
a better carton alone would save is no saving of the plan. Joining spares the packing (material and minutes) of all
parcels but the most expensive; splitting adds the packing once for each further parcel.
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
LANE = ["carrier", "service", "zone", "shipped_on", "is_residential", "destination_prefix"]
Row = dict[Hashable, Any]
# Contents, scale weight, declared cents, and how many such parcels.
Part = tuple[Contents, float, int, int]


@dataclass(frozen=True)
class Plan:
    """What would be done instead: parts; and what would be left as it is: unchanged.

    like: a row of the query `plan_parcels` that gives the lane. spent_cents: as sent, with packing. packing_cents: of
    the parcels of the plan. sent_packing_cents: of the parcels as sent.
    """

    kind: str
    before: str
    like: Row
    parts: tuple[Part, ...]
    unchanged: tuple[Part, ...]
    spent_cents: int
    packing_cents: int
    sent_packing_cents: int

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
    part = (
        _known(parcels, items),
        sum(float(row["scale_weight_lb"]) for row in parcels),
        sum(_cents(row) for row in parcels),
        1,
    )
    before = " | ".join(sorted(in_words(_known([row], items)) for row in parcels))[:200]
    spent = sum(int(row["spent_cents"]) for row in parcels) + sum(packing)
    unchanged = tuple(_as_sent(row, items) for row in parcels)
    return Plan(JOINED, before, parcels[0], (part,), unchanged, spent, max(packing), sum(packing))


def _as_sent(row: Row, items: Mapping[str, PackedItem]) -> Part:
    return (_known([row], items), float(row["scale_weight_lb"]), _cents(row), 1)


def _split(row: Row, items: Mapping[str, PackedItem], weights_lb: Mapping[str, float]) -> Plan:
    """One parcel per piece; weight and declared value shared by the weight of the pieces."""
    lines, pieces = _lines(row["goods"]), _pieces(row["goods"])
    whole = sum(weights_lb[name] * quantity for name, quantity in lines)
    parts = tuple(
        (
            contents([(items[name], 1)], float(row["clearance_in"])),
            float(row["scale_weight_lb"]) * weights_lb[name] / whole,
            round(_cents(row) * weights_lb[name] / whole),
            quantity,
        )
        for name, quantity in lines
    )
    packing = int(row["packing_cents"])
    unchanged = _as_sent(row, items)
    spent = int(row["spent_cents"]) + packing
    return Plan(SPLIT, in_words(unchanged[0]), row, parts, (unchanged,), spent, pieces * packing, packing)


def _cents(row: Row) -> int:
    return 0 if pd.isna(row["declared_value_cents"]) else int(row["declared_value_cents"])


def part_rows(found: list[Plan], keys: Mapping[Contents, int]) -> pd.DataFrame:
    """One row per plan and part, unchanged parcels among them, with what a carrier would know of it but the sides.

    keys: contents_key by contents.
    """
    rows = [
        {
            "plan_number": number,
            "part_number": at,
            "contents_key": keys[packed],
            "parcels": parcels,
            "scale_weight_lb": weight,
            "declared_value_cents": declared,
            **{name: plan.like[name] for name in LANE},
        }
        for number, plan in enumerate(found)
        for at, (packed, weight, declared, parcels) in enumerate(plan.all_parts)
    ]
    columns = ["plan_number", "part_number", "contents_key", "parcels", "scale_weight_lb", "declared_value_cents"]
    return pd.DataFrame(rows, columns=[*columns, *LANE])


def plan_table(found: list[Plan], parts: pd.DataFrame) -> pd.DataFrame:
    """One row per plan kind, contents before and after. parts: `part_rows` with best_cents, null where none is carried.

    Plans of which a part has no carton, or that the carrier refuses, are left out. Parcels unchanged cost what they did
    cost, or what they would in the sizes to stock where that is less.
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
    again = plan.spent_cents if pd.isna(unchanged) else int(unchanged) + plan.sent_packing_cents
    return {
        "plan": plan.kind,
        "contents_before": plan.before,
        "contents": " | ".join(in_words(packed) for packed, *_ in plan.parts)[:200],
        "spent_cents": plan.spent_cents,
        "unchanged_cents": min(plan.spent_cents, again),
        "plan_cents": int(of_plan) + plan.packing_cents,
    }
