"""`dunnage disputes`: listed, exported, marked; recovered money never counts twice."""

from __future__ import annotations

import shutil
from datetime import datetime, timedelta
from pathlib import Path

import pandas as pd
import pytest

from models.errors import SettingsError
from pipelines.cli import main
from pipelines.review import disputing, runs
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.shops import rows
from tests.without_analyses import without_analyses


@pytest.fixture(scope="module")
def shop(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the demo shop that these tests may write into."""
    return Path(shutil.copytree(demo_folder, tmp_path_factory.mktemp("disputes") / "shop"))


def one(shop: Path, dispute_id: str) -> dict[str, object]:
    with warehouse.reading(load(shop)) as connection:
        found = connection.execute("select * from marts.billing_disputes where dispute_id = ?", [dispute_id]).df()
    return dict(found.iloc[0])


def first(shop: Path) -> str:
    with warehouse.reading(load(shop)) as connection:
        return str(disputing.listed(connection)["dispute_id"].iloc[0])


def test_the_list_holds_what_can_still_be_sent_nearest_day_first(shop: Path) -> None:
    with warehouse.reading(load(shop)) as connection:
        listed = disputing.listed(connection)
        every = disputing.listed(connection, every=True)
    days = listed["last_dispute_on"].tolist()
    assert days == sorted(days)
    assert 0 < len(listed) < len(every)
    assert main(["--shop", str(shop), "disputes", "list"]) == 0


def test_an_export_holds_the_evidence_of_both_sides(shop: Path, tmp_path: Path) -> None:
    assert main(["--shop", str(shop), "disputes", "export", str(tmp_path / "out.csv"), "--all"]) == 0
    written = pd.read_csv(tmp_path / "out.csv")
    assert {"own_evidence", "billed_evidence", "last_dispute_on", "over_cents"} <= set(written.columns)
    assert written["over_cents"].gt(0).all()
    assert written["own_evidence"].notna().all()


def test_a_mark_is_kept_and_recovered_money_is_no_income_by_itself(shop: Path) -> None:
    dispute_id = first(shop)
    over = int(str(one(shop, dispute_id)["over_cents"]))
    with warehouse.reading(load(shop)) as connection:
        before = rows(connection, "select sum(margin_cents) as cents from marts.parcel_costs")
    assert main(["--shop", str(shop), "disputes", "mark", dispute_id, "sent"]) == 0
    assert one(shop, dispute_id)["dispute_state"] == "sent"
    assert not one(shop, dispute_id)["is_disputable"]
    amount = f"{over / 100:.2f}"
    assert main(["--shop", str(shop), "disputes", "mark", dispute_id, "won", "--recovered", amount]) == 0
    assert one(shop, dispute_id)["outstanding_cents"] == 0
    with without_analyses():
        runs.month_tables(load(shop), None)
    assert one(shop, dispute_id)["recovered_cents"] == over
    with warehouse.reading(load(shop)) as connection:
        assert rows(connection, "select sum(margin_cents) as cents from marts.parcel_costs") == before


def test_of_two_marks_in_one_second_or_with_the_clock_set_back_the_later_said_counts(shop: Path) -> None:
    with warehouse.reading(load(shop)) as connection:
        dispute_id = str(disputing.listed(connection)["dispute_id"].iloc[1])
    noon = datetime(2026, 11, 21, 12)
    with warehouse.writing(load(shop), "test") as connection:
        disputing.mark(connection, dispute_id, "won", None, noon)
        disputing.mark(connection, dispute_id, "sent", None, noon)
        disputing.mark(connection, dispute_id, "lost", None, noon - timedelta(hours=1))
    assert one(shop, dispute_id)["dispute_state"] == "lost"


def test_a_mark_that_is_said_twice_is_noted_once(shop: Path) -> None:
    """A repeated command, or a script that is run again: no second row, and nothing to build again."""
    with warehouse.reading(load(shop)) as connection:
        dispute_id = str(disputing.listed(connection)["dispute_id"].iloc[2])
    noon, said = datetime(2026, 11, 21, 12), []
    with warehouse.writing(load(shop), "test") as connection:
        for state, recovered in (("sent", None), ("sent", None), ("won", 1), ("won", 1), ("won", None), ("sent", None)):
            disputing.mark(connection, dispute_id, state, recovered, noon)
            said = connection.execute(
                "select dispute_state, recovered_cents from shop.disputes where dispute_id = ? order by marked_at",
                [dispute_id],
            ).fetchall()
        connection.execute("update intake.builds set fingerprint = 'built'")
        disputing.mark(connection, dispute_id, "sent", None, noon)
        built = connection.execute("select fingerprint from intake.builds").fetchall()
    assert said == [("sent", None), ("won", 1), ("sent", None)]
    assert built == [("built",)]


@pytest.mark.parametrize(
    "wrong",
    [
        ["mark", "NL0", "sent"],
        ["mark", "FIRST", "lost", "--recovered", "1.00"],
        ["mark", "FIRST", "won", "--recovered", "99999.00"],
        ["mark", "FIRST", "won", "--recovered", "1.005"],
    ],
)
def test_what_cannot_be_noted_is_said_in_three_lines(
    shop: Path, wrong: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with warehouse.reading(load(shop)) as connection:
        last = str(disputing.listed(connection)["dispute_id"].iloc[-1])
    said = [last if word == "FIRST" else word for word in wrong]
    assert main(["--shop", str(shop), "disputes", *said]) == 1
    assert "next:" in capsys.readouterr().err
    assert one(shop, last)["dispute_state"] == "open"


def test_amounts_follow_the_currency() -> None:
    assert disputing.cents("14.25", 2) == 1425
    assert disputing.cents("1425", 0) == 1425
    assert disputing.cents(None, 2) is None
    with pytest.raises(SettingsError):
        disputing.cents("14.25", 0)
