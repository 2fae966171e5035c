"""A trial is started only where the shop sends parcels enough within a year, and says how many it takes."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

from models.errors import NotFoundError, SettingsError
from models.shop_units import Units
from pipelines.cli import main
from pipelines.printing import print_json
from pipelines.review.planning_trials import Wanted, planned
from pipelines.shop import warehouse
from tests.without_analyses import without_analyses

TODAY = dt.date(2026, 11, 30)
WANTED = Wanted("tripod", "foam", "", None, None, "sale", 0.5, "")


@pytest.fixture
def connection() -> Iterator[warehouse.Connection]:
    """Tripods of which 2,000 were sent in a year and one in ten broke in paper; mounts of which 272 were sent."""
    with warehouse.scratch() as found:
        found.execute("create schema if not exists analysis; create schema if not exists core")
        found.execute(
            "create table analysis.packing_decision as select * from (values ('tripod', 'paper', 0.1, 2000, true), "
            "('tripod', 'straw', 0.1, 2000, false), ('mount', 'paper', 0.02, 272, true)) "
            "as t(item_type, packing_method, same_parcels_rate, yearly_parcel_count, is_current)"
        )
        found.execute(
            "create table core.packing_methods as select unnest(['paper', 'straw', 'foam']) as packing_method, "
            "cast(null as date) as effective_before"
        )
        yield found


def test_what_is_not_stated_is_filled_in(connection: warehouse.Connection) -> None:
    made = planned(connection, WANTED, TODAY)
    trial = made.trial
    assert (trial.id, trial.usual_method, trial.by) == ("tripod-foam-2026-12-01", "paper", "sale")
    assert trial.started_on == dt.date(2026, 12, 1)
    # Twice 435 parcels (see the table of tests/models/damage/test_trials.py), four fifths more for many looks and weeks
    # that may vary.
    assert made.needed == pytest.approx(1_566, rel=0.01)
    assert (trial.planned_end_on - trial.started_on).days + 1 == pytest.approx(365 * made.needed / 2_000, abs=1)
    assert made.first_method in ("paper", "foam")
    against = planned(connection, replace(WANTED, usual_method="straw", trial_id="x"), TODAY).trial
    assert (against.id, against.usual_method) == ("x", "straw")


def test_weeks_that_take_turns_are_at_least_sixteen(connection: warehouse.Connection) -> None:
    """A method that spares nine in ten shows it on few parcels."""
    by_sale, by_week = (
        planned(connection, replace(WANTED, by=by, expected_ratio=0.1), TODAY).trial for by in ("sale", "week")
    )
    days = [(each.planned_end_on - each.started_on).days + 1 for each in (by_sale, by_week)]
    assert days[0] < 112 == days[1]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"item_type": "mount"}, r"needs 8,[0-9]{3} parcels; at 272 a year .* days, more than 365"),
        ({"until": dt.date(2026, 12, 31)}, "more than 31"),
    ],
)
def test_a_trial_that_would_take_too_long_is_refused_with_its_number(
    change: dict[str, object], said: str, connection: warehouse.Connection
) -> None:
    with pytest.raises(SettingsError, match=said):
        planned(connection, replace(WANTED, **change), TODAY)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"item_type": "globe"}, "item type 'globe'"),
        ({"other_method": "wool"}, "use one of: foam, paper, straw"),
        ({"usual_method": "foam"}, "use one of: paper, straw"),
    ],
)
def test_what_has_no_records_is_named(change: dict[str, object], said: str, connection: warehouse.Connection) -> None:
    with pytest.raises(NotFoundError, match=said):
        planned(connection, replace(WANTED, **change), TODAY)  # type: ignore[arg-type]


def test_json_holds_days_and_unknowns(capsys: pytest.CaptureFixture[str]) -> None:
    rows = pd.DataFrame({"trial_id": ["t1"], "started_on": [pd.Timestamp("2026-12-01")], "ended_on": [pd.NaT]})
    print_json({"trials": rows, "offers": rows.head(0)}, Units("USD"))
    found = json.loads(capsys.readouterr().out)
    assert found == {"trials": [{"trial_id": "t1", "started_on": "2026-12-01", "ended_on": None}], "offers": []}


def test_the_commands_of_a_trial(demo_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import shutil

    folder = tmp_path / "shop"
    shutil.copytree(demo_folder, folder)
    shop = ["--shop", str(folder)]
    assert main([*shop, "trial", "list"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "No trial is logged." in said and "Never pack weaker" in said
    assert main([*shop, "trial", "start", "eyepiece", "foam"]) == 1
    refused = capsys.readouterr().err
    assert "days, more than 365" in refused and "look for a larger difference" in refused
    (folder / "trials.toml").write_text(
        '[[trial]]\nid = "t1"\nitem_type = "tripod"\nusual_method = "corner blocks"\nother_method = "foam"\n'
        "started_on = 2026-11-01\nplanned_end_on = 2027-03-31\n",
        encoding="utf-8",
    )
    with without_analyses("trials"):
        assert main([*shop, "trial", "list", "--json"]) == 0
    (trial,) = json.loads(capsys.readouterr().out)["analysis.trials"]
    assert (trial["trial_state"], trial["tried_parcel_count"]) == ("running", 0)
    assert main([*shop, "trial", "end", "t1", "--on", "2026-11-20"]) == 0
    assert "t1 ends on 2026-11-20" in capsys.readouterr().out
