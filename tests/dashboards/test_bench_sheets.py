"""Bench sheets: every figure is a cell of analysis.bench_sheets, cautions stand where something can hurt."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from fractions import Fraction
from html import unescape

import pandas as pd
import pytest

from dashboards.bench_sheets import CARRIERS, HEAVY_LB, TABLE, render
from dashboards.carton_drawing import LIES
from dashboards.cautions import CUTTING, LIFTING, TWO_PEOPLE
from models.contracts import validated
from models.shop_units import METRIC, Units
from models.tables import TABLES
from tests.dashboards.markup import parsed

WHOLE = {
    "item_type": "tripod",
    "packing_method": "paper",
    "best_carton_code": "C-46",
    "parcel_count": 120,
    "inside_length_in": 8.58,
    "inside_width_in": 8.58,
    "inside_height_in": 45.35,
    "length_in": 46.25,
    "width_in": 8.9,
    "height_in": 8.9,
    "is_cut": False,
    "score_at_in": None,
    "trim_at_in": None,
    "flap_in": None,
    "needed_flap_in": None,
    "clearance_in": 1.0,
    "expected_weight_lb": 15.0,
    "material_cents": 95,
    "pack_minutes": 6.0,
    "saving_cents": 192_131,
    "packing_steps": None,
    "turns": None,
    **dict.fromkeys(LIES),
}
LYING = dict(zip(LIES, (6.0, 6.0, 43.0, 1.0, 1.0, 1.0), strict=True))
CARRIER: dict[str, object] = {
    **{"item_type": "tripod", "packing_method": "paper", "carrier": "Northline", "service": "ground"},
    **{"parcel_count": 449, "label_length_in": 47.0, "label_width_in": 9.0, "label_height_in": 9.0},
    **{"length_unit": "in", "length_at_most_in": 48.0, "label_girth_in": 83.0, "girth_at_most_in": None},
}
METRIC_CARRIER: dict[str, object] = CARRIER | {
    **{"carrier": "Corvane", "label_length_in": 118 / 2.54, "label_width_in": 23 / 2.54},
    **{"label_height_in": 23 / 2.54, "length_unit": "cm", "length_at_most_in": 118.999 / 2.54},
}
CUT = WHOLE | {
    "item_type": "rocker base",
    "best_carton_code": "L-26",
    "inside_height_in": 11.0,
    "is_cut": True,
    "score_at_in": 11.31,
    "trim_at_in": 24.58,
    "flap_in": 13.27,
    "needed_flap_in": 13.27,
    "expected_weight_lb": 31.0,
}


INCHES = Units("USD")


def page(
    *rows: dict[str, object],
    units: Units = INCHES,
    carriers: Sequence[dict[str, object]] = (),
    others: Sequence[str] = (),
) -> str:
    made_at = dt.datetime(2026, 11, 20, 9, 0)
    return render("Fernmoor Optics", made_at, held(TABLE, rows), held(CARRIERS, carriers), units, others)


def held(name: str, rows: Sequence[dict[str, object]]) -> pd.DataFrame:
    return validated(pd.DataFrame(list(rows), columns=list(TABLES[name].columns)), TABLES[name], "the test")


def words(text: str) -> str:
    return " ".join(parsed(text).text().split())


def test_every_figure_is_a_cell_of_the_table() -> None:
    text = page(WHOLE, CUT)
    shown = re.findall(r'<bdi[^>]* data-row="(\d)" data-column="(\w+)">([^<]*)<', text)
    assert {(row, column) for row, column, _ in shown} >= {("0", "inside_height_in"), ("1", "score_at_in")}
    for row, column, written in shown:
        value = (WHOLE, CUT)[int(row)][column]
        if column.endswith("_in"):
            whole, _, part = written.removesuffix(" in").partition(" ")
            assert int(whole) + Fraction(part or 0) == Fraction(round(float(str(value)) * 16), 16)
        else:
            assert written.removesuffix(" lb") == (f"{value:g}" if isinstance(value, float) else value)


def test_only_a_carton_to_be_cut_has_marks_and_the_caution_on_knives() -> None:
    whole, cut = unescape(page(WHOLE)), unescape(page(CUT))
    assert "Do not cut." in whole and CUTTING not in whole and "score_at_in" not in whole
    assert CUTTING in cut and "11 5/16 in" in cut and "Do not cut." not in cut


def test_lifting_is_on_every_sheet_and_heavy_ones_ask_for_help() -> None:
    light, heavy = page(WHOLE), page(CUT)
    assert all("Your own workplace" in text and "rules" in text for text in (light, heavy))
    assert TWO_PEOPLE not in light and TWO_PEOPLE in heavy
    assert LIFTING.startswith("Lift close to the body")


def test_the_wall_names_what_two_people_lift_and_what_has_no_sheet() -> None:
    light, both = words(page(WHOLE)), words(page(WHOLE, CUT, others=("lens <b>",)))
    assert "two people" not in light and "No carton could be chosen" not in light
    assert "Heavy, to be lifted by two people or with an aid: rocker base." in both
    assert "No carton could be chosen by price for one piece of: lens <b>." in both


def test_each_sheet_is_dated_since_it_is_cut_off_the_page() -> None:
    assert words(page(WHOLE, CUT)).count("20 Nov 2026") == 3


def test_a_sheet_without_a_drawing_says_so() -> None:
    assert "Not drawn: the carton is round" in words(page(WHOLE))
    assert "Not drawn" not in words(page(WHOLE | LYING)) and "Not drawn" not in words(page(CUT))


def test_room_on_every_side_is_the_least_that_the_method_asks_for() -> None:
    assert re.search("Room on every side, at least ?1 in", words(page(WHOLE | LYING)))


def test_unknown_weight_is_left_out() -> None:
    assert "Weight on the scale" not in page(WHOLE | {"expected_weight_lb": None})


@pytest.mark.published
def test_the_load_constant_of_the_lifting_equation() -> None:
    """Applications Manual for the Revised NIOSH Lifting Equation, DHHS (NIOSH) Publication 94-110 (1994): LC = 51 lb,
    23 kg."""
    assert HEAVY_LB == 51 and round(HEAVY_LB * 0.45359237) == 23


def test_hostile_names_stay_text_and_nothing_is_fetched() -> None:
    text = page(WHOLE | {"item_type": "<script>alert(1)</script>", "best_carton_code": '"><img src=x>'})
    assert "<script>alert" not in text and "<img" not in text
    assert "script-src 'none'" in unescape(text) and not re.search(r'(?:src|href)="(?!#|data:,)', text)


def test_no_rows_get_a_sentence() -> None:
    assert "No item type has a carton yet" in page()


def test_how_goods_may_lie_is_reported() -> None:
    assert "Never stand it on end" in page(WHOLE | {"turns": "not on end"})
    assert "Only the height or width may be vertical." in page(WHOLE | {"turns": "height or width"})
    for turns in ("any", None):
        shown = page(WHOLE | {"turns": turns})
        assert "on end" not in shown and "may be vertical" not in shown


def test_the_label_is_written_as_the_tariff_rounds_where_its_unit_is_the_shops() -> None:
    text = words(page(WHOLE, carriers=[CARRIER, METRIC_CARRIER]))
    assert "Sides on the label, Corvane" not in text
    metric = words(page(WHOLE, carriers=[CARRIER, METRIC_CARRIER], units=Units("EUR", METRIC)))
    assert "Sides on the label, Northline" not in metric
    assert "Sides on the label, Northline47 x 9 x 9 in" in text
    assert "Sides on the label, Corvane118 x 23 x 23 cm" in metric
    assert "Sides on the label" not in words(page(CUT, carriers=[CARRIER])), "another item type's"


@pytest.mark.parametrize(
    ("most_in", "units", "written"),
    [
        (48.0, INCHES, "48 in"),
        (48.0 - 1e-9, INCHES, "48 in"),
        (96.499, INCHES, "96 7/16 in"),
        (118.999 / 2.54, INCHES, "46 13/16 in"),
        (118.999 / 2.54, Units("EUR", METRIC), "118.9 cm"),
        (48.0, Units("EUR", METRIC), "121.9 cm"),
    ],
)
def test_a_length_not_to_pass_is_never_written_longer_than_it_is(most_in: float, units: Units, written: str) -> None:
    text = words(page(WHOLE, units=units, carriers=[CARRIER | {"length_at_most_in": most_in}]))
    assert f"Closed length at most {written}: beyond it Northline charges more" in text
    assert f"{written} (Northline)" in text, "on the card for the wall"


@pytest.mark.parametrize("units", [INCHES, Units("EUR", METRIC)])
def test_length_plus_girth_is_written_in_the_carriers_own_unit(units: Units) -> None:
    """Its tariff rounds and compares in its unit, whatever the shop measures in."""
    text = words(page(WHOLE, units=units, carriers=[CARRIER | {"girth_at_most_in": 90.0}]))
    said = (
        "Length plus girth at most 90 in, of the sides as Northline rounds them, here 83: beyond it Northline charges"
    )
    assert said in text
    assert "48 in (Northline), length plus girth 90 in (Northline)" in text or units.is_metric, (
        "on the card for the wall"
    )
    assert "length plus girth 90 in (Northline)" in text
    metric = METRIC_CARRIER | {"label_girth_in": 208 / 2.54, "girth_at_most_in": 210 / 2.54}
    assert "at most 210 cm, of the sides as Corvane rounds them, here 208:" in words(page(WHOLE, carriers=[metric]))
    assert "plus girth" not in words(page(WHOLE, carriers=[CARRIER]))


def test_no_limit_and_no_label_where_none_is_known() -> None:
    text = words(page(WHOLE, carriers=[CARRIER | {"length_at_most_in": None}]))
    assert "beyond it" not in text and "(Northline)" not in text
    assert "on the label" not in words(page(WHOLE))


def test_steps_are_the_shops_own_words_in_their_order() -> None:
    stated = "wrap; fill <both> ends ;; shake: nothing may move; "
    steps = next(each for each in parsed(page(WHOLE | {"packing_steps": stated})).walk() if each.tag == "ol")
    assert [each.text() for each in steps.all("li")] == ["wrap", "fill <both> ends", "shake: nothing may move"]
    assert "<ol" not in page(WHOLE)


def test_the_card_for_the_wall_has_a_line_for_each_sheet() -> None:
    card = next(each for each in parsed(page(WHOLE, CUT)).walk() if each.attributes.get("class") == "wall")
    lines = [[cell.text() for cell in (*row.all("th"), *row.all("td"))] for row in card.all("tr")[1:]]
    assert lines == [["tripod", "paper", "C-46", "do not cut", ""], ["rocker base", "paper", "L-26", "11 5/16 in", ""]]
    assert (
        "to be lifted by two people or with an aid: rocker base." in " ".join(card.text().split())
        and CUTTING in card.text()
    )
