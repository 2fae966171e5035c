"""What to charge for shipping."""

from dashboards.formats import UNNAMED
from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, definition, of_records, where
from dashboards.sentences.grounds import flagged, named

GUIDANCE = "analysis.shipping_guidance"


def charged_short(rows: Rows) -> Rows:
    """Rows with enough parcels whose charge falls short, those that lost most in the year first."""
    short = flagged(rows, "-is_too_few")
    return short[short["shortfall_cents"] > 0].sort_values("margin_cents", kind="stable")


@of_records
def _lost_most(records: Records, is_zone_known: bool) -> Rows:
    found = named(charged_short(records.table(GUIDANCE)), "item_type").head(1)
    return found[(found["margin_cents"] < 0) & ((found["zone_band"] != UNNAMED) == is_zone_known)]


def _none_short(records: Records) -> bool:
    rows = records.table(GUIDANCE)
    return len(flagged(rows, "-is_too_few")) > 0 and charged_short(rows).empty


def _too_few(records: Records) -> bool:
    rows = records.table(GUIDANCE)
    return len(rows) > 0 and len(flagged(rows, "is_too_few")) == len(rows)


ENTRIES = (
    *(
        where(
            id,
            f"Largest loss within a year: {goods}, on {{parcel_count:parcel/parcels}}. Buyers paid "
            "{charged_per_parcel_cents} for one piece on average; at {break_even_cents}, eight parcels of ten would "
            "pay for themselves.",
            _lost_most(is_zone_known),
        )
        for id, goods, is_zone_known in (
            ("guidance.lost_most", "{item_type} to {zone_band} zones", True),
            ("guidance.lost_most_anywhere", "{item_type}", False),
        )
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
        lambda records: records.is_empty(GUIDANCE),
    ),
    definition(
        "guidance.means",
        "One piece in its own parcel, over the last twelve months of the records, or all where they are fewer, priced "
        "under the tariff in force or announced for the next two months, where there is one. Break-even covers what "
        "eight parcels of ten would cost, the item type's mean damage and the marketplace's fee on the charge itself, "
        "less what the item price keeps for shipping. Whether buyers would pay it is not in the records.",
    ),
)
