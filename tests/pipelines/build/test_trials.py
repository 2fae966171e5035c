"""Trials at the bench: the shop's log, and an assignment's way from the list through the bench log to the result."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from models.damage.trials import assignments
from models.errors import NotFoundError, SettingsError
from models.sql_texts import sql_texts
from pipelines.build import trials
from pipelines.build.trials import Trial
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings
from tests.shops import built, rows

TRIAL = Trial("t1", "tripod", "paper", "foam", dt.date(2026, 10, 1), dt.date(2027, 3, 31))


def shop(folder: Path, text: str = "") -> Settings:
    if text:
        (folder / trials.LOG.file_name).write_text(text, encoding="utf-8")
    return Settings(folder=folder)


def test_a_trial_is_started_read_back_and_ended(tmp_path: Path) -> None:
    settings = shop(tmp_path, "# our own note\n")
    assert trials.start(settings, TRIAL) == TRIAL
    before = trials.LOG.digest(settings)
    trials.end(settings, "t1", dt.date(2026, 12, 31))
    (found,) = trials.logged(settings)
    assert found == replace(TRIAL, ended_on=dt.date(2026, 12, 31))
    assert trials.LOG.digest(settings) != before
    assert trials.LOG.path(settings).read_text(encoding="utf-8").startswith("# our own note\n")
    with warehouse.scratch() as connection:
        trials.load(connection, settings)
        (row,) = rows(connection, "select trial_id, assigned_by, ended_on from shop.trials")
    assert tuple(row.values()) == ("t1", "sale", dt.date(2026, 12, 31))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"id": "t1"}, "has an entry named t1"),
        (
            {"id": "t2", "started_on": dt.date(2027, 3, 31), "planned_end_on": dt.date(2027, 9, 1)},
            "dunnage trial end t1",
        ),
        ({"id": "t2", "item_type": "tube", "other_method": "paper"}, "tries a method against itself"),
        ({"id": "t2", "item_type": "tube", "planned_end_on": dt.date(2026, 10, 1)}, "ends before it begins"),
        ({"id": "t2", "item_type": "tube", "expected_ratio": 1.0}, "expected_ratio = 1.0"),
    ],
)
def test_a_wrong_trial_is_not_written(change: dict[str, object], said: str, tmp_path: Path) -> None:
    settings = shop(tmp_path)
    trials.start(settings, TRIAL)
    with pytest.raises(SettingsError, match=said):
        trials.start(settings, replace(TRIAL, **change))  # type: ignore[arg-type]
    assert trials.logged(settings) == [TRIAL]


def test_an_unknown_trial_and_a_day_before_it_began_end_nothing(tmp_path: Path) -> None:
    settings = shop(tmp_path)
    trials.start(settings, TRIAL)
    with pytest.raises(NotFoundError, match="use one of: t1"):
        trials.end(settings, "t2", dt.date(2026, 12, 31))
    with pytest.raises(SettingsError, match="began on 2026-10-01"):
        trials.end(settings, "t1", dt.date(2026, 9, 30))
    assert trials.logged(settings) == [TRIAL]


def test_a_broken_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match="unknown setting other"):
        trials.logged(shop(tmp_path, "[other]\nx = 1"))


def test_what_the_list_assigns_and_the_bench_logs_is_what_the_trial_counts() -> None:
    weight = {"carton_code": None, "packing_method": "foam", "shipped_on": "2026-10-05"}
    with built(
        item_types=[{"item_type": each} for each in ("tripod", "lens")],
        sales=[
            *({"sale_id": f"S-{number}"} for number in range(1, 5)),
            {"sale_id": "S-4", "line_number": 2, "item_type": "lens"},
            {"sale_id": "S-5"},
        ],
        weights=[{"parcel_id": "P1", "sale_id": "S-5", "assigned_method": "foam", **weight}],
    ) as connection:
        listed = connection.execute(sql_texts("queries")["bench_list"], {"days": 366}).df()
        assert dict(zip(listed["sale_id"], listed["only_item_type"].fillna(""), strict=True)) == {
            **{f"S-{number}": "tripod" for number in (1, 2, 3)},
            "S-4": "",
        }
        connection.execute(
            "insert into shop.trials select 't1', 'tripod', 'paper', 'foam', 'sale', date '2026-10-01', "
            "date '2027-03-31', null, 0.5"
        )
        running = connection.execute("from shop.trials").df()
        assert assignments(listed, running, dt.date(2026, 10, 6)).notna().sum() == 3
        (row,) = rows(connection, sql_texts("queries")["trial_parcels"])
    assert (row["parcel_id"], row["assigned_method"], row["packing_method"]) == ("P1", "foam", "foam")
