"""The five kinds of record a shop brings in.

The single source for validation, the data dictionary, the template files of `dunnage init` and the column-map
proposal. The reference tables that a shop keeps itself stand in models/reference.py.
"""

from __future__ import annotations

from models.contracts import contract
from models.fields import cents, choice, count, date, flag, inches, instant, minutes, pounds, text
from models.fields import signed_cents as signed
from models.rules import AtMost, Needs, OneOf, sides_in_order

CHARGE_KINDS = ("base", "fuel", "surcharge", "adjustment", "tax", "credit")
CLAIM_CAUSES = ("damage", "loss", "not as described", "delay", "other")
CLAIM_STATES = ("reported", "filed", "paid", "refused", "withdrawn")

SALES = contract(
    "sales",
    "One row per sale line: one item type and quantity that one buyer bought.",
    ("sale_id", "line_number"),
    {
        "sale_id": text("Number of the sale", "S-10482", known_as=("order id", "order number", "sale", "order")),
        "line_number": count("Line within the sale", 1, least=1, most=10_000, known_as=("line", "position", "pos")),
        "sold_at": instant("When the buyer paid", "2026-10-03 14:25:00", known_as=("paid at", "order date", "sold")),
        "channel": text(
            "Where it was sold", "marketplace", optional=True, known_as=("site", "shop", "store", "sold via")
        ),
        "item_type": text("Kind of goods", "tripod", optional=True, known_as=("item", "product type", "category")),
        "sku": text(
            "Shop's stock number, mapped to an item type in `skus`",
            "TRI-0042",
            optional=True,
            known_as=("stock number",),
        ),
        "quantity": count("Pieces sold on this line", 1, least=1, most=100_000, known_as=("qty", "units")),
        "item_price_cents": cents("Price of one piece", 18900, known_as=("price", "unit price", "item price")),
        "shipping_charged_cents": cents(
            "Shipping the buyer paid for this line",
            2450,
            known_as=("shipping", "postage paid", "shipping charged"),
        ),
        "marketplace_fee_cents": cents(
            "Fee the marketplace kept on this line",
            2310,
            optional=True,
            known_as=("fee", "commission", "selling fee"),
        ),
        "is_fee_on_shipping": flag(
            "Whether that fee is taken on shipping too", True, optional=True, known_as=("fee on shipping",)
        ),
        "destination_prefix": text(
            "First figures of the destination's postal code",
            "597",
            optional=True,
            known_as=("zip", "postal code"),
        ),
    },
    (OneOf(("item_type", "sku")),),
)

CARTONS = contract(
    "cartons",
    "One row per carton size and the day from which its entry is valid.",
    ("carton_code", "effective_from"),
    {
        "carton_code": text("Shop's code of the carton size", "C-08", known_as=("carton", "box", "box code")),
        "effective_from": date("First day of this entry", "2025-05-01", known_as=("valid from", "from", "since")),
        "carton_style": text("Style, by FEFCO code where known", "0201", known_as=("style", "fefco"), optional=True),
        "inside_length_in": inches("Longer inside side of the opening", 47.5, known_as=("inside length",)),
        "inside_width_in": inches("Shorter inside side of the opening", 7.5, known_as=("inside width",)),
        "inside_height_in": inches("Inside height from flap to flap", 7.5, known_as=("inside height", "depth")),
        "outside_length_in": inches("Outside along the inside length", 48.0, optional=True),
        "outside_width_in": inches("Outside along the inside width", 8.0, optional=True),
        "outside_height_in": inches("Outside along the inside height", 8.0, optional=True),
        "board_in": inches("Board thickness", 0.16, most=2, optional=True, known_as=("thickness", "caliper")),
        "unit_cost_cents": cents("Price of one carton", 285, known_as=("cost", "price", "unit cost")),
        "is_cuttable": flag("Whether it may be cut lower", True, optional=True, known_as=("may be cut", "cut")),
        "minimum_height_in": inches(
            "Lowest inside height it may be cut to", 4.0, optional=True, known_as=("minimum height",)
        ),
        "on_hand": count("Pieces in stock", 120, optional=True, known_as=("stock",)),
        "minimum_order": count("Smallest order from the supplier", 25, optional=True, known_as=("moq", "pack")),
    },
    (
        AtMost("inside_width_in", "inside_length_in"),
        AtMost("inside_length_in", "outside_length_in"),
        AtMost("inside_width_in", "outside_width_in"),
        AtMost("inside_height_in", "outside_height_in"),
        AtMost("minimum_height_in", "inside_height_in"),
    ),
)

WEIGHTS = contract(
    "weights",
    "One row per parcel and sale line packed in it: the bench log. A parcel of several lines has several rows.",
    ("parcel_id", "sale_id", "line_number"),
    {
        "parcel_id": text("Number on the label", "NL40017733", known_as=("parcel", "label", "tracking number")),
        "sale_id": text("Sale packed", "S-10482", known_as=("order", "order number", "sale")),
        "line_number": count("Line of that sale", 1, least=1, most=10_000, known_as=("line", "position", "pos")),
        "packed_quantity": count("Pieces of that line inside", 1, least=1, most=100_000, known_as=("qty", "pieces")),
        "shipped_on": date("Day handed to the carrier", "2026-10-05", known_as=("shipped", "ship date", "date")),
        "carrier": text("Carrier", "Northline", known_as=("carrier name",)),
        "service": text("Carrier's service", "ground", known_as=("service level",)),
        "zone": text("Carrier's zone", "5", optional=True),
        "is_residential": flag("Delivered to a home", True, optional=True, known_as=("residential", "home")),
        "destination_prefix": text("First figures of the postal code", "597", optional=True, known_as=("zip",)),
        "declared_value_cents": cents("Value declared", 18900, optional=True, known_as=("declared value",)),
        "carton_code": text("Carton used", "C-08", optional=True, known_as=("carton", "box")),
        "cut_height_in": inches("Inside height after cutting down", 6.0, optional=True, known_as=("cut to", "cut")),
        "packing_method": text("How the goods were secured", "foam", optional=True, known_as=("packing", "packed")),
        "is_rectangular": flag("False for a tube or a bundle", True, optional=True, known_as=("rectangular",)),
        "scale_weight_lb": pounds("Weight on the bench scale", 11.4, optional=True, known_as=("weight", "scale")),
        "length_in": inches("Longest outside side, measured", 49.0, optional=True, known_as=("length",)),
        "width_in": inches("Second outside side, measured", 8.0, optional=True, known_as=("width",)),
        "height_in": inches("Shortest outside side, measured", 8.0, optional=True, known_as=("height",)),
        "packer": text("Code of the packing bench; not a name", "B2", optional=True, known_as=("bench",)),
        "pack_minutes": minutes("Time spent packing", 9.5, optional=True, known_as=("minutes", "min", "time")),
    },
    (*sides_in_order(), Needs("cut_height_in", "carton_code")),
)

CHARGES = contract(
    "charges",
    "One row per line of a carrier's invoice.",
    ("carrier", "invoice_number", "line_number"),
    {
        "carrier": text("Carrier that sent the invoice", "Northline", known_as=("carrier name",)),
        "invoice_number": text(
            "Number of the invoice", "NL-2026-10-2", known_as=("invoice", "bill", "document", "document number")
        ),
        "line_number": count("Line within the invoice", 17, least=1, known_as=("line", "position", "pos", "item")),
        "invoiced_on": date(
            "Date of the invoice", "2026-10-12", known_as=("invoice date", "billed on", "document date", "date")
        ),
        "parcel_id": text("Parcel charged; empty for account fees", "NL40017733", optional=True, known_as=("parcel",)),
        "sale_id": text(
            "Shop's reference on the label", "S-10482", optional=True, known_as=("reference", "customer reference")
        ),
        "shipped_on": date(
            "Day of shipping by the carrier's scan",
            "2026-10-05",
            optional=True,
            known_as=("ship date", "shipment date", "scanned", "scan date", "pickup", "collected"),
        ),
        "service": text("Service billed", "ground", optional=True, known_as=("service level", "product")),
        "zone": text("Zone billed", "5", optional=True, known_as=("lane", "band", "distance band")),
        "charge_code": text(
            "Carrier's word for the charge",
            "LONG SIDE",
            known_as=("charge", "code", "description", "fee"),
        ),
        "charge_kind": choice(
            "Kind of charge; empty where `charge_codes` gives it", "surcharge", CHARGE_KINDS, optional=True
        ),
        "amount_cents": signed("Amount billed; credits are negative", 1850, known_as=("amount", "net", "charge")),
        "billed_weight_lb": pounds("Weight billed", 23.0, optional=True, zero=True, known_as=("charged weight",)),
        "billed_length_in": inches("Longest side billed", 49.0, optional=True, known_as=("length", "side 1")),
        "billed_width_in": inches("Second side billed", 8.0, optional=True, known_as=("width", "side 2")),
        "billed_height_in": inches("Shortest side billed", 8.0, optional=True, known_as=("height", "side 3")),
    },
    (*sides_in_order("billed_"), AtMost("shipped_on", "invoiced_on")),
)

CLAIMS = contract(
    "claims",
    "One row per claim for a lost or damaged parcel.",
    ("claim_id",),
    {
        "claim_id": text("Number of the claim", "CL-0231", known_as=("claim", "case")),
        "parcel_id": text("Parcel concerned", "NL40017733", known_as=("parcel", "label", "tracking number")),
        "opened_on": date("Day the buyer reported it", "2026-10-19", known_as=("reported", "opened")),
        "claim_cause": choice("What went wrong", "damage", CLAIM_CAUSES, known_as=("cause", "reason", "what happened")),
        "claim_state": choice("How far it has come", "filed", CLAIM_STATES, known_as=("state",)),
        "filed_on": date("Day it was sent to the carrier", "2026-10-21", optional=True, known_as=("filed", "sent")),
        "decided_on": date(
            "Day the carrier decided", "2026-11-20", optional=True, known_as=("decided", "closed", "answered")
        ),
        "damaged_part": text("Part that broke", "focuser", optional=True, known_as=("part",), is_remark=True),
        "packing_evidence": text("What photos show of the packing", "end cap crushed", optional=True, is_remark=True),
        "claimed_cents": cents(
            "Asked of the carrier", 18900, optional=True, known_as=("claimed", "demand", "claim amount")
        ),
        "paid_cents": cents("Paid by the carrier", 18900, optional=True, known_as=("paid", "recovered", "received")),
        "refund_cents": cents("Refunded to the buyer", 21350, optional=True, known_as=("refund",)),
        "replacement_cents": cents(
            "Cost of goods sent again", 0, optional=True, known_as=("replacement", "sent again")
        ),
        "return_cost_cents": cents(
            "Cost of the return", 1720, optional=True, known_as=("return postage", "return label")
        ),
        "salvage_cents": cents(
            "Worth of what came back", 4000, optional=True, known_as=("salvage", "worth of returns")
        ),
    },
    (
        AtMost("opened_on", "filed_on"),
        AtMost("filed_on", "decided_on"),
        AtMost("paid_cents", "claimed_cents"),
        Needs("paid_cents", "decided_on"),
    ),
)
