"""An announced tariff against the past: the same parcels, the same SQL, other figures."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from models.errors import NotFoundError
from pipelines import cli
from pipelines.build import rating, tariffs
from pipelines.shop import warehouse
from tests.dashboards.markup import parsed
from tests.models.tariffs.price_lists import prices_text, tariff
from tests.pipelines.build.trial_rules import RULES
from tests.pipelines.parcels import holding, requests, sides

OLD = tariff(rest=RULES, effective_from="2025-01-01", effective_to="2026-12-31")
NEW = replace(
    tariff("new", RULES.replace("more_than = 48.0", "more_than = 46.0"), effective_from="2027-01-01"), carrier="trial"
)
DEARER = replace(tariff("new", RULES, effective_from="2027-01-01", prices=prices_text(rate=110)), carrier="trial")


@pytest.fixture
def history() -> Iterator[warehouse.Connection]:
    """Three parcels of 2026 rated by the old tariff, where a build would leave them."""
    asked = requests(
        sides(47, 8, 4) | {"shipped_on": date(2026, 3, 2)},
        sides(49, 8, 4) | {"shipped_on": date(2026, 12, 7), "zone": "3"},
        sides(12, 8, 4) | {"shipped_on": date(2026, 3, 2), "zone": "9"},
        sides(12, 8, 4) | {"shipped_on": date(2024, 3, 2)},
    )
    with holding([OLD]) as connection:
        rating.rate(connection, asked)
        for name, source in ((f"rating.{table}", table) for table in ("requests", "rated", "priced", "lanes")):
            connection.execute(f"create table {name} as select * from whatif.{source}")
        connection.execute("create table core.expected_charges as select * from whatif.expected_charges")
        connection.execute(
            "create table core.parcels as select request_id as parcel_id, "
            "case when length_in > 40 then 'tripod' else 'eyepiece' end as item_type from whatif.requests"
        )
        yield connection


def compared(connection: warehouse.Connection, announced: object) -> dict[str, pd.DataFrame]:
    tariffs.write(connection, [announced], schema="announced")  # type: ignore[list-item]
    return rating.compare(connection, rating.looked_back(connection, 12))


def test_parcels_that_cross_a_threshold_are_named(history: warehouse.Connection) -> None:
    found = compared(history, NEW)
    assert found["totals"][["parcel_count", "compared_count"]].iloc[0].tolist() == [3, 2]
    # 47 in are newly long: 1,000 cents less 10 % discount, and 10 % fuel on what is left.
    assert found["crossings"].iloc[0].tolist() == ["long side", "newly charged", "tripod", 1, 1000]
    charges = found["by_charge"].set_index(["charge_kind", "charge_name"])["change_cents"]
    assert charges[("surcharge", "long side")] == 1000
    assert charges[("surcharge", "discount")] == -100


def test_seasons_and_fuel_match_because_parcels_move_by_whole_years(history: warehouse.Connection) -> None:
    found = compared(history, replace(NEW, surcharges=OLD.surcharges))
    moved = history.execute("select shipped_on from whatif.requests order by request_id").fetchall()
    assert [day for (day,) in moved][:2] == [date(2027, 3, 1), date(2027, 12, 6)]
    assert found["totals"]["change_cents"].iloc[0] == 0
    assert found["crossings"].empty


def test_dearer_prices_show_by_zone_and_item_type(history: warehouse.Connection) -> None:
    found = compared(history, DEARER)
    assert (found["by_zone"]["change_cents"] > 0).all()
    total = found["totals"]["change_cents"].iloc[0]
    assert found["by_zone"]["change_cents"].sum() == total
    assert found["by_item_type"]["change_cents"].sum() == total
    assert found["by_charge"]["change_cents"].sum() == total


def test_crossings_add_up_to_the_parcels_that_cross(history: warehouse.Connection) -> None:
    found = compared(history, NEW)
    parcels = found["crossing_parcels"]
    assert parcels[["parcel_id", "surcharge", "crossing", "change_cents"]].values.tolist() == [
        [parcels["parcel_id"][0], "long side", "newly charged", 1000]
    ]
    assert parcels["length_in"].tolist() == [47.0]
    assert found["crossings"]["change_cents"].sum() == parcels["change_cents"].sum()


def test_a_carrier_that_never_shipped_is_reported(history: warehouse.Connection) -> None:
    with pytest.raises(NotFoundError, match="no parcel of its carrier"):
        compared(history, replace(NEW, carrier="nobody"))


def test_the_command_names_the_page_it_drew(
    demo_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = shutil.copytree(demo_folder, tmp_path / "shop")
    rules = (shop / "tariffs" / "northline-2026.toml").read_text(encoding="utf-8")
    announced = shop / "tariffs" / "announced.toml"
    announced.write_text(
        rules.replace('tariff_code = "northline-2026"', 'tariff_code = "north/2027"')
        .replace("effective_from = 2026-01-12", "effective_from = 2027-01-11")
        .replace("effective_to", "# effective_to"),
        encoding="utf-8",
    )
    assert cli.main(["--shop", str(shop), "tariff", "compare", str(announced), "--months", "3"]) == 0
    page = shop / "reviews" / "tariff-north-2027.html"
    assert str(page) in capsys.readouterr().out.replace("\n", "")
    root = parsed(page.read_text(encoding="utf-8"))
    assert root.all("h1")[0].text() == "Past parcels under north/2027"
    assert len(root.all("table")) == 6
    assert root.all("footer")[0].all("a")[0].attributes["href"] == "./index.html"


def test_terms_of_an_offer_are_printed_and_drawn(
    demo_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = shutil.copytree(demo_folder, tmp_path / "shop")
    file = str(shop / "tariffs" / "northline-2026.toml")
    asked = ["--shop", str(shop), "tariff", "compare", file, "--months", "1", "--what-if"]
    assert cli.main([*asked, "divisor=166", "--what-if", "base=-5%"]) == 0
    page = shop / "reviews" / "offer-northline-2026.html"
    said = capsys.readouterr().out.replace("\n", "")
    assert str(page) in said
    assert "all terms together" in said
    root = parsed(page.read_text(encoding="utf-8"))
    assert root.all("h1")[0].text() == "An offer on northline-2026"
    assert len(root.all("table")) == 1
    assert cli.main([*asked, "divisr=166"]) == 1
    assert "write it like one of: divisor=166" in capsys.readouterr().err.replace("\n", " ")
    # Two carriers' tariffs are in force: which one is meant is asked, never guessed.
    assert cli.main(["--shop", str(shop), "tariff", "compare", "--what-if", "divisor=166"]) == 1
    assert "give the file" in capsys.readouterr().err.replace("\n", " ")
