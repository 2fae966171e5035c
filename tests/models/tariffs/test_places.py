"""Postal codes of tariffs: ranges, prefixes, and codes as lists of districts write them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.tariffs.places import begins, prefixes
from models.tariffs.rules import Tariff
from tests.models.tariffs.price_lists import parsed, prices_text, rules_text
from tests.pipelines.parcels import rated
from tests.sampling import tries
from tests.shops import built, rows

AREA = '[[surcharges]]\nsurcharge = "far"\ncharge_code = "FAR"\narea = "far"\namount_cents = 700\n'
LISTED = '[areas]\nfar = ["20", "1000..1049", "IV1..IV28", "HS"]\nisle = ["201"]\n'
CHART = "origin,destination,zone\n1,20000..20999,3\n101,20137,2\n2,2,9\n,IV1..IV28,3\n"


def charted(rest: str = "") -> Tariff:
    stated = 'zone_chart = "zones.csv"\nships_from = "10115"\n'
    text = rules_text(rest=rest).replace("dispute_days", f"{stated}dispute_days", 1)
    return parsed("trial.toml", text, lambda name: CHART if name == "zones.csv" else prices_text())


@settings(derandomize=True, deadline=None, max_examples=tries(60))
@given(st.tuples(st.integers(0, 9_999), st.integers(0, 9_999)).map(sorted), st.integers(0, 9_999))
def test_a_range_holds_the_codes_between_its_ends_and_no_others(ends: list[int], code: int) -> None:
    spelt = prefixes(f"{ends[0]:04d}..{ends[1]:04d}")
    assert any(begins(f"{code:04d}", prefix) for prefix in spelt) == (ends[0] <= code <= ends[1])
    assert len(spelt) <= 60


@pytest.mark.parametrize(
    ("code", "is_far"),
    [
        ("20137", False),  # 201 is longer than 20, and no part of the area
        ("20237", True),
        ("20", True),
        ("2", False),
        ("10490", True),
        ("10500", False),
        ("IV1 3AB", True),
        ("iv13ab", True),
        ("IV28 9ZZ", True),
        ("IV29 9ZZ", False),
        ("IV2", True),
        ("HS1 2AB", True),
        ("1049 AB", True),
        ("200-01", True),
        (None, False),
    ],
)
def test_an_area_takes_codes_that_begin_so(code: str | None, is_far: bool) -> None:
    listed = parsed("trial.toml", rules_text(rest=AREA + LISTED), lambda name: prices_text())
    (cents,) = rated([listed], {"destination_prefix": code})["surcharge_cents"].tolist()
    assert cents == (700 if is_far else 0)


@pytest.mark.parametrize(
    ("entry", "words"),
    [("1000..99", "as many figures"), ("IV1..HS9", "no range"), ("9..1", "ends before"), ("a?", "no postal code")],
)
def test_an_entry_that_is_no_place_is_named(entry: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        prefixes(entry)


def test_the_chart_gives_a_zone_where_the_records_have_none() -> None:
    codes = {"A": "20137", "B": "20500", "C": "IV12 1AA", "D": "30000", "E": "20137"}
    bench = [
        {"parcel_id": name, "sale_id": name, "carrier": "trial", "service": "plain", "destination_prefix": code}
        | {"zone": "2" if name == "E" else None, "length_in": 4.0, "width_in": 4.0, "height_in": 4.0}
        | {"scale_weight_lb": 1.0}
        for name, code in codes.items()
    ]
    with built(price_lists=[charted()], needed=["rating.priced"], weights=bench) as connection:
        found = rows(connection, "select request_id, zone from rating.requests order by request_id")
        priced = rows(connection, "select expected_cents, lacking from rating.priced order by request_id")
    assert [row["zone"] for row in found] == ["2", "3", "3", None, "2"]
    assert [row["expected_cents"] for row in priced] == [100, 110, 110, None, 100]
    assert priced[3]["lacking"] == "zone unknown"


def test_one_price_may_hold_for_every_zone() -> None:
    listed = parsed("trial.toml", rules_text(), lambda name: prices_text(zones=("2", "*")))
    found = rated([listed], {"zone": "2"}, {"zone": "77"}, {"zone": None})
    assert found["expected_cents"].tolist() == [300, 330, 330]


def test_what_the_chart_lacks_is_named() -> None:
    with pytest.raises(Exception, match="is no origin of"):
        parsed(
            "trial.toml",
            rules_text().replace("dispute_days", 'zone_chart = "z.csv"\nships_from = "9"\ndispute_days', 1),
            lambda name: "origin,destination,zone\n1,2,3\n" if name == "z.csv" else prices_text(),
        )
