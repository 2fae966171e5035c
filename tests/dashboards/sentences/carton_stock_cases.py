"""Cases of the sentences on stock of cartons, orders, and what stands in."""

from __future__ import annotations

from tests.dashboards.sentences.cases import LATER, SOONER, Case, Tables, row, rows

ORDERS, SUBSTITUTES = "analysis.carton_orders", "analysis.carton_substitutes"


def _order(state: str, **cells: object) -> Tables:
    known = {"carton_code": "K-9", "on_hand": 40, "counted_on": SOONER, "packed_since_count": 12, "stock_left": 28}
    usual = {"use_basis": "recent weeks", "unnamed_since_count": 0, "order_state": state}
    return row(ORDERS, **{**known, **usual, **cells})


def _undated(state: str) -> Tables:
    return row(ORDERS, carton_code="K-9", order_state=state, on_hand=40, counted_on=None)


def _substitute(extra: int | None, code: str | None = "K-12") -> Tables:
    known = {"carton_code": "K-9", "contents": "1 anvil", "packing_method": "straw"}
    return row(SUBSTITUTES, **known, substitute_code=code, extra_cents=extra, extra_per_parcel_cents=extra)


OUT, SHORT, NOW, LATE = (
    _order(state) for state in ("out of stock", "short before delivery", "order now", "order later")
)
NOT_LATELY = _order("not used lately", last_used_on=SOONER)
_LONG = {"order_count": 500, "order_cents": 50_000, "order_months": 163.0, "order_extra_cents": 40}
LONG, YEAR = _order("order later", **_LONG, order_keep_cents=None), _order("order later", order_months=11.9)
KEPT = _order("order later", **_LONG, order_keep_cents=4_100)
PAYS = _order("order later", **_LONG, order_pays_months=20.0, is_order_paying=True)
TOO_LATE = _order("use another carton", **_LONG, order_pays_months=120.0, is_order_paying=False)
NEVER = _order("use another carton", **_LONG, order_pays_months=None, is_order_paying=False)
DEARER = _order("use another carton", **{**_LONG, "order_extra_cents": -40}, order_pays_months=None)
AGAIN, UNUSED = _order("count again", packed_since_count=55), _order("not used")
SEASON = _order("order later", use_basis="last year's season")
NOT_COUNTED = row(ORDERS, order_state="not counted", on_hand=None, counted_on=None, use_basis="recent weeks")
HALF_DATED = rows(
    ORDERS,
    {"carton_code": "K-9", "on_hand": 40, "counted_on": None},
    {"carton_code": "K-12", "on_hand": 10, "counted_on": SOONER},
)
CASES: dict[str, Case] = {
    "stock.out": Case(
        OUT,
        (SHORT, NOW, AGAIN, UNUSED, _undated("out of stock")),
        "K-9 has run out by the records: 40 counted on 8 Apr 2027, 12 packed since.",
    ),
    "stock.out_undated": Case(_undated("out of stock"), (OUT, _undated("order now")), "names no day of the count"),
    "stock.short": Case(SHORT, (OUT, NOW, LATE, AGAIN, UNUSED), "K-9: 28 left, expected to last until"),
    "stock.order_now": Case(
        NOW, (OUT, SHORT, LATE, AGAIN, UNUSED), "Order K-9 now: 28 left, reorder level 60; 60 pieces"
    ),
    "stock.count_again": Case(AGAIN, (OUT, SHORT, NOW, LATE), "40 counted on 8 Apr 2027, 55 packed since."),
    "stock.order_long": Case(
        LONG, (YEAR, _order("not used", **_LONG), AGAIN), "The order of K-9, 500 pieces, would last 163"
    ),
    "stock.order_kept": Case(KEPT, (LONG, YEAR), "come to $41.00 until its last piece is used."),
    "stock.order_unstated": Case(LONG, (KEPT, YEAR), "neither storage nor interest is stated"),
    "stock.order_pays": Case(PAYS, (TOO_LATE, NEVER, YEAR, LONG), "pays after 20"),
    "stock.order_too_late": Case(TOO_LATE, (NEVER, DEARER, PAYS, LATE), "would pay only after 120"),
    "stock.order_never": Case(NEVER, (TOO_LATE, DEARER, PAYS, LATE), "never pay against $0.40 more"),
    "stock.order_dearer": Case(DEARER, (NEVER, TOO_LATE, PAYS, LATE), "costs $0.40 less in the next best carton"),
    "stock.not_lately": Case(
        NOT_LATELY, (OUT, SHORT, NOW, LATE, AGAIN, UNUSED), "K-9 was last used on 8 Apr 2027, and 28 pieces are left."
    ),
    "stock.next_order": Case(
        rows(
            ORDERS,
            {"carton_code": "K-9", "order_state": "order later", "order_by_on": LATER},
            {"carton_code": "K-12", "order_state": "order later", "order_by_on": SOONER},
            {"carton_code": "K-15", "order_state": "order now", "order_by_on": SOONER},
        ),
        (NOW, SHORT, NOT_LATELY, _order("order later", order_by_on=None)),
        "The next order is K-12, expected on 8 Apr 2027.",
    ),
    "stock.unnamed": Case(
        _order("order later", unnamed_since_count=1),
        (LATE, _order("order later", unnamed_since_count=None)),
        "1 parcel has no carton on record since the count of K-9",
    ),
    "stock.none_dated": Case(_undated("order now"), (OUT, HALF_DATED, NOT_COUNTED, rows(ORDERS))),
    "stock.undated": Case(
        HALF_DATED, (_undated("order now"), OUT, NOT_COUNTED), "The count of K-9 has no day: its 40 pieces"
    ),
    "stock.by_season": Case(SEASON, (LATE, _order("not used", use_basis="last year's season")), "a year earlier"),
    "stock.by_recent_weeks": Case(LATE, (SEASON, UNUSED, NOT_COUNTED), "show no season"),
    "stock.substitute": Case(
        _substitute(210),
        (_substitute(-210), _substitute(None, None), rows(SUBSTITUTES)),
        "1 anvil (straw) without K-9: K-12 is next best, $2.10 more for each parcel.",
    ),
    "stock.substitute_cheaper": Case(
        _substitute(-210), (_substitute(210), _substitute(0), _substitute(None, None)), "K-12 is best, $2.10 less"
    ),
    "stock.no_substitute": Case(
        _substitute(None, None), (_substitute(210), _substitute(-210)), "1 anvil (straw) without K-9"
    ),
}
