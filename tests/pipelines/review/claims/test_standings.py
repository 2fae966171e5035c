"""Records and marks of one claim: the later day counts, a record that comes later takes over, nothing counts twice."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from models.errors import WarehouseError
from pipelines.review.claims import standings
from pipelines.shop import warehouse
from pipelines.shop.warehouse import Connection
from tests.pipelines.review.claims.claim_shop import claim_shop, marked, opened, settings_in
from tests.shops import fill


def one(connection: Connection, parcel: str) -> dict[str, object]:
    (found,) = standings.of_parcel(connection, parcel)
    return found


def test_a_record_that_comes_later_takes_over_what_was_said() -> None:
    with claim_shop() as connection:
        opened(connection, "part", date(2026, 11, 3), date(2026, 10, 30))
        marked(connection, "part", "filed", date(2026, 11, 4), claimed=18_900)
        fill(connection, "claims", [{"claim_id": "CL-7", "parcel_id": "part", "opened_on": "2026-11-03"}])
        found = one(connection, "part")
        assert (found["claim_id"], found["claim_state"], found["claimed_cents"]) == ("CL-7", "filed", 18_900)
        assert found["delivered_on"] == date(2026, 10, 30)
        # The next step is kept with those before it, under whichever name it is said.
        marked(connection, "CL-7", "asked", date(2026, 11, 20))
        assert one(connection, "part")["claim_state"] == "asked"


def test_of_record_and_mark_the_later_day_counts() -> None:
    decided: dict[str, object] = {"claim_id": "CL-7", "parcel_id": "part", "claim_state": "paid"}
    decided |= {"filed_on": "2026-11-04"}
    decided |= {"opened_on": "2026-11-03", "decided_on": "2026-11-20", "claimed_cents": 18_900, "paid_cents": 9_000}
    with claim_shop(claims=[decided]) as connection:
        marked(connection, "CL-7", "paid", date(2026, 11, 20), paid=9_500)
        assert (one(connection, "part")["claim_state"], one(connection, "part")["paid_cents"]) == ("paid", 9_500)
        connection.execute("update accepted.claims set decided_on = '2026-11-25', paid_cents = 18900")
        found = one(connection, "part")
        assert (found["paid_cents"], found["last_step_on"]) == (18_900, date(2026, 11, 25))


def test_an_amount_that_only_a_record_states_stays_the_records() -> None:
    """A mark says the state alone: a refund that the record corrects afterwards is not held back by it."""
    filed: dict[str, object] = {
        "claim_id": "CL-7",
        "parcel_id": "part",
        "filed_on": "2026-11-04",
        "refund_cents": 5_000,
    }
    with claim_shop(claims=[{**filed, "opened_on": "2026-11-03"}]) as connection:
        marked(connection, "CL-7", "asked", date(2026, 11, 20))
        connection.execute("update accepted.claims set refund_cents = 7000")
        assert (one(connection, "part")["claim_state"], one(connection, "part")["refund_cents"]) == ("asked", 7_000)


def test_a_warehouse_of_another_version_is_named_and_not_read(tmp_path: Path) -> None:
    settings = settings_in(tmp_path)
    with warehouse.writing(settings, "test") as connection:
        connection.execute("alter table shop.claim_marks drop column appealed_on")
    with pytest.raises(WarehouseError, match="run `dunnage review`"), standings.reading(settings) as connection:
        standings.claims_now(connection)


def test_a_step_said_twice_is_one_row_and_later_steps_keep_their_order() -> None:
    with claim_shop() as connection:
        opened(connection, "part", date(2026, 11, 3))
        for _ in range(2):
            marked(connection, "part", "filed", date(2026, 11, 4), claimed=18_900)
        marked(connection, "part", "asked", date(2026, 11, 4))
        said = connection.execute("select claim_state from shop.claim_marks order by marked_at").fetchall()
        assert said == [("filed",), ("asked",)]
        assert one(connection, "part")["claimed_cents"] == 18_900
