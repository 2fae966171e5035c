"""Columns of the money of a parcel, an item type or a month, and of the margin, its bridge and its causes."""

from models.fields import Topic, cents, choice, count, date, flag, fraction, signed_cents, text

CAUSE_KINDS = ("near miss", "damage", "billing errors", "item type", "service")

MARGIN: Topic = {
    "zone_band": text(
        "Zones pooled: up to 3 near, 4 and 5 middle, 6 and more far; a zone that is no number stands alone", "middle"
    ),
    "from_margin_cents": signed_cents(
        "Margin of the parcels, at least; of the lowest row less, too", -500, label="Margin of a parcel"
    ),
    "until_margin_cents": signed_cents(
        "Margin of the parcels, less than; of the highest row more, too", 0, label="Less than"
    ),
    "place": count("Place in the list, first 1", 1, least=1),
    "step_number": count("Place of the step among the steps", 4),
    "bridge_step": text("What changed between two months", "surcharges", label="Step"),
    "from_cents": signed_cents("Sum of the steps before", -3100),
    "waterfall_from_cents": signed_cents("What is left before the step", 8400, label="Before"),
    "margin_reached_cents": signed_cents(
        "Margin of the month before with this step and those before it", -35200, label="Margin after"
    ),
    "margin_step_change_cents": signed_cents("What the step added to the margin", -4200, label="Change"),
    "main_item_type": text("Item type with the largest part in the step, in the step's own direction", "tripod"),
    "main_item_change_cents": signed_cents("Part of the step that the main item type has", -3900, label="Its part"),
    "compared_share": fraction(
        "Share of the month's parcels whose item type, service and zone band also went out the month before", 0.94
    ),
    "waterfall_step": text("Where the money of the month came from or went", "surcharges", label="Step"),
    "waterfall_cents": signed_cents(
        "What came in with the step, or below zero what went out", -967_300, label="Amount"
    ),
    "cause_kind": choice("What kind of cause", "near miss", CAUSE_KINDS, label="Cause"),
    "cause_cents": signed_cents("What the cause cost the month", 152_400, label="Cost"),
    "is_actionable": flag("Whether a shop can act on it: not goods and places ordered, fuel, tax and fees", True),
    "compared_with": text("What the month is compared with", "the same month last year"),
    "first_compared_month": date("First of the months compared with", "2025-10-01", label="From month"),
    "last_compared_month": date("Last of the months compared with", "2025-10-01", label="To month"),
    "compared_parcel_count": count("Parcels of the months compared with", 340),
    "compared_per_parcel_cents": signed_cents(
        "Margin for each parcel of the months compared with", -210, label="Its margin per parcel"
    ),
    "compared_completed_cents": signed_cents(
        "Completed margin of the month compared with; of several months their mean", 99_500, label="Its margin"
    ),
    "compared_completed_per_parcel_cents": signed_cents(
        "Completed margin of the months compared with for each parcel, with those still to be sent",
        -210,
        label="Its completed margin per parcel",
    ),
    "per_parcel_change_cents": signed_cents(
        "Margin for each parcel less that of the months compared with", 40, label="Change per parcel"
    ),
    "is_like_with_like": flag("Whether the months compared are about equally complete", True),
    "cost_cents": signed_cents("What the parcel cost, damage apart", 2890),
    "forward_cost_cents": signed_cents(
        "What the parcel would cost under the tariff in force or announced, damage apart", 3020
    ),
    "past_median_cents": signed_cents(
        "Half the parcels cost no more as they were billed, damage apart", 2750, label="Past cost, half below"
    ),
    "past_high_cents": signed_cents(
        "Eight parcels of ten cost no more as they were billed, damage apart",
        3260,
        label="Past cost, eight of ten below",
    ),
    "median_cost_cents": signed_cents(
        "Half the parcels would cost no more under the latest tariff, damage apart", 2890
    ),
    "high_cost_cents": signed_cents(
        "Eight parcels of ten would cost no more under the latest tariff, damage apart",
        3410,
        label="Cost, eight of ten below",
    ),
    "damage_per_parcel_cents": signed_cents("Damage net of recovery for each parcel of the item type", 190),
    "charged_per_parcel_cents": cents("Shipping the buyer paid for each parcel", 2450, label="Charged"),
    "allowance_per_parcel_cents": cents(
        "Kept in the item price for shipping, for each parcel", 0, label="Kept in item price"
    ),
    "fee_share": fraction("Marketplace fee taken of the shipping charged", 0.08),
    "break_even_cents": cents(
        "Shipping charge at which eight parcels of ten pay for themselves, damage and fee included",
        3870,
        label="Break-even",
    ),
    "shortfall_cents": signed_cents(
        "Break-even charge less what the buyer paid; below zero where enough is paid", 1420
    ),
    "is_too_few": flag("Too few parcels to go by", False),
    # The money of a parcel, an item type or a month
    "cost_kind": text("Kind of money of a parcel", "carton"),
    "base_cents": signed_cents("Plain carriage", 1480, label="Plain carriage"),
    "fuel_cents": signed_cents("Fuel", 220),
    "surcharge_cents": signed_cents("Surcharges", 1850, label="Surcharges"),
    "adjustment_cents": signed_cents("Later corrections", 0, label="Adjustments"),
    "tax_cents": signed_cents("Tax", 0),
    "tax_reclaimed_cents": signed_cents("Tax on carriage that the shop gets back; not above zero", 0),
    "credit_cents": signed_cents("Credits", 0, label="Credits"),
    "unmapped_cents": signed_cents("Charges of unknown kind", 0, label="Charges of unknown kind"),
    "billed_cents": signed_cents("All that carriers charged", 3550, label="Billed by carriers"),
    "carton_cents": cents("Carton", 285, label="Cartons"),
    "material_cents": cents("Packing material; of a packing method, for one parcel", 310, known_as="material [cost]"),
    "labour_cents": cents("Packing time at the shop's wage", 440),
    "damage_net_cents": signed_cents(
        "Refund, replacement and return, or else what was claimed, less salvage and what the carrier paid",
        0,
        label="Damage, net",
    ),
    "goods_cents": cents("Price of the goods", 18900),
    "shipping_charged_cents": cents(
        "Shipping the buyer paid; in reports without the sales tax that is on record within it",
        2450,
        known_as="postage [cost/value/amount] [charged/paid/flat/contribution] [customer]",
    ),
    "shipping_refunded_cents": cents("Shipping given back to the buyer", 0, known_as="postage refund [amount]"),
    "shipping_tax_cents": cents(
        "Sales tax within the shipping the buyer paid, which the shop owes",
        0,
        label="Sales tax within shipping",
        known_as="postage tax [amount]",
    ),
    "allowance_cents": cents("Kept in the item price for shipping", 0, label="Kept in item price"),
    "marketplace_fee_cents": cents(
        "Fee the marketplace kept on the sale line", 2310, known_as="[channel/sold/sale] fee [cost]"
    ),
    "fee_on_shipping_cents": cents("Marketplace fee on the shipping charged", 300),
    "margin_cents": signed_cents("Shipping charged and allowance, less every cost of shipping", -2400),
    "margin_per_parcel_cents": signed_cents("Margin for each parcel", -310),
    "margin_change_cents": signed_cents("Margin less that of the month before", -41000, label="Change of margin"),
    "carriage_per_parcel_cents": signed_cents(
        "All that carriers charged for each parcel", 3550, label="Billed per parcel"
    ),
    "cost_per_piece_cents": signed_cents("All costs of shipping for each piece", 4890, label="All costs per piece"),
    "is_fee_on_shipping": flag(
        "Whether the marketplace's fee is taken on shipping too", True, known_as="fee on shipping"
    ),
    "is_price_of_line": flag("Whether the price of one piece holds what all pieces of the line cost", False),
    "is_shipping_of_sale": flag(
        "Whether shipping charged and refunded are those of the whole sale, whichever of its lines they stand on", True
    ),
    "is_fee_of_sale": flag(
        "Whether the marketplace fee is that of the whole sale, whichever of its lines it stands on", True
    ),
}
