"""Exports of one row each, written after the proposal was: at first sight 130 of their 139 columns were right.

One line per column: header, the contract column it should feed (nothing for none), value. All invented.
"""

from __future__ import annotations

from tests.models.column_map.exports import Export

_WRITTEN = """
[sales]
Order # > sale_id > 10-1
Item # > line_number > 1
Date sold > sold_at > 2026-01-31
Marketplace > channel > A
Product > item_type > tripod
SKU code > sku > T-1
Pieces > quantity > 1
Price per unit > item_price_cents > 18.50
Delivery charge > shipping_charged_cents > 3.20
Marketplace commission > marketplace_fee_cents > 1.10
Postcode > destination_prefix > 59714
Note > > x
[sales]
Auftrag > sale_id > 10
Zeile > line_number > 1
Verkauft am > sold_at > 31.01.2026
Artikel > item_type > Stativ
Stück > quantity > 1
Preis (EUR) > item_price_cents > 18,50
Porto > shipping_charged_cents > 3,20
Verkaufsgebühr > marketplace_fee_cents > 1,10
Postleitzahl > destination_prefix > 59714
[sales]
numero_ordine > sale_id > 10
riga > line_number > 1
data_ordine > sold_at > 31/01/2026
articolo > item_type > treppiede
quantita > quantity > 1
prezzo_unitario > item_price_cents > 18,50
spese_spedizione > shipping_charged_cents > 3,20
commissione > marketplace_fee_cents > 1,10
CAP > destination_prefix > 59714
[cartons]
Size code > carton_code > A1
In use since > effective_from > 2026-01-01
Style > carton_style > 0201
Int. length [mm] > inside_length_in > 1219
Int. width [mm] > inside_width_in > 200
Int. depth [mm] > inside_height_in > 200
Board thickness [mm] > board_in > 4
Cost each > unit_cost_cents > 1.10
Cuttable > is_cuttable > yes
Min height [mm] > minimum_height_in > 100
Qty in stock > on_hand > 20
MOQ > minimum_order > 50
[cartons]
Karton > carton_code > A1
Gültig ab > effective_from > 01.03.2026
Innenlänge mm > inside_length_in > 1219
Innenbreite mm > inside_width_in > 200
Innenhöhe mm > inside_height_in > 200
Stückkosten > unit_cost_cents > 1,10
Bestand > on_hand > 20
Gezählt am > counted_on > 17.10.2026
Gebinde > pack_quantity > 25
Lieferzeit (Tage) > lead_time_days > 12
[cartons]
Carton > carton_code > A1
Valid from > effective_from > 2026-01-01
Inside length (in) > inside_length_in > 48
Inside width (in) > inside_width_in > 8
Inside height (in) > inside_height_in > 8
Unit cost > unit_cost_cents > 1.10
In stock > on_hand > 20
Stock counted on > counted_on > 2026-10-17
Bundle size > pack_quantity > 25
Lead time (days) > lead_time_days > 12
[cartons]
Référence carton > carton_code > A1
Valable depuis > effective_from > 2026-01-01
Longueur int. (mm) > inside_length_in > 1219
Largeur int. (mm) > inside_width_in > 200
Hauteur int. (mm) > inside_height_in > 200
Épaisseur (mm) > board_in > 4
Coût unitaire > unit_cost_cents > 1,10
Stock > on_hand > 20
[weights]
Parcel no > parcel_id > NL1
Sale > sale_id > S1
Sale line > line_number > 1
Pieces packed > packed_quantity > 1
Dispatched > shipped_on > 2026-01-31
Courier > carrier > Northline
Service level > service > ground
Carrier zone > zone > 5
Private address > is_residential > yes
Insured for > declared_value_cents > 18.50
Carton > carton_code > C-1
Packing > packing_method > foam
Gross weight (kg) > scale_weight_lb > 5.2
Length cm > length_in > 120
Width cm > width_in > 20
Height cm > height_in > 20
Packing time (min) > pack_minutes > 9
Packed at bench > packer > B1
[weights]
Paketnummer > parcel_id > NL1
Bestellung > sale_id > S1
Position > line_number > 1
Anzahl > packed_quantity > 1
Versendet am > shipped_on > 31.01.2026
Paketdienst > carrier > Northline
Versandart > service > ground
Zone > zone > 5
Privat > is_residential > ja
Karton > carton_code > C-1
Verpackung > packing_method > Schaum
Gewicht (kg) > scale_weight_lb > 5,2
Länge (cm) > length_in > 120
Breite (cm) > width_in > 20
Höhe (cm) > height_in > 20
Packplatz > packer > B1
Dauer (min) > pack_minutes > 9
[charges]
Carrier name > carrier > Northline
Invoice number > invoice_number > N1
Invoice line > line_number > 1
Bill date > invoiced_on > 2026-01-31
Shipment no > parcel_id > NL1
Customer reference > sale_id > S1
Shipment date > shipped_on > 2026-01-20
Service type > service > ground
Zone > zone > 5
Charge type > charge_code > LONG SIDE
Charge class > charge_kind > surcharge
Amount (USD) > amount_cents > 18.50
Billed weight lb > billed_weight_lb > 23.5
Dim L > billed_length_in > 49.0
Dim W > billed_width_in > 8.5
Dim H > billed_height_in > 8.5
[charges]
Rechnungsnr. > invoice_number > N1
Pos > line_number > 1
Rechnungsdatum > invoiced_on > 31.01.2026
Sendungsnr. > parcel_id > NL1
Kundenreferenz > sale_id > S1
Versanddatum > shipped_on > 20.01.2026
Produkt > service > ground
Leistung > charge_code > LONG
Nettobetrag > amount_cents > 18,50
Abr. Gewicht (kg) > billed_weight_lb > 23,5
Frachtführer > carrier > Northline
[claims]
Claim no > claim_id > C1
Shipment > parcel_id > NL1
Date reported > opened_on > 2026-01-31
Type of problem > claim_cause > damaged
Claim status > claim_state > open
Date filed > filed_on > 2026-02-01
Date decided > decided_on > 2026-02-20
What broke > damaged_part > lens
Claim amount > claimed_cents > 18.50
Amount paid > paid_cents > 18.50
Refunded to buyer > refund_cents > 20.50
Reshipment cost > replacement_cents > 0.00
Return shipping > return_cost_cents > 3.50
Residual value > salvage_cents > 1.00
[item_types]
Type > item_type > tripod
Length (cm) > length_in > 120.5
Width (cm) > width_in > 20.5
Height (cm) > height_in > 20.5
Weight (g) > weight_lb > 9200
Orientation > turns > any
Fragile? > is_fragile > no
Unit cost > item_cost_cents > 92.00
[packing_methods]
Method > packing_method > foam
From > effective_from > 2026-01-01
Material cost > material_cents > 3.10
Minutes > pack_minutes > 11
Padding (cm) > clearance_in > 4
[returns]
Return number > return_id > R-1
Tracking number > parcel_id > NL1
Returned on > returned_on > 2026-11-12
Condition > return_condition > as new
Return label > return_parcel_id > RB1
Return postage > return_carriage_cents > 17.20
Depreciation > depreciation_cents > 15.00
Resold on > resold_on > 2026-11-20
[returns]
Retoure > return_id > R-1
Sendungsnummer > parcel_id > NL1
Rücksendung am > returned_on > 12.11.2026
Zustand > return_condition > opened
Kosten Rücksendung > return_carriage_cents > 17,20
Wertminderung > depreciation_cents > 15,00
Wiederverkauft am > resold_on > 20.11.2026
"""


def _export(written: str) -> Export:
    kind, *lines = written.strip().splitlines()
    cells = [[cell.strip() for cell in line.split(">")] for line in lines]
    columns = {header: column or None for header, column, _ in cells}
    return Export(kind.rstrip("]"), columns, (tuple(value for _, _, value in cells),))


SHORT_EXPORTS = tuple(_export(written) for written in _WRITTEN.split("\n[")[1:])
