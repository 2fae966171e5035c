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
