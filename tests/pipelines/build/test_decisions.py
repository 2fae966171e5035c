"""The log of changes and the alarms seen: files a person can read and correct."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from models.errors import ContractError, NotFoundError, SettingsError
from pipelines.build import acknowledgements, decisions
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings
from tests.shops import rows

CHANGE = decisions.Decision("", ("tripod",), dt.date(2026, 3, 1), "corner blocks", "legs broke", 0.4)


def shop(folder: Path, text: str = "") -> Settings:
    if text:
        (folder / decisions.LOG.file_name).write_text(text, encoding="utf-8")
    return Settings(folder=folder)


def test_what_is_recorded_reads_back_and_comments_stay(tmp_path: Path) -> None:
    settings = shop(tmp_path, "# our own note\n")
    made = decisions.record(settings, CHANGE)
    again = decisions.record(settings, CHANGE)
    assert (made.id, again.id) == ("tripod-corner-blocks", "tripod-corner-blocks-2")
    assert [each.change for each in decisions.logged(settings)] == ["corner blocks", "corner blocks"]
    assert decisions.logged(settings)[0].expected_ratio == 0.4
    assert decisions.LOG.path(settings).read_text(encoding="utf-8").startswith("# our own note\n")


def test_the_log_becomes_a_table_by_item_type(tmp_path: Path) -> None:
    settings = shop(tmp_path)
    decisions.record(settings, decisions.Decision("both", ("tripod", "tube"), dt.date(2026, 3, 1), "foam"))
    with warehouse.scratch() as connection:
        decisions.load(connection, settings)
        found = rows(connection, "select decision_id, item_type, change_reason from shop.decisions order by 2")
    assert [tuple(row.values()) for row in found] == [("both", each, "not stated") for each in ("tripod", "tube")]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[[decision]]\nid = 3", "lacks item_types; lacks changed_on; lacks change"),
        ("[[decision]\n", "is not valid TOML"),
        ("[other]\nx = 1", "unknown setting other"),
        (
            '[[decision]]\nid = "a"\nitem_types = "tripod"\nchanged_on = 2026-03-01\nchange = "x"',
            "item_types = 'tripod' is not a list",
        ),
        ('[[decision]]\nid = "a"\nitem_types = ["t"]\nchanged_on = "soon"\nchange = "x"', "is not a date"),
        (
            '[[decision]]\nid = "a"\nitem_types = ["t"]\nchanged_on = 2026-03-01\nchange = "x"\nexpected_ratio = 1.0',
            "expected_ratio = 1.0",
        ),
        ('[[decision]]\nid = "a"\nsince = "x"', "Also wrong: line 3"),
        (
            '[[decision]]\nid = "a"\nitem_types = ["t"]\nchanged_on = 2026-03-01\nchange = "x"\nbecause = "bad moth"',
            "did you mean bad month",
        ),
        (
            2 * '[[decision]]\nid = "a"\nitem_types = ["t"]\nchanged_on = 2026-03-01\nchange = "x"\n',
            "several entries are named a",
        ),
    ],
)
def test_a_wrong_entry_is_named(text: str, said: str, tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match=said):
        decisions.logged(shop(tmp_path, text))


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        (decisions.Decision("", (), dt.date(2026, 3, 1), "x"), "item_types is empty"),
        (decisions.Decision("", ("t",), dt.date(2026, 3, 1), "x", "", 0.0), "expected_ratio = 0.0"),
        (decisions.Decision("", ("t",), dt.date(2026, 3, 1), "two\nlines"), "line break"),
    ],
)
def test_a_wrong_entry_is_not_written(entry: decisions.Decision, said: str, tmp_path: Path) -> None:
    with pytest.raises((SettingsError, ContractError), match=said):
        decisions.record(shop(tmp_path), entry)
    assert not (tmp_path / decisions.LOG.file_name).exists()


def test_an_entry_of_an_older_version_is_read_and_its_verdict_is_no_part_of_it(tmp_path: Path) -> None:
    entry = '[[decision]]\nid = "a"\nitem_types = ["t"]\nchanged_on = 2026-03-01\nchange = "x"\n'
    settings = shop(tmp_path, entry + '[decision.verdict]\nverdict = "worked"\njudged_on = 2026-11-12\n')
    with warehouse.scratch() as connection:
        decisions.load(connection, settings)
        (row,) = rows(connection, "select * from shop.decisions")
    assert row["change_reason"] == "not stated"
    assert "verdict" not in row


def test_alarms_seen_are_kept_and_unknown_ones_refused(tmp_path: Path) -> None:
    settings = shop(tmp_path)
    before = acknowledgements.LOG.digest(settings)
    with pytest.raises(NotFoundError, match="use one of: a, b"):
        acknowledgements.acknowledge(settings, "c", {"a", "b"}, dt.date(2026, 11, 20))
    acknowledgements.acknowledge(settings, "a", {"a", "b"}, dt.date(2026, 11, 20), "one bad batch")
    acknowledgements.acknowledge(settings, "a", {"a", "b"}, dt.date(2026, 11, 21))
    assert acknowledgements.acknowledged(settings) == ["a"]
    assert acknowledgements.LOG.digest(settings) != before
    assert 'note = "one bad batch"' in acknowledgements.LOG.path(settings).read_text(encoding="utf-8")
    with warehouse.scratch() as connection:
        acknowledgements.load(connection, settings)
        assert rows(connection, "select * from shop.acknowledgements") == [{"alarm_id": "a"}]


def test_a_broken_file_of_alarms_is_named(tmp_path: Path) -> None:
    settings = shop(tmp_path)
    acknowledgements.LOG.path(settings).write_text("[[acknowledged]]\nid = 1\n", encoding="utf-8")
    with pytest.raises(SettingsError, match=r"line 1 .*lacks alarm_id"):
        acknowledgements.acknowledged(settings)
