"""What of a review is drawn again: nothing while all stands, all where a file or what it was drawn from differs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from dashboards.review_tables import Review
from models.shop_units import Units
from pipelines.review import drawn_files, runs
from pipelines.shop import program_text
from tests.pipelines.small_shop import built_shop, land

ROWS = pd.DataFrame({"item_type": ["tripod", None], "parcel_count": [1, 2]})
REVIEW = Review(
    shop_name="Fernmoor Optics",
    units=Units("USD"),
    month=dt.date(2026, 10, 1),
    made_at=dt.datetime(2026, 11, 20, 18, 0),
    tables={"marts.coverage": ROWS},
)
OTHER: dict[str, Any] = {
    "shop_name": "Another Shop",
    "units": Units("EUR"),
    "month": dt.date(2026, 9, 1),
    "made_at": dt.datetime(2026, 11, 21, 6, 0),
    "tables": {"marts.coverage": ROWS.assign(parcel_count=[1, 3])},
    "notes": ("A note.",),
    "page_name": "a.html",
    "workbook_name": "a.xlsx",
    "explore_name": "a-explore.html",
    "index_name": "index.html",
    "edition_words": "Edition 2.",
}
TABLES = {
    "a known text that reads like an unknown one": ROWS.assign(item_type=["tripod", "nan"]),
    "another order of rows": ROWS[::-1].reset_index(drop=True),
    "another name of a column": ROWS.rename(columns={"parcel_count": "sale_count"}),
    "another type of a column": ROWS.astype({"parcel_count": "float64"}),
    "a row less": ROWS[:1],
}


class Drawing:
    """Draws two files, and counts how often."""

    def __init__(self) -> None:
        self.times = 0

    def __call__(self, review: Review) -> Mapping[str, bytes]:
        self.times += 1
        return {"page.html": review.shop_name.encode(), "book.xlsx": b"PK"}


def test_what_stands_is_drawn_once(tmp_path: Path) -> None:
    draw, later = Drawing(), replace(REVIEW, made_at=REVIEW.made_at + dt.timedelta(hours=2))
    first = drawn_files.drawn(tmp_path, "page", REVIEW, draw)
    again = drawn_files.drawn(tmp_path, "page", later, draw)
    assert draw.times == 1
    assert first == again == [tmp_path / "page.html", tmp_path / "book.xlsx"]


SPOILT: dict[str, Callable[[Path], object]] = {
    "a file is gone": lambda folder: (folder / "book.xlsx").unlink(),
    "a file is torn": lambda folder: (folder / "page.html").write_bytes(b"Fern"),
    "a file was altered": lambda folder: (folder / "page.html").write_bytes(b"Fernmoor Opticz"),
    "the note is gone": lambda folder: (folder / ".page.json").unlink(),
    "the note is torn": lambda folder: (folder / ".page.json").write_text('{"source": "'),
    "the note is another text": lambda folder: (folder / ".page.json").write_text("[]"),
}


@pytest.mark.parametrize("spoil", SPOILT.values(), ids=SPOILT)
def test_what_does_not_stand_is_drawn_again(tmp_path: Path, spoil: Callable[[Path], object]) -> None:
    draw = Drawing()
    drawn_files.drawn(tmp_path, "page", REVIEW, draw)
    spoil(tmp_path)
    page, book = drawn_files.drawn(tmp_path, "page", REVIEW, draw)
    assert draw.times == 2
    assert (page.read_bytes(), book.read_bytes()) == (b"Fernmoor Optics", b"PK")


def test_every_part_of_a_review_counts() -> None:
    assert set(OTHER) == {each.name for each in fields(Review) if each.compare}
    digests = {name: drawn_files.source_digest(replace(REVIEW, **{name: said})) for name, said in OTHER.items()}
    assert len({drawn_files.source_digest(REVIEW), *digests.values()}) == 1 + len(OTHER)


def test_every_cell_counts() -> None:
    digests = {drawn_files.source_digest(replace(REVIEW, tables={"marts.coverage": rows})) for rows in TABLES.values()}
    digests.add(drawn_files.source_digest(replace(REVIEW, tables={"marts.coverage": ROWS.copy()})))
    digests.add(drawn_files.source_digest(replace(REVIEW, tables={"marts.record_states": ROWS})))
    assert len(digests) == len(TABLES) + 2
    assert drawn_files.source_digest(REVIEW) in digests


def test_another_program_draws_again(monkeypatch: pytest.MonkeyPatch) -> None:
    before = drawn_files.source_digest(REVIEW)
    monkeypatch.setattr(program_text, "digest", lambda *folders: "of another version")
    assert drawn_files.source_digest(REVIEW) != before


def test_the_program_is_known_by_all_that_it_draws_with() -> None:
    """A style alone, too: `dashboards` counts for the files, and not for the tables."""
    folders = ("models", "dashboards", "pipelines")
    digests = {program_text.digest(*folders[:count]) for count in range(1, len(folders) + 1)}
    assert len(digests) == len(folders)


def test_a_review_is_drawn_again_when_records_have_come(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shop, draw = built_shop(tmp_path / "shop"), runs._files
    drawings: list[Review] = []

    def counted(review: Review) -> dict[str, bytes]:
        drawings.append(review)
        return draw(review)

    monkeypatch.setattr(runs, "_files", counted)
    first = runs.run_review(shop, "2026-10")
    second = runs.run_review(shop, "2026-10")
    assert len(drawings) == 1
    assert (second.page, second.workbook) == (first.page, first.workbook)
    fee = {"parcel_id": "P2", "charge_kind": "adjustment", "amount_cents": 1_850, "line_number": 9}
    land(shop, "charges", [fee | {"invoice_number": "I2", "invoiced_on": "2026-11-20"}])
    third = runs.run_review(shop, "2026-10")
    assert len(drawings) == 2
    assert "$18.50" in third.page.read_text(encoding="utf-8")
