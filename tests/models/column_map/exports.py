"""Exports as shops might have them: headers in five languages, with the column each should feed. All invented."""

from __future__ import annotations

from dataclasses import dataclass

from models.column_map import Sample


@dataclass(frozen=True)
class Export:
    """A kind of record, its headers with the contract column each should feed (None: nothing), and its rows."""

    kind: str
    columns: dict[str, str | None]
    rows: tuple[tuple[str, ...], ...]

    @property
    def sample(self) -> Sample:
        return Sample(tuple(self.columns), self.rows)


GERMAN_SALES = Export(
    "sales",
    {
        "Bestellnummer": "sale_id",
        "Pos.": "line_number",
        "Bestelldatum": "sold_at",
        "Kanal": "channel",
        "Artikelnummer": "sku",
        "Menge": "quantity",
        "Einzelpreis": "item_price_cents",
        "Versandkosten": "shipping_charged_cents",
        "Provision": "marketplace_fee_cents",
        "PLZ": "destination_prefix",
        "Bemerkung": None,
    },
    (
        ("B-1001", "1", "31.12.2025 14:20", "MP", "TUB-1", "1", "1.289,00", "34,50", "154,68", "59714", ""),
        ("B-1001", "2", "31.12.2025 14:20", "MP", "EYE-7", "2", "89,90", "0,00", "", "59714", "als Geschenk"),
    ),
)

FRENCH_SALES = Export(
    "sales",
    {
        "N° de commande": "sale_id",
        "Ligne": "line_number",
        "Date de vente": "sold_at",
        "Canal": "channel",
        "Article": "item_type",
        "Quantité": "quantity",
        "Prix unitaire (€)": "item_price_cents",
        "Frais de port": "shipping_charged_cents",
        "Commission": "marketplace_fee_cents",
        "Code postal": "destination_prefix",
    },
    (("1001", "1", "31/12/2025", "site", "trépied", "1", "89,00", "34,50", "1,68", "59714"),),
)

SPANISH_SALES = Export(
    "sales",
    {
        "Pedido": "sale_id",
        "Línea": "line_number",
        "Fecha de pedido": "sold_at",
        "Artículo": "item_type",
        "Cantidad": "quantity",
        "Precio unitario": "item_price_cents",
        "Envío": "shipping_charged_cents",
        "Comisión": "marketplace_fee_cents",
        "Código postal": "destination_prefix",
    },
    (("1001", "1", "31/12/2025", "trípode", "1", "89,00", "34,50", "1,68", "59714"),),
)

ENGLISH_SALES = Export(
    "sales",
    {
        "order_id": "sale_id",
        "line": "line_number",
        "orderDate": "sold_at",
        "store": "channel",
        "item": "item_type",
        "qty": "quantity",
        "item_price": "item_price_cents",
        "postage paid": "shipping_charged_cents",
        "selling fee": "marketplace_fee_cents",
        "ship to zip": "destination_prefix",
        "gift wrap": None,
    },
    (("1001", "1", "12/31/2025", "A", "tripod", "1", "89.00", "34.50", "1.68", "59714", "no"),),
)

DUTCH_CARTONS = Export(
    "cartons",
    {
        "Doos": "carton_code",
        "Vanaf": "effective_from",
        "Binnenlengte (cm)": "inside_length_in",
        "Binnenbreedte (cm)": "inside_width_in",
        "Binnenhoogte (cm)": "inside_height_in",
        "Wanddikte mm": "board_in",
        "Stuksprijs": "unit_cost_cents",
        "Voorraad": "on_hand",
    },
    (("D-1", "2025-05-01", "121,9", "20", "20", "4,1", "2,85", "100"),),
)

GERMAN_CARTONS = Export(
    "cartons",
    {
        "Karton": "carton_code",
        "Gültig ab": "effective_from",
        "Innenlänge (cm)": "inside_length_in",
        "Innenbreite (cm)": "inside_width_in",
        "Innenhöhe (cm)": "inside_height_in",
        "Wandstärke [mm]": "board_in",
        "Stückkosten": "unit_cost_cents",
        "Lager": "on_hand",
        "Mindestmenge": "minimum_order",
    },
    (("C-1", "2025-05-01", "121,9", "20", "20", "4", "2,85", "100", "25"),),
)

BENCH_LOG = Export(
    "weights",
    {
        "Tracking number": "parcel_id",
        "Order": "sale_id",
        "Line": "line_number",
        "Qty": "packed_quantity",
        "Ship date": "shipped_on",
        "Carrier": "carrier",
        "Service": "service",
        "Zone": "zone",
        "Residential?": "is_residential",
        "Insured value": "declared_value_cents",
        "Box used": "carton_code",
        "Cut to (in)": "cut_height_in",
        "Packed with": "packing_method",
        "Scale wt": "scale_weight_lb",
        "L": "length_in",
        "W": "width_in",
        "H": "height_in",
        "Bench": "packer",
        "Mins": "pack_minutes",
    },
    (
        (
            "NL1",
            "S-1",
            "1",
            "1",
            "2025-12-31",
            "Northline",
            "ground",
            "5",
            "R",
            "$189.00",
            "C-08",
            "6",
            "foam",
            "11 lb 4 oz",
            '49"',
            "8",
            "8",
            "B2",
            "9.5",
        ),
        (
            "NL2",
            "S-2",
            "1",
            "1",
            "2025-12-31",
            "Northline",
            "ground",
            "5",
            "Commercial",
            "",
            "C-08",
            "",
            "paper",
            "9.25",
            "4 ft 1 in",
            "8",
            "7 1/2",
            "B2",
            "8",
        ),
    ),
)

INVOICE = Export(
    "charges",
    {
        "Carrier": "carrier",
        "Invoice No.": "invoice_number",
        "Line": "line_number",
        "Invoice date": "invoiced_on",
        "Tracking No": "parcel_id",
        "Reference": "sale_id",
        "Ship date": "shipped_on",
        "Service": "service",
        "Zone": "zone",
        "Charge description": "charge_code",
        "Category": "charge_kind",
        "Net amount": "amount_cents",
        "Rated weight (kg)": "billed_weight_lb",
        "Billed L cm": "billed_length_in",
        "Billed W cm": "billed_width_in",
        "Billed H cm": "billed_height_in",
        "Fuel %": None,
    },
    (
        (
            "Corvane",
            "CV1",
            "1",
            "2026-01-05",
            "CV4001",
            "S-1",
            "2026-01-01",
            "economy",
            "5",
            "TREIBSTOFF",
            "Fuel surcharge",
            "1.85",
            "10.5",
            "120",
            "20",
            "20",
            "15.5",
        ),
        (
            "Corvane",
            "CV1",
            "2",
            "2026-01-05",
            "CV4001",
            "S-1",
            "2026-01-01",
            "economy",
            "5",
            "CARRIAGE",
            "Freight",
            "18.50",
            "10.5",
            "120",
            "20",
            "20",
            "",
        ),
    ),
)

GERMAN_CLAIMS = Export(
    "claims",
    {
        "Schadensnummer": "claim_id",
        "Paketnummer": "parcel_id",
        "Gemeldet am": "opened_on",
        "Grund": "claim_cause",
        "Status": "claim_state",
        "Eingereicht am": "filed_on",
        "Entschieden am": "decided_on",
        "Gefordert": "claimed_cents",
        "Gezahlt": "paid_cents",
        "Erstattung": "refund_cents",
        "Restwert": "salvage_cents",
    },
    (
        ("C1", "P1", "15.01.2026", "Bruch", "eingereicht", "16.01.2026", "", "189,00", "", "189,00", ""),
        ("C2", "P2", "15.01.2026", "Verlust", "abgelehnt", "16.01.2026", "01.02.2026", "90,00", "0,00", "90,00", ""),
    ),
)

EXPORTS = {
    "German sales": GERMAN_SALES,
    "French sales": FRENCH_SALES,
    "Spanish sales": SPANISH_SALES,
    "English sales": ENGLISH_SALES,
    "Dutch cartons": DUTCH_CARTONS,
    "German cartons": GERMAN_CARTONS,
    "bench log": BENCH_LOG,
    "metric invoice": INVOICE,
    "German claims": GERMAN_CLAIMS,
}
