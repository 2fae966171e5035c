"""What is still to come, part by part: given cells, sums made by hand."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from models.completed_months import expected_amounts, usual
from models.completed_months.claims import claims_known, recovery
from models.completed_months.invoice_delays import billed_by_day, is_usually_billed, share_of_month
from models.completed_months.unbilled import later_charges, unbilled
from models.completed_months.unsent import GAP, Sold, unsent

MARCH, MAY = pd.Timestamp("2027-03-01"), pd.Timestamp("2027-05-01")
RNG = np.random.default_rng(1)
PLAIN = {
    "carrier": "Tern",
    "service": "slow",
    "zone": "2",
    "item_type": "oar",
    "all_packing_cents": 0,
    "priced_count": 0,
    "priced_billed_cents": 0,
    "priced_expected_cents": 0,
    "miss_square": 0.0,
    "unbilled_priced_count": 0,
    "unbilled_expected_cents": 0,
}


def cells(*stated: dict[str, object]) -> pd.DataFrame:
    """Rows of marts.carriage_cells; 10 parcels billed 1,000 cents each unless told otherwise."""
    plain = {**PLAIN, "parcel_count": 10, "charged_count": 10, "billed_cents": 10_000, "billed_square": 1e7}
    rows = pd.DataFrame([{**plain, "shipped_month": MARCH, **each} for each in stated])
    return rows.assign(shipped_month=pd.to_datetime(rows["shipped_month"]))


def months(count: int, **more: object) -> list[dict[str, object]]:
    return [{"shipped_month": MARCH - pd.DateOffset(months=back), **more} for back in range(1, count + 1)]


def test_parcels_without_a_bill_cost_what_such_parcels_cost() -> None:
    known = cells(
        *months(6),
        {"parcel_count": 12},
        {"item_type": "globe", "parcel_count": 3, "charged_count": 0, "billed_cents": 0, "billed_square": 0.0},
    )
    found = unbilled(known, MARCH, MARCH + pd.DateOffset(days=40), RNG)
    assert (found.parcels, found.unpriced) == (5, 0)
    assert found.to_come.mean == 5_000


def test_a_price_by_the_tariff_counts_before_what_is_usual() -> None:
    rated = {"priced_count": 10, "priced_billed_cents": 11_000, "priced_expected_cents": 10_000}
    waits = {"parcel_count": 4, "charged_count": 0, "billed_cents": 0, "billed_square": 0.0}
    known = cells(*months(8, **rated), {**waits, "unbilled_priced_count": 4, "unbilled_expected_cents": 9_000})
    to_come = unbilled(known, MARCH, MARCH + pd.DateOffset(days=40), RNG).to_come.mean
    # The carrier bills a tenth above its prices; the ratio is drawn towards one by twenty parcels.
    assert 9_000 < to_come < 9_900


def test_a_carrier_that_never_billed_is_not_known() -> None:
    never = {"carrier": "Auk", "charged_count": 0, "billed_cents": 0, "billed_square": 0.0}
    found = unbilled(cells(*months(3), {}, never), MARCH, MAY, RNG)
    assert (found.parcels, found.unpriced, found.to_come.mean) == (10, 10, 0)


def test_parcels_that_usually_never_get_a_bill_are_not_waited_for() -> None:
    as_of = MARCH + pd.DateOffset(days=31)
    usually = months(8, parcel_count=12)
    assert unbilled(cells(*usually, {"parcel_count": 12}), MARCH, as_of, RNG).to_come.mean == 0
    lost = unbilled(cells(*usually, {"parcel_count": 24}), MARCH, as_of, RNG)
    assert lost.parcels == 14 and lost.to_come.mean == pytest.approx(10_000, abs=2)


def test_months_without_any_bill_do_not_show_that_a_carrier_never_bills() -> None:
    """Invoices of most months are missing: what the month's parcels usually cost is still to come."""
    lost: dict[str, object] = {"charged_count": 0, "billed_cents": 0, "billed_square": 0.0}
    found = unbilled(cells(*months(8)[5:], *months(5, **lost), lost), MARCH, MAY, RNG)
    assert found.unpriced == 0
    assert found.to_come.mean == pytest.approx(10_000, abs=2)


def test_a_group_of_its_own_is_drawn_towards_the_wider_one() -> None:
    known = usual.before(
        cells({}, {"item_type": "globe", "parcel_count": 5, "charged_count": 5, "billed_cents": 15_000}), MARCH
    )
    wanted = cells({"item_type": "globe"}, {"item_type": "lamp"})
    both = 25_000 / 15
    carrier = both
    globe = (15_000 + 5 * carrier) / 10
    found = usual.means(known, wanted, "billed_cents", "charged_count", usual.LEVELS[:2])
    assert found == pytest.approx([globe, carrier])


def test_later_months_count_more_and_a_year_back_not_at_all() -> None:
    known = usual.before(cells({}, *months(13)), MARCH)
    assert known["shipped_month"].min() == MARCH - pd.DateOffset(months=11)
    assert known.set_index("shipped_month")["weight"].loc[MARCH - pd.DateOffset(months=2)] == pytest.approx(0.85**2)


def delays(*days: tuple[int, int]) -> pd.DataFrame:
    rows = [{"carrier": "Tern", "delay_days": day, "first_billed_count": count} for day, count in days]
    return pd.DataFrame(rows).assign(shipped_month=pd.Timestamp("2027-01-01"), later_cents=0, later_square=0.0)


def test_the_share_billed_follows_from_the_shops_own_delays() -> None:
    (curve,) = billed_by_day(delays((5, 60), (10, 40)), MAY).values()
    assert curve[[4, 5, 9, 10]].tolist() == [0.0, 0.6, 0.6, 1.0]
    # On 31 March: days 1 to 21 are billed whole, 22 to 26 to six tenths, the rest not at all.
    assert share_of_month(curve, MARCH, pd.Timestamp("2027-03-31")) == pytest.approx((21 + 5 * 0.6) / 31)


def test_a_month_is_reviewed_when_nine_tenths_are_usually_billed() -> None:
    slow = delays((35, 100))
    assert not is_usually_billed(slow, MARCH, pd.Timestamp("2027-04-20"))
    assert is_usually_billed(slow, MARCH, pd.Timestamp("2027-05-02"))
    assert is_usually_billed(slow.iloc[:0], MARCH, pd.Timestamp("2027-03-31"))


def test_later_charges_are_expected_of_parcels_that_are_billed() -> None:
    known = delays((5, 100)).assign(first_billed_count=[100], later_cents=[0])
    later = delays((30, 0)).assign(later_cents=5_000, later_square=5e6)
    both = pd.concat([known, later], ignore_index=True)
    # 50 cents a parcel come on the 30th day; on 31 March one day in 31 is so old.
    found = later_charges(
        cells({"parcel_count": 31, "charged_count": 31}), both, MARCH, pd.Timestamp("2027-03-31"), RNG
    )
    assert found.mean == 30 * 50


def sold(*rows: tuple[str, int, int], packed_until: str | None = None, never: int = 0) -> Sold:
    frame = pd.DataFrame(rows, columns=["sold_on", "sale_count", "income_cents"]).assign(item_type="oar")
    gaps = [
        {
            "shipped_month": MARCH - pd.DateOffset(months=back),
            "gap": GAP,
            "due_count": 100,
            "missing_count": never if back else 10,
        }
        for back in range(8)
    ]
    return Sold(
        frame.assign(sold_on=pd.to_datetime(frame["sold_on"])),
        pd.DataFrame({"days_to_ship": [1, 3], "sale_count": [50, 50], "parcel_count": [50, 60]}),
        pd.DataFrame(gaps),
        None if packed_until is None else pd.Timestamp(packed_until),
    )


def test_sales_without_a_parcel_bring_and_cost_in_the_month_in_which_they_usually_go_out() -> None:
    as_of = pd.Timestamp("2027-03-31")
    found = unsent(sold(("2027-03-10", 4, 3_000), ("2027-03-29", 2, 1_000)), cells(*months(6), {}), MARCH, as_of, RNG)
    # Of the sales of the 29th half go out on the 30th, half on 1 April; a sale fills 1.1 parcels of 1,000 cents.
    assert (found.sales, found.income.mean) == (5.0, 3_500)
    assert found.carriage.mean == round(5 * 1.1 * 1_000)


@pytest.mark.parametrize(("packed_until", "never", "sales"), [("2027-03-31", 0, 0.0), (None, 10, 0.0), (None, 5, 2.0)])
def test_sales_that_are_packed_later_or_never_are_not_of_the_month(
    packed_until: str | None, never: int, sales: float
) -> None:
    waiting = sold(("2027-03-10", 4, 3_000), packed_until=packed_until, never=never)
    assert unsent(waiting, cells(*months(6), {}), MARCH, pd.Timestamp("2027-03-31"), RNG).sales == sales


def losses(count: int, lag: int, **more: object) -> pd.DataFrame:
    shipped = pd.Timestamp("2026-10-01")
    plain = {
        "shipped_on": shipped,
        "opened_on": shipped + pd.Timedelta(days=lag),
        "reporting_lag_days": lag,
        "item_type": "oar",
        "claim_state": "refused",
        "claimed_cents": 2_000,
        "paid_cents": 0,
        "claim_cost_cents": 2_000,
    }
    return pd.DataFrame([{**plain, **more} for _ in range(count)])


def test_damage_to_come_is_what_such_parcels_lose_less_what_is_reported() -> None:
    exposure = pd.DataFrame(
        {
            "shipped_on": [pd.Timestamp("2026-10-01"), pd.Timestamp("2027-03-31")],
            "item_type": "oar",
            "parcel_count": [1_000, 500],
        }
    )
    known = claims_known(losses(40, 20), exposure, pd.Timestamp("2027-03-31"), 120)
    assert known is not None
    to_come = known.to_come(MARCH, pd.Series(dtype=float), RNG)
    # 40 of 1,000 parcels lost 2,000 cents each; of parcels sent today nearly nothing is reported yet.
    assert to_come.mean == pytest.approx(500 * 0.04 * 2_000, rel=0.08)
    assert float(to_come.draws.mean()) == pytest.approx(to_come.mean, rel=0.05)
    low, high = to_come.limits()
    assert low < to_come.mean < high
    assert claims_known(losses(1, 20).iloc[:0], exposure, pd.Timestamp("2027-03-31"), 120) is None


def test_claims_are_counted_up_to_the_age_that_the_record_could_show() -> None:
    """A shop of forty days: its oldest parcels have shown all that anybody can know of it."""
    exposure = pd.DataFrame({"shipped_on": [pd.Timestamp("2027-02-20")], "item_type": "oar", "parcel_count": [1_000]})
    young = losses(40, 20).assign(shipped_on=pd.Timestamp("2027-02-20"), opened_on=pd.Timestamp("2027-03-12"))
    known = claims_known(young, exposure, pd.Timestamp("2027-04-01"), 120)
    assert known is not None
    assert known.exposed["share"].tolist() == [1.0]
    assert known.usual.mean_rate == pytest.approx(0.04)
    assert known.to_come(pd.Timestamp("2027-02-01"), pd.Series(dtype=float), RNG).mean == 0


def test_a_few_claims_do_not_tell_how_late_others_come() -> None:
    exposure = pd.DataFrame({"shipped_on": [pd.Timestamp("2027-03-31")], "item_type": "oar", "parcel_count": [500]})
    assert claims_known(losses(19, 20), exposure, pd.Timestamp("2027-03-31"), 120) is None


def test_open_claims_recover_what_decided_ones_did() -> None:
    paid = losses(1, 20, claim_state="paid", paid_cents=2_000)
    waiting = losses(2, 20, claim_state="filed", paid_cents=None)
    both = pd.concat([paid, losses(1, 20), waiting], ignore_index=True)
    month = pd.Timestamp("2026-10-01")
    assert recovery(both, month, pd.Timestamp("2027-03-31"), RNG).mean == 2_000
    assert recovery(both, month, pd.Timestamp("2027-12-31"), RNG) == expected_amounts.NOTHING
    assert recovery(losses(3, 20), month, pd.Timestamp("2027-03-31"), RNG) == expected_amounts.NOTHING


def test_limits_hold_eight_draws_of_ten_and_the_mean() -> None:
    low, high = expected_amounts.normal(1_000.0, 100.0**2, np.random.default_rng(3)).limits()
    # 1.2816 standard deviations on each side hold 80 percent of a normal distribution.
    assert [low, high] == pytest.approx([1_000 - 128.16, 1_000 + 128.16], abs=8)
    assert expected_amounts.known(7).limits() == (7, 7)
