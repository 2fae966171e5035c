"""Columns of the money of a parcel, an item type or a month."""

from __future__ import annotations

from models.fields import Definition, cents, flag, signed_cents, text

MONEY: dict[str, Definition] = {
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
    "material_cents": cents("Packing material; of a packing method, for one parcel", 310, known_as="material"),
    "labour_cents": cents("Packing time at the shop's wage", 440),
    "damage_net_cents": signed_cents(
        "Refund, replacement and return, or else what was claimed, less salvage and what the carrier paid",
        0,
        label="Damage, net",
    ),
    "goods_cents": cents("Price of the goods", 18900),
    "shipping_charged_cents": cents(
        "Shipping the buyer paid",
        2450,
        known_as="postage [cost/value/amount] [charged/paid/flat/contribution] [customer]",
    ),
    "shipping_refunded_cents": cents(
        "Shipping given back to the buyer",
        0,
        known_as="postage refund [amount]",
    ),
    "allowance_cents": cents("Kept in the item price for shipping", 0, label="Kept in item price"),
    "marketplace_fee_cents": cents(
        "Fee the marketplace kept on the sale line", 2310, known_as="[channel/sold/sale] fee [cost]"
    ),
    "fee_on_shipping_cents": cents("Marketplace fee on the shipping charged", 300),
    "margin_cents": signed_cents("Shipping charged and allowance, less every cost of shipping", -2400),
    "margin_per_parcel_cents": signed_cents("Margin for each parcel", -310),
    "margin_change_cents": signed_cents("Margin less that of the month before", -41000, label="Change of margin"),
    "carriage_per_parcel_cents": signed_cents("Billed carriage for each parcel", 3550),
    "cost_per_piece_cents": signed_cents("All costs of shipping for each piece", 4890, label="All costs per piece"),
    "is_fee_on_shipping": flag(
        "Whether the marketplace's fee is taken on shipping too", True, known_as="fee on shipping"
    ),
}
