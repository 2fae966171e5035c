"""Columns of item types, packing methods and the goods of a sale, and of the decision between methods."""

from models.fields import Topic, cents, choice, count, flag, fraction, inches, limits, pounds, signed_cents, text

# Two or one of the sides that may stand vertical, where neither "any" nor "upright" says so.
TURNED_SIDES = ("height or width", "height or length", "width or length", "width", "length")
TURNS = ("any", "flat", "upright", "not on end", *TURNED_SIDES)
BUNDLED_BY = STATED, LEARNED = "stated", "learned"
NAMED_BY = ("bench log", "sale", "label", "invoice")
SALE_STATES = ("sold", "cancelled", "returned", "refunded")
DOUBTS = ("sales disagree", "bench rows disagree", "unknown carton", "unknown packing method", "cut above carton")
DECISION_VERDICTS = ("use", "keep", "wait", "choice", "too close", "one method", "no cost known")

GOODS: Topic = {
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
    "quantity": count(
        "Pieces sold on the sale line", 1, least=1, most=100_000, known_as="[number/sale/sold/unit] quantity"
    ),
    "line_quantity": count("Pieces sold on the sale line", 1),
    "piece_count": count("Pieces shipped", 214, label="Pieces"),
    "line_count": count("Lines", 3, label="Lines"),
    "is_content_known": flag("Whether a record says that the line was in this parcel and no other of its sale", True),
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
    "bundled_count": count("Pieces wrapped together", 2, least=2, known_as="bundle [quantity/size]"),
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
    "item_cost_cents": cents("What one piece cost the shop", 9200, known_as="[item/unit/sold] cost [price]"),
    "shipping_allowance_cents": cents("Kept in the item price for shipping", 0),
    # The packing decision
    "packing_cents": cents("Material and packing time of one parcel", 860, label="Material and labour"),
    "method_carriage_cents": signed_cents(
        "Carton, its cutting and void fill, and postage of the sampled parcels, mean", 2980, label="Carton and postage"
    ),
    "carriage_change_cents": signed_cents("Carton and postage less those of the current method", 210),
    "expected_damage_cents": signed_cents("Damage rate times severity", 330),
    "total_cents": signed_cents("All of these for one parcel", 4170, label="Total per parcel"),
    **limits(signed_cents, "total_low_cents", "the total, 95 percent", 3990, 4390, "Total"),
    "cheapest_chance": fraction("Chance that the method is the cheapest", 0.83, label="Chance to be cheapest"),
    "yearly_gain_cents": signed_cents("Gain in a year against the current method", 41000, label="Gain a year"),
    **limits(signed_cents, "gain_low_cents", "the gain, 95 percent", -8000, 90000, "Gain"),
    "break_even_rate": fraction(
        "Damage rate at which it would cost what the current method costs", 0.041, label="Break-even rate"
    ),
    "method_parcel_count": count("Parcels of the item type packed so", 212),
    "is_current": flag("Method of most parcels in the last 90 days", True),
    "is_best": flag("Method with the lowest expected total", False),
    "best_method": text("Method with the lowest expected total", "foam"),
    "more_damaged_count": count(
        "Parcels that would be damaged a year beyond those of the current method; below zero where fewer would",
        4,
        least=-1_000_000_000,
        label="More broken a year",
    ),
    "current_method": text("Method of most parcels in the last 90 days", "paper"),
    "best_chance": fraction("Chance that the best method is the cheapest", 0.83, label="Chance to be cheapest"),
    "best_gain_cents": signed_cents(
        "Gain in a year that the best method may be counted on for: less than the difference of the totals, as far as "
        "that is uncertain",
        36000,
        label="Gain a year to count on",
    ),
    **limits(signed_cents, "best_gain_low_cents", "the gain by the best method, 95 percent", -8000, 90000),
    "wait_parcels": count(
        "More parcels by each of two methods until the chance is high enough", 240, label="More parcels, each"
    ),
    "trial_parcels": count(
        "Parcels by each method that would show the difference in damage", 1150, label="Parcels for a trial, each"
    ),
    "information_cents": cents("Worth of knowing every rate exactly, for a year", 5200),
    "volume_days": count("Days on record from which a year's parcels are known, 365 at the most", 365, least=1),
    "yearly_parcel_count": count(
        "Parcels of the item type a year, as in the last twelve months, or in the time on record where it is less", 610
    ),
    "sampled_parcel_count": count("Parcels rated under every method", 120, label="Parcels rated"),
    "packing_verdict": choice("What follows", "wait", DECISION_VERDICTS, label="Verdict"),
    "is_carriage_rated": flag("Whether parcels were rated again under each method", True),
    "cut_and_fill_cents": cents("Cutting the carton down, and void fill", 80, label="Cutting and void fill"),
    "postage_cents": cents("Postage by the tariff", 2690),
}
