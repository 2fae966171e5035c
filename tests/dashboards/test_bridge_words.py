"""The margin's bridge as lines: every step that changed anything, and what it was mostly."""

from __future__ import annotations

import pandas as pd

from dashboards.bridge_words import bridge_lines
from models.shop_units import Units


def bridge(*steps: tuple[str, int, str, int], reached: int, total: int, share: float | None = 0.8) -> pd.DataFrame:
    """Steps of (name, cents, item type that moved most, its cents), and the last row, which sums them."""
    columns = ["bridge_step", "margin_step_change_cents", "main_item_type", "main_item_change_cents"]
    rows = pd.DataFrame([*steps, ("all", total, "", 0)], columns=columns)
    return rows.assign(margin_reached_cents=reached, compared_share=share, parcel_count=50)


def lines(rows: pd.DataFrame) -> list[list[str]]:
    return [
        " ".join(line.split()).split(" largest: ") for line in bridge_lines(rows, "September", "October", Units("USD"))
    ]


def test_both_margins_and_the_steps_between_them_add_up() -> None:
    rows = bridge(
        ("volume", 5_000, "tripod", 4_000), ("prices", 0, "", 0), ("damage", -12_000, "tube", -12_000),
        reached=93_000, total=-7_000,
    )  # fmt: skip
    assert lines(rows)[:-1] == [
        ["margin September $1,000.00"],
        ["volume +$50.00", "tripod +$40.00"],
        ["damage -$120.00"],
        ["margin October $930.00"],
    ]


def test_goods_of_no_known_type_are_not_called_by_the_word_of_a_table() -> None:
    said = lines(bridge(("volume", 5_000, "unknown", 4_000), reached=5_000, total=5_000))
    assert said[1] == ["volume +$50.00", "goods not known +$40.00"]


def test_the_share_that_could_be_compared_is_said_where_it_is_known() -> None:
    known, unknown = (lines(bridge(reached=500, total=0, share=share)) for share in (0.8, None))
    assert len(known) == len(unknown) + 1
    assert known[-1][0].startswith("80% of the later parcels are comparable")
