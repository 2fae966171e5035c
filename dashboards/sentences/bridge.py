"""What changed the margin since the month before."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, definition, of_records, where
from dashboards.sentences.grounds import (
    FEWEST,
    FEWEST_OF_MONTH,
    MARGIN,
    NAMELESS,
    are_comparable,
    flagged,
    greatest,
    is_judged,
    least,
    month_before,
    only_if,
    parcels_of_month,
)

TABLE, SPANS = "analysis.margin_bridge", "terminal.bridge"
CHANGE = "margin_step_change_cents"


def _steps(records: Records) -> Rows:
    """The month's steps without their sum, where both months may be compared."""
    rows = records.month_rows(TABLE).sort_values("step_number")
    return only_if(are_comparable(records), rows.iloc[:-1])


@of_records
def _extreme(records: Records, sign: int, is_one_item: bool) -> Rows:
    """The step to act on that moved the margin most in one direction; whether one item type is all of it, or none is
    known to have the largest part."""
    steps = flagged(_steps(records), "is_actionable")
    found = greatest(steps, CHANGE) if sign > 0 else least(steps, CHANGE)
    found = found[found[CHANGE] * sign > 0]
    is_whole = (found["main_item_change_cents"] == found[CHANGE]) | found["main_item_type"].isin(NAMELESS)
    return found[is_whole == is_one_item]


@of_records
def _largest(records: Records, is_actionable: bool) -> Rows:
    """The step that moved the margin most, of those to act on or of the others."""
    steps = flagged(_steps(records), "is_actionable" if is_actionable else "-is_actionable").dropna(subset=[CHANGE])
    found = steps.assign(size=steps[CHANGE].abs())
    return greatest(found[found["size"] > 0], "size")


def _compared(records: Records) -> Rows:
    is_enough = bool((parcels_of_month(records)["parcel_count"] >= FEWEST).any())
    row = records.month_rows(TABLE).head(1)
    return only_if(is_enough and are_comparable(records), row[row["compared_share"] < 1])


def _spans(records: Records) -> Rows:
    total = records.table(SPANS).tail(1)
    return total[(total["parcel_count"] >= FEWEST) & (total["compared_share"] < 1)]


def _has_both(records: Records) -> bool:
    return not (parcels_of_month(records).empty or month_before(records, MARGIN).empty)


def _are_few(records: Records) -> bool:
    before = month_before(records, MARGIN)
    return _has_both(records) and not (is_judged(records) and (before["parcel_count"] >= FEWEST_OF_MONTH).any())


def _is_unequal(records: Records) -> bool:
    return (
        not _are_few(records)
        and _has_both(records)
        and len(records.month_rows(TABLE)) > 0
        and not are_comparable(records)
    )


ENTRIES = (
    where(
        "bridge.no_month_before",
        "There is no month before in the records to compare with.",
        lambda records: len(parcels_of_month(records)) > 0 and month_before(records, MARGIN).empty,
    ),
    where("bridge.few", "At least one of the two months has too few parcels for a comparison.", _are_few),
    where(
        "bridge.unequal",
        "The records do not show that both months are equally complete, so a part of each step may be records that are "
        "missing.",
        _is_unequal,
    ),
    where(
        "bridge.moved_most",
        f"In the change on record, the largest part that can be acted on is {{bridge_step}}: {{{CHANGE}}}.",
        _largest(True),
    ),
    where(
        "bridge.given", f"The largest part that nobody can act on is {{bridge_step}}: {{{CHANGE}}}.", _largest(False)
    ),
    where(
        "bridge.hurt_most",
        f"Hurt most, of what can be acted on: {{bridge_step}}, {{{CHANGE}}}; {{main_item_type}} "
        "alone {main_item_change_cents}.",
        _extreme(-1, False),
    ),
    where(
        "bridge.hurt_most_one_item",
        f"Hurt most, of what can be acted on: {{bridge_step}}, {{{CHANGE}}}.",
        _extreme(-1, True),
    ),
    where(
        "bridge.helped_most",
        f"Helped most, of what can be acted on: {{bridge_step}}, {{{CHANGE}}}; {{main_item_type}} "
        "alone {main_item_change_cents}.",
        _extreme(1, False),
    ),
    where(
        "bridge.helped_most_one_item",
        f"Helped most, of what can be acted on: {{bridge_step}}, {{{CHANGE}}}.",
        _extreme(1, True),
    ),
    where(
        "bridge.compared",
        "{compared_share} of the month's parcels are comparable with the month before; the rest counts as mix.",
        _compared,
    ),
    where(
        "bridge.spans_compared",
        "{compared_share} of the later parcels are comparable with the earlier months; the rest counts as mix.",
        _spans,
    ),
    definition(
        "bridge.means",
        "The steps add up to the change of the margin, to the cent, and do not depend on their order: each is averaged "
        "over all orders in which the changes could have come (Shapley value). First stands what a shop can act on or "
        "ask about, last what buyers ordered. Mix is what came from sending other goods, or the same by other services "
        "and to farther zones; every other step is money per parcel. Base price moves with the tariff and with the "
        "weights billed.",
    ),
)
