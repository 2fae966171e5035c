"""Any TOML document gives settings or a SettingsError; what was valid before loads to the same settings."""

from __future__ import annotations

import datetime as dt
import tempfile
import tomllib
from dataclasses import asdict, fields
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import given
from hypothesis import settings as limits
from hypothesis import strategies as st

from models.errors import SettingsError
from models.reference import RECORDS
from pipelines.shop.settings import ColumnSource, Settings, Shop, Source, load, sections
from pipelines.shop.starting import settings_text
from tests.pipelines.shop.test_settings import WHOLE
from tests.sampling import tries

DEMO = Path(__file__).parents[3] / "sample_data" / "dunnage.toml"

WORDS = [
    "",
    "x",
    "USD",
    "UTC",
    "4GB",
    "csv",
    "utf-8",
    ";",
    "a@b.example",
    "sales",
    "monday",
    "07:00",
    "../x",
    "\u202e\n\0",
]
NUMBERS = [0, 1, -1, 5, 139, 2**31, 2**63 - 1, -(2**63)]
SCALARS = st.one_of(
    st.sampled_from(WORDS),
    st.text(max_size=8),
    st.sampled_from(NUMBERS),
    st.integers(-(2**63), 2**63 - 1),
    st.floats(),
    st.booleans(),
    st.dates(dt.date(1900, 1, 1)),
    st.times(),
    st.datetimes(dt.datetime(1900, 1, 1)),
)
KEYS = st.one_of(st.sampled_from(["column", "value", "row", "unit", "parcel_id", "name", ""]), st.text(max_size=5))
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(KEYS, inner, max_size=3)),
    max_leaves=5,
)
SOURCE_NAMES = [each.name for each in fields(Source)]
PLAUSIBLE = {"name": "bench", "kind": "weights", "files": "*.csv", "columns": {"parcel_id": "Label"}}


def section(names: list[str]) -> st.SearchStrategy[Any]:
    """A table with random values at known and unknown names, or something that is no table."""
    return st.one_of(st.dictionaries(st.one_of(st.sampled_from(names), KEYS), VALUES, max_size=4), VALUES)


def source_tables() -> st.SearchStrategy[Any]:
    columns = st.dictionaries(st.sampled_from([*RECORDS["weights"].columns, "other"]), VALUES, max_size=3)
    odd = st.dictionaries(st.sampled_from(SOURCE_NAMES), st.one_of(VALUES, columns), max_size=3)
    return st.lists(odd.map(lambda table: PLAUSIBLE | table), max_size=2)


def names_of(kind: Any) -> list[str]:
    return [each.name for each in fields(kind)] if hasattr(kind, "__dataclass_fields__") else SOURCE_NAMES


STRATEGIES = {
    **{name: section(names_of(getattr(kind, "__origin__", kind))) for name, kind in sections().items()},
    "source": st.one_of(source_tables(), VALUES),
    "other": VALUES,
}
DOCUMENTS = st.lists(st.sampled_from(sorted(STRATEGIES)), unique=True, max_size=3).flatmap(
    lambda names: st.fixed_dictionaries({name: STRATEGIES[name] for name in names})
)


def outcome(written: bytes) -> Settings | SettingsError:
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "dunnage.toml").write_bytes(written)
        try:
            return load(Path(folder))
        except SettingsError as reported:
            assert reported.what
            assert reported.affected
            assert reported.next_step
            assert ", line " in reported.where
            return reported


@limits(max_examples=tries(100), deadline=None)
@given(DOCUMENTS)
def test_any_document_of_any_types_is_settings_or_a_mistake(document: dict[str, Any]) -> None:
    outcome(tomlkit.dumps(document).encode("utf-8"))


@limits(max_examples=tries(100), deadline=None)
@given(st.one_of(st.binary(max_size=200), st.text(max_size=200).map(lambda text: text.encode("utf-8"))))
def test_any_bytes_are_settings_or_a_mistake(written: bytes) -> None:
    outcome(written)


@limits(max_examples=tries(100), deadline=None)
@given(st.integers(0, len(DEMO.read_bytes()) - 1), st.binary(max_size=3))
def test_a_file_with_some_bytes_changed_is_settings_or_a_mistake(at: int, other: bytes) -> None:
    written = DEMO.read_bytes()
    outcome(written[:at] + other + written[at + len(other) :])


def plainly_read(text: str, folder: Path) -> Settings:
    """What a valid file says, by nothing but the dataclasses' own constructors."""
    stated = tomllib.loads(text)
    sources = []
    for table in stated.pop("source", []):
        columns = {
            name: ColumnSource(column=said) if isinstance(said, str) else ColumnSource(**said)
            for name, said in table["columns"].items()
        }
        sources.append(Source(**(table | {"columns": columns})))
    kinds = {each.name: each.default_factory for each in fields(Settings) if each.name not in ("folder", "sources")}
    made: dict[str, Any] = {name: kinds[name](**table) for name, table in stated.items()}  # type: ignore[operator]
    return Settings(folder=folder, sources=tuple(sources), **made)


@pytest.mark.parametrize("text", [DEMO.read_text(encoding="utf-8"), WHOLE, settings_text(Shop()), ""])
def test_a_valid_file_loads_to_what_it_says(text: str, tmp_path: Path) -> None:
    (tmp_path / "dunnage.toml").write_text(text, encoding="utf-8")
    loaded, plain = load(tmp_path), plainly_read(text, tmp_path.resolve())
    assert loaded == plain
    assert asdict(loaded) == asdict(plain)
