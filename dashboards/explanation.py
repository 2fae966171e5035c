"""Sentences for a terminal: one parcel's bill as a person would explain it, and disputes one by one."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from dashboards import sentences
from dashboards.formats import is_unknown, money
from dashboards.review_tables import Records
from dashboards.sentences import words
from dashboards.sentences.charges import DISPUTES, LINES
from dashboards.sentences.grounds import CHECKS
from dashboards.sentences.parcel import MARGIN, NEAR, PARCEL
from models.columns import label
from models.money import columns_of
from models.plain_rows import as_dicts, plain
from models.shop_units import Units

if TYPE_CHECKING:
    import pandas as pd

Row = Mapping[str, Any]
# What made up a parcel's margin: the sign it enters with, the column, its name.
NAMED = {
    "shipping_charged_cents": "charged",
    "billed_cents": "carriage",
    "carton_cents": "carton",
    "damage_net_cents": "loss by claims",
}
MARGIN_PARTS = tuple(
    (1 if column in columns_of("income") else -1, column, NAMED.get(column, label(column).lower()))
    for column in (*columns_of("income"), "billed_cents", *columns_of("other_outlays"))
)
SIDES = words(
    "parcel.sides_measured parcel.sides_learned parcel.sides_carton parcel.sides_not_known parcel.sides_counted"
)
ZONES = ("parcel.zone_chart", "parcel.zone_learned", "parcel.zone_not_decided")
WEIGHTS = words(
    "parcel.not_weighed parcel.weighed parcel.volume_decides parcel.scale_decides parcel.no_dim_weight "
    "parcel.least_weight"
)
TOTAL = ("parcel.total", "parcel.total_not_billed")
AMOUNTS = words(
    "charge.not_billed charge.not_expected charge.option charge.no_rule charge.as_expected charge.otherwise"
)
BECAUSE = words(
    "charge.by_longest_side charge.by_second_side charge.by_shortest_side charge.by_length_plus_girth "
    "charge.by_sum_of_sides charge.by_longest_plus_shortest charge.by_diagonal charge.by_not_rectangular "
    "charge.by_volume charge.by_scale_weight charge.by_rated_weight charge.by_dim_weight charge.by_billed_weight "
    "charge.by_residential charge.by_area charge.by_declared_value charge.by_missing_weight"
)
NEAR_MISS = words(
    "parcel.near_side parcel.near_weight parcel.just_under_side parcel.just_under_weight parcel.can_cut "
    "parcel.other_carton parcel.cut_or_other_carton"
)
DISPUTE = words(
    "dispute.charge dispute.cause dispute.charge_taken_back dispute.cause_taken_back dispute.no_error dispute.by "
    "dispute.overdue dispute.state"
)
LEARNED = ("parcel.learned", "parcel.learned_error_not_known", "parcel.learned_interval")
LACKING = ("parcel.no_charges", "parcel.no_bench_row", "parcel.no_sale")
SHIPMENT = ("charge.shipment", "charge.shipment_not_checked")
SAME_CHANGE = ("near_miss", "change", "change_in", "change_lb", "spared_cents", "can_cut", "other_carton_code")


def margin_words(row: Row, units: Units) -> str:
    """A parcel's margin and what made it up, in a line; others where records lack, since they count as nothing.

    row: of models/sql/explaining/margin.sql. Amounts in minor units.
    """
    parts = [(sign, row[column], name) for sign, column, name in MARGIN_PARTS if row[column]]
    sums = " ".join(_part(sign, cents, name, units.currency) for sign, cents, name in parts)
    records = Records(tables={MARGIN: plain([row])})
    (total,) = sentences.lines(("parcel.lost", "parcel.made"), records, units)
    lines = [f"{total}{': ' if sums else ''}{sums.removeprefix('+ ')}.", *sentences.lines(LACKING, records, units)]
    return "\n".join(lines)


def _part(sign: int, cents: int, name: str, currency: str) -> str:
    return f"{'+' if sign * cents > 0 else '-'} {money(abs(cents), currency)} {name}"


def explanation(
    parcel: Row,
    lines: pd.DataFrame,
    near: pd.DataFrame,
    disputes: pd.DataFrame,
    units: Units,
    made_at: dt.datetime | None = None,
) -> str:
    """The bill of one parcel in words.

    parcel, lines, near, disputes: the rows of models/sql/explaining. Amounts in minor units. made_at:
    deadlines are compared with it.
    """
    records = Records(tables={PARCEL: plain([parcel])})
    reported = sentences.lines((*SIDES, *ZONES, *WEIGHTS, "parcel.not_rated"), records, units)
    # Of parcels billed together no charge belongs to one.
    together = sentences.lines(SHIPMENT, records, units)
    reported += together
    if not together and not is_unknown(parcel["expected_cents"]):
        reported += _charged(parcel, lines, units)
        reported += [f"  {line}" for line in sentences.lines(TOTAL, records, units)]
        reported += sentences.lines(LEARNED, records, units)
    reported += [_near(row, units) for row in _merged(near)]
    reported += [dispute(row, units, made_at) for row in as_dicts(disputes)]
    return "\n".join(reported)


def _charged(parcel: Row, lines: pd.DataFrame, units: Units) -> Iterator[str]:
    yield "Charges:"
    for row in as_dicts(lines):
        beside = {name: parcel[name] for name in ("length_unit", "weight_unit")}
        one = plain([{"difference_class": None, **row, **beside}])
        yield f"  {_charge(Records(tables={LINES: one}), units)}"


def _charge(records: Records, units: Units) -> str:
    """One charge, and in brackets the measure that made it apply. A rule without a limit has no more to say."""
    (amounts,) = sentences.lines(AMOUNTS, records, units)
    why = sentences.lines(BECAUSE, records, units)
    return f"{amounts} ({why[0]})" if why else amounts


def _merged(near: pd.DataFrame) -> list[dict[str, Any]]:
    """The rows of `near`; charges that one and the same change spares together stand in one."""
    merged: dict[tuple[str, ...], dict[str, Any]] = {}
    for row in as_dicts(near):
        charge = row["charge_name"]
        row["charge_name"] = "a higher weight step" if charge == "rated weight" else charge
        same = tuple(str(value) for name, value in row.items() if name in SAME_CHANGE)
        if same in merged:
            merged[same]["charge_name"] += f" and {row['charge_name']}"
        else:
            merged[same] = row
    return list(merged.values())


def _near(row: Row, units: Units) -> str:
    return " ".join(sentences.lines_of(NEAR_MISS, NEAR, [row], units))


def dispute(row: Row, units: Units, made_at: dt.datetime | None = None) -> str:
    """A dispute on four lines: cause, amount and deadline; its id; then what either side says.

    made_at: marks deadlines before it as overdue.
    """
    records = Records(tables={DISPUTES: plain([row])}, made_at=made_at)
    return (
        f"{' '.join(sentences.lines(DISPUTE, records, units))}\n"
        f"  id: {row['dispute_id']}\n"
        f"  shop: {row['own_evidence']}\n"
        f"  carrier: {row['billed_evidence']}"
    )


def no_dispute_lines(rows: pd.DataFrame, checks: pd.DataFrame, units: Units) -> list[str]:
    """Why a list of disputes is empty. checks: marts.billing_checks."""
    records = Records(tables={DISPUTES: rows.assign(is_disputable=True), CHECKS: checks})
    return sentences.lines(
        ("disputes.no_bill", "disputes.none", "disputes.not_known", "disputes.all_listed"), records, units
    )
