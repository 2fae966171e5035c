"""Which months' invoices are all there, how far a curve of delays reaches, and the share of a month that it gives."""

from __future__ import annotations

import pandas as pd
import pytest

from models.completed_months.invoice_delays import LONGEST_DAYS, billed_by_day, settled, share_of_month

MARCH, MAY = pd.Timestamp("2027-03-01"), pd.Timestamp("2027-05-01")


def test_months_are_settled_on_the_sixtieth_day_after_their_last() -> None:
    delays = pd.DataFrame(
        {"shipped_month": [MARCH, pd.Timestamp("2027-02-01")], "carrier": "Tern", "delay_days": [9, 3]}
    )
    last = pd.Timestamp("2027-03-31")
    assert list(settled(delays, last + pd.Timedelta(days=59))["delay_days"]) == [3]
    assert list(settled(delays, last + pd.Timedelta(days=60))["delay_days"]) == [9, 3]


def test_a_curve_reaches_to_the_longest_delay_and_a_share_is_of_the_days_of_its_month() -> None:
    delays = pd.DataFrame({"shipped_month": [MARCH] * 2, "carrier": "Tern", "delay_days": [0, 10]})
    curve = billed_by_day(delays.assign(first_billed_count=[1, 1]), MAY)["Tern"]
    assert curve.shape == (LONGEST_DAYS + 1,) and curve[9] == 0.5 and curve[-1] == 1.0
    # Of the 31 days those that are ten days old or older have all their bills, the others half of them.
    assert share_of_month(curve, MARCH, pd.Timestamp("2027-04-05")) == pytest.approx((26 + 5 / 2) / 31)
    assert share_of_month(curve, MARCH, MARCH) == 0.5
