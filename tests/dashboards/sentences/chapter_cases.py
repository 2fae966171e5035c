"""Cases of the sentences on the first screen and at the head of each chapter."""

from __future__ import annotations

from typing import Any

from tests.dashboards.sentences.cases import BEFORE, Case, Tables, coverage, margin, one_month, row, rows
from tests.dashboards.sentences.completed_cases import FEW_UNPRICED, NOT_KNOWN, UNPRICED, month

CAUSES, ITEM_TYPES, NEAR = "analysis.causes", "marts.item_type_costs", "marts.near_miss_totals"
RATES, CLAIMED, LADDER = "analysis.damage_rates", "marts.damage_year", "analysis.carton_ladder_months"
MARGIN, COVERAGE = "marts.shipping_margin", "marts.coverage"
COMPLETE, FEW = one_month(-500), one_month(-500, parcels=29)


def _items(*margins: int, parcels: int = 5, month: Tables = COMPLETE) -> Tables:
    made = [
        {"item_type": f"anvil {at}", "margin_cents": cents, "parcel_count": parcels} for at, cents in enumerate(margins)
    ]
    return {**month, **rows(ITEM_TYPES, *made)}


def _unsent(count: int, benched: int = 0, charged: int = 80) -> Tables:
    """80 parcels and 60 sale lines, of which some have no parcel."""
    known = coverage(80, benched_parcel_count=benched, charged_count=charged)
    sold = {"gap": "sales without a parcel", "due_count": 60, "missing_count": count}
    return {**row(COVERAGE, **known), **row("marts.record_gaps", **sold)}


def _near(change: str = "longest side", spared: int = 45_000, parcels: int = 9, **cells: Any) -> Tables:
    plain = {"carton_code": "K-1", "change_in": 1.0, "change_lb": 0.5, "charge_name": "long"}
    return row(NEAR, **{**plain, "change": change, "spared_cents": spared, "parcel_count": parcels, **cells})


RATE: dict[str, Any] = {"packing_method": "straw", "damage_rate": 0.126, "claim_count": 14, "parcel_count": 113}
RATE |= {"is_too_few": False}


def _rate(**cells: Any) -> Tables:
    return row(RATES, **RATE | cells)


def _claims(**cells: Any) -> Tables:
    return row(CLAIMED, **{"packing_method": "straw", "damage_count": 3, "parcel_count": 40, **cells})


def _cause(kind: str, **cells: Any) -> Tables:
    plain = {"carton_code": "K-1", "change": "longest side", "change_in": 1.0, "charge_name": "long", "service": "slow"}
    return row(CAUSES, **{**plain, "cause_kind": kind, "carrier": "Haul", "packing_method": "straw", **cells})


def _made(cents: int, **missing: int) -> Tables:
    return one_month(cents, **missing)


def _surcharged(surcharge: int, tax: int) -> Tables:
    return row(MARGIN, **margin(-5), surcharge_cents=surcharge, tax_cents=tax)


def _cartons(checked: int, judged: int = 0, cents: int = 24_355) -> Tables:
    """Parcels in cartons of a stated price, of which some bills could be checked and some cartons judged."""
    return {
        **row(MARGIN, **margin(-5), carton_cents=cents),
        **row("marts.billing_checks", charged_count=80, checked_parcel_count=checked),
        **row("analysis.carton_coverage", considered_parcel_count=judged),
    }


_UNPRICED = row("analysis.completed_months", **{"parcel_count": 80, "margin_cents": -500, **UNPRICED})

CASES: dict[str, Case] = {
    "chapter.item_type_lost_most": Case(
        _items(-90_000, -20, 300),
        (_items(0, 300), _items(-900), _items(-900, 300, parcels=0), _items(-900, 300, month=FEW)),
        "anvil 0 lost $900.00 on 5 parcels, the most of all item types",
    ),
    "chapter.every_item_type_paid": Case(
        _items(300, 0), (_items(-1, 300), _items(300), _items(300, 0, month=FEW)), "anvil 1 made least, $0.00"
    ),
    "chapter.near_side": Case(
        _near(),
        (_near("weight"), _near(spared=0), _near(parcels=1), _near(shipped_month=BEFORE)),
        "1 in on the longest side of carton K-1 cost $450.00",
    ),
    "chapter.near_weight": Case(
        _near("weight"), (_near(), _near("weight", parcels=1)), "0.5 lb of weight in carton K-1 cost $450.00"
    ),
    "chapter.surcharges": Case(
        _surcharged(12_000, 0),
        (_surcharged(0, 0), _surcharged(12_000, 1), row(MARGIN, **margin(-5, parcels=0), tax_cents=0)),
        "Surcharges were $120.00 of $800.00 billed",
    ),
    "chapter.surcharges_taxed": Case(
        _surcharged(12_000, 9_200),
        (_surcharged(0, 9_200), _surcharged(12_000, 0)),
        "Surcharges were $120.00 of $800.00 billed, which includes $92.00 of tax",
    ),
    "chapter.damage_highest": Case(
        {**_rate()},
        (_rate(is_too_few=True), _rate(claim_count=2), _rate(parcel_count=49), _rate(packing_method="unknown")),
        "anvil packed with straw had the highest damage rate of those with enough claims to judge, 13% (14 of 113 "
        "parcels so far)",
    ),
    "chapter.damage_highest_item": Case(
        _rate(packing_method="unknown"),
        (
            _rate(),
            _rate(packing_method="unknown", is_too_few=True),
            _rate(packing_method="unknown", item_type="unknown"),
            rows(RATES, RATE | {"claim_count": 2}, RATE | {"packing_method": "unknown"}),
        ),
        "anvil had the highest damage rate of those with enough claims to judge, 13% (14 of 113 parcels so far)",
    ),
    "chapter.damage_claims": Case(
        _claims(),
        (_claims(damage_count=2), _claims(item_type="unknown"), _claims(shipped_month=BEFORE)),
        "the most damage claims within a year, 3 on 40 parcels",
    ),
    "chapter.cartons_saving": Case(
        row(LADDER, ladder_step="cut down", saving_cents=9_900),
        (row(LADDER, ladder_step="cut down", saving_cents=0), row(LADDER, ladder_step="spent", saving_cents=9_900)),
        "would have saved $99.00",
    ),
    "chapter.cartons_no_saving": Case(
        row(LADDER, ladder_step="cut down", saving_cents=0),
        (row(LADDER, ladder_step="cut down", saving_cents=1), rows(LADDER)),
    ),
    "chapter.cartons_unpriced": Case(
        _cartons(checked=0),
        (_cartons(checked=1), _cartons(checked=0, cents=0)),
        "Cartons cost $243.55; without a price list it is not known what others would have cost",
    ),
    "chapter.cartons_not_judged": Case(
        _cartons(checked=1),
        (_cartons(checked=0), _cartons(checked=1, judged=3), _cartons(checked=1, cents=0)),
        "Cartons cost $243.55; no parcel has both",
    ),
    "chapter.billed": Case(
        row(COVERAGE, **coverage(80, charged_count=71)),
        (
            row(COVERAGE, **coverage(0)),
            row(COVERAGE, **coverage(80), shipped_month=BEFORE),
            # Without a bench log every parcel is known by its bill: that all are billed says nothing.
            row(COVERAGE, **coverage(80, benched_parcel_count=0)),
            row(COVERAGE, **coverage(80, dated_by_invoice_count=1)),
            _unsent(14),
        ),
        "71 of 80 parcels are billed so far",
    ),
    "chapter.unsent": Case(
        _unsent(14),
        (_unsent(0), _unsent(60), _unsent(14, benched=80), _unsent(14, charged=79)),
        "14 of 60 sale lines have no parcel on record",
    ),
    "front.lost_expected": Case(
        month(completed_margin_cents=-12_345),
        (month(completed_margin_cents=1), month(completed_margin_cents=-5, is_completed=True)),
        "is expected to lose $123.45",
    ),
    "front.lost_with_sales": Case(
        month(sales_to_ship_count=1),
        (month(sales_to_ship_count=0), month(sales_to_ship_count=1, completed_margin_cents=5)),
        "on 80 parcels and 1 sale without one",
    ),
    "front.made_with_sales": Case(
        month(sales_to_ship_count=1, completed_margin_cents=5),
        (month(sales_to_ship_count=0, completed_margin_cents=5), month(sales_to_ship_count=1)),
        "is expected to make $0.05 on 80 parcels and 1 sale without one",
    ),
    "front.made_expected": Case(
        month(completed_margin_cents=12_345),
        (month(completed_margin_cents=-1), month(completed_margin_cents=5, is_completed=True)),
        "is expected to make $123.45",
    ),
    "front.interval": Case(
        month(completed_margin_cents=-12_345, billed_part=0.25),
        (
            *(month(completed_margin_cents=-5, is_completed=True), month(**NOT_KNOWN)),
            *(rows("analysis.completed_months"), month(**FEW_UNPRICED), month(**UNPRICED)),
        ),
        "25% of the carriage expected is billed; eight of ten such months end between",
    ),
    "front.billed_so_far": Case(
        month(billed_part=0.25, **NOT_KNOWN),
        (
            *(month(billed_part=0.25), month(is_completed=None, **NOT_KNOWN), rows("analysis.completed_months")),
            *(month(**FEW_UNPRICED), month(**UNPRICED)),
        ),
        "25% of the carriage expected is billed.",
    ),
    "front.lost": Case(
        _made(-500),
        (
            *(_made(0), _made(-500, charged_count=79), FEW),
            # Claims may still come, and too few tell how many.
            {**_made(-500), **row("analysis.completed_months", is_completed=None, parcel_count=80, **NOT_KNOWN)},
        ),
        "lost money: -$5.00 on 80 parcels",
    ),
    "front.made": Case(_made(0), (_made(-1), _made(0, charged_count=79)), "paid for itself: $0.00 on 80 parcels"),
    "front.lost_so_far": Case(
        _made(-500, charged_count=79),
        (_made(-500), _made(0, charged_count=79), {**_made(-500, charged_count=47), **_UNPRICED}),
        "so far: -$5.00",
    ),
    "front.made_so_far": Case(
        _made(0, charged_count=79),
        (_made(0), _made(-1, charged_count=79), {**_made(0, charged_count=47), **_UNPRICED}),
        "so far: $0.00",
    ),
    "front.unpriced": Case(
        {**_made(-500, charged_count=47), **_UNPRICED},
        (_made(-500, charged_count=47), {**_made(-500, charged_count=47), **month(**FEW_UNPRICED)}, _made(-500)),
        "stands at -$5.00 on 80 parcels, without the carriage of 33 of them: no bill of these is on record",
    ),
    "cause.near_side": Case(
        _cause("near miss"),
        (_cause("near miss", change="weight"), _cause("damage"), _cause("near miss", shipped_month=BEFORE)),
        "1 in on the longest side of carton K-1: long on 60 parcels (anvil)",
    ),
    "cause.near_weight": Case(
        _cause("near miss", change="weight", change_lb=0.5), (_cause("near miss"), _cause("damage")), "0.5 lb of weight"
    ),
    "cause.damage": Case(
        _cause("damage", damage_count=1), (_cause("item type"), rows(CAUSES)), "anvil packed with straw: 1 claim on 60"
    ),
    "cause.billing_errors": Case(
        _cause("billing errors", dispute_count=7),
        (_cause("service"), rows(CAUSES)),
        "7 overcharges by Haul, not credited",
    ),
    "cause.item_type": Case(_cause("item type"), (_cause("service"), rows(CAUSES)), "anvil lost money: 60 parcels"),
    "cause.service": Case(_cause("service"), (_cause("item type"), rows(CAUSES)), "Haul slow lost money: 60 parcels"),
}
