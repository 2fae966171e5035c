"""The records as the shop's programs export them: one dictionary of header and cell for each row."""

from __future__ import annotations

from typing import Any

import numpy as np

from sample_data import shop
from sample_data.billing import ChargeLine, charge_code_rows
from sample_data.carton_lists import price_levels
from sample_data.labels import Label
from sample_data.literal_rating import Tariff
from sample_data.packing import Packed
from sample_data.sales import Sale, skus
from sample_data.shop import ITEM_TYPES, METHODS

Row = dict[str, Any]
CHANNEL_WORDS = {"marketplace": "Marktbörse", "own site": "Hausseite"}
TYPED_SIDES = ("Typed length (in)", "Typed width (in)", "Typed height (in)")
TEXT_WEIGHTS, TEXT_INCHES, TEXT_FEET = 0.08, 0.05, 0.10


def sale_rows(sale: Sale) -> list[Row]:
    """One row per sale line. The last four columns are made up, and must never be stored."""
    return [
        {
            "Order no": sale.sale_id,
            "Pos": str(line.line_number),
            "Paid at": f"{sale.sold_at:%d/%m/%Y %H:%M}",
            "Sold via": CHANNEL_WORDS[sale.channel],
            "Kind": line.item_type if line.has_item_type else "",
            "Stock no": line.sku if line.has_sku else "",
            "Title": line.title,
            "Qty": str(line.quantity),
            "Unit price": comma(line.price_cents),
            "Postage paid": comma(line.shipping_cents),
            "Selling fee": comma(line.fee_cents),
            "Fee on postage": "J" if sale.channel == "marketplace" else "N",
            "ZIP3": sale.destination_prefix,
            "Buyer": f"Buyer {sale.buyer_number:05d}",
            "Street": f"{sale.buyer_number} Placeholder Rd",
            "E-mail": f"b{sale.buyer_number:05d}@example.invalid",
            "Phone": f"555-01{sale.buyer_number % 100:02d}",
        }
        for line in sale.lines
    ]


def comma(cents: int) -> str:
    """An amount with a decimal comma."""
    return f"{cents // 100},{cents % 100:02d}"


def bench_rows(rng: np.random.Generator, parcel: Packed) -> list[Row]:
    """One row per sale line in the parcel; some cells as a hand writes them."""
    sides: list[Any] = [None, None, None]
    if parcel.logged_sides_in:
        sides = [_length_cell(rng, side) for side in parcel.logged_sides_in]
    common: Row = {
        "Handed over": parcel.shipped_on,
        "Carrier": parcel.carrier,
        "Service": parcel.service,
        "Zone": parcel.zone,
        "Home": "yes" if parcel.is_residential else "no",
        "ZIP3": parcel.sale.destination_prefix,
        "Declared $": parcel.declared_value_cents / 100 if parcel.declared_value_cents else None,
        "Box": parcel.carton_code,
        "Cut to": parcel.cut_height_in,
        "Packed with": parcel.packing_method,
        "Square": "yes" if parcel.is_rectangular else "no",
        "Scale": _weight_cell(rng, parcel.logged_weight_lb),
        "L": sides[0],
        "B": sides[1],
        "H": sides[2],
        "Bench": parcel.packer,
        "Min": parcel.pack_minutes,
    }
    return [
        {
            "Label": parcel.parcel_id,
            "Order": parcel.sale.sale_id,
            "Order pos": parcel.sale.line_of(item_type).line_number,
            "Pcs": quantity,
            **common,
        }
        for item_type, quantity in parcel.contents
    ]


def _weight_cell(rng: np.random.Generator, weight_lb: float | None) -> float | str | None:
    if weight_lb is None or rng.random() >= TEXT_WEIGHTS:
        return weight_lb
    ounces = round(weight_lb * 16)
    return f"{ounces // 16} lb {ounces % 16} oz"


def _length_cell(rng: np.random.Generator, side_in: float) -> float | str:
    if side_in == int(side_in) and side_in > 36 and rng.random() < TEXT_FEET:
        return f"{int(side_in) // 12} ft {int(side_in) % 12} in"
    return f'{side_in:g}"' if rng.random() < TEXT_INCHES else side_in


def northline_row(line: ChargeLine) -> Row:
    """Northline's invoice line: dollars, pounds and inches."""
    sides = line.billed_sides or (None, None, None)
    return {
        "invoice": line.invoice_number,
        "item": line.line_number,
        "dated": line.invoiced_on,
        "label": line.parcel_id,
        "shipper ref": line.sale_id,
        "scanned": line.shipped_on,
        "product": line.service,
        "lane": line.zone,
        "text": line.charge_code,
        "net usd": line.amount_cents / 100,
        "charged lb": line.billed_weight,
        "side 1": sides[0],
        "side 2": sides[1],
        "side 3": sides[2],
    }


def corvane_row(line: ChargeLine) -> Row:
    """Corvane's invoice line: cents, kilograms and centimetres."""
    sides = line.billed_sides or (None, None, None)
    return {
        "doc": line.invoice_number,
        "row": line.line_number,
        "doc date": line.invoiced_on,
        "consignment": line.parcel_id,
        "your ref": line.sale_id,
        "pickup": line.shipped_on,
        "service": line.service,
        "distance band": line.zone,
        "fee": line.charge_code,
        "cents": line.amount_cents,
        "kg": line.billed_weight,
        "cm long": sides[0],
        "cm wide": sides[1],
        "cm high": sides[2],
    }


def label_rows(labels: list[Label]) -> list[Row]:
    """The label program's list: what was typed before sending, in inches and pounds, and what it quoted."""
    return [
        {
            "Tracking no": label.parcel_id,
            "Order": label.packed.sale.sale_id,
            "Bought on": label.bought_on,
            "Carrier": label.packed.carrier,
            "Service": label.packed.service,
            "Zone": label.packed.zone,
            "ZIP3": label.packed.sale.destination_prefix,
            "Postage quoted": label.quoted_cents / 100,
            "Insured value": label.packed.declared_value_cents / 100 if label.packed.declared_value_cents else None,
            "Typed weight (lb)": label.typed_weight_lb,
            **dict(zip(TYPED_SIDES, label.typed_sides_in, strict=True)),
            "First scan": label.packed.shipped_on if label.is_scanned else None,
            "Voided": "yes" if label.is_voided else "no",
        }
        for label in labels
    ]


def item_type_rows() -> list[Row]:
    """The shop's own table of goods."""
    return [
        {
            "item_type": each.name,
            "length_in": f"{each.sides_in[0]:g}",
            "width_in": f"{each.sides_in[1]:g}",
            "height_in": f"{each.sides_in[2]:g}",
            "weight_lb": f"{each.weight_lb:g}",
            "turns": each.turns,
            "may_lie_under": "yes" if each.may_lie_under else "no",
            "is_fragile": "yes" if each.is_fragile else "no",
            "item_cost_cents": str(each.cost_cents),
            "shipping_allowance_cents": str(each.allowance_cents),
        }
        for each in ITEM_TYPES.values()
    ]


def packing_method_rows() -> list[Row]:
    """The shop's own table of packing methods at both dates."""
    return [
        {
            "packing_method": each.name,
            "effective_from": f"{since}",
            "material_cents": str(each.material_cents if since == shop.FIRST_DAY else each.later_material_cents),
            "pack_minutes": f"{each.minutes:g}",
            "clearance_in": f"{each.clearance_in:g}",
            "packing_steps": shop.METHOD_STEPS[each.name],
        }
        for since, _ in price_levels()
        for each in METHODS.values()
    ]


def sku_rows() -> list[Row]:
    """The shop's own table of stock numbers."""
    return [{"sku": sku, "item_type": item_type} for sku, item_type in skus().items()]


def charge_rows(tariffs: list[Tariff]) -> list[Row]:
    """The shop's own table of charge codes."""
    headers = ("carrier", "charge_code", "charge_kind", "surcharge")
    return [dict(zip(headers, row, strict=True)) for row in charge_code_rows(tariffs)]
