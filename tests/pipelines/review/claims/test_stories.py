"""Ten claims as they happen, typed in: what the sheet says, the days, the states, the money."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from dashboards.claim_list import due_lines
from dashboards.claim_sheet import NEXT, lines
from dashboards.sentences.claim_sheet import stated
from models.claims.lessons import CUSHIONING
from models.claims.sheet import Sheet
from models.errors import SettingsError
from models.shop_units import Units
from pipelines.review.claims import sheets, standings
from pipelines.shop.warehouse import Connection
from tests.pipelines.review.claims.claim_shop import NOON, TODAY, claim_shop, marked, opened, sheet_of
from tests.shops import rows

USD = Units("USD")


@pytest.fixture(scope="module")
def shop() -> Iterator[Connection]:
    with claim_shop() as connection:
        yield connection


def next_words(sheet: Sheet) -> str:
    return " ".join(stated(NEXT, sheet))


def days(connection: Connection, folder: Path, parcel: str, on: date = TODAY) -> dict[str, tuple[str, date | None]]:
    return {each.step: (each.state, each.due_on) for each in sheet_of(connection, folder, parcel, on).deadlines}


def test_late_notice(shop: Connection, tmp_path: Path) -> None:
    """Shipped 28 September, delivered 1 October, reported on 20 November: the carrier's days have passed."""
    opened(shop, "late", date(2026, 11, 20), date(2026, 10, 1))
    found = days(shop, tmp_path, "late")
    assert found["notice"] == ("overdue", date(2026, 10, 8))
    assert found["filing"] == ("overdue", date(2026, 11, 27))
    said = next_words(sheet_of(shop, tmp_path, "late"))
    assert said == (
        "The deadlines to tell the carrier and to file the claim have passed. "
        "Ask the carrier whether it still takes it."
    )
    # A week before, filing was still to be done in time.
    assert days(shop, tmp_path, "late", date(2026, 11, 20))["filing"] == ("due", date(2026, 11, 27))


def test_refused_for_packing_and_appealed(shop: Connection, tmp_path: Path) -> None:
    opened(shop, "packing", date(2026, 10, 12), date(2026, 10, 9))
    marked(shop, "packing", "filed", date(2026, 10, 13), claimed=18_900)
    assert days(shop, tmp_path, "packing")["answer"] == ("overdue", date(2026, 11, 13))
    marked(shop, "packing", "refused", date(2026, 11, 18))
    # Ten working days from Wednesday 18 November: Wednesday 2 December.
    assert days(shop, tmp_path, "packing")["appeal"] == ("due", date(2026, 12, 2))
    assert next_words(sheet_of(shop, tmp_path, "packing")) == "Appeal the decision by 2 Dec 2026 (3 days left)."
    marked(shop, "packing", "appealed", date(2026, 11, 27))
    found = sheet_of(shop, tmp_path, "packing")
    assert {each.step: each.state for each in found.deadlines}["appeal"] == "done"
    assert found.claim["claim_state"] == "appealed"


def test_part_paid(shop: Connection, tmp_path: Path) -> None:
    opened(shop, "part", date(2026, 11, 3), date(2026, 10, 30))
    marked(shop, "part", "filed", date(2026, 11, 4), claimed=18_900)
    marked(shop, "part", "paid in part", date(2026, 11, 23), paid=7_550, refund=21_350)
    claim = sheet_of(shop, tmp_path, "part").claim
    assert (claim["claim_state"], claim["paid_cents"], claim["loss_cents"]) == ("paid in part", 7_550, 13_800)
    assert days(shop, tmp_path, "part")["appeal"] == ("due", date(2026, 12, 7))
    assert "  Paid: $75.50" in list(lines(sheet_of(shop, tmp_path, "part"), USD))


def test_the_replacement_is_lost_too(shop: Connection, tmp_path: Path) -> None:
    """Two parcels, two claims: each has days and money of its own. Nothing is spent on the buyer of the second yet, so
    what was claimed counts."""
    opened(shop, "again", date(2026, 11, 2), date(2026, 10, 29))
    marked(shop, "again", "filed", date(2026, 11, 2), claimed=18_900)
    marked(shop, "again", "paid", date(2026, 11, 16), paid=18_900, replacement=9_200)
    opened(shop, "again2", date(2026, 11, 24), cause="loss")
    marked(shop, "again2", "filed", date(2026, 11, 25), claimed=18_900)
    first, second = (sheet_of(shop, tmp_path, name).claim for name in ("again", "again2"))
    assert (first["claim_state"], first["loss_cents"]) == ("paid", 9_200 - 18_900)
    assert (second["claim_id"], second["claim_state"], second["loss_cents"]) == ("again2/loss", "filed", 18_900)
    assert next_words(sheet_of(shop, tmp_path, "again")) == "The claim is paid. Nothing is due."
    assert days(shop, tmp_path, "again2")["answer"] == ("due", date(2026, 12, 25))


def test_the_buyer_keeps_it(shop: Connection, tmp_path: Path) -> None:
    """A part refund and no return: what the carrier pays comes off it, and nothing is salvaged."""
    opened(shop, "keeps", date(2026, 11, 5), date(2026, 10, 30))
    marked(shop, "keeps", "reported", date(2026, 11, 6), refund=5_000)
    marked(shop, "keeps", "filed", date(2026, 11, 6), claimed=5_000)
    marked(shop, "keeps", "paid", date(2026, 11, 20), paid=5_000)
    claim = sheet_of(shop, tmp_path, "keeps").claim
    assert (claim["refund_cents"], claim["return_cost_cents"], claim["salvage_cents"]) == (5_000, 0, 0)
    assert claim["loss_cents"] == 0


def test_a_return_that_is_no_damage(shop: Connection, tmp_path: Path) -> None:
    """Nothing is claimed from the carrier: the way back is a cost, what came back is worth what it cost."""
    opened(shop, "whole", date(2026, 11, 9), cause="other")
    marked(shop, "whole/other", "closed", date(2026, 11, 20), refund=21_350, return_cost=1_720, salvage=9_200)
    claim = sheet_of(shop, tmp_path, "whole").claim
    assert (claim["claim_state"], claim["claimed_cents"], claim["loss_cents"]) == ("closed", None, 13_870)
    assert "whole/other" not in "\n".join(due_lines(sheets.due(shop, TODAY), USD))


def test_two_parcels_of_one_sale(shop: Connection, tmp_path: Path) -> None:
    """One broke: its sheet claims one piece, not the sale; the other parcel has no claim."""
    opened(shop, "two-1", date(2026, 11, 3), date(2026, 10, 30))
    broken, sound = sheet_of(shop, tmp_path, "two-1"), sheet_of(shop, tmp_path, "two-2")
    assert broken.claimable_cents == 18_900
    assert "Goods: 1 x tripod." in broken.texts["to-carrier.txt"]
    assert sound.claim is None
    assert next_words(sound).startswith("No claim is on record for this parcel.")


def test_no_invoice(shop: Connection, tmp_path: Path) -> None:
    """The carrier's invoice has not come: that is said, and nothing is made up for it."""
    opened(shop, "bare", date(2026, 11, 10), date(2026, 11, 6))
    found = list(lines(sheet_of(shop, tmp_path, "bare"), USD))
    assert "  Invoice: not known: no invoice on record names the parcel" in found
    assert "Invoices" not in sheet_of(shop, tmp_path, "bare").texts["to-carrier.txt"]
    assert days(shop, tmp_path, "bare")["filing"] == ("due", date(2027, 1, 1))


def test_foreign_currency(shop: Connection, tmp_path: Path) -> None:
    """Amounts are the shop's own: in yen there is nothing behind the point, and 189 are not 1.89."""
    opened(shop, "foreign", date(2026, 11, 3), date(2026, 10, 30))
    marked(shop, "foreign", "filed", date(2026, 11, 4), claimed=189)
    found = list(lines(sheet_of(shop, tmp_path, "foreign"), Units("JPY", "metric")))
    assert "  Claimed: ¥189" in found
    assert "  Closed sides: 121.9 x 20.3 x 20.3 cm" in found


@pytest.mark.parametrize(
    ("part", "what"),
    [
        ("legs; write to pat.doe@example.invalid", "an e-mail address"),
        ("legs, call +1 503 555 0100", "an e-mail address or a phone number"),
        ("left with Mrs Abernathy", "a name"),
        ("it came to 12 Mill Lane broken", "a street"),
    ],
)
def test_personal_words_of_the_buyer_are_not_kept(shop: Connection, part: str, what: str) -> None:
    with pytest.raises(SettingsError, match=f"seems to hold {what}"):
        opened(shop, "told", date(2026, 11, 3), damaged_part=part)
    assert standings.of_parcel(shop, "told") == []
    kept = rows(shop, "select count(*) as n from shop.claim_openings where parcel_id = 'told'")
    assert kept == [{"n": 0}]


def test_opening_twice_is_opening_once(shop: Connection) -> None:
    first = opened(shop, "two-2", date(2026, 11, 3), cause="delay")
    assert opened(shop, "two-2", date(2026, 11, 5), cause="delay") == first
    assert len(standings.of_parcel(shop, "two-2")) == 1
    standings.erase(shop, "two-2")
    assert standings.of_parcel(shop, "two-2") == []


@pytest.mark.parametrize(
    ("on", "delivered_on"),
    [
        (date(2026, 10, 25), None),  # before it was shipped
        (date(2026, 11, 3), date(2026, 11, 4)),  # before it was delivered
        (date(2026, 11, 30), None),  # tomorrow
    ],
)
def test_days_that_cannot_be_are_refused(shop: Connection, on: date, delivered_on: date | None) -> None:
    with pytest.raises(SettingsError, match="cannot have been reported"):
        standings.open_claim(shop, "told", "damage", on, NOON, delivered_on)


def test_each_way_out_costs_what_the_records_say(shop: Connection, tmp_path: Path) -> None:
    """189.00 sold, 92.00 cost, 24.50 shipping, 18.90 fee; carton 2.50, material 3.00, ten minutes of work 4.00.

    The way back is priced as the way out.
    """
    found = sheet_of(shop, tmp_path, "told")
    carriage = int(found.parcel["expected_cents"])
    costs = [way.cost for way in found.ways]
    assert costs == [21_350, 9_450, 9_200 + 950 + carriage, 21_350 + carriage - 9_200]
    assert found.ways[0].fee_back == 1_890
    # 48 x 8 x 8 in over 139 are 22.1: 23 lb at 100 cents each.
    assert carriage == 2_300


def test_what_a_claim_teaches_is_counted(shop: Connection, tmp_path: Path) -> None:
    """All parcels of the shop are alike: there are no others to compare with."""
    found = sheet_of(shop, tmp_path, "part")
    assert found.lesson.like == 12
    assert found.lesson.other == 0
    assert found.rules_broken[0] == CUSHIONING
    assert "No other parcel of the item type is on record to compare with." in "\n".join(lines(found, USD))
