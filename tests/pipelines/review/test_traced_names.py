"""A figure is traced by the name under which it was seen: a table, a title of the page, or the id of a part."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from dashboards.panels import Panel, Statement
from dashboards.sections import all_sections
from models.errors import NotFoundError
from models.tables import TABLES
from pipelines.cli import main
from pipelines.review.traced_names import MOST_NEAR, table_named, titles

PARTS = [part for section in all_sections() for part in section.parts if TABLES[part.table].made_from]


@pytest.mark.parametrize("part", PARTS, ids=[part.name for part in PARTS])
def test_each_title_of_the_page_leads_to_its_table(part: Panel | Statement) -> None:
    for name in (part.title, part.title.lower(), part.title.upper() + " ", part.name, part.table):
        assert table_named(name) == part.table
    assert part.title in titles()[part.table]


def test_a_table_is_known_by_its_last_word_too() -> None:
    assert table_named("actions") == "analysis.actions"
    assert table_named("Margin by zone.") == "marts.margin_by_zone"


def test_an_unknown_name_is_answered_with_the_nearest_ones_and_few() -> None:
    for asked, near in (("margin by zon", "marts.margin_by_zone"), ("surcharge", "marts.surcharge_frequency")):
        with pytest.raises(NotFoundError) as refused:
            table_named(asked)
        tried = refused.value.next_step.partition(";")[0].removeprefix("try ").split(", ")
        assert near in tried
        assert len(tried) <= MOST_NEAR


def test_where_nothing_is_near_none_is_named() -> None:
    with pytest.raises(NotFoundError) as refused:
        table_named("qqqq")
    assert refused.value.next_step == "`dunnage trace` alone lists all"


def test_a_table_that_leads_to_no_parcel_is_refused() -> None:
    assert not TABLES["core.parcels"].made_from
    with pytest.raises(NotFoundError):
        table_named("core.parcels")


def test_the_command_alone_lists_what_can_be_traced(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """On a shop without a record, too."""
    said = ["--name", "Shop", "--currency", "EUR", "--time-zone", "UTC", "--units", "metric", "--wage", "18.00"]
    assert main(["init", str(tmp_path / "s"), *said]) == 0
    capsys.readouterr()
    assert main(["--shop", str(tmp_path / "s"), "trace", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["traced_tables"]
    assert {row["table_name"] for row in found} == {name for name, contract in TABLES.items() if contract.made_from}
    assert {"table_name": "marts.margin_by_zone", "shown_as": "Margin by zone"} in found
