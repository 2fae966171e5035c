"""A claim's sheet on a terminal, on paper, as JSON and in a list: the same facts, nothing that runs, no guess."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest

from dashboards import formats, values
from dashboards.claim_facts import facts, plain_values
from dashboards.claim_list import UNDATED, due_lines, every_line
from dashboards.claim_page import render
from dashboards.claim_sheet import NEXT, lines
from dashboards.sentences.claim_sheet import stated
from models.claims.deadlines import ClaimTerm, deadlines
from models.claims.lessons import CUSHIONING
from models.claims.sheet import Sheet
from models.claims.steps import OWN_STEPS, waiting_for
from models.fields import LONGEST_TEXT
from models.shop_units import METRIC, Units

TODAY = date(2026, 11, 29)
SCRIPT = "<script>alert(1)</script>"
INCH, CM = Units("USD"), Units("EUR", METRIC)
TERMS = [
    ClaimTerm("notice", 7, "days", "delivered_on"),
    ClaimTerm("filing", 60, "days", "shipped_on"),
    ClaimTerm("appeal", 10, "days", "decided_on"),
]
CLAIM: dict[str, Any] = {
    **{"claim_id": "P1/damage", "parcel_id": "P1", "claim_cause": "damage", "claim_state": "reported"},
    **{
        "opened_on": date(2026, 11, 20),
        "delivered_on": None,
        "filed_on": None,
        "decided_on": None,
        "appealed_on": None,
    },
    **{"damaged_part": SCRIPT, "claimed_cents": None, "paid_cents": 0, "last_step_on": date(2026, 11, 20)},
}
PARCEL: dict[str, Any] = {
    **{"parcel_id": "P1", "shipped_on": date(2026, 10, 5), "carrier": "Northline", "service": "ground", "zone": None},
    **{"carton_code": "C-48", "cut_height_in": None, "packing_method": "foam", "scale_weight_lb": 11.0},
    **{"length_in": 48.0, "width_in": 8.0, "height_in": 8.0, "declared_value_cents": None, "insured_cents": None},
    "tariff_key": 1,
}
GOODS = [
    {"sale_id": "S1", "line_number": 1, "item_type": SCRIPT, "packed_quantity": 1, "item_price_cents": 18_900}
    | {"item_cost_cents": None}
]


def sheet(**more: Any) -> Sheet:
    claim = {**CLAIM, **more.pop("claim", {})}
    days = {"shipped_on": PARCEL["shipped_on"], **{name: claim[name] for name in claim if name.endswith("_on")}}
    return Sheet(TODAY, PARCEL, GOODS, (), [claim], deadlines(TERMS, days, TODAY), **more)


def test_the_terminal_says_what_is_known_and_what_is_not() -> None:
    found = list(lines(sheet(), INCH))
    assert "  Closed sides: 48 x 8 x 8 in" in found
    assert "  Declared value: not known" in found
    assert "  Tell the carrier: 7 days after delivery; that day is not known; state it with --delivered" in found
    assert "  File the claim: by 4 Dec 2026, 5 days left (60 days after shipping)" in found
    assert "  Send the evidence: the tariff states no term" in found
    assert not [line for line in found if line.startswith(("  Cut to", "  Decided", "  Paid by"))]


def test_a_metric_shop_reads_its_own_units_everywhere() -> None:
    assert "  Closed sides: 121.9 x 20.3 x 20.3 cm" in list(lines(sheet(), CM))
    parcel = plain_values(sheet(), CM)["parcel"]
    assert (parcel["length_cm"], parcel["scale_weight_kg"], parcel.get("length_in")) == (121.92, 4.99, None)
    assert facts(sheet(), CM, "Lamps")["weight"] == "4.99 kg"


def test_json_is_whole_and_plain() -> None:
    found = json.loads(json.dumps(plain_values(sheet(), INCH)))
    assert found["next"] == {"step": "filing", "due_on": "2026-12-04"}
    assert found["claims"][0]["opened_on"] == "2026-11-20"
    assert {each["step"]: each["state"] for each in found["deadlines"]}["notice"] == "not known"


def test_nothing_of_a_record_runs_on_the_page() -> None:
    page = render(sheet(texts={"to-buyer.txt": SCRIPT}), INCH, SCRIPT, ["01-label.jpg"])
    assert SCRIPT not in page
    assert page.count("&lt;script&gt;") >= 3
    assert "<script" not in page


@pytest.mark.parametrize(
    ("claim", "said"),
    [
        ({}, "File the claim by 4 Dec 2026 (5 days left)."),
        ({"claim_state": "filed", "filed_on": date(2026, 11, 21)}, "The claim waits for the carrier's answer."),
        ({"claim_state": "paid", "decided_on": date(2026, 11, 28)}, "The claim is paid. Nothing is due."),
        (
            {"claim_state": "refused", "filed_on": date(2026, 11, 21), "decided_on": date(2026, 11, 28)},
            "Appeal the decision by 8 Dec 2026 (9 days left).",
        ),
        (
            {"delivered_on": date(2026, 10, 8)},
            "The deadline to tell the carrier has passed. File the claim by 4 Dec 2026 (5 days left).",
        ),
    ],
)
def test_what_is_next_follows_state_and_days(claim: dict[str, Any], said: str) -> None:
    assert " ".join(stated(NEXT, sheet(claim=claim))) == said


def test_a_list_names_the_nearest_deadline_first() -> None:
    refused = {"claim_state": "refused", "filed_on": date(2026, 11, 1), "decided_on": date(2026, 11, 28)}
    late = {**refused, "claim_id": "A", "decided_on": date(2026, 11, 10)}
    found = [sheet(claim=late), sheet(claim={**refused, "claim_id": "B"}), sheet()]
    found.append(sheet(claim={"claim_state": "appealed"}))
    rows = [(each.claims[0], waiting_for(each.claims[0]["claim_state"], each.deadlines)) for each in found]
    said = due_lines(rows, INCH)
    assert said[0] == "P1/damage (damage, reported, claimed not known): file the claim by 4 Dec 2026"
    assert said[1].startswith("B (damage, refused") and said[1].endswith("appeal the decision by 8 Dec 2026")
    assert said[2].endswith(
        "(damage, appealed, claimed not known): no answer to the appeal is on record; no deadline is known"
    )
    assert said[3].startswith("A (damage, refused") and said[3].endswith("20 Nov 2026: overdue")
    assert every_line(rows[1][0], INCH).startswith("B: damage, refused on 28 Nov 2026; claimed")


@pytest.mark.parametrize(
    ("claim", "since"),
    [
        ({"claim_state": "appealed", "appealed_on": None}, "appealed, opened on 30 Oct 2026"),  # an export says no day
        ({"claim_state": "appealed", "appealed_on": date(2026, 11, 9)}, "appealed on 9 Nov 2026"),
        ({"claim_state": "filed", "filed_on": None}, "filed, opened on 30 Oct 2026"),
        ({"claim_state": "paid", "decided_on": None}, "paid, opened on 30 Oct 2026"),
        ({"claim_state": "paid", "decided_on": date(2026, 11, 9)}, "paid as decided on 9 Nov 2026"),
        ({"claim_state": "asked", "last_step_on": date(2026, 10, 30)}, "asked, opened on 30 Oct 2026"),
        ({"claim_state": "asked", "last_step_on": date(2026, 11, 9)}, "asked on 9 Nov 2026"),
    ],
)
def test_a_list_names_no_day_that_no_record_gives_the_state(claim: dict[str, Any], since: str) -> None:
    row = {**sheet(claim={"opened_on": date(2026, 10, 30), "appealed_on": None, **claim}).claims[0]}
    assert every_line(row, INCH).startswith(f"P1/damage: damage, {since}; claimed")


def test_without_a_term_of_the_carrier_each_state_still_names_what_to_do() -> None:
    """Of every state that leaves a claim open, and in words of its own."""
    assert set(UNDATED) == set(OWN_STEPS)
    claim = {"claim_id": "C", "claim_cause": "damage", "claimed_cents": 900}
    said = [due_lines([({**claim, "claim_state": state}, None)], INCH)[0] for state in ("reported", "filed", "refused")]
    assert said == [
        "C (damage, reported, claimed $9.00): file it with the carrier; no deadline is known",
        "C (damage, filed, claimed $9.00): no answer of the carrier is on record; no deadline is known",
        "C (damage, refused, claimed $9.00): appeal, or leave it and mark it closed; no deadline is known",
    ]


def test_of_deadlines_that_passed_a_list_names_the_latest() -> None:
    refused = {"claim_state": "refused", "filed_on": date(2026, 8, 1)}
    decided = [date(2026, 9, day) for day in range(1, 14)]
    found = [sheet(claim={**refused, "claim_id": f"C{day.day}", "decided_on": day}) for day in decided]
    said = due_lines([(each.claims[0], waiting_for("refused", each.deadlines)) for each in found], INCH)
    assert [line.split()[0] for line in said[:-1]] == [f"C{day}" for day in range(13, 3, -1)]
    assert said[-1].startswith("and 3 more, overdue for longer: ")


def test_a_paid_or_closed_claim_waits_for_nothing() -> None:
    for state in ("paid", "closed", "withdrawn", "appealed"):
        assert waiting_for(state, sheet(claim={"claim_state": state}).deadlines) is None


def test_a_packet_holds_nothing_of_the_shops_own() -> None:
    """What ways out cost, which rules a parcel broke and what the shop knows of its packing are not the carrier's."""
    texts = {"to-carrier.txt": "Claim.", "to-buyer.txt": "Thank you."}
    found = sheet(texts=texts, rules_broken=(CUSHIONING,))
    whole, packet = render(found, INCH, "Lamps"), render(found, INCH, "Lamps", pictures=())
    for title in ("What it teaches", "Next", "Text to the buyer", "Evidence: files on record"):
        assert title in whole and title not in packet
    assert "What was sent" in packet and "Text to the carrier" in packet


def test_values_are_cut_where_contracts_cut_them() -> None:
    assert values.LONGEST_TEXT == LONGEST_TEXT
    assert formats.plain is values.plain
