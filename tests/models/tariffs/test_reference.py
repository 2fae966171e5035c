"""The printed example of the format is a sound tariff and uses every rule that the reader knows."""

from __future__ import annotations

import re
from dataclasses import fields

import pytest

from models.shop_units import Units
from models.tariffs.charges import Surcharge
from models.tariffs.checks import checked
from models.tariffs.reference import EXAMPLE, IN_METRIC, example
from models.tariffs.rules import MEASURES, Service
from tests.models.tariffs.price_lists import parsed, prices_text

CHART = "origin,destination,zone\n606,10000..19999,3\n606,IV1..IV28,4\n"


@pytest.mark.parametrize("system", ["inch", "metric"])
def test_the_example_is_a_sound_tariff(system: str) -> None:
    prices = prices_text(zones=("2", "3", "4")).replace("plain", "ground")
    found = parsed(
        "northline-2026.toml",
        example(Units("USD", system)),
        lambda name: CHART if name == "northline-zones.csv" else prices,
    )
    assert checked(found) == []
    assert (found.length_unit, found.weight_unit) == {"inch": ("in", "lb"), "metric": ("cm", "kg")}[system]
    assert [row.surcharge for row in found.surcharges] == [
        "long side",
        "weight",
        "low density",
        "season",
        "remote area",
        "declared value",
    ]


def test_each_line_of_the_metric_example_has_its_place() -> None:
    assert all(EXAMPLE.count(stated) == 1 for stated in IN_METRIC)


def test_the_example_shows_every_rule_and_measure() -> None:
    keys = set(re.findall(r"^(\w+) =", EXAMPLE, re.MULTILINE))
    renamed = {
        "divisor_above_milli": "divisor_above_volume",
        "weight_step_milli": "weight_step",
        "minimum_weight_milli": "minimum_weight",
        "is_residential": "residential",
        "valid_from": "from",
        "valid_to": "to",
        "share_millionths": "percent",
        "declared": "per_declared",
        "missing": "per_missing_weight",
        "is_greatest": "greatest",
    }
    stated = {renamed.get(each.name, each.name) for each in (*fields(Service), *fields(Surcharge))} - {"line"}
    assert stated - keys == set()
    assert all(measure in EXAMPLE for measure in MEASURES)
