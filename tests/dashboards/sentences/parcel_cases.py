"""Cases of the sentences on one parcel, on editions and letters."""

from __future__ import annotations

from typing import Any

import pandas as pd

from dashboards.sentences.charges import MEASURES
from tests.dashboards.sentences.cases import LATER, SOONER, Case, Tables, row, rows

MARGIN, PARCEL, LINES, NEAR = (f"explaining.{name}" for name in ("margin", "parcel", "lines", "near"))
DISPUTES, EDITION, FILES = "marts.billing_disputes", "letter.edition", "letter.files"
LETTERS = "terminal.letters"


def _margin(cents: int = 5, **has: bool) -> Tables:
    known = dict.fromkeys(("has_charges", "has_bench_log", "is_sale_known"), True) | has
    return row(MARGIN, parcel_id="T9", margin_cents=cents, **known)


def _parcel(**cells: Any) -> Tables:
    weights = {"scale_weight_lb": 10.0, "dim_weight": 12.0, "rated_weight": 12.0, "rated_weight_lb": 12.0}
    known = {"sides_source": "measured", "length_unit": "cm", "weight_unit": "lb", "billed_weight": 12.0}
    return row(PARCEL, **{**weights, **known, **cells})


def _line(expected: int | None, billed: int | None, cause: str | None = None) -> Tables:
    known = {"charge_name": "base", "measure": None, "difference_class": cause}
    return row(LINES, expected_cents=expected, billed_cents=billed, **known)


def _near(near_miss: str = "paid", change: str = "longest side", **cells: Any) -> Tables:
    by: dict[str, Any] = {"change_in": 0.75, "change_lb": None}
    if change == "weight":
        by = {"change_in": None, "change_lb": 0.5}
    return row(NEAR, **{"near_miss": near_miss, "change": change, "charge_name": "long", **by, **cells})


def _dispute(
    charge: str | None = "base",
    credited: int = 0,
    deadline: pd.Timestamp | None = LATER,
    state: str = "open",
    cause: str = "wrong zone",
) -> Tables:
    known = {"difference_class": cause, "charge_name": charge, "over_cents": 189, "dispute_state": state}
    return row(DISPUTES, credited_cents=credited, last_dispute_on=deadline, **known)


FEE = _dispute(cause="fixed fee")
SCALE = {"dim_weight": 8.0, "rated_weight": 10.0, "rated_weight_lb": 10.0}
SHIPPED = {
    **{"shipment_id": "S1", "parcel_count": 3, "shipment_lacking": None},
    **{"shipment_expected_cents": 1_500, "shipment_billed_cents": 1_600},
}
NOT_LEARNED = _parcel(learned_first_on=None)

TRACE = "terminal.trace"
TRACED = {
    "added": ("added up", "Made from 1 parcel, whose amounts add up to $12.50."),
    "exactly": ("exactly", "Based on 1 parcel."),
    "among": ("among", "Based on some or all of 1 parcel; the analysis decides"),
    "part": ("part", "Of what stands behind it, 1 parcel as asked for."),
    "none": ("none", ""),
}


def _traced(relation: str, says: str) -> Case:
    return Case(row(TRACE, relation=relation, parcel_count=1), (row(TRACE, relation="other", parcel_count=1),), says)


CASES: dict[str, Case] = {
    "parcel.lost": Case(_margin(-5), (_margin(5), _margin(0)), "T9 lost $0.05"),
    "parcel.made": Case(_margin(5), (_margin(-5),), "T9 made $0.05"),
    "parcel.no_charges": Case(_margin(has_charges=False), (_margin(), _margin(has_bench_log=False))),
    "parcel.no_bench_row": Case(_margin(has_bench_log=False), (_margin(), _margin(has_charges=False))),
    "parcel.no_sale": Case(_margin(is_sale_known=False), (_margin(), _margin(has_charges=False))),
    "parcel.sides_measured": Case(
        _parcel(), (_parcel(sides_source="carton"), _parcel(length_in=None)), "4 x 4 x 4 in, measured at the bench."
    ),
    "parcel.sides_learned": Case(_parcel(sides_source="learned"), (_parcel(),)),
    "parcel.sides_carton": Case(_parcel(sides_source="carton"), (_parcel(),), "this is the carton's nominal size."),
    "parcel.sides_not_known": Case(_parcel(length_in=None), (_parcel(),)),
    "parcel.sides_counted": Case(
        _parcel(), (_parcel(longest_side=None), _parcel(length_in=None)), "counts as 1.5 x 1.5 x 1.5 cm."
    ),
    "parcel.zone_chart": Case(_parcel(zone_source="chart"), (_parcel(zone_source="bills"), _parcel(zone_source=None))),
    "parcel.zone_learned": Case(
        _parcel(zone_source="bills", zone="3", agreeing_count=34, zone_bill_count=36, learned_prefix="201"),
        (_parcel(zone_source="chart"), _parcel(zone_source="bills disagree")),
        "Zone 3: no record states it; 34 of 36 bills to 201 do.",
    ),
    "parcel.zone_not_decided": Case(
        _parcel(zone_source="bills disagree", agreeing_count=3, zone_bill_count=5, learned_prefix="201"),
        (_parcel(zone_source="bills"), _parcel(zone_source="not known")),
        "of 5 bills to 201 only 3 agree on one.",
    ),
    "parcel.not_weighed": Case(_parcel(scale_weight_lb=None), (_parcel(),)),
    "parcel.weighed": Case(_parcel(), (_parcel(scale_weight_lb=None),), "Weight: 10 lb on the scale."),
    "parcel.volume_decides": Case(
        _parcel(), (_parcel(**SCALE), _parcel(rated_weight=None), _parcel(scale_weight_lb=None)), "the volume decides."
    ),
    "parcel.scale_decides": Case(_parcel(**SCALE), (_parcel(), _parcel(**{**SCALE, "dim_weight": 0.0}))),
    "parcel.no_dim_weight": Case(_parcel(**{**SCALE, "dim_weight": 0.0}), (_parcel(**SCALE), _parcel())),
    "parcel.least_weight": Case(
        _parcel(billed_weight=90.0), (_parcel(), _parcel(billed_weight=None)), "It is billed as 90 lb"
    ),
    "parcel.not_rated": Case(
        _parcel(expected_cents=None, lacking="zone not known"), (_parcel(),), "It cannot be rated: zone not known."
    ),
    "parcel.total": Case(_parcel(), (_parcel(billed_cents=None), _parcel(expected_cents=None))),
    "parcel.total_not_billed": Case(_parcel(billed_cents=None), (_parcel(), _parcel(expected_cents=None))),
    "parcel.learned": Case(
        _parcel(bill_count=1), (NOT_LEARNED, _parcel(left_out_error_cents=None)), "is learned from 1 bill of 1 Mar 2027"
    ),
    "parcel.learned_interval": Case(
        _parcel(interval_cents=60), (_parcel(interval_cents=None),), "within $0.60 of the learned base price."
    ),
    "parcel.learned_error_not_known": Case(_parcel(left_out_error_cents=None), (_parcel(), NOT_LEARNED)),
    "charge.not_billed": Case(_line(9, None), (_line(9, 9), _line(None, 9)), "base: expected $0.09, not billed"),
    "charge.not_expected": Case(
        _line(None, 9), (_line(9, 9), _line(9, None), _line(None, 9, "not checked")), "base: not expected, billed $0.09"
    ),
    "charge.option": Case(
        _line(None, 9, "option or event"),
        (_line(None, 9), _line(None, 9, "not checked"), _line(9, 9, "option or event")),
    ),
    "charge.no_rule": Case(_line(None, 9, "not checked"), (_line(None, 9), _line(None, 9, "option or event"))),
    "charge.as_expected": Case(_line(9, 9), (_line(9, 8), _line(9, None)), "base: $0.09, as billed"),
    "charge.otherwise": Case(_line(9, 8), (_line(9, 9), _line(None, 8)), "base: expected $0.09, billed $0.08"),
    "charge.shipment": Case(
        _parcel(**SHIPPED),
        (_parcel(**SHIPPED | {"shipment_lacking": "no rule"}), _parcel(**SHIPPED | {"shipment_billed_cents": None})),
        "It is one of 3 parcels of shipment S1: for all of them expected $15.00, billed $16.00.",
    ),
    "charge.shipment_not_checked": Case(
        _parcel(**SHIPPED | {"shipment_lacking": "no rule"}),
        (_parcel(**SHIPPED), _parcel(**SHIPPED | {"shipment_billed_cents": None})),
        "What is billed for all of them, $16.00, is not checked: no rule.",
    ),
    **{
        f"charge.by_{measure}": Case(
            row(LINES, measure=measure), (row(LINES, measure="other"), row(LINES, measure=None))
        )
        for measure in MEASURES
    },
    "parcel.near_side": Case(
        _near(), (_near("just under"), _near(change="weight")), "Near miss: 0.75 in less on the longest side would have"
    ),
    "parcel.near_weight": Case(_near(change="weight"), (_near(), _near("just under", "weight")), "0.5 lb less weight"),
    "parcel.just_under_side": Case(_near("just under"), (_near(), _near("just under", "weight"))),
    "parcel.just_under_weight": Case(_near("just under", "weight"), (_near("just under"), _near(change="weight"))),
    "parcel.can_cut": Case(
        _near(can_cut=True, other_carton_code=None),
        (_near(can_cut=True), _near(can_cut=None, other_carton_code=None), _near("just under", can_cut=True)),
    ),
    "parcel.other_carton": Case(
        _near(can_cut=None, other_carton_code="K-1"),
        (_near(can_cut=True), _near(other_carton_code=None)),
        "Carton K-1 would do.",
    ),
    "parcel.cut_or_other_carton": Case(_near(can_cut=True), (_near(), _near(can_cut=True, other_carton_code=None))),
    "dispute.charge": Case(
        _dispute(),
        (_dispute(None), _dispute("zone"), _dispute(credited=1), FEE),
        "Billing error: wrong zone on base, $1.89.",
    ),
    "dispute.cause": Case(_dispute(None), (_dispute(), _dispute(None, 1)), "Billing error: wrong zone, $1.89."),
    "dispute.charge_taken_back": Case(
        _dispute(credited=100), (_dispute(), _dispute(None, 100)), "$1.00 of it taken back."
    ),
    "dispute.cause_taken_back": Case(_dispute(None, 100), (_dispute(None), _dispute(credited=100))),
    "dispute.no_error": Case(FEE, (_dispute(),), "no error is proven: fixed fee, $1.89."),
    "dispute.by": Case(
        _dispute(credited=188),
        (_dispute(deadline=SOONER), _dispute(deadline=None), _dispute(state="won"), _dispute(credited=189), FEE),
        "Dispute by 9 Apr 2027; open.",
    ),
    "dispute.overdue": Case(
        _dispute(deadline=SOONER),
        (
            *(_dispute(), _dispute(deadline=SOONER, state="won"), _dispute(deadline=SOONER, credited=189)),
            _dispute(deadline=SOONER, cause="rounding"),
        ),
        "Overdue: the deadline was 8 Apr",
    ),
    "dispute.state": Case(_dispute(state="won"), (_dispute(), _dispute(deadline=SOONER)), "State: won."),
    "edition.first": Case(
        row(EDITION, edition=1), (row(EDITION, edition=2),), "Edition 1 of this month's review: editions go by"
    ),
    "edition.later": Case(row(EDITION, edition=3, edition_before=2), (row(EDITION, edition=1),), "Since edition 2:"),
    "edition.nothing_changed": Case(
        {**row(EDITION, edition=2), **rows("letter.changes")},
        (
            {**row(EDITION, edition=1), **rows("letter.changes")},
            {**row(EDITION, edition=2), **row("letter.changes")},
            row(EDITION, edition=2),
        ),
    ),
    **{f"trace.{name}": _traced(relation, says) for name, (relation, says) in TRACED.items()},
    "letter.attached": Case(
        row(FILES, attached_names="a.html"), (row(FILES, attached_names=None),), "Attached: a.html."
    ),
    "letter.open_page": Case(
        row(FILES, attached_names="a.zip"), (row(FILES, attached_names="a.xlsx"), row(FILES, attached_names=None))
    ),
    "letter.more_due": Case(
        row("letter.due", row_count=1), (rows("letter.due"), {}), "1 more deadline: `dunnage disputes list`"
    ),
    "letter.more_actions": Case(
        row("letter.actions", row_count=2), (rows("letter.actions"), {}), "2 more actions are on the page"
    ),
    "letter.more_invoices": Case(
        row("letter.invoices", row_count=1), (rows("letter.invoices"), {}), "1 more line on invoices"
    ),
    "letter.lies_at": Case(
        row(FILES, unasked_place="/b"), (row(FILES, unasked_place=None),), "On the shop's machine: /b"
    ),
    "letter.too_large": Case(row(FILES, kept_place="/b"), (row(FILES, kept_place=None),), "Too large to attach: /b"),
    "letter.made": Case(row(FILES), (rows(FILES), {}), "Made 9 Apr 2027 07:00 from the shop's own records."),
    "letter.none_waits": Case(rows(LETTERS), (row(LETTERS, state="queued"), {})),
    "letter.failed": Case(row(LETTERS, state="failed"), (row(LETTERS, state="unsure"), rows(LETTERS))),
    "letter.unsure": Case(row(LETTERS, state="unsure"), (row(LETTERS, state="failed"), rows(LETTERS))),
    "runs.none": Case(rows("terminal.runs"), (row("terminal.runs"), {})),
    "runs.nothing_overdue": Case(rows("terminal.overdue"), (row("terminal.overdue"), {})),
    "workbook.cut": Case(
        row("workbook.sheets", row_count=7_000, shown_row_count=5_000, table_name="marts.anvils"),
        (row("workbook.sheets", row_count=5_000, shown_row_count=5_000), rows("workbook.sheets")),
        "Only 5,000 of 7,000 rows are here",
    ),
    "parcel.packing_not_known": Case(
        row("explaining.packing", lacking_words="its clearance is not known"),
        (rows("explaining.packing"),),
        "Packing: not known; its clearance is not known.",
    ),
}
