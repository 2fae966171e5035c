"""Settings that are measures, stated in either unit."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from models.errors import SettingsError
from pipelines.shop import settings

SOURCE = """
[[source]]
name = "boxes"
kind = "packing_methods"
files = "m*.csv"
[source.columns]
packing_method = "Method"
effective_from = {{ value = "2026-01-01" }}
material_cents = {{ value = "1.00" }}
pack_minutes = {{ value = "5" }}
{clearance}
"""


def loaded(folder: Path, text: str) -> settings.Settings:
    (folder / "dunnage.toml").write_text(text, encoding="utf-8")
    return settings.load(folder)


def test_a_metric_shop_states_centimetres_and_kilograms(tmp_path: Path) -> None:
    found = loaded(
        tmp_path,
        '[shop]\nunits = "metric"\nsharing_divisor_cm3_per_kg = 5000.0\n[near_misses]\nreach_cm = 2.54\nreach_kg = 1\n'
        "[cartons]\ncut_step_cm = 1.0\n",
    )
    assert found.near_misses.reach_in == 1.0
    assert found.near_misses.reach_lb == pytest.approx(1 / 0.45359237, rel=1e-15)
    assert found.cartons.cut_step_in == pytest.approx(1 / 2.54, rel=1e-15)
    assert found.cartons.candidate_step_in == 1.0
    assert found.shop.sharing_divisor_in3_per_lb == pytest.approx(5000 / 16.387064 * 0.45359237)
    assert found.shop.shown_units.is_metric


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("[near_misses]\nreach_cm = 2.54\nreach_in = 1.0\n", r"line 2 .*states both reach_in and reach_cm"),
        ("[near_misses]\nreach_cm = 40.0\n", r"line 2 .*reach_cm = 40.0 is too large.*at most 30.48"),
        ("[cartons]\n\ncut_step_cm = 0.1\n", r"line 3 .*cut_step_cm = 0.1 is too small.*at least 0.254"),
        ('[near_misses]\nreach_cm = "2"\n', r"line 2 .*reach_cm = '2' is not a number"),
        ("[near_misses]\nreach_cm = nan\n", r"line 2 .*reach_cm = nan is not a finite number"),
        ("[near_misses]\nreech_cm = 2.0\n", r"line 2 .*unknown setting reech_cm.*did you mean reach_cm"),
        ('[shop]\nunits = "feet"\n', r"line 2 .*units = 'feet' is not known"),
    ],
)
def test_a_wrong_measure_is_reported_as_it_was_stated(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(SettingsError) as refused:
        loaded(tmp_path, text)
    assert re.search(message, str(refused.value), re.DOTALL), str(refused.value)


@pytest.mark.parametrize(
    ("clearance", "unit"),
    [
        ('clearance_cm = { value = "2.5" }', "cm"),
        ('clearance_cm = { value = "25", unit = "mm" }', "mm"),
        ('clearance_in = { value = "1" }', None),
        ('clearance_cm = "Rand (cm)"', None),
    ],
)
def test_a_column_map_may_name_measures_as_the_shop_sees_them(tmp_path: Path, clearance: str, unit: str | None) -> None:
    (source,) = loaded(tmp_path, SOURCE.format(clearance=clearance)).sources
    assert source.columns["clearance_in"].unit == unit


def test_a_column_named_twice_is_refused(tmp_path: Path) -> None:
    both = 'clearance_in = "A"\nclearance_cm = "B"'
    with pytest.raises(SettingsError, match="states both clearance_in and clearance_cm"):
        loaded(tmp_path, SOURCE.format(clearance=both))
