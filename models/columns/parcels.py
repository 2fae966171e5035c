"""Columns of how a parcel is packed and sent."""

from __future__ import annotations

from models.fields import Definition, cents, choice, date, fact_key, flag, inches, joined_text, minutes, pounds, text

PARCELS: dict[str, Definition] = {
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
    "has_sale": flag("Whether the sale of anything in it is on record", True),
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
}
