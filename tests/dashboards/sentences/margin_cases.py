"""Cases of the sentences on margin and bridge."""

from __future__ import annotations

from tests.dashboards.sentences.cases import BEFORE, Case, Tables, margin, one_month, row, rows, two_months

MARGIN, CARRIAGE = "marts.shipping_margin", "marts.carriage_by_zone"
NO_BENCH = one_month(benched_parcel_count=0)
EQUAL = two_months(-900, -500)
UNEQUAL = two_months(-300, -500, missing=30, is_alike=False)


def _two(table: str, margins: tuple[int, int], **by: str) -> Tables:
    """Two groups, the first with the lesser margin."""
    first = {**by, "margin_cents": margins[0], "parcel_count": 1}
    names = dict.fromkeys(by, "other")
    return rows(table, first, {**names, "margin_cents": margins[1]})


def _one(table: str, cents: int, **by: str) -> Tables:
    return row(table, margin_cents=cents, **by)


def _nameless(table: str, cents: int, **by: str) -> Tables:
    name = next(iter(by))
    return rows(
        table, {**by, name: "unknown", "margin_cents": cents}, {**by, name: "account fees", "margin_cents": cents}
    )


def _taxed(tax: int, reclaimed: int) -> Tables:
    return row(MARGIN, **margin(-500), tax_cents=tax, tax_reclaimed_cents=reclaimed)


def _worst(table: str, says: str, is_lost: bool, **by: str) -> Case:
    own = (-700, 300) if is_lost else (300, 700)
    other = (300, 700) if is_lost else (-700, 300)
    hides = (_two(table, other, **by), _one(table, own[0], **by), _nameless(table, own[0], **by))
    return Case(_two(table, own, **by), hides, says)


CASES: dict[str, Case] = {
    "margin.partly_billed": Case(
        one_month(charged_count=75), (one_month(charged_count=76), one_month(), {}), "Only 75 of 80 parcels have a bill"
    ),
    "margin.account_row": Case(
        row("marts.item_type_costs", item_type="account fees"),
        (row("marts.item_type_costs"), row("marts.item_type_costs", item_type="account fees", shipped_month=BEFORE)),
    ),
    "margin.taxed": Case(
        _taxed(900, 0), (_taxed(0, 0), _taxed(900, -900), {}), "includes $9.00 of tax, which counts as a cost."
    ),
    "margin.taxed_back": Case(
        _taxed(900, -900), (_taxed(900, 0), _taxed(0, -900), {}), "includes $9.00 of tax; the margins are without"
    ),
    "margin.zones_taxed": Case(
        row(CARRIAGE, tax_cents=1), (row(CARRIAGE, tax_cents=0), row(CARRIAGE, tax_cents=1, shipped_month=BEFORE))
    ),
    "margin.no_parcels": Case(
        row(MARGIN, **margin(-20, parcels=0)), (one_month(), {}), "No parcel on record is counted in March 2027."
    ),
    "margin.fees_only": Case(row(MARGIN, **margin(-20, parcels=0)), (one_month(),), "Carriers billed $800.00 in fees"),
    "margin.month_lost": Case(
        one_month(-1_24, parcels=30),
        (
            one_month(-124, parcels=29),
            one_month(124),
            one_month(charged_count=79),
            one_month(sold_parcel_count=79),
            NO_BENCH,
            one_month(dated_by_invoice_count=1),
            row(MARGIN),
        ),
        "In March 2027 shipping lost money: -$1.24 on 30 parcels.",
    ),
    "margin.month_made": Case(
        one_month(124),
        (one_month(-124), one_month(124, 29), one_month(124, charged_count=79), one_month(124, sold_parcel_count=79)),
        "In March 2027 shipping paid for itself: $1.24 on 80 parcels.",
    ),
    "margin.month_lost_so_far": Case(
        one_month(charged_count=79),
        (one_month(), one_month(124, charged_count=79)),
        "On the records so far, shipping in March 2027 lost money: -$5.00 on 80 parcels.",
    ),
    "margin.month_made_so_far": Case(
        one_month(124, charged_count=40),
        (one_month(124), one_month(charged_count=40)),
        "The records of March 2027 are not complete: $1.24 so far on 80 parcels.",
    ),
    "item_type.most_expensive": Case(
        rows(
            "marts.item_type_costs",
            {"item_type": "kettle", "cost_per_piece_cents": 1_999, "piece_count": 1},
            {"item_type": "anvil", "cost_per_piece_cents": 900},
        ),
        (
            row("marts.item_type_costs", cost_per_piece_cents=1_999),
            rows("marts.item_type_costs", {"cost_per_piece_cents": None}, {"cost_per_piece_cents": None}),
        ),
        "Most expensive per piece: kettle, at $19.99 over 1 piece.",
    ),
    "item_type.cost_not_known": Case(
        row("marts.item_type_costs", cost_per_piece_cents=None),
        (row("marts.item_type_costs"), rows("marts.item_type_costs"), row("marts.item_type_costs", parcel_count=0)),
    ),
    "item_type.lost_most": _worst(
        "marts.item_type_costs", "Largest loss: kettle, -$7.00 on 1 parcel.", True, item_type="kettle"
    ),
    "item_type.made_least": _worst(
        "marts.item_type_costs", "Smallest profit: kettle, $3.00 on 1 parcel.", False, item_type="kettle"
    ),
    "margin.service_lost_most": _worst(
        "marts.margin_by_service", "Largest loss by service: Tern slow, -$7.00", True, carrier="Tern", service="slow"
    ),
    "margin.service_made_least": _worst(
        "marts.margin_by_service", "Smallest profit by service: Tern slow, $3.00", False, carrier="Tern", service="slow"
    ),
    "margin.zone_lost_most": _worst(
        "marts.margin_by_zone", "Largest loss by zone: Tern zone 7, -$7.00", True, carrier="Tern", zone="7"
    ),
    "margin.zone_made_least": _worst(
        "marts.margin_by_zone", "Smallest profit by zone: Tern zone 7, $3.00", False, carrier="Tern", zone="7"
    ),
    "margin.how_to_read_months": Case(one_month(), (rows(MARGIN), {})),
    "margin.how_to_read_parcels": Case(
        row("marts.worst_parcels"), (row("marts.worst_parcels", shipped_month=BEFORE), {})
    ),
}
