"""Columns of the stock of cartons, what to order of them, and what stands in for one that has run out."""

from models.carton_choice.order_words import LEAST_COST, MONTHS_OF_STOCK, RECENT, SEASON, STATES
from models.fields import Topic, cents, choice, count, date, flag, number, signed_cents, text

CARTON_STOCK: Topic = {
    "packed_since_count": count(
        "Parcels packed in it after the day of the count; not known without a day", 62, label="Packed since the count"
    ),
    "unnamed_since_count": count(
        "Parcels packed after the day of the count of which no carton is on record",
        3,
        label="Packed in unnamed cartons",
    ),
    "is_recount_due": flag("Whether more was packed since the count than there were", False, label="Count again"),
    "stock_left": count(
        "Pieces counted less those packed since; deliveries since the count are not on record", 58, label="Pieces left"
    ),
    "order_state": choice("Whether to order, by the last day of the bench log", "order now", STATES, label="State"),
    "last_used_on": date("Day on which a parcel was packed in it last", "2026-10-30"),
    "packed_to_on": date("Last day of the bench log", "2026-10-31"),
    "use_basis": choice("What the expected use follows", SEASON, (SEASON, RECENT), label="Use follows"),
    "next_use": number("Pieces expected to be used in the next 30 days", 41.2, least=0, label="Use in 30 days"),
    "runs_out_on": date("Day on which the last piece is expected to be used", "2026-12-12"),
    "lead_time_use": number(
        "Pieces expected to be used from an order until its delivery", 14.3, least=0, label="Use in lead time"
    ),
    "reserve_count": count("Pieces kept against more use than expected until delivery", 7, label="Reserve"),
    "reorder_at_count": count("Pieces left at which to order: use in the lead time and reserve", 21, label="Order at"),
    "order_by_on": date("Day on which stock is expected to fall to the reorder level", "2026-11-25"),
    "order_count": count("Pieces to order, in whole packs where a pack is stated", 125, label="Pieces to order"),
    "order_unit_cents": cents("Price of one carton in an order of that size", 272, label="Price each"),
    "order_cents": cents("What the order costs", 34_000, label="Cost of order"),
    "order_months": number(
        "Months that the order lasts, by the use of a year", 3.1, least=0, label="Order lasts, months"
    ),
    "order_basis": choice(
        "By which rule the quantity was found", MONTHS_OF_STOCK, (LEAST_COST, MONTHS_OF_STOCK), label="Quantity by"
    ),
    "storage_month_cents": cents(
        "Storing half of the order flat for a month, at the shop's price by volume", 120, label="Storage a month"
    ),
    "order_keep_cents": cents(
        "Storage and interest of the order until its last piece is used, as the shop states them",
        4_100,
        label="Storage and interest",
    ),
    "order_extra_cents": signed_cents(
        "What a parcel costs more in the next best carton, where the order lasts longer than a year",
        210,
        label="More in the next carton",
    ),
    "order_pays_months": number(
        "Months after which such an order has cost less than the next best carton; unknown where it never does",
        9.4,
        least=0,
        label="Order pays after, months",
    ),
    "is_order_paying": flag(
        "Whether such an order has cost less than the next best carton within two years", True, label="Order pays"
    ),
    # What stands in for a carton that has run out
    "substitute_code": text(
        "Cheapest other carton that holds the contents and has not run out", "C-50", label="Next best carton"
    ),
    "substitute_left": count(
        "Pieces left of the next best carton; not known where it was never counted", 150, label="Pieces left of it"
    ),
    "extra_cents": signed_cents(
        "What the parcels would have cost more in it, carriage and carton", 4200, label="Extra cost"
    ),
    "extra_per_parcel_cents": signed_cents("The same for each parcel", 210, label="Extra cost a parcel"),
}
