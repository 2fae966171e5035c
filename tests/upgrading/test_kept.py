"""What an older version wrote opens by this one: folders and backups kept in tests/upgrading/kept (see making.py)."""

from __future__ import annotations

import json
import zipfile
from typing import Any

import pytest

from pipelines.build import up_to_date
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, load
from tests.upgrading.making import KEPT, held, run
from tests.without_analyses import without_analyses

VERSIONS = sorted(path.name for path in KEPT.iterdir() if path.is_dir())
WAYS = ("folder", "backup")
# Shown by the review's tables, which a later version may compute otherwise; here they must only be there.
COMPUTED = {"margin_cents"}
# An older version kept verdicts with the log of changes; now they follow from the records.
NO_LONGER = {
    *("verdict", "judged_on", "measured_ratio", "measured_low", "measured_high", "claims_expected", "claims_seen"),
    "has_control",
}


@pytest.fixture(scope="module", params=[f"{version} {way}" for version in VERSIONS for way in WAYS])
def kept(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Settings, dict[str, Any]]:
    """A shop that the older version left, reviewed or built by this one, and what it held then."""
    version, way = request.param.split()
    folder = tmp_path_factory.mktemp("kept") / "shop"
    if way == "folder":
        with zipfile.ZipFile(KEPT / version / "folder.zip") as packed:
            packed.extractall(folder)
    else:
        assert run(folder, "restore", str(KEPT / version / "backup.zip")) == 0
    if way == "folder":
        assert run(folder, "review", "2026-10") == 0
    else:  # the same records and tables: what is computed on them was computed there
        with without_analyses(), warehouse.writing(load(folder), "test") as connection:
            up_to_date.build_changed(connection, load(folder))
    return load(folder), json.loads((KEPT / version / "held.json").read_text(encoding="utf-8"))


def is_among(row: dict[str, str], found: list[dict[str, str]]) -> bool:
    """Whether a row is there still; a later version may have given it more columns."""
    kept = {name: value for name, value in row.items() if name not in NO_LONGER}
    return any(kept.items() <= each.items() for each in found)


def test_records_and_what_was_done_by_hand_are_all_there(kept: tuple[Settings, dict[str, Any]]) -> None:
    settings, stated = kept
    found: dict[str, Any] = dict(held(settings))
    for name in stated.keys() - COMPUTED:
        if isinstance(stated[name], int):
            assert found[name] == stated[name], name
        else:
            assert len(found[name]) == len(stated[name]) > 0, name
            assert [row for row in stated[name] if not is_among(row, found[name])] == [], name
    assert all(isinstance(found[name], int) for name in COMPUTED)


def test_marked_disputes_stand_in_the_new_review(kept: tuple[Settings, dict[str, Any]]) -> None:
    settings, stated = kept
    with warehouse.reading(settings) as connection:
        found = dict(connection.execute("select dispute_id, dispute_state from marts.billing_disputes").fetchall())
    states = {row["dispute_id"]: row["dispute_state"] for row in stated["shop.disputes"]}
    assert sorted(states.values()) == ["lost", "sent", "won"]
    assert {name: found[name] for name in states} == states


def test_letters_that_wait_have_their_text(kept: tuple[Settings, dict[str, Any]]) -> None:
    settings, stated = kept
    waiting = [row["message_id"] for row in stated["outbox.messages"] if row["state"] == "queued"]
    texts = [path.read_bytes() for path in settings.path("outbox").glob("*.eml")]
    assert len(waiting) == len(texts) == 2
    assert all(any(name.encode() in text for text in texts) for name in waiting)


def test_the_archive_gives_the_same_records_again(kept: tuple[Settings, dict[str, Any]]) -> None:
    assert run(kept[0].folder, "replay") == 0


def test_kept_versions_are_small() -> None:
    assert VERSIONS
    for version in VERSIONS:
        assert sum(path.stat().st_size for path in (KEPT / version).iterdir()) < 1_500_000
