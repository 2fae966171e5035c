"""Cases of the sentences on how complete the records are."""

from __future__ import annotations

import pandas as pd

from tests.dashboards.sentences.cases import BEFORE, Case, Tables, coverage, one_month, row, rows, states

MARGIN, COVERAGE = "marts.shipping_margin", "marts.coverage"
NO_BENCH = one_month(benched_parcel_count=0)
GAPS = "marts.record_gaps"
SCANS = "marts.label_scans"
NEXT = {**coverage(9, dated_by_invoice_count=6), "shipped_month": pd.Timestamp("2027-04-01")}


def _gap(name: str, missing: int, cents: int) -> Tables:
    return row(GAPS, gap=name, due_count=60, missing_count=missing, valued_count=missing, missing_cents=cents)


def _states(rejected: int, accepted: int) -> Tables:
    return row("marts.record_states", kind="sales", row_count=accepted, rejected_count=rejected)


def _both(rejected: int) -> Tables:
    kinds = ({"kind": "sales", "rejected_count": 4}, {"kind": "packing_methods", "rejected_count": rejected})
    return rows("marts.record_states", *({"row_count": 10, **each} for each in kinds))


PACKING = ("carton_cents", "material_cents", "labour_cents")
NO_MARGIN = row(MARGIN, margin_cents=None, **dict.fromkeys(PACKING))


def _packed(**known: int) -> Tables:
    """A month of which these costs of packing are known."""
    return row(MARGIN, margin_cents=-500, parcel_count=80, **{**dict.fromkeys(PACKING), **known})


UNPACKED = _packed()


def _begun(*months: str) -> Tables:
    return rows(COVERAGE, *({**coverage(80), "shipped_month": pd.Timestamp(month)} for month in months))


CASES: dict[str, Case] = {
    "records.short_year": Case(
        _begun("2026-05-01", "2027-03-01"),
        (_begun("2026-04-01", "2027-03-01"), _begun("2025-12-01", "2027-03-01"), rows(COVERAGE), {}),
        "The records begin in May 2026, so these are fewer than twelve months.",
    ),
    "uncounted.rejected": Case(
        _states(2, 180),
        (_states(0, 180), _states(1, 180), _both(7), {}),
        "Rejected on import and not counted: 2 rows of sales.",
    ),
    "uncounted.rejected_several": Case(
        _both(7),
        (_both(0), _states(7, 180), {}),
        "Rejected on import and not counted: 7 rows of packing methods, and rows of other kinds of record.",
    ),
    "uncounted.sales": Case(
        {**_gap("bills without a sale", 59, 4_00), **states(sales=90)},
        (
            {**_gap("bills without a sale", 59, 4_00), **states(sales=0)},
            {**_gap("bills without a sale", 6, 4_00), **states(sales=90)},
            # Parcels that are way backs, or have no bill yet, are in no such gap.
            {**_gap("sales without a parcel", 59, 4_00), **states(sales=90)},
            {**row("marts.coverage", **coverage(160, sold_parcel_count=1)), **states(sales=90)},
        ),
        "No sale is on record for 59 of 60 billed parcels",
    ),
    "uncounted.repeated": Case(
        row("analysis.warnings", warning="amounts on every line", row_count=1_240),
        (row("analysis.warnings", warning="sales disagree", row_count=3), {}),
        "1,240 lines of sales with several lines state the same shipping, and it counts for each of them.",
    ),
    "uncounted.damage": Case(
        {**one_month(), **states(claims=0)},
        (one_month(), {**one_month(), **states(claims=1)}, {**row(MARGIN, margin_cents=None), **states(claims=0)}),
        "The margin counts no damage",
    ),
    "uncounted.packing": Case(
        {**UNPACKED, **states(weights=0)},
        (UNPACKED, {**UNPACKED, **states(weights=9)}, one_month(), {**NO_MARGIN, **states(weights=0)}),
        "no cartons, material or packing time: no bench log",
    ),
    "uncounted.costs": Case(
        {**UNPACKED, **states(weights=9)},
        (one_month(), {**UNPACKED, **states(weights=0)}, _packed(carton_cents=90), NO_MARGIN),
        "no cartons, material or packing time: what they cost",
    ),
    "uncounted.cartons": Case(
        _packed(labour_cents=90),
        (UNPACKED, one_month(), _packed(material_cents=80, labour_cents=90)),
        "counts packing time, but no cartons",
    ),
    "uncounted.material": Case(
        _packed(carton_cents=70, labour_cents=90),
        (UNPACKED, one_month(), _packed(carton_cents=70, material_cents=0, labour_cents=90)),
        "counts no material",
    ),
    "uncounted.labour": Case(
        _packed(carton_cents=70, material_cents=80),
        (UNPACKED, one_month(), _packed(carton_cents=70)),
        "counts no packing time",
    ),
    "uncounted.material_and_labour": Case(
        _packed(carton_cents=70),
        (UNPACKED, one_month(), _packed(carton_cents=70, labour_cents=90)),
        "counts cartons, but no material and no packing time",
    ),
    "uncounted.cartons_and_labour": Case(
        _packed(material_cents=80),
        (UNPACKED, one_month(), _packed(carton_cents=70, material_cents=80)),
        "counts material, but no cartons and no packing time",
    ),
    "records.some_billed": Case(
        one_month(charged_count=79),
        (one_month(), one_month(parcels=49, charged_count=48), one_month(charged_count=0)),
        "79 of 80 parcels on record have a bill so far (99%).",
    ),
    "records.some_billed_of_few": Case(
        one_month(parcels=49, charged_count=48),
        (one_month(parcels=49), one_month(charged_count=79)),
        "48 of 49 parcels on record have a bill so far.",
    ),
    "records.none_billed": Case(one_month(charged_count=0), (one_month(), {}), "No bill is on record for March 2027."),
    "records.all_billed": Case(
        one_month(),
        (
            NO_BENCH,
            one_month(charged_count=79),
            one_month(benched_parcel_count=79),
            one_month(dated_by_invoice_count=1),
            {**one_month(), **row("analysis.warnings", warning="undated parcels", row_count=1)},
        ),
        "Every parcel of the bench log has a bill: 80 of 80.",
    ),
    "records.all_known_billed": Case(
        one_month(benched_parcel_count=78), (one_month(), NO_BENCH), "the bench log names only 78 of them"
    ),
    "records.known_by_bills_only": Case(
        NO_BENCH,
        (
            one_month(benched_parcel_count=1),
            {**NO_BENCH, **_gap("sales without a parcel", 0, 0)},
            {**NO_BENCH, **_gap("sales without a parcel", 59, 4_00)},
        ),
        "The bench log names no parcel",
    ),
    "dated.by_invoice": Case(
        one_month(parcels=28, dated_by_invoice_count=27),
        (one_month(), rows(COVERAGE, coverage(dated_by_invoice_count=0), NEXT), {}),
        "27 of 28 parcels of March 2027 are counted in the month of their first invoice, as no record says when",
    ),
    "dated.by_claim": Case(
        one_month(parcels=28, dated_by_claim_count=2),
        (one_month(), one_month(dated_by_invoice_count=2), rows(COVERAGE, coverage(0, dated_by_claim_count=2)), {}),
        "2 of 28 parcels of March 2027 are counted in the month in which their claim was reported, as no record says",
    ),
    "dated.next_by_invoice": Case(
        rows(COVERAGE, coverage(), NEXT),
        (one_month(dated_by_invoice_count=6), rows(COVERAGE, coverage(), {**NEXT, "dated_by_invoice_count": 0}), {}),
        "6 of 9 parcels that are counted in April 2027, the month of their first invoice, may have been shipped before",
    ),
    "records.all_sold_billed": Case(
        {**NO_BENCH, **_gap("sales without a parcel", 0, 0)},
        (
            {**one_month(), **_gap("sales without a parcel", 0, 0)},
            {**NO_BENCH, **_gap("sales without a parcel", 1, 4_00)},
            {**one_month(benched_parcel_count=0, charged_count=79), **_gap("sales without a parcel", 0, 0)},
            NO_BENCH,
        ),
        "Each of the 60 sale lines of March 2027 has its parcel, and every parcel has a bill.",
    ),
    "records.sales_without_parcel": Case(
        _gap("sales without a parcel", 3, 4_00),
        (
            _gap("sales without a parcel", 0, 0),
            _gap("sales without a parcel", 60, 4_00),
            _gap("bills without a sale", 3, 4_00),
            rows(GAPS),
        ),
        "for 3 of 60 sale lines of March 2027; $4.00 of shipping paid on them, after refunds and fees, is in no month",
    ),
    "records.no_sale_linked": Case(
        _gap("sales without a parcel", 60, 4_00),
        (_gap("sales without a parcel", 59, 4_00), _gap("bills without a sale", 60, 4_00), rows(GAPS)),
        "No record says in which parcel a sale of March 2027 went (60 sale lines).",
    ),
    "records.bills_without_sale": Case(
        _gap("bills without a sale", 1, 19_99),
        (_gap("bills without a sale", 0, 0), _gap("claims without a parcel", 1, 19_99), rows(GAPS)),
        "No sale is on record for 1 billed parcel, $19.99 in all.",
    ),
    "records.claims_without_parcel": Case(
        _gap("claims without a parcel", 2, 19_99),
        (_gap("claims without a parcel", 0, 0), _gap("bills without a sale", 2, 19_99), rows(GAPS)),
        "Neither the bench log nor an invoice names 2 claimed parcels, which lost $19.99.",
    ),
    "records.no_claims": Case(
        {**one_month(), **states(sales=9, claims=0)},
        ({**one_month(), **states(claims=1)}, {**one_month(), **states(sales=9)}, states(claims=0)),
    ),
    "records.claims_to_come": Case(
        {**one_month(), **states(claims=1)},
        (
            {**one_month(), **states(claims=0)},
            one_month(),
            states(claims=1),
            {**one_month(), **states(claims=1), **row("analysis.completed_months", parcel_count=80)},
        ),
    ),
    "records.claims_end_before": Case(
        {**one_month(), **row("marts.record_states", kind="claims", last_on=pd.Timestamp("2027-02-28"))},
        (
            {**one_month(), **row("marts.record_states", kind="claims", last_on=pd.Timestamp("2027-03-01"))},
            {**one_month(), **row("marts.record_states", kind="claims", row_count=0, last_on=None)},
        ),
        "The last claim on record was opened on 28 Feb 2027, before March 2027 began",
    ),
    "records.coverage": Case(
        one_month(parcels=1), (row(COVERAGE, shipped_month=BEFORE), {}), "March 2027: 1 parcel is counted."
    ),
    "records.no_coverage": Case(row(COVERAGE, shipped_month=BEFORE), (one_month(), {})),
    "records.no_parcel_ever": Case(rows(COVERAGE), (row(COVERAGE, **coverage()), {})),
    "records.no_sale": Case(states(sales=0), (states(sales=1), states(claims=1), {})),
    "labels.none_unused": Case(
        {**row(SCANS, carrier="Anvil Post", label_count=9, scanned_count=8), **rows("marts.unused_labels")},
        (
            {**row(SCANS, scanned_count=0), **rows("marts.unused_labels")},
            {**row(SCANS, carrier="anvil", scanned_count=8), **row("marts.unused_labels", carrier="anvil")},
            row(SCANS, scanned_count=8),
        ),
        "Anvil Post: 8 of 9 labels show a scan, and no paid one is without",
    ),
    "labels.no_scans": Case(
        row(SCANS, carrier="Anvil Post", label_count=9, scanned_count=0),
        (row(SCANS, scanned_count=1), rows(SCANS)),
        "Anvil Post reports no scan of its 9 labels, so it is not known which were used.",
    ),
    "records.nothing_imported": Case(states(sales=0, claims=0), (states(sales=1, claims=0), {})),
    "records.no_warning": Case(rows("analysis.warnings"), (row("analysis.warnings"), {})),
}
