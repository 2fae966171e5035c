"""A price file learned from bills: it prices what was billed, says its error, and is a price file of a tariff."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from models.errors import NotFoundError
from models.tariffs.rules import Tariff
from pipelines import cli
from pipelines.build import learning_prices, tariffs
from pipelines.shop import warehouse
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
    frame = frame.assign(carrier="trial", service="plain", zone="2", charge_kind="base", invoice_number="I-1").assign(
        billed_length_in=None, billed_width_in=None, billed_height_in=None, surcharge=None, charge_code="BASE"
    )
    with warehouse.scratch() as connection:
        connection.register("billed_lines", frame)
        connection.execute("create table core.charge_lines as select * from billed_lines")
        connection.execute(
            "create table core.parcels as select distinct parcel_id, shipped_on, service, zone, billed_weight_lb "
            "as scale_weight_lb, 2.0 as length_in, 2.0 as width_in, 2.0 as height_in from billed_lines "
            "where billed_weight_lb is not null"
        )
        connection.execute("create table core.shipment_parcels (parcel_id varchar)")
        yield connection


def learned_files(billed: warehouse.Connection, folder: Path, asked: learning_prices.Asked = ASKED) -> Tariff:
    """What the command writes, read as the tariff that it is."""
    rules, is_written = learning_prices.write(learning_prices.learn(billed, asked, "USD", "trial"), folder)
    assert is_written
    found, findings = tariffs.check(rules)
    assert found
    assert [each.what for each in findings] == []
    return found


def test_learned_prices_rate_the_parcels_they_were_learned_from(billed: warehouse.Connection, tmp_path: Path) -> None:
    report = learning_prices.report(learning_prices.learn(billed, ASKED, "USD", "trial"))
    assert report[["bills", "lightest lb", "heaviest lb", "error cents"]].iloc[0].tolist() == [60, 3, 22, 0]
    tariffs.write(billed, [learned_files(billed, tmp_path)])
    rows = rated_rows(billed, requests(*(sides(2, 2, 2) | {"scale_weight_lb": weight} for weight in (2, 3, 22, 23))))
    assert rows["base_cents"].tolist() == [pd.NA, 620, 1380, pd.NA]
    assert rows["lacking"].tolist()[0] == "weight beyond the prices"


def test_weights_come_in_the_unit_asked_for(billed: warehouse.Connection, tmp_path: Path) -> None:
    learned_files(billed, tmp_path, replace(ASKED, weight_unit="kg", weight_step=0.5))
    prices = pd.read_csv(tmp_path / "trial.csv", comment="#")
    # 22 lb are 9.979 kg, which the step to 10 kg holds; 3 lb are 1.361 kg.
    assert prices["up_to_weight"].tolist() == [1.0, *(n / 2 for n in range(3, 21))]
    # The step to 2 kg holds 4 lb (1.814 kg).
    assert prices.set_index("up_to_weight")["price_cents"][2.0] == 500 + 40 * 4


def test_the_rules_say_what_the_bills_do_not_tell(billed: warehouse.Connection, tmp_path: Path) -> None:
    found = learned_files(billed, tmp_path)
    assert found.effective_to == ASKED.last
    assert (found.dispute_days, found.claim_days) == (None, None)
    text = (tmp_path / "trial.toml").read_text(encoding="utf-8")
    assert "# Not known: what volume weighs" in text
    assert "# Not known: days to dispute a bill and to file a claim" in text
    assert "# Not known: the rules of discount on the base price" in text
    (tmp_path / "trial.toml").write_text("# mine\n" + text, encoding="utf-8")
    rules, is_written = learning_prices.write(learning_prices.learn(billed, ASKED, "USD", "trial"), tmp_path)
    assert not is_written
    assert rules.read_text(encoding="utf-8").startswith("# mine")


def test_nothing_billed_says_so(billed: warehouse.Connection) -> None:
    with pytest.raises(NotFoundError, match="no base charge"):
        learning_prices.learn(billed, replace(ASKED, carrier="nobody"), "USD", "trial")


def test_the_command_needs_a_warehouse(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "dunnage.toml").write_text("", encoding="utf-8")
    days = ["--from", "2025-01-01", "--to", "2025-12-31"]
    code = cli.main(["--shop", str(tmp_path), "tariff", "learn", "trial", str(tmp_path / "out.csv"), *days])
    assert code == 1
    assert "has no records yet" in capsys.readouterr().err
