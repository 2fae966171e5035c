"""How a section states which rows a panel has, and in which order; and names parted by blanks."""

import pandas as pd
import pytest

from dashboards.panels import Panel, Section, Where, all_by, found_by, month_by
from tests.dashboards import shop

ROWS = pd.DataFrame(
    {
        "shipped_month": pd.to_datetime(["2026-10-01", "2026-09-01", "2026-10-01", "2026-10-01"]),
        "item_type": ["tripod", "mount", "mount", "case"],
        "spend_cents": [300, 900, 500, 300],
        "is_open": pd.array([True, True, False, None], dtype="boolean"),
    }
)
REVIEW = shop.review(tables={"analysis.many": ROWS})


@pytest.mark.parametrize(
    ("order", "most", "where", "expected"),
    [
        ("", None, "", [0, 1, 2, 3]),
        ("-spend_cents item_type", None, "", [1, 2, 3, 0]),
        ("-spend_cents", 2, "", [1, 2]),
        ("spend_cents", None, "is_open", [0, 1]),
        ("", None, "-is_open", [2]),
        ("", 1, lambda rows: rows["item_type"] == "mount", [1]),
    ],
)
def test_rows_are_kept_ordered_and_then_cut(order: str, most: int | None, where: Where, expected: list[int]) -> None:
    """A flag that is not known is neither set nor unset; equal rows stay in their order."""
    assert all_by(order, most, where)(REVIEW, ROWS).index.tolist() == expected


def test_of_the_month_and_of_what_sentences_rest_on() -> None:
    assert month_by("-spend_cents item_type", 2)(REVIEW, ROWS).index.tolist() == [2, 3]
    found = found_by(lambda review: review.table("analysis.many").tail(2), "spend_cents")
    assert found(REVIEW, ROWS).index.tolist() == [3, 2]


def test_columns_and_ids_may_be_parted_by_blanks() -> None:
    panel = Panel("many", "Many", "analysis.many", "item_type spend_cents", note="a.b c.d", when_empty=("e.f",))
    assert (panel.columns, panel.note, panel.when_empty) == (("item_type", "spend_cents"), ("a.b", "c.d"), ("e.f",))
    assert Section(order=1, name="many", title="Many", lead="a.b c.d", parts=(panel,)).lead == ("a.b", "c.d")
