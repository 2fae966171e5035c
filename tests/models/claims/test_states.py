"""States of a claim: every move that is allowed, every other refused, days and amounts held."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.claims.states import OPEN, REPORTED, STATES, Standing, moved
from models.errors import SettingsError

FIRST, TODAY = date(2026, 10, 20), date(2026, 11, 29)
# The allowed moves as a person would draw them, typed in apart from the program's own table.
DRAWN = """
reported > filed closed
filed > asked paid_in_part paid refused closed
asked > asked paid_in_part paid refused closed
paid_in_part > appealed paid closed paid_in_part
refused > appealed closed refused
appealed > asked paid_in_part paid refused closed appealed
paid > closed paid
withdrawn > reported closed withdrawn
closed > reported closed
"""
ALLOWED = {
    (line.split(" > ")[0].replace("_", " "), to.replace("_", " "))
    for line in DRAWN.strip().splitlines()
    for to in line.split(" > ")[1].split()
} | {("reported", "reported"), ("filed", "filed")}


def standing(state: str) -> Standing:
    return Standing("C1", state, FIRST, FIRST, filed_on=FIRST, claimed_cents=10_000, paid_cents=4_000)


@pytest.mark.parametrize(("before", "after"), list(product(STATES, STATES)))
def test_only_drawn_moves_are_made(before: str, after: str) -> None:
    paid = 10_000 if after == "paid" else 4_000
    if (before, after) in ALLOWED:
        assert moved(standing(before), after, TODAY, TODAY, {"paid_cents": paid}).claim_state == after
    else:
        with pytest.raises(SettingsError, match="cannot become"):
            moved(standing(before), after, TODAY, TODAY, {"paid_cents": paid})


def test_open_is_the_word_for_a_claim_that_is_opened_again() -> None:
    assert moved(standing("closed"), OPEN, TODAY, TODAY, {}).claim_state == REPORTED


def test_each_move_keeps_its_day_and_what_was_known() -> None:
    filed = moved(Standing("C1", REPORTED, FIRST, FIRST), "filed", FIRST, TODAY, {"claimed_cents": 9_000})
    part = moved(filed, "paid in part", FIRST + timedelta(days=9), TODAY, {"paid_cents": 3_000})
    appealed = moved(part, "appealed", FIRST + timedelta(days=12), TODAY, {})
    paid = moved(appealed, "paid", TODAY, TODAY, {"paid_cents": 9_000})
    assert (paid.filed_on, paid.appealed_on, paid.decided_on) == (FIRST, FIRST + timedelta(days=12), TODAY)
    assert (paid.claimed_cents, paid.paid_cents) == (9_000, 9_000)
    assert part.decided_on == FIRST + timedelta(days=9)


@pytest.mark.parametrize("on", [FIRST - timedelta(days=1), TODAY + timedelta(days=1)])
def test_no_step_is_before_the_last_one_or_in_the_future(on: date) -> None:
    with pytest.raises(SettingsError, match="cannot change on"):
        moved(standing("filed"), "refused", on, TODAY, {})


@pytest.mark.parametrize(
    ("state", "amounts", "said"),
    [
        ("paid", {"paid_cents": 0}, "without an amount"),
        ("paid", {"paid_cents": 10_001}, "more than was claimed"),
        ("paid in part", {"paid_cents": 10_000}, "in full"),
    ],
)
def test_amounts_that_contradict_are_refused(state: str, amounts: dict[str, int | None], said: str) -> None:
    with pytest.raises(SettingsError, match=said):
        moved(standing("filed"), state, TODAY, TODAY, amounts)


@given(st.lists(st.sampled_from(STATES), max_size=12))
def test_no_walk_brings_a_claim_to_a_payment_without_a_filing(walk: list[str]) -> None:
    now = Standing("C1", REPORTED, FIRST, FIRST)
    for state in walk:
        try:
            now = moved(now, state, FIRST, TODAY, {"claimed_cents": 100, "paid_cents": 100 if state == "paid" else 50})
        except SettingsError:
            continue
        assert state not in ("paid", "paid in part", "refused", "appealed") or now.filed_on == FIRST
