"""Days of a claim: terms of days, working days and months, and what is due, overdue or not known on a day."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.claims.deadlines import TERM_UNITS, ClaimTerm, deadlines, next_due

DAYS = st.dates(date(2000, 1, 1), date(2090, 1, 1))


def term(step: str, number: int, unit: str = "days", start: str = "delivered_on") -> ClaimTerm:
    return ClaimTerm(step, number, unit, start)


# Claims for damage: what carriers and law outside the United States publish, on a made-up day.
PUBLISHED = [
    # A national post: "up to eight days after delivery to report the damage"; the parcel with packaging, padding and
    # proof of delivery is brought along. https://www.post.ch/en/sending-parcels/damage-or-loss
    (term("notice", 8), date(2026, 3, 2), date(2026, 3, 10)),
    # A parcel carrier: shippers tell its claims department within seven calendar days of the delivery date and keep
    # photographs, packing and contents. https://dpd.com/ch/en/news/parcel-arrived-broken-what-to-do
    (term("notice", 7), date(2026, 3, 2), date(2026, 3, 9)),
    # A national post: the sender files for a parcel "mailed within the last 90 days" and keeps item and packaging.
    # https://www.canadapost.ca/web/en/kb/details.page?article=what_to_do_if_your_p
    (term("filing", 90, start="shipped_on"), date(2026, 3, 2), date(2026, 5, 31)),
    # A freight and parcel carrier in New Zealand: concealed damage within 48 hours of delivery.
    # https://teamglobalexp.com/claim-form-new-zealand
    (term("notice", 2), date(2026, 3, 2), date(2026, 3, 4)),
    # German Commercial Code (HGB), section 438 (2): damage that cannot be seen from outside, seven days after delivery.
    (term("notice", 7), date(2026, 12, 28), date(2027, 1, 4)),
    # Universal Postal Convention, article on inquiries, 4: within one year "counting from the day following the date of
    # mailing". United States Statutes at Large, volume 62 part 3 (Paris text, 1947).
    (term("filing", 12, "months", "shipped_on"), date(2026, 3, 2), date(2027, 3, 2)),
]


@pytest.mark.published
@pytest.mark.parametrize(("stated", "start", "last"), PUBLISHED)
def test_published_terms_end_on_their_day(stated: ClaimTerm, start: date, last: date) -> None:
    assert stated.last_on(start) == last


@pytest.mark.from_memory
def test_a_month_without_that_day_ends_on_its_last_day() -> None:
    """As section 188 (3) of the German Civil Code says of a term that ends in a shorter month."""
    assert term("appeal", 1, "months").last_on(date(2026, 1, 31)) == date(2026, 2, 28)
    assert term("appeal", 1, "months").last_on(date(2028, 1, 31)) == date(2028, 2, 29)
    assert term("appeal", 13, "months").last_on(date(2026, 12, 31)) == date(2028, 1, 31)


@pytest.mark.parametrize(
    ("start", "number", "last"),
    [
        (date(2026, 11, 27), 1, date(2026, 11, 30)),  # Friday to Monday
        (date(2026, 11, 28), 1, date(2026, 11, 30)),  # Saturday to Monday
        (date(2026, 11, 23), 5, date(2026, 11, 30)),  # a week on
        (date(2026, 11, 25), 5, date(2026, 12, 2)),
        (date(2026, 11, 29), 5, date(2026, 12, 4)),  # Sunday to Friday
        (date(2026, 11, 28), 6, date(2026, 12, 7)),
    ],
)
def test_working_days_are_monday_to_friday(start: date, number: int, last: date) -> None:
    assert term("notice", number, "working_days").last_on(start) == last


@given(DAYS, st.integers(1, 60))
def test_working_days_are_those_that_counting_one_by_one_gives(start: date, number: int) -> None:
    day, left = start, number
    while left:
        day += timedelta(days=1)
        left -= day.weekday() < 5
    assert term("notice", number, "working_days").last_on(start) == day


@given(DAYS, DAYS, st.integers(0, 400), st.sampled_from(TERM_UNITS))
def test_a_later_start_never_ends_earlier(one: date, other: date, number: int, unit: str) -> None:
    first, second = sorted((one, other))
    stated = term("notice", number, unit)
    assert stated.last_on(first) <= stated.last_on(second)


def test_a_term_is_due_on_its_last_day_and_overdue_the_day_after() -> None:
    stated, days = [term("filing", 60, start="shipped_on")], {"shipped_on": date(2026, 3, 1)}
    last = date(2026, 4, 30)
    (due,) = [each for each in deadlines(stated, days, last) if each.step == "filing"]
    (over,) = [each for each in deadlines(stated, days, last + timedelta(days=1)) if each.step == "filing"]
    assert (due.state, due.due_on, due.days_left) == ("due", last, 0)
    assert (over.state, over.due_on, over.days_left) == ("overdue", last, -1)


def test_a_day_that_no_record_has_is_not_known_and_never_guessed() -> None:
    stated = [term("notice", 7), term("appeal", 30, start="decided_on")]
    found = {each.step: each for each in deadlines(stated, {"shipped_on": date(2026, 3, 1)}, date(2026, 3, 2))}
    assert (found["notice"].state, found["notice"].missing, found["notice"].due_on) == (
        "not known",
        "delivered_on",
        None,
    )
    assert found["appeal"].state == "not yet"
    assert found["filing"].state == "not stated"
    assert next_due(list(found.values())) is None


def test_what_is_next_is_the_first_last_day_of_the_shop_itself() -> None:
    stated = [term("filing", 60, start="shipped_on"), term("notice", 7), term("answer", 1, start="opened_on")]
    days = {"shipped_on": date(2026, 3, 1), "delivered_on": date(2026, 3, 4), "opened_on": date(2026, 3, 5)}
    first = next_due(deadlines(stated, days, date(2026, 3, 5)))
    assert first is not None and (first.step, first.due_on) == ("notice", date(2026, 3, 11))
    filed = deadlines(stated, {**days, "filed_on": date(2026, 3, 6)}, date(2026, 3, 7))
    assert {each.step: each.state for each in filed}["notice"] == "done"
    assert next_due(filed) is None
