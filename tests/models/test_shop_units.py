"""How a shop writes measures: published factors, rounding, sixteenths, names, and that nothing is lost either way."""

from __future__ import annotations

import re
from fractions import Fraction

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models import columns
from models.shop_units import DIVISOR, LENGTH, METRIC, WEIGHT, Units, kept_name, kept_value, measure_of, sixteenths
from models.tables import TABLES

INCHES, CENTIMETRES = Units("USD"), Units("EUR", METRIC)


# A. Thompson, B. N. Taylor, "Guide for the Use of the International System of Units (SI)", NIST Special Publication
# 811, 2008, appendix B.8: inch to centimetre 2.54 E+00 and foot to metre 3.048 E-01, both exact; pound (avoirdupois) to
# kilogram 4.535 924 E-01, of which a footnote gives the exact 0.453 592 37; cubic inch to cubic metre 1.638 706 E-05.
@pytest.mark.published
def test_factors_are_the_published_ones() -> None:
    assert CENTIMETRES.factor("length_in") == 2.54
    assert CENTIMETRES.factor("weight_lb") == 0.45359237
    assert Fraction(12) * LENGTH.per_inner == Fraction("30.48")
    assert DIVISOR.per_inner == Fraction("16.387064") / Fraction("0.45359237")


@pytest.mark.parametrize(
    ("measure", "kept", "inch", "metric"),
    [
        (LENGTH, 48.0, "48 in", "121.9 cm"),
        (LENGTH, 0.16, "0.16 in", "0.4 cm"),
        (LENGTH, 5.4375, "5.44 in", "13.8 cm"),
        (LENGTH, 1000.0, "1,000 in", "2,540 cm"),
        (LENGTH, 0.0, "0 in", "0 cm"),
        (WEIGHT, 11.44, "11.4 lb", "5.19 kg"),
        (WEIGHT, 0.1, "0.1 lb", "0.05 kg"),
        (WEIGHT, -0.01, "0 lb", "0 kg"),
    ],
)
def test_a_measure_as_a_reader_sees_it(measure: object, kept: float, inch: str, metric: str) -> None:
    which = LENGTH if measure is LENGTH else WEIGHT
    assert (INCHES.measured(which, kept), CENTIMETRES.measured(which, kept)) == (inch, metric)


def test_sides_share_their_unit() -> None:
    assert INCHES.measured(LENGTH, 48, 8, 8.5) == "48 x 8 x 8.5 in"
    assert CENTIMETRES.measured(LENGTH, 48, 8, 8.5) == "121.9 x 20.3 x 21.6 cm"


@pytest.mark.parametrize(
    ("length", "written"),
    [
        (5.4375, "5 7/16"),
        (0.5, "1/2"),
        (11.31, "11 5/16"),
        (49.7, "49 11/16"),
        (2.0, "2"),
        (0.0, "0"),
        (-1.25, "-1 1/4"),
    ],
)
def test_a_rule_shows_sixteenths(length: float, written: str) -> None:
    assert sixteenths(length) == written
    assert INCHES.at_bench(LENGTH, length) == f"{written} in"


def test_a_metric_bench_has_millimetres_and_scales_have_no_sixteenths() -> None:
    assert CENTIMETRES.at_bench(LENGTH, 5.4375) == "13.8 cm"
    assert INCHES.at_bench(WEIGHT, 5.4375) == "5.4 lb"


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.floats(0, 5000))
def test_sixteenths_are_the_nearest(length: float) -> None:
    whole, part = re.fullmatch(r"(\d+)?(?:(?:^| )(\d+/\d+))?", sixteenths(length)).groups()  # type: ignore[union-attr]
    assert abs(Fraction(whole or 0) + Fraction(part or 0) - Fraction(length)) <= Fraction(1, 32)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.integers(1, 400_000))
def test_what_a_metric_file_states_is_kept_exactly(tenths_of_a_millimetre: int) -> None:
    stated = tenths_of_a_millimetre / 100
    kept = kept_value("reach_cm", stated)
    assert CENTIMETRES.value("reach_in", kept) == stated


def test_names_follow_the_units() -> None:
    assert CENTIMETRES.name("inside_length_in") == "inside_length_cm"
    assert CENTIMETRES.name("sharing_divisor_in3_per_lb") == "sharing_divisor_cm3_per_kg"
    assert INCHES.name("inside_length_in") == "inside_length_in"
    assert [kept_name(name) for name in ("reach_cm", "reach_kg", "reach_in", "zone")] == [
        *("reach_in", "reach_lb", "reach_in", "zone")
    ]
    assert (
        measure_of("length_per_in") is None
        and measure_of("weight_per_lb") is None
        and measure_of("margin_cents") is None
    )


def test_every_column_of_a_unit_is_a_measure_and_no_label_says_its_unit() -> None:
    names = {name for table in TABLES.values() for name in table.columns}
    measures = {name for name in names if columns.is_measure(name)}
    assert len(measures) > 40
    for name in measures:
        assert columns.display(name) in (columns.Display.LENGTH, columns.Display.WEIGHT), name
        assert not re.search(r"\b(in|lb|cm|kg)\b", columns.label(name).replace(" in ", " ")), name
    shown = {name: columns.meaning(name, CENTIMETRES) for name in names if "_per_" not in name}
    assert not [name for name, text in shown.items() if re.search(r"\binch|\bpound|\d (in|lb)\b", text)]


def test_a_frame_as_a_file_of_the_shop_holds_it() -> None:
    frame = pd.DataFrame({"parcel_id": ["A", "B"], "length_in": [48.0, None], "scale_weight_lb": [11.0, 2.5]})
    seen = CENTIMETRES.seen(frame)
    assert list(seen.columns) == ["parcel_id", "length_cm", "scale_weight_kg"]
    assert seen["length_cm"].iloc[0] == 121.92 and pd.isna(seen["length_cm"].iloc[1])
    assert seen["scale_weight_kg"].tolist() == [4.99, 1.134]
    pd.testing.assert_frame_equal(INCHES.seen(frame), frame)


def test_our_own_sentences_are_reported_in_the_shops_units() -> None:
    reason = "length_in is more than 1000 in; scale_weight_lb is not more than 0 lb"
    assert CENTIMETRES.converted(reason) == "length_cm is more than 2,540 cm; scale_weight_kg is not more than 0 kg"
    assert INCHES.converted(reason) == reason
    kept = "carries 'in', which is not a unit; row 4 in stock.csv; length_per_in"
    assert CENTIMETRES.converted("unit = \"in\"; '48 in'") == "unit = \"in\"; '48 in'"
    assert CENTIMETRES.converted(kept).startswith("carries 'in', which is not a unit")
