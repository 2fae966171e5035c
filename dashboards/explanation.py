"""Sentences for a terminal: one parcel's bill as a person would explain it, and disputes one by one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import pandas as pd

from dashboards.formats import day, is_unknown, money, number
from models.columns import label
from models.money import columns_of
from models.shop_units import LENGTH, WEIGHT, Units

Row = Mapping[str, Any]
SOURCES = {
    "measured": "measured at the bench",
    "learned": "not measured; this is what the carrier usually bills for the carton",
    "carton": "not measured; this is the carton's size by its name",
    "unknown": "unknown",
}
MEASURES = {
    "longest_side": "the longest side is {measured} {length}, the limit {threshold}",
    "second_side": "the second side is {measured} {length}, the limit {threshold}",
    "shortest_side": "the shortest side is {measured} {length}, the limit {threshold}",
    "length_plus_girth": "length plus girth is {measured} {length}, the limit {threshold}",
    "sum_of_sides": "the three sides add up to {measured} {length}, the limit {threshold}",
    "longest_plus_shortest": "the longest and the shortest side add up to {measured} {length}, the limit {threshold}",
    "diagonal": "the diagonal is {measured} {length}, the limit {threshold}",
    "not_rectangular": "it is not rectangular",
    "volume": "the volume is {measured} cubic {length}, the limit {threshold}",
    "scale_weight": "the scale weight is {measured} {weight}, the limit {threshold}",
    "rated_weight": "the rated weight is {measured} {weight}, the limit {threshold}",
    "dim_weight": "the dimensional weight is {measured} {weight}, the limit {threshold}",
    "billed_weight": "for {measured} {weight}",
    "residential": "delivered to a home",
    "area": "the destination lies in its area",
    "declared_value": "for the declared value",
}
# Billed, not expected, and still no error.
UNCHECKED = {
    "option or event": "an option or event of the tariff",
    "not checked": "not checked: the tariff states no rule for it",
}

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
SAME_CHANGE = ("near_miss", "change", "change_in", "change_lb", "spared_cents", "can_cut", "other_carton_code")
RECORDS = {"has_charges": "the carrier's charges", "has_bench_log": "its bench row", "is_sale_known": "its sale"}


def margin_words(row: Row, currency: str) -> str:
    """A parcel's margin and what made it up, in a line; another where records lack, since they count as nothing.

    row: of models/sql/explaining/margin.sql. Amounts in minor units of `currency`.
    """
    parts = [(sign, row[column], name) for sign, column, name in MARGIN_PARTS if row[column]]
    sums = " ".join(_part(sign, cents, name, currency) for sign, cents, name in parts)
    lacking = [name for column, name in RECORDS.items() if not row[column]]
    unknown = f"\nNot on record yet, so counted as nothing: {', '.join(lacking)}." if lacking else ""
    verb = "lost" if row["margin_cents"] < 0 else "made"
    total = money(abs(row["margin_cents"]), currency)
    return f"{row['parcel_id']} {verb} {total}{': ' if sums else ''}{sums.removeprefix('+ ')}.{unknown}"


def _part(sign: int, cents: int, name: str, currency: str) -> str:
    return f"{'+' if sign * cents > 0 else '-'} {money(abs(cents), currency)} {name}"


def explanation(parcel: Row, lines: pd.DataFrame, near: pd.DataFrame, disputes: pd.DataFrame, units: Units) -> str:
    """The bill of one parcel in words.

    parcel, lines, near, disputes: the rows of models/sql/explaining. Amounts in minor units.
    """
    reported = [*_measured(parcel, units), *_weighed(parcel, units)]
    if is_unknown(parcel["expected_cents"]):
        reported.append(f"It cannot be rated: {parcel['lacking']}.")
    else:
        reported += _charged(parcel, lines, units.currency)
    reported += [_near(row, units) for row in _merged(near)]
    reported += [dispute(row, units.currency) for row in disputes.to_dict("records")]
    return "\n".join(reported)


def _measured(parcel: Row, units: Units) -> Iterator[str]:
    if is_unknown(parcel["length_in"]):
        yield "Sides: unknown; the bench log has neither sides nor a carton that the catalogue knows."
        return
    sides = units.measured(LENGTH, *(parcel[name] for name in ("length_in", "width_in", "height_in")))
    yield f"Sides: {sides}, {SOURCES[str(parcel['sides_source'])]}."
    if not is_unknown(parcel["longest_side"]):
        rounded = " x ".join(number(parcel[name]) for name in ("longest_side", "second_side", "shortest_side"))
        yield f"By {parcel['tariff_code']} that counts as {rounded} {parcel['length_unit']}."


def _weighed(parcel: Row, units: Units) -> Iterator[str]:
    if is_unknown(parcel["scale_weight_lb"]):
        yield "Weight: not on the scale."
        return
    yield f"Weight: {units.measured(WEIGHT, parcel['scale_weight_lb'])} on the scale."
    if is_unknown(parcel["rated_weight"]):
        return
    scale = parcel["scale_weight_lb"] * parcel["rated_weight"] / (parcel["rated_weight_lb"] or 1)
    unit, dim = parcel["weight_unit"], parcel["dim_weight"]
    which = "the volume decides" if dim > scale else "the scale decides"
    yield (
        f"Dimensional weight: {number(dim)} {unit}; {which}. Rated weight: {number(parcel['rated_weight'])} {unit}"
        + (
            f", billed as {number(parcel['billed_weight'])} {unit} for a surcharge's least weight."
            if parcel["billed_weight"] > parcel["rated_weight"]
            else "."
        )
    )


def _charged(parcel: Row, lines: pd.DataFrame, currency: str) -> Iterator[str]:
    yield "Charges:"
    for row in lines.to_dict("records"):
        yield f"  {row['charge_name']}: {_amounts(row, currency)}{_because(row, parcel)}"
    billed = "nothing yet" if is_unknown(parcel["billed_cents"]) else money(parcel["billed_cents"], currency)
    yield f"  in all: expected {money(parcel['expected_cents'], currency)}, billed {billed}"
    if not is_unknown(parcel["learned_first_on"]):
        yield _learned(parcel, currency)


def _learned(parcel: Row, currency: str) -> str:
    error = parcel["left_out_error_cents"]
    miss = "how far it misses is not known" if is_unknown(error) else f"such prices miss by {money(error, currency)}"
    days = f"{day(parcel['learned_first_on'])} to {day(parcel['learned_last_on'])}"
    return f"The base price is learned from {number(parcel['bill_count'])} bills of {days}; {miss} on average."


def _amounts(row: Row, currency: str) -> str:
    expected, billed = row["expected_cents"], row["billed_cents"]
    if is_unknown(billed):
        return f"expected {money(expected, currency)}, not billed"
    if is_unknown(expected) and row.get("difference_class") in UNCHECKED:
        return f"billed {money(billed, currency)}, {UNCHECKED[str(row['difference_class'])]}"
    if is_unknown(expected):
        return f"not expected, billed {money(billed, currency)}"
    if expected == billed:
        return f"{money(billed, currency)}, as billed"
    return f"expected {money(expected, currency)}, billed {money(billed, currency)}"


def _because(row: Row, parcel: Row) -> str:
    if is_unknown(row["measure"]):
        return ""
    figures = {name: "" if is_unknown(row[name]) else number(row[name]) for name in ("measured", "threshold")}
    said = MEASURES[str(row["measure"])].format(length=parcel["length_unit"], weight=parcel["weight_unit"], **figures)
    return f" ({said})"


def _merged(near: pd.DataFrame) -> list[dict[Any, Any]]:
    """The rows of `near`; charges that one and the same change spares together stand in one."""
    merged: dict[tuple[str, ...], dict[Any, Any]] = {}
    for row in near.to_dict("records"):
        charge = row["charge_name"]
        row["charge_name"] = "a higher weight step" if charge == "rated weight" else charge
        same = tuple(str(value) for name, value in row.items() if name in SAME_CHANGE)
        if same in merged:
            merged[same]["charge_name"] += f" and {row['charge_name']}"
        else:
            merged[same] = row
    return list(merged.values())


def _near(row: Row, units: Units) -> str:
    is_weight = row["change"] == "weight"
    by = units.measured(WEIGHT, row["change_lb"]) if is_weight else units.measured(LENGTH, row["change_in"])
    name, amount = row["charge_name"], money(row["spared_cents"], units.currency)
    if row["near_miss"] == "just under":
        return f"Just under: {by} more on the {row['change']} would add {name}, {amount} in all."
    return f"Near miss: {by} less on the {row['change']} spares {name}, {amount} in all.{_ways(row)}"


def _ways(row: Row) -> str:
    can_cut, other = row["can_cut"] is True, row["other_carton_code"]
    if is_unknown(other):
        return " Cutting the carton does it." if can_cut else ""
    return f" Cutting the carton does it, or carton {other}." if can_cut else f" Carton {other} would do."


def dispute(row: Row, currency: str) -> str:
    """A dispute on four lines: cause, amount and last day; its id; then what either side says."""
    cause, charge = row["difference_class"], row["charge_name"]
    name = "" if is_unknown(charge) or charge in cause else f" on {charge}"
    until = "" if is_unknown(row["last_dispute_on"]) else f" Dispute by {day(row['last_dispute_on'])};"
    back = f", {money(row['credited_cents'], currency)} of it taken back" if row["credited_cents"] else ""
    return (
        f"Billed wrongly: {cause}{name}, {money(row['over_cents'], currency)}{back}."
        f"{until or ' State:'} {row['dispute_state']}.\n"
        f"  id: {row['dispute_id']}\n"
        f"  shop: {row['own_evidence']}\n"
        f"  carrier: {row['billed_evidence']}"
    )
