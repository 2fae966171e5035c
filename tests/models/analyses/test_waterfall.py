"""The waterfall of a month adds up to the cent, whatever its amounts, and says what is still to come apart."""

from __future__ import annotations

from datetime import date

import pandas as pd
from hypothesis import given, settings
from hypothesis import strategies as st

from models.analyses.question import Question
from models.analyses.waterfall import LEFT, OTHERS, STEPS, TO_COME, compute
from models.contracts import validated
from models.money import MONEY
from models.tables import TABLES

MONTH = pd.Timestamp("2027-03-01")


def steps(amounts: dict[str, int], to_come: int = 0, parcels: int = 5) -> pd.DataFrame:
    """The month's steps, their names as index."""
    kinds = {kind.column: amounts.get(kind.name, 0) for kind in MONEY}
    margin = sum(kind.sign * kinds[kind.column] for kind in MONEY)
    months = pd.DataFrame([{"shipped_month": MONTH, "parcel_count": parcels, **kinds, "margin_cents": margin}])
    completed = months[["shipped_month", "margin_cents"]].assign(completed_margin_cents=margin + to_come)
    tables = {"marts.shipping_margin": months, "analysis.completed_months": completed}
    found = compute(Question(tables, date(2027, 3, 31)))["analysis.margin_waterfall"]
    return validated(found, TABLES["analysis.margin_waterfall"], "the test").set_index("waterfall_step")


@settings(max_examples=20, deadline=None)
@given(st.lists(st.integers(-(10**9), 10**9), min_size=len(MONEY), max_size=len(MONEY)), st.integers(-(10**6), 10**6))
def test_each_step_begins_where_the_one_before_ends_and_the_last_is_the_margin(cents: list[int], to_come: int) -> None:
    amounts = {kind.name: amount for kind, amount in zip(MONEY, cents, strict=True)}
    margin = sum(kind.sign * amounts[kind.name] for kind in MONEY)
    found = steps(amounts, to_come)
    left = found.loc[LEFT]
    before = found[found["step_number"] < left["step_number"]]
    assert left["waterfall_cents"] == before["waterfall_cents"].sum() == margin
    assert before["waterfall_from_cents"].tolist() == [0, *before["waterfall_cents"].cumsum()[:-1]]
    last = found.iloc[-1]
    assert (last["waterfall_cents"], last["waterfall_from_cents"]) == (margin + to_come, 0)
    assert (TO_COME in found.index) == (to_come != 0)


def test_kinds_of_money_stand_in_their_steps() -> None:
    """By hand: 900 paid, 50 given back; base 400, fuel 60; 25 of surcharges; 5 corrected later, 2 credited; 40 of tax,
    10 of it got back; an unknown charge of 7; 80 of packing."""
    found = steps(
        {
            **{"shipping_charged": 900, "shipping_refunded": 50, "base": 400, "fuel": 60, "unmapped": 7},
            **{"surcharge": 25, "adjustment": 5, "credit": -2, "tax": 40, "tax_reclaimed": -10},
            **{"carton": 50, "material": 10, "labour": 20},
        }
    )
    assert found["waterfall_cents"].to_dict() == {
        **{"paid by buyers": 850, "plain carriage and fuel": -460, "surcharges": -25, "adjustments and credits": -3},
        **{"tax on carriage": -30, "other charges": -7, "packing": -80},
        LEFT: 245,
    }


def test_what_carriers_billed_is_the_same_sum_in_the_steps_as_in_the_tables() -> None:
    """All that they charged, tax included (`billed_cents`), less the tax that the shop gets back."""
    billed = {kind.name for kind in MONEY if kind.origin == "charge"}
    carriers = ("plain carriage and fuel", "surcharges", "adjustments and credits", "tax on carriage", "other charges")
    found = steps({name: 100 + at for at, name in enumerate(sorted(billed))} | {"damage_net": 9})
    assert -found["waterfall_cents"][list(carriers)].sum() == sum(100 + at for at in range(len(billed)))


def test_every_kind_of_money_has_one_step_and_a_month_without_parcels_none() -> None:
    named = [name for names in STEPS.values() for name in names]
    assert len(named) == len(set(named)) and set(named) <= {kind.name for kind in MONEY}
    assert OTHERS in STEPS
    assert steps({"surcharge": 900}, parcels=0).empty
