"""Cases of the sentences on surcharges, near misses, billing errors and disputes."""

from __future__ import annotations

import pandas as pd

from tests.dashboards.sentences.cases import BEFORE, LATER, MADE_AT, SOONER, Case, Tables, one_month, row, rows, states

SURCHARGES, TOTALS, CHECKS = "marts.surcharge_frequency", "marts.near_miss_totals", "marts.billing_checks"
DISPUTES, CURVES, SIDES = "marts.billing_disputes", "analysis.rate_curves", "analysis.learned_sides"
NONE = rows(SURCHARGES)
CHECKED = row(CHECKS, charged_count=70, checked_parcel_count=69)
UNCHECKED = row(CHECKS, charged_count=1, checked_parcel_count=0)
# Bills of the month before were checked, those of this month were not.
NOT_YET = rows(CHECKS, {"shipped_month": BEFORE}, {"charged_count": 1, "checked_parcel_count": 0})
QUOTED = "marts.quoted_against_billed"
NO_CHECKS, OUTSIDE = rows(CHECKS), rows("marts.unchecked_charges")


def _charged(parcels: int, cents: int = 990) -> Tables:
    return row(SURCHARGES, parcel_count=parcels, charged_parcel_count=1, surcharge_rate=1 / parcels, amount_cents=cents)


def _near(change: str, **cells: float | None) -> Tables:
    return row(TOTALS, change=change, parcel_count=1, carton_code="K-1", charge_name="long", **cells)


def _dispute(deadline: pd.Timestamp | None, *, is_disputable: bool = True) -> Tables:
    known = {"carrier": "Tern", "difference_class": "wrong zone", "outstanding_cents": 189}
    return row(DISPUTES, last_dispute_on=deadline, is_disputable=is_disputable, **known)


def _open(cents: int) -> Tables:
    return row("marts.billing_differences", difference_class="learned price", difference_cents=cents)


def _curve(bills: int, share: float | None, *, is_in_use: bool = True) -> Tables:
    return row(CURVES, bill_count=bills, left_out_error_share=share, is_in_use=is_in_use, service="slow", zone="7")


CASES: dict[str, Case] = {
    "surcharges.cost_most": Case(
        _charged(50), (_charged(49), _charged(50, cents=0), NONE), "$9.90 on 1 of 50 parcels (2.0%)."
    ),
    "surcharges.cost_most_of_few": Case(_charged(1), (_charged(50), NONE), "$9.90 on 1 of 1 parcel."),
    "surcharges.none": Case(
        {**one_month(parcels=1), **NONE},
        (
            {**one_month(charged_count=79), **NONE},
            {**one_month(charged_count=0), **NONE},
            {**one_month(), **_charged(80)},
            one_month(),
        ),
        "No surcharge is on the bills of March 2027, which name 1 parcel.",
    ),
    "surcharges.none_so_far": Case(
        {**one_month(charged_count=79), **NONE}, ({**one_month(), **NONE}, {**one_month(charged_count=0), **NONE})
    ),
    "surcharges.not_known": Case({**one_month(charged_count=0), **NONE}, ({**one_month(charged_count=1), **NONE},)),
    "surcharges.no_line": Case(
        rows("marts.charge_word_costs"), (row("marts.charge_word_costs"), {}), "No line of an invoice"
    ),
    "surcharges.none_in_year": Case(
        {**one_month(), **rows("analysis.surcharge_rates")},
        (
            {**one_month(), **row("analysis.surcharge_rates")},
            {**one_month(charged_count=0), **rows("analysis.surcharge_rates")},
        ),
    ),
    "near.side": Case(
        _near("longest side", change_in=0.75),
        (_near("weight", change_in=0.75), _near("longest side", change_in=None), rows(TOTALS)),
        "anvil in carton K-1: 0.75 in less on the longest side would have avoided long on 1 parcel, $12.50 in all.",
    ),
    "near.weight": Case(
        _near("weight", change_lb=0.5),
        (_near("longest side", change_lb=0.5), _near("weight", change_lb=None)),
        "0.5 lb less weight",
    ),
    "near.none": Case(
        {**CHECKED, **rows(TOTALS)},
        ({**UNCHECKED, **rows(TOTALS)}, {**CHECKED, **_near("weight")}, CHECKED),
        "No charge of the 69 parcels checked was within reach.",
    ),
    "near.not_known": Case(
        {**NOT_YET, **rows(TOTALS)}, ({**CHECKED, **rows(TOTALS)}, {**UNCHECKED, **rows(TOTALS)}, rows(TOTALS))
    ),
    "near.bulge": Case(
        row(SIDES, bulge_in=0.5, usual_in=21.0, parcel_count=1, carton_code="K-1", side="height"),
        (row(SIDES, bulge_in=0.49), rows(SIDES)),
        "By the bills of 1 parcel, carton K-1 measures 21 in on its height when closed, 0.5 in more than nominal.",
    ),
    "near.no_bulge": Case(row(SIDES, bulge_in=0.49), (row(SIDES, bulge_in=0.5), rows(SIDES), {})),
    "billing.no_error": Case(
        {**CHECKED, **rows("marts.billing_totals")},
        (
            {**UNCHECKED, **rows("marts.billing_totals")},
            {**NO_CHECKS, **rows("marts.billing_totals")},
            {**CHECKED, **row("marts.billing_totals")},
            CHECKED,
            {**CHECKED, **rows("marts.billing_totals"), **_open(120)},
        ),
        "69 of 70 billed parcels could be checked, and no charge that was checked",
    ),
    "billing.no_error_learned": Case(
        {**CHECKED, **rows("marts.billing_totals"), **_open(120)},
        (
            {**CHECKED, **rows("marts.billing_totals"), **_open(-120)},
            {**CHECKED, **rows("marts.billing_totals")},
            {**CHECKED, **row("marts.billing_totals"), **_open(120)},
            {**UNCHECKED, **rows("marts.billing_totals"), **_open(120)},
        ),
    ),
    "billing.none_outside": Case(
        {**CHECKED, **OUTSIDE},
        ({**UNCHECKED, **OUTSIDE}, {**CHECKED, **row("marts.unchecked_charges")}, CHECKED),
        "Of 69 parcels checked, every charge is one that the tariff states.",
    ),
    "quotes.none": Case(
        {**states(labels=1), **rows("marts.quoted_against_billed")},
        (
            {**states(labels=1), **row("marts.quoted_against_billed")},
            {**states(labels=0), **rows("marts.quoted_against_billed")},
            rows("marts.quoted_against_billed"),
        ),
        "No parcel of March 2027 has both",
    ),
    "billing.not_checked": Case(
        NOT_YET, (UNCHECKED, CHECKED, NO_CHECKS), "No bill of March 2027 could be checked against a tariff (1 bill), so"
    ),
    "billing.all_checked": Case(
        row(CHECKS, charged_count=70, checked_parcel_count=70), (CHECKED, UNCHECKED), "70 of 70"
    ),
    "billing.no_bill": Case(one_month(charged_count=0), (one_month(),)),
    "disputes.next": Case(
        _dispute(LATER),
        (_dispute(SOONER), _dispute(None), _dispute(LATER, is_disputable=False)),
        "The next deadline for a dispute is 9 Apr 2027: Tern, wrong zone, $1.89.",
    ),
    "disputes.overdue": Case(
        _dispute(SOONER),
        (_dispute(LATER), _dispute(None), _dispute(SOONER, is_disputable=False)),
        "Overdue: Tern, wrong zone, $1.89; the deadline was 8 Apr 2027.",
    ),
    "disputes.next_by_records": Case(
        _dispute(SOONER), (_dispute(SOONER), _dispute(LATER), _dispute(None)), shows_at=None, hides_at=MADE_AT
    ),
    "disputes.no_deadline": Case(_dispute(None), (_dispute(LATER), _dispute(None, is_disputable=False))),
    "disputes.none": Case(
        {**CHECKED, **rows(DISPUTES)},
        ({**UNCHECKED, **rows(DISPUTES)}, rows(DISPUTES), {**CHECKED, **_dispute(LATER)}, CHECKED),
    ),
    "disputes.no_bill": Case(rows(CHECKS), (UNCHECKED, {})),
    "disputes.not_known": Case(UNCHECKED, (CHECKED, NO_CHECKS)),
    "disputes.all_listed": Case({**CHECKED, **rows(DISPUTES)}, ({**UNCHECKED, **rows(DISPUTES)},)),
    "near.learned": Case(
        {**_curve(1, None), **row(TOTALS, carrier="anvil")},
        (
            {**_curve(1, None), **row(TOTALS, carrier="another")},
            {**_curve(1, None), **rows(TOTALS)},
            {**_curve(1, None, is_in_use=False), **row(TOTALS, carrier="anvil")},
        ),
    ),
    "learned.error": Case(
        _curve(50, 0.04),
        (_curve(49, 0.04), _curve(50, None), _curve(50, 0.04, is_in_use=False)),
        "off by 4.0% of a bill",
    ),
    "learned.error_of_few": Case(
        _curve(1, 0.04), (_curve(50, 0.04), _curve(1, None)), "by 1 bill only, they are off by $12.50 on average."
    ),
    "learned.error_not_known": Case(_curve(1, None), (_curve(1, 0.04), _curve(1, None, is_in_use=False))),
}
