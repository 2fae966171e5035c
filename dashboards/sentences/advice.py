"""What to do next, and what to charge for shipping."""

from __future__ import annotations

from collections.abc import Callable

from dashboards.parts import Records
from dashboards.sentences.entry import Rows, RowsOf, definition, of_rows, where
from dashboards.sentences.grounds import flagged, least, overdue, to_come, unflagged

ACTIONS, TOTALS, GUIDANCE = "analysis.actions", "analysis.action_totals", "analysis.shipping_guidance"


def charged_short(rows: Rows) -> Rows:
    """Rows with enough parcels whose charge falls short, those that lost most in the year first."""
    short = unflagged(rows, "is_too_few")
    return short[short["shortfall_cents"] > 0].sort_values("margin_cents", kind="stable")


def _several(records: Records) -> Rows:
    rows = records.table(TOTALS)
    return rows[rows["action_count"] > 1]


def _in_sum(records: Records) -> Rows:
    return flagged(records.table(ACTIONS), "is_in_sum")


def _first(records: Records) -> Rows:
    return least(_in_sum(records), "place")


def _first_due(days: Callable[[Rows, str, Records], Rows]) -> RowsOf:
    return lambda records: days(_first(records), "due_on", records)


def _some_apart(records: Records) -> Rows:
    rows = records.table(TOTALS)
    return rows[rows["apart_count"] > 0]


def _not_looked_at(records: Records) -> Rows:
    rows = records.table(TOTALS)
    return rows[rows["not_looked_at"] != "nothing"]


def _none_found(records: Records) -> bool:
    totals = records.table(TOTALS)
    is_all = len(totals) == 1 and totals["not_looked_at"].iloc[0] == "nothing"
    return records.has(ACTIONS) and _in_sum(records).empty and is_all


def _none_found_so_far(records: Records) -> bool:
    return records.has(ACTIONS) and _in_sum(records).empty and len(_not_looked_at(records)) > 0


def _lost_most(records: Records) -> Rows:
    found = charged_short(records.table(GUIDANCE)).head(1)
    return found[found["margin_cents"] < 0]


def _none_short(records: Records) -> bool:
    rows = records.table(GUIDANCE)
    return len(unflagged(rows, "is_too_few")) > 0 and charged_short(rows).empty


def _too_few(records: Records) -> bool:
    rows = records.table(GUIDANCE)
    return len(rows) > 0 and len(flagged(rows, "is_too_few")) == len(rows)


ENTRIES = (
    of_rows(ACTIONS, "actions.first", "First: {action_words}.", _first),
    of_rows(ACTIONS, "actions.first_due", "Its first deadline is {due_on}.", _first_due(to_come)),
    of_rows(ACTIONS, "actions.first_overdue", "Its first deadline, {due_on}, has passed.", _first_due(overdue)),
    of_rows(
        TOTALS,
        "actions.together",
        "All {action_count} actions together are expected to bring {expected_month_cents} a month and "
        "{expected_once_cents} once.",
        _several,
    ),
    of_rows(
        TOTALS,
        "actions.apart",
        "Not in that sum: {apart_count:trial, choice or higher charge/trials, choices or higher charges}.",
        _some_apart,
    ),
    definition(
        "actions.apart_means",
        "What a trial finds, what buyers do at a higher charge, and whether fewer broken parcels are worth their price "
        "is not in the records, so no sum holds it. The amount is what it would bring a month if all of it came.",
    ),
    of_rows(TOTALS, "actions.not_looked_at", "Not looked at yet: {not_looked_at}.", _not_looked_at),
    where("actions.none", "Nothing was found that is worth doing.", _none_found),
    where("actions.none_so_far", "Nothing worth doing was found in what was looked at.", _none_found_so_far),
    definition(
        "actions.means",
        "As of the last day of the records. Expected is the amount times its chance. Where two actions would save the "
        "same money, they share it, so that the sum is what all together can save; of two ways that exclude one "
        "another the better stands here and names the other.",
    ),
    of_rows(
        GUIDANCE,
        "guidance.lost_most",
        "Largest loss in twelve months: {item_type} to {zone_band} zones, on {parcel_count:parcel/parcels}. Buyers "
        "paid {charged_per_parcel_cents} for one piece on average; at {break_even_cents}, eight parcels of ten "
        "would pay for themselves.",
        _lost_most,
    ),
    where(
        "guidance.none_short",
        "No item type with enough parcels was charged less than its break-even charge.",
        _none_short,
    ),
    where("guidance.too_few", "No item type has parcels enough to say what to charge.", _too_few),
    where(
        "guidance.none",
        "There is no parcel of one piece with a base charge yet.",
        lambda records: records.has(GUIDANCE) and records.table(GUIDANCE).empty,
    ),
    definition(
        "guidance.means",
        "One piece in its own parcel, over the last twelve months of the records, priced under the tariff in force or "
        "announced for the next two months, where there is one. Break-even covers what eight parcels of ten would "
        "cost, the item type's mean damage and the marketplace's fee on the charge itself, less what the item price "
        "keeps for shipping. Whether buyers would pay it is not in the records.",
    ),
)
