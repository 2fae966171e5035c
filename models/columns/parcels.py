"""Columns of parcels, and of labels bought for them.

Nothing typed for a label is a measurement.
"""

from models.fields import (
    Topic,
    cents,
    choice,
    count,
    date,
    fact_key,
    flag,
    inches,
    joined_text,
    minutes,
    pounds,
    signed_cents,
    text,
)

PARCELS: Topic = {
    "carrier": text("Carrier", "Northline", known_as="[postage] carrier [name], postage company"),
    "shipment_id": text(
        "Number under which the carrier takes several parcels together; leave it out where each goes alone",
        "SH-20417",
        label="Shipment",
        known_as="shipment [number/reference/code]",
    ),
    "lead_parcel_id": text("First parcel of the shipment, under which its bill is compared", "NL40017733"),
    "is_charged": flag("Whether the shipment, or a parcel of it, has a base charge", True),
    "is_billed_whole": flag("Whether not every parcel of the shipment has a base charge of its own", True),
    "names_no_parcel": flag("Whether an invoice line names a shipment and no parcel", False),
    "service": text(
        "Carrier's service; on an invoice, the one billed",
        "ground",
        known_as="[postage/billed] service [type/level/mode], postage type/method/mode, mode",
        known_in={"charges": "item"},
    ),
    "zone": text(
        "Carrier's zone; on an invoice, the one billed",
        "5",
        known_as="[tariff/postage/destination/billed/carrier] zone, lane, band, distance band",
    ),
    "destination_prefix": text(
        "First figures of the destination's postal code",
        "597",
        known_as="[destination/postage/shipped/customer] postal [code]",
    ),
    "is_residential": flag("Delivered to a home", True, known_as="residential, home"),
    "is_rectangular": flag("False for a tube or a bundle", True, known_as="rectangular"),
    "declared_value_cents": cents("Value declared", 18900, known_as="declared value"),
    "carton_code": text(
        "Shop's code of the carton size", "C-08", label="Carton", known_as="carton [code/type/size] [used]"
    ),
    "carton_style": text("Style, by FEFCO code where known", "0201", known_as="style, fefco"),
    "cut_height_in": inches("Inside height after cutting down", 6.0, known_as="cut to, cut"),
    "packing_method": text(
        "How the goods are secured", "foam", known_as="packed [method/type/mode], cushion [method/type], method"
    ),
    "packer": text("Code of the packing bench; not a name", "B2", known_as="[packed] bench [number/code]"),
    "pack_minutes": minutes("Packing time; of a packing method, the usual one", 9.5, known_as="[packed/bench] minutes"),
    "scale_weight_lb": pounds("Weight on the bench scale", 11.4, known_as="[packed/parcel] [scale] weight, scale"),
    "length_in": inches(
        "Longest outside side; of an item type, the longer side of the base of one piece, wrapped",
        49.0,
        known_as="[outside/packed] length [side]",
    ),
    "width_in": inches(
        "Second outside side; of an item type, the shorter side of that base",
        8.0,
        known_as="[outside/packed] width [side]",
    ),
    "height_in": inches(
        "Shortest outside side; of an item type, its height as it stands on that base",
        8.0,
        known_as="[outside/packed] height [side], shortest side",
    ),
    "has_bench_log": flag("Whether the bench log knows the parcel", True),
    "has_charges": flag("Whether an invoice names the parcel", True),
    "has_sale": flag("Whether the sale of anything in it is on record", True, label="Sale known"),
    "dated_by": choice(
        "What says the day on which it counts: a stated day of shipping, its label, its first invoice or its claim",
        "shipping",
        ("shipping", "label", "invoice", "claim"),
    ),
    "is_account": flag("True for account fees that name no parcel", False),
    "packed_contents_key": fact_key("Goods with the same clearance, or the inside that bounds them"),
    "goods": joined_text("Item types and how many pieces of each", "tripod\x1f2\x1ebracket\x1f1"),
    "bound_length_in": inches("Longer inside of the carton that bounds unknown goods", 12.0),
    "bound_width_in": inches("Shorter inside of the carton that bounds unknown goods", 12.0),
    "bound_height_in": inches("Inside height of that carton, after cutting", 8.0),
    "conditions_key": fact_key("All that decides a price beside the sides, and the carton catalogue of the day"),
    "catalogue_from": date("First day of the carton catalogue that held on the day of shipping", "2026-01-12"),
    # Labels: what was bought and typed before a parcel was sent. Nothing typed is a measurement
    "bought_on": date("Day the label was bought", "2026-10-04", known_as="[parcel/sold] date, [parcel] created [date]"),
    "quoted_cents": cents(
        "Postage quoted when the label was bought",
        1840,
        known_as="[quoted/parcel] postage [cost/price], quoted price, parcel cost/price",
    ),
    "insured_cents": cents("Value insured with the label", 18900, known_as="insured [value]"),
    "is_voided": flag("Whether the label was voided: it costs nothing and sends nothing", False, known_as="voided"),
    "first_scan_on": date(
        "Day of the carrier's first scan; empty while there is none",
        "2026-10-05",
        known_as="first scan [date], first scanned",
    ),
    "typed_weight_lb": pounds("Weight typed before sending; never taken as measured", 11.0, known_as="[parcel] weight"),
    "typed_length_in": inches(
        "Longest side typed before sending; never taken as measured", 48.0, known_as="[parcel] length"
    ),
    "typed_width_in": inches(
        "Second side typed before sending; never taken as measured", 8.0, known_as="[parcel] width"
    ),
    "typed_height_in": inches(
        "Shortest side typed before sending; never taken as measured", 8.0, known_as="[parcel] height"
    ),
    "above_quote_cents": signed_cents(
        "Billed for the parcel with all surcharges and corrections, less the postage quoted", 340
    ),
    "above_quote_count": count("Parcels billed above their quote", 12, label="Billed above quote"),
    "is_heavier": flag("Whether it was billed at least 1 lb heavier than typed; no measurement says which is so", True),
    "is_larger": flag("Whether it was billed at least 1 in longer than typed; no measurement says which is so", True),
    "heavier_count": count(
        "Parcels billed at least 1 lb heavier than typed; no measurement says which is so",
        7,
        label="Billed heavier than typed",
    ),
    "larger_count": count(
        "Parcels billed at least 1 in longer than typed; no measurement says which is so",
        5,
        label="Billed longer than typed",
    ),
    "label_count": count("Labels that were paid for", 412, label="Labels"),
    "scanned_count": count("Labels that show a carrier's scan", 398, label="Scanned"),
    "unscanned_days": count("Days from buying the label to the latest day in the label history", 18),
    "refund_by_on": date(
        "Last day on which the carrier refunds an unused label; empty where no tariff states the term", "2026-11-03"
    ),
    "refund_days_left": count(
        "Days until that day, from the latest day in the label history; below zero where it is past",
        12,
        least=-40_000,
        label="Days left for the refund",
    ),
}
