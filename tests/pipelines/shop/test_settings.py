"""dunnage.toml: what it may say, and what is said of what it may not."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.errors import SettingsError
from models.settings.engine import Spark
from pipelines.shop.settings import ColumnSource, load

WHOLE = """
[shop]
name = "Fernmoor Optics"
currency = "USD"
time_zone = "America/New_York"
wage_cents_per_hour = 2400

[engine]
kind = "spark"

[spark]
master = "spark://cluster:7077"
storage = "s3a://parcels/fernmoor"
[spark.options]
"spark.executor.memory" = "8g"

[[source]]
name = "bench"
kind = "weights"
files = "bench-*.xlsx"
format = "xlsx"
[source.columns]
parcel_id = "Label"
line_number = { row = true }
length_in = { column = "Length", unit = "cm" }
is_residential = { value = "yes" }
"""


def settings_of(folder: Path, text: str) -> Path:
    (folder / "dunnage.toml").write_text(text, encoding="utf-8")
    return folder


def test_a_whole_file(tmp_path: Path) -> None:
    settings = load(settings_of(tmp_path, WHOLE))
    assert settings.shop.wage_cents_per_hour == 2400
    assert settings.engine.kind == "spark"
    assert settings.spark == Spark("spark://cluster:7077", "s3a://parcels/fernmoor", {"spark.executor.memory": "8g"})
    (source,) = settings.sources
    assert source.columns["parcel_id"] == ColumnSource(column="Label")
    assert source.columns["line_number"] == ColumnSource(row=True)
    assert source.columns["length_in"].unit == "cm"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('kind = "weights"', 'kind = "wheights"', "'wheights' is not known"),
        ('format = "xlsx"', 'format = "xls"', "'xls' is not known"),
        ('parcel_id = "Label"', 'parcel = "Label"', "unknown setting parcel"),
        ("{ row = true }", "{ row = true, value = '1' }", "exactly one"),
        ("wage_cents_per_hour = 2400", 'wage_cents_per_hour = "24"', "is not a whole number"),
        ("America/New_York", "America/Fernmoor", "not known"),
        ('kind = "spark"', 'kind = "sparc"', "'sparc' is not known"),
        ('storage = "s3a://parcels/fernmoor"', 'storage = "/"', "storage = '/' is empty"),
        ('"spark.executor.memory" = "8g"', '"spark.executor.memory" = 8', "is not text"),
        ('"spark.executor.memory" = "8g"', 'spark.executor.memory = "8g"', "is not text"),
        ("[shop]", "[shoop]", "unknown setting shoop"),
        ('files = "bench-*.xlsx"', "", "lacks files"),
        ('name = "Fernmoor Optics"', "name = Fernmoor", "not valid TOML"),
    ],
)
def test_mistakes_are_named(tmp_path: Path, old: str, new: str, said: str) -> None:
    assert old in WHOLE
    with pytest.raises(SettingsError, match=said):
        load(settings_of(tmp_path, WHOLE.replace(old, new, 1)))


def test_a_missing_file_says_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match="dunnage init"):
        load(tmp_path)
