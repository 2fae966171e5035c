"""Columns of what is sold and packed: sale lines, item types, stock numbers."""

from __future__ import annotations

from models.fields import Definition, cents, choice, count, flag, inches, pounds, text

# Two or one of the sides that may stand vertical, where neither "any" nor "upright" says so.
TURNED_SIDES = ("height or width", "height or length", "width or length", "width", "length")
TURNS = ("any", "flat", "upright", "not on end", *TURNED_SIDES)
BUNDLED_BY = STATED, LEARNED = "stated", "learned"
NAMED_BY = ("bench log", "sale", "label", "invoice")
SALE_STATES = ("sold", "cancelled", "returned", "refunded")
DOUBTS = ("sales disagree", "bench rows disagree", "unknown carton", "unknown packing method", "cut above carton")

GOODS: dict[str, Definition] = {
    "parcel_id": text(
        "Number on the label; empty for account fees, which stand under `account CARRIER MONTH`",
        "NL40017733",
        label="Parcel",
        known_as="[postage/shipped] parcel [number/reference/code]",
        known_in={"returns": "label out, outbound [parcel/label], original [parcel/label]"},
    ),
    "sale_id": text(
        "Number of the sale; on an invoice, the shop's reference on the label",
        "S-10482",
        known_as="[customer/sold/document] sale [number/reference/code], [customer/sender] reference [number]",
        known_in=dict.fromkeys(("sales", "weights"), "document [number]"),
    ),
    "line_number": count(
        "Line of the sale or the invoice",
        1,
        least=1,
        built_least=0,
        known_as="[sale/document] line [number], [sale] item number, [sale] item line [number]",
        known_in={"charges": "item, [invoice] line [number], invoice item [number]"},
    ),
    "item_type": text(
        "Kind of goods; of a parcel, the one with the greatest chargeable weight",
        "tripod",
        known_as="item, [item] type/kind",
    ),
    "sale_state": choice(
        "What became of the sale. Cancelled: no income, and it needs no parcel. Returned: income stays but for the "
        "shipping refunded. Refunded: no income kept in the item price, and all shipping counts as refunded unless "
        "the record says how much was. Empty: sold",
        "sold",
        SALE_STATES,
        known_as="sale state",
    ),
    "named_by": choice("Kind of record that says in which parcel a sale went", "sale", NAMED_BY),
    "channel": text("Where it was sold", "marketplace", known_as="[sold/sale] channel, sold via"),
    "packed_quantity": count(
        "Pieces of the sale line in the parcel",
        1,
        least=1,
        built_least=0,
        most=100_000,
        known_as="[number] [packed] quantity [parcel]",
    ),
    "quantity": count("Pieces sold on the sale line", 1, least=1, most=100_000, known_as="[number/sale/sold] quantity"),
    "line_quantity": count("Pieces sold on the sale line", 1),
    "piece_count": count("Pieces shipped", 214, label="Pieces"),
    "line_count": count("Lines", 3, label="Lines"),
    "paid_basis": count("Thousandths of the line's pieces in the parcel; what was paid is shared by it", 1000),
    "cost_basis": count("The line's own chargeable weight, in thousandths; costs are shared by it", 9200),
    "doubt": choice("What is doubtful in the bench log", "unknown carton", DOUBTS),
    "sku": text(
        "Shop's stock number, mapped to an item type in `skus`",
        "TRI-0042",
        known_as="sku [number/code], stock number, stock keeping unit, item number/code/reference",
    ),
    "title": text(
        "Title of the offer; word rules make item types of titles where there is neither item type nor stock number",
        "60mm refractor, wooden tripod - rare L@@K",
        known_as="[item] title, item name",
        is_remark=True,
    ),
    "has_unknown_title": flag("Whether it has a title alone, and no rule makes an item type of it", False),
    "size_class": text("Class by billed weight and longest side", "up to 5 lb, up to 24 in"),
    "word": text("Word of a rule for titles, small", "refractor"),
    "word_count": count("Words of the rule", 2, label="Words"),
    "item_price_cents": cents("Price of one piece", 18900, known_as="[sold] [net] [unit/item] price"),
    "bundled_count": count(
        "Pieces wrapped together",
        2,
        least=2,
        known_as="bundle [quantity/size]",
    ),
    "bundle_source": choice(
        "Whether the shop states the sides of pieces wrapped together or its parcels show them", STATED, BUNDLED_BY
    ),
    "bundle_length_in": inches(
        "Longer side of the base of pieces wrapped together; where learned, of the inside that held them", 44.0
    ),
    "bundle_width_in": inches(
        "Shorter side of the base of pieces wrapped together; where learned, of the inside that held them", 8.0
    ),
    "bundle_height_in": inches("Height of pieces wrapped together; where learned, of the inside that held them", 7.0),
    "weight_lb": pounds("Weight of one piece, wrapped", 9.2, known_as="[packed/item/unit] [scale] weight"),
    "turns": choice(
        "How it may lie: any way, flat on its largest side, upright on its base only, not on end (its longest side "
        "never vertical), or the sides that may be vertical",
        "any",
        TURNS,
    ),
    "may_lie_under": flag("Whether other goods may lie on it", True),
    "is_fragile": flag("Whether it breaks when dropped", False, known_as="fragile"),
    "item_cost_cents": cents("What one piece cost the shop", 9200, known_as="[item/unit] cost [price]"),
    "shipping_allowance_cents": cents("Kept in the item price for shipping", 0),
}
