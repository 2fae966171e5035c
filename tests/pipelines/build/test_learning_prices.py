"""A price file learned from bills: it prices what was billed, says its error, and is a price file of a tariff."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from models.errors import NotFoundError
from models.tariffs.checks import checked
from pipelines import cli
from pipelines.build import learning_prices, tariffs
from pipelines.shop import warehouse
from tests.models.tariffs.price_lists import tariff
from tests.pipelines.parcels import rated_rows, requests, sides

ASKED = learning_prices.Asked("trial", date(2025, 1, 1), date(2025, 12, 31))


@pytest.fixture
def billed() -> Iterator[warehouse.Connection]:
    """Sixty parcels of 3 to 22 lb at 500 cents and 40 a pound, their discounts, and a bill of another year."""
    rows = [
        {"parcel_id": f"P{n}", "billed_weight_lb": float(3 + n % 20), "amount_cents": 500 + 40 * (3 + n % 20)}
        for n in range(60)
    ]
    lines = pd.DataFrame(rows).assign(shipped_on=date(2025, 6, 2))
    discounts = lines.assign(amount_cents=-50, billed_weight_lb=None)
    late = lines.head(1).assign(shipped_on=date(2026, 6, 2), parcel_id="late", amount_cents=9_999)
    frame = pd.concat([lines, discounts.astype({"billed_weight_lb": "float64"}), late])
    frame = frame.assign(carrier="trial", service="plain", zone="2", charge_kind="base", invoice_number="I-1")
    with warehouse.scratch() as connection:
        connection.register("billed_lines", frame)
        connection.execute("create table core.charge_lines as select * from billed_lines")
        connection.execute(
            "create table core.parcels as select distinct parcel_id, shipped_on, service, zone from billed_lines"
        )
        yield connection


def test_learned_prices_rate_the_parcels_they_were_learned_from(billed: warehouse.Connection, tmp_path: Path) -> None:
    file = tmp_path / "learned.csv"
    report = learning_prices.write(learning_prices.curves(billed, ASKED), ASKED, file)
    assert report[["parcels", "lightest lb", "heaviest lb", "error cents"]].iloc[0].tolist() == [60, 3, 22, 0]
    found = tariff(prices=file.read_text(encoding="utf-8"))
    assert [finding.level for finding in checked(found)] == []
    tariffs.write(billed, [found])
    rows = rated_rows(billed, requests(*(sides(2, 2, 2) | {"scale_weight_lb": weight} for weight in (2, 3, 22, 23))))
    assert rows["base_cents"].tolist() == [pd.NA, 620, 1380, pd.NA]
    assert rows["lacking"].tolist()[0] == "weight beyond the prices"


def test_weights_come_in_the_unit_asked_for(billed: warehouse.Connection, tmp_path: Path) -> None:
    asked = learning_prices.Asked("trial", date(2025, 1, 1), date(2025, 12, 31), "kg", 0.5)
    learning_prices.write(learning_prices.curves(billed, asked), asked, tmp_path / "learned.csv")
    prices = pd.read_csv(tmp_path / "learned.csv", comment="#")
    # 22 lb are 9.979 kg; 3 lb are 1.361 kg.
    assert prices["up_to_weight"].tolist() == [1.0, *(n / 2 for n in range(3, 20))]
    assert prices["price_cents"].dropna().tolist()[0] == round(500 + 40 * 1.5 / 0.45359237)


def test_nothing_billed_says_so(billed: warehouse.Connection) -> None:
    with pytest.raises(NotFoundError, match="no base charge"):
        learning_prices.curves(billed, learning_prices.Asked("nobody", ASKED.first, ASKED.last))


def test_the_command_needs_a_warehouse(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "dunnage.toml").write_text("", encoding="utf-8")
    days = ["--from", "2025-01-01", "--to", "2025-12-31"]
    code = cli.main(["--shop", str(tmp_path), "tariff", "learn", "trial", str(tmp_path / "out.csv"), *days])
    assert code == 1
    assert "holds no warehouse yet" in capsys.readouterr().err
