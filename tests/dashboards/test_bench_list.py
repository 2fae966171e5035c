"""The bench list: every parcel with boxes for the shop's own codes, and a file that names each sale once."""

from __future__ import annotations

import csv
import datetime as dt
import re

import pandas as pd

from dashboards.bench_list import MOST_BOXES, render, typed

PARCELS = pd.DataFrame(
    {
        "known_on": [dt.date(2026, 11, 28)] * 3,
        "parcel_id": ["NL1", None, "NL<2>"],
        "sale_id": ["S-1", "S-2", None],
        "goods": ["1 tripod, 2 lens", "1 mount", None],
        "assigned_method": [None, "foam & paper", None],
    }
)
CODES = pd.DataFrame(
    {
        "mark": ["carton_code"] * (MOST_BOXES + 2) + ["packing_method"],
        "code": [*(f"C-{number:02}" for number in range(MOST_BOXES + 2)), "foam & paper"],
        "parcel_count": range(MOST_BOXES + 3, 0, -1),
    }
)


def page(parcels: pd.DataFrame = PARCELS) -> str:
    return render("Fernmoor Optics", dt.datetime(2026, 11, 28, 9, 0), parcels, CODES)


def test_each_parcel_has_a_box_for_each_usual_code_and_one_for_others() -> None:
    rows = page().partition("<tbody>")[2].split("<tr>")[1:]
    assert len(rows) == 3
    for row in rows:
        assert row.count("&#9744;") == MOST_BOXES + 1 + 1 + 1
        assert "C-00" in row and f"C-{MOST_BOXES - 1:02}" in row and f"C-{MOST_BOXES:02}" not in row
        assert "foam &amp; paper" in row
    assert "NL1" in rows[0] and "1 tripod, 2 lens" in rows[0]
    assert re.search(r"<th scope=\"row\">_+</th>", rows[1])
    assert "NL&lt;2&gt;" in rows[2]


def test_nothing_to_pack_is_said() -> None:
    assert "Every label and sale of these days is in the bench log." in page(PARCELS.head(0))
    assert "1 parcel not in the bench log" in page(PARCELS.head(1))


def test_the_file_names_a_sale_only_where_no_label_does() -> None:
    assert list(csv.reader(typed(PARCELS).splitlines())) == [
        ["parcel_id", "sale_id", "carton_code", "packing_method", "assigned_method"],
        ["NL1", "", "", "", ""],
        ["", "S-2", "", "", "foam & paper"],
        ["NL<2>", "", "", "", ""],
    ]


def test_what_a_trial_assigns_stands_beside_the_boxes_with_a_caution() -> None:
    rows = page().partition("<tbody>")[2].split("<tr>")[1:]
    assert ["Trial:" in row for row in rows] == [False, True, False]
    assert "Never pack weaker" in page()
    assert "Never pack weaker" not in page(PARCELS.assign(assigned_method=None))
