"""The demo shop from files to review: what was planted is found, what was billed adds up."""

from __future__ import annotations

import csv
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest

from models.contracts import validated
from models.tables import TABLES
from pipelines.cli import main
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.shops import rows

SAMPLES = Path(__file__).parents[2] / "sample_data"


@pytest.fixture(scope="module")
def truth() -> dict[str, Any]:
    return tomllib.loads((SAMPLES / "truth.toml").read_text(encoding="utf-8"))


def listed(name: str) -> list[dict[str, str]]:
    with (SAMPLES / "truth" / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


# What the biography calls a fault, and what intake says of it.
SAID = {
    "missing": "is missing",
    "long": "has more than 200 characters",
    "control": "holds a control character",
    "unreadable": "is neither|is not an? (amount|length|number|time|weight)",
    "range": "is (less|more|not more) than",
    "impossible": "is not a valid date",
    "rule": "is given without|is (more|later) than|none of",
    "columns": "cells",
    "ambiguous": "may be",
    "list": "is none of",
}


def test_every_planted_bad_row_is_rejected_for_its_reason_and_no_other_row(demo: warehouse.Connection) -> None:
    found = {
        (row["file_name"], row["row_number"]): (f"{row['column_name']} {row['reason']}", row["reason"])
        for row in rows(
            demo,
            "select d.file_name, r.row_number, r.column_name, r.reason from rejected.rows as r "
            "join intake.deliveries as d on d.delivery_id = r.delivery_id",
        )
    }
    planted = {(row["file"], int(row["row"])): (row["column"], row["reason"]) for row in listed("bad_rows.csv")}
    assert set(found) == set(planted)
    wrong = [
        (where, column, fault, found[where])
        for where, (column, fault) in planted.items()
        if column not in found[where][0] or not re.search(SAID[fault], found[where][1])
    ]
    assert wrong == []


def test_every_invoice_adds_up_to_the_cent(demo: warehouse.Connection) -> None:
    found = {
        (row["carrier"], row["invoice_number"]): row["amount_cents"]
        for row in rows(demo, "select * from marts.invoice_totals")
    }
    planted = {(row["carrier"], row["invoice_number"]): int(row["amount_cents"]) for row in listed("invoices.csv")}
    assert found == planted


def test_money_of_parcels_is_money_of_charge_lines(demo: warehouse.Connection) -> None:
    (sums,) = rows(
        demo,
        "select (select cast(sum(billed_cents) as bigint) from marts.parcel_costs) as costed, "
        "(select cast(sum(amount_cents) as bigint) from accepted.charges) as charged",
    )
    assert sums["costed"] == sums["charged"] == sum(int(row["amount_cents"]) for row in listed("invoices.csv"))


def test_parcels_and_claims_are_counted_as_planted(demo: warehouse.Connection, truth: dict[str, Any]) -> None:
    (found,) = rows(
        demo,
        "select (select count(*) from core.parcels) as parcels, "
        "(select count(*) from core.parcels where has_bench_log) as logged, "
        "(select count(*) from accepted.sales) as sale_lines, "
        "(select count(*) from accepted.weights) as bench_rows",
    )
    shop = truth["shop"]
    assert found == {
        "parcels": shop["parcels"],
        "logged": shop["parcels_logged"],
        "sale_lines": shop["sale_lines"],
        "bench_rows": shop["bench_rows"],
    }


def test_unused_labels_and_quotes_are_those_planted(demo: warehouse.Connection, truth: dict[str, Any]) -> None:
    labels = truth["labels"]
    found = rows(demo, "select parcel_id, quoted_cents from marts.unused_labels order by parcel_id")
    (quoted,) = rows(demo, "select cast(sum(quoted_cents) as bigint) as quoted_cents from core.quoted_parcels")
    (waiting,) = rows(
        demo,
        "select cast(coalesce(sum(l.quoted_cents), 0) as bigint) as quoted_cents from core.labels as l "
        "where l.first_scan_on is not null and not exists "
        "(select 1 from core.quoted_parcels as q where q.parcel_id = l.parcel_id)",
    )
    assert sorted(labels["unused"]) == [row["parcel_id"] for row in found]
    assert sum(row["quoted_cents"] for row in found) == labels["unused_cents"]
    assert quoted["quoted_cents"] + waiting["quoted_cents"] == labels["quoted_cents"]
    assert quoted["quoted_cents"] > 20 * waiting["quoted_cents"]


def test_returns_cost_the_margin_what_was_planted(demo: warehouse.Connection, truth: dict[str, Any]) -> None:
    planted = truth["returns"]
    (found,) = rows(
        demo,
        "select cast(sum(return_carriage_cents) as bigint) as carriage_cents, "
        "cast(sum(depreciation_cents) as bigint) as depreciation_cents from marts.shipping_margin",
    )
    assert found == {name: planted[name] for name in found}
    unsold = rows(demo, "select return_id from marts.returns where resold_on is null order by return_id")
    assert [row["return_id"] for row in unsold] == planted["not_sold_again"]


def test_most_months_are_a_little_in_the_black(demo: warehouse.Connection) -> None:
    months = rows(demo, "select margin_per_parcel_cents as cents from marts.shipping_margin where parcel_count > 0")
    assert sum(row["cents"] > 0 for row in months) > len(months) / 2
    assert all(-1000 < row["cents"] < 1000 for row in months)


def test_the_dearer_method_looks_worse_crude(demo: warehouse.Connection) -> None:
    """Simpson's case: foam is used on fragile goods, so its crude rate is above that of air cushions."""
    found = {
        row["packing_method"]: row["rate"]
        for row in rows(
            demo,
            "select packing_method, sum(damage_count) / sum(parcel_count) as rate "
            "from marts.damage_counts where item_type in "
            "('refractor tube', 'eyepiece', 'finder scope', 'reflector tube', 'primary mirror') "
            "group by packing_method",
        )
    }
    assert found["foam"] > found["air cushion"]


def test_built_tables_keep_their_contracts(demo: warehouse.Connection) -> None:
    for name in TABLES:
        if name.startswith(("marts.", "analysis.")):
            columns = ", ".join(TABLES[name].columns)
            validated(demo.execute(f"select {columns} from {name}").df(), TABLES[name], "the test")


def test_commands_on_the_demo(
    demo_folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    shop = ["--shop", str(demo_folder)]
    assert main([*shop, "trace", "marts.item_type_costs", "--item-type", "tripod", "--month", "2026-10"]) == 0
    assert "northline-2026-Q4.parquet" in capsys.readouterr().out
    assert main([*shop, "explain", "NL40010504"]) == 0
    assert "NL40010504" in capsys.readouterr().out
    assert main([*shop, "explain", "NOSUCH"]) == 1
    assert "is in no record" in capsys.readouterr().err
    assert main([*shop, "trace", "marts.nothing"]) == 1
    assert "not a table or a title of the page that can be traced" in capsys.readouterr().err
    assert main([*shop, "review", "2031-01"]) == 1
    assert "choose a month from 2025-05 to 2026-10" in capsys.readouterr().err


def test_a_second_review_builds_nothing_again(demo_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from pipelines.build import building
    from pipelines.review import runs

    def refused(*_: object, **__: object) -> None:
        raise AssertionError("an unchanged warehouse was built again")

    monkeypatch.setattr(building, "build", refused)
    assert runs.run_review(load(demo_folder), "2026-09").page.exists()


def test_help_is_quick_and_shows_an_example_for_each_command() -> None:
    from pipelines.cli import COMMANDS

    code = (
        "import sys, time; begun = time.process_time()\nfrom pipelines.cli import main\n"
        "try: main(['--help'])\nexcept SystemExit: pass\n"
        "heavy = {'pandas', 'duckdb', 'prefect', 'pandera', 'plotly', 'rich', 'openpyxl'} & set(sys.modules)\n"
        "print(sorted(heavy), time.process_time() - begun)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1].startswith("[] 0.")
    for command in COMMANDS:
        assert command.replace("_", "-") in done.stdout


def test_wrong_usage_exits_with_two(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["reviev"])
    assert ended.value.code == 2
