"""Shops at the edge: no claim, one claim, all claimed, one method, a method never used. Sensible words, and no number
unknown that could be known."""

from __future__ import annotations

import datetime as dt
from functools import cache

import pytest

from dashboards.damage_words import alarm_lines, judgement_lines, report_lines
from dashboards.review import render
from dashboards.review_tables import Review
from dashboards.sections import damage_corrected, damage_watched
from models.analyses import Question
from models.shop_units import Units
from tests.damage_shops import COSTS, Tables, answered, claims, decision, frame, only, parcels, question

PAPER = parcels(100)
FOAM = parcels(80, packing_method="foam")
NAMELESS = parcels(40, packing_method="unknown")
BOTH = [*PAPER, *FOAM]

EDGES: dict[str, Question] = {
    "no parcel": question([]),
    "no claim": question(BOTH),
    "one claim": question(BOTH, claims(PAPER[:1])),
    "all claimed": question(BOTH, claims(BOTH)),
    "one method": question(PAPER, claims(PAPER[:4])),
    "a method never used": question(PAPER, claims(PAPER[:4])),
    "no costs on record": question(BOTH, claims(PAPER[:4]), costs=()),
    "methods not written down": question(NAMELESS, claims(NAMELESS[:1])),
    "goods not known": question(parcels(40, item_type="unknown"), claims(parcels(1, item_type="unknown"))),
    "one parcel": question(PAPER[:1], claims(PAPER[:1])),
    "all shipped today": question(parcels(50, days=1), as_of="2026-01-01"),
    "a change before any parcel": question(BOTH, decided=[decision("tripod", "2020-01-01")]),
    "a change after the last parcel": question(BOTH, decided=[decision("tripod", "2026-12-30")]),
    "a change of goods never sent": question(BOTH, decided=[decision("globe", "2026-03-01")]),
    "claims dated before their parcels": question(BOTH, claims(PAPER[:2], lag_days=-5)),
    "claims past the window": question(BOTH, claims(PAPER[:2], lag_days=121)),
}
MAY_BE_UNKNOWN = {
    *("logistic_ratio", "logistic_low", "logistic_high", "homogeneity_p", "wait_parcels", "trial_parcels"),
    *(
        "measured_ratio",
        "measured_low",
        "measured_high",
        "likely_ratio",
        "likely_low",
        "likely_high",
        "last_claim_on",
        "claims_to_stated",
        "changed_again_on",
    ),
}


@cache
def edge(name: str) -> Tables:
    return answered(EDGES[name]) | {name: frame(name, []) for name in ("marts.claim_deadlines", "analysis.claim_steps")}


def said(name: str) -> str:
    tables = edge(name)
    known = sorted(set(tables["analysis.damage_rates"]["item_type"]))
    lines = report_lines(tables, Units("USD"), known)
    lines += judgement_lines(tables, Units("USD"))
    return "\n".join([*lines, *alarm_lines(tables, Units("USD"))])


@pytest.mark.parametrize("name", list(EDGES))
def test_tables_hold_numbers_and_the_page_is_drawn(name: str) -> None:
    for table, rows in edge(name).items():
        assert {column for column in rows.columns if rows[column].isna().any()} - MAY_BE_UNKNOWN == set(), table
    review = Review(
        shop_name="Edge",
        units=Units("USD"),
        month=dt.date(2026, 8, 1),
        made_at=dt.datetime(2026, 9, 1),
        tables=edge(name),
    )
    page = render(review, [damage_corrected.SECTION, damage_watched.SECTION])
    assert "Damage by packing method" in page
    assert ">nan<" not in page.lower()
    assert " nan" not in said(name).lower()


def test_without_claims_the_cheaper_method_is_kept_and_the_curve_says_what_it_rests_on() -> None:
    words = said("no claim")
    assert "too few (0 claims) to measure the reporting delay" in words
    assert "tripod: keep paper" in words
    assert "so nothing is watched yet" in words


def test_one_claim_is_too_few_to_go_by() -> None:
    assert said("one claim").count("too few to go by") + said("one claim").count("may still be up to") == 2


def test_where_every_parcel_was_claimed_the_rate_is_whole_and_not_more() -> None:
    rates = edge("all claimed")["analysis.damage_rates"]
    assert list(rates["damage_rate"]) == [1.0, 1.0]
    assert list(rates["damage_rate_high"]) == [1.0, 1.0]
    assert only(edge("all claimed")["analysis.method_comparison"])["adjusted_ratio"] == pytest.approx(1.0, abs=0.01)


def test_one_method_leaves_nothing_to_compare_and_one_never_used_is_no_candidate() -> None:
    words = said("one method")
    assert "so paper has nothing to be compared with" in words
    assert "Methods on the same goods" not in words
    assert {row["packing_method"] for row in COSTS} == {"paper", "foam"}
    assert set(edge("a method never used")["analysis.packing_decision"]["packing_method"]) == {"paper"}


def test_without_costs_the_report_says_so() -> None:
    assert "What the packing method most used on these goods costs is not on record" in said("no costs on record")


def test_claims_out_of_time_count_nowhere_and_are_reported() -> None:
    early, late = edge("claims dated before their parcels"), edge("claims past the window")
    for tables in (early, late):
        assert tables["analysis.damage_rates"]["claim_count"].sum() == 0
    assert set(early["analysis.reporting_lag"]["impossible_claim_count"]) == {2}
    assert set(late["analysis.reporting_lag"]["late_claim_count"]) == {2}


@pytest.mark.parametrize("name", [name for name in EDGES if name.startswith("a change")])
def test_a_change_that_cannot_be_measured_is_too_early_until_its_last_look(name: str) -> None:
    judged = only(edge(name)["analysis.change_judgements"])
    is_over = name == "a change before any parcel"
    assert (judged["verdict"], judged["is_final"]) == (("not settled", True) if is_over else ("too early", False))
    assert "nothing can be measured" in said(name)
    assert "reported" not in said(name)
