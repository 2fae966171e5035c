"""A shop's month as its owner saw it at a month-end: the records known then, through the command line."""

from __future__ import annotations

import re
from pathlib import Path

import pandas as pd
import pytest

from models.reference import RECORDS
from pipelines.cli import main
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.late_shops import Habits, LateShop, completed_on, generated

TODAY, MONTH = pd.Timestamp("2023-06-30"), pd.Timestamp("2023-05-01")
INIT = ("--name", "Weir", "--currency", "USD", "--time-zone", "UTC", "--wage", "0", "--units", "inch")


@pytest.fixture(scope="module")
def late() -> LateShop:
    return generated(Habits(21, parcels_a_day=1.5, has_bench=False, lost=(18,), days=190))


@pytest.fixture(scope="module")
def seen(late: LateShop, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("back")
    shop = folder / "shop"
    assert main(["init", str(shop), *INIT]) == 0
    for kind, rows in late.known(TODAY).items():
        if kind in RECORDS and len(rows):
            filled = rows.reindex(columns=list(RECORDS[kind].columns))
            filled.to_csv(shop / "inbox" / f"template-{kind}.csv", index=False)
    assert main(["--shop", str(shop), "intake"]) == 0
    assert main(["--shop", str(shop), "review"]) == 0
    return shop


@pytest.mark.slow
def test_the_month_whose_invoices_have_usually_come_is_reviewed(seen: Path) -> None:
    """On 30 June every bill of May was due, but not those of late June; one weekly invoice of May was lost."""
    assert [page.name for page in (seen / "reviews").glob("review-????-??.html")] == ["review-2023-05.html"]


def test_the_command_line_gives_what_the_generator_expects(seen: Path, late: LateShop) -> None:
    with warehouse.reading(load(seen)) as connection:
        found = connection.execute("select * from analysis.completed_months").df().set_index("shipped_month")
        (gap,) = connection.execute(
            "select missing_count from marts.record_gaps where gap = 'sales without a parcel' and shipped_month = ?",
            [MONTH.date()],
        ).fetchall()[0]
    expected = completed_on(late, TODAY)
    assert found.astype(object).where(found.notna(), None).to_dict() == (
        expected[found.columns].astype(object).where(expected.notna(), None).to_dict()
    )
    assert gap > 0
    # Of few claims nobody can say how late others come, so nothing bounds what the month makes at last.
    assert found[["completed_low_cents", "completed_high_cents"]].loc[MONTH].isna().all()
    bills = found[["carriage_to_come_low_cents", "carriage_to_come_high_cents"]].loc[MONTH]
    assert 0 < bills.iloc[0] < bills.iloc[1]
    sent = late.records["parcels"].set_index("parcel_id")["shipped_on"]
    is_of_month = late.records["charges"]["parcel_id"].map(sent).dt.to_period("M") == MONTH.to_period("M")
    at_last = late.records["charges"]["amount_cents"][is_of_month].sum()
    assert bills.iloc[0] <= at_last - found["billed_cents"].loc[MONTH] <= bills.iloc[1]


def test_the_page_says_first_what_the_month_makes_with_what_is_missing(seen: Path) -> None:
    page = re.sub(r"<[^>]+>", "", (seen / "reviews" / "review-2023-05.html").read_text(encoding="utf-8"))
    assert "With what is still to come, shipping in May 2023 is expected to" in page
    assert (
        "is still to be billed" in page
        and "of shipping paid on them, after refunds and fees, is in no month yet" in page
    )
