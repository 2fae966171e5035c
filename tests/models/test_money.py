"""The kinds of money are stated once: what the SQL, the contracts, the bridge and the page list follows from them."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest

from dashboards.explanation import MARGIN_PARTS
from dashboards.sections.headline import GROUPS
from models.analyses.bridge import KINDS
from models.money import LISTS, MONEY
from models.records import CHARGE_KINDS
from models.sql_texts import FRAGMENT, sql_texts, written_out
from models.tables import TABLES

ROOT = Path(__file__).parents[2]
COLUMNS = {each.column for each in MONEY}


def test_every_kind_has_its_column_in_what_a_parcel_cost() -> None:
    assert set(TABLES["marts.parcel_costs"].columns) >= COLUMNS
    assert {each.name for each in MONEY if each.origin == "charge"} == {*CHARGE_KINDS, "unmapped"}


def test_bridge_page_and_terminal_tell_every_kind_once_with_its_sign() -> None:
    bridged = Counter((sign, column) for sign, columns in KINDS.values() for column in columns)
    assert bridged == Counter((each.sign, each.column) for each in MONEY)
    shown = Counter(column for name in ("Came in", "Billed by carriers", "Other costs") for column in GROUPS[name])
    assert shown == Counter([*COLUMNS, "billed_cents"])
    told = Counter((sign, column) for sign, column, _ in MARGIN_PARTS)
    assert told == Counter([*((m.sign, m.column) for m in MONEY if m.origin != "charge"), (-1, "billed_cents")])


def test_no_sql_file_lists_kinds_by_hand() -> None:
    """A model that names most kinds of a list has to be found and changed when one comes."""
    listed = {
        file.name: sorted(named)
        for file in (ROOT / "models" / "sql").rglob("*.sql")
        if len(named := COLUMNS & set(re.findall(r"\w+_cents", FRAGMENT.sub("", file.read_text())))) > 5
    }
    # The worst parcels show a choice of columns; no sum is made of them.
    assert listed == {}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("{each income: c.$_cents}", "c.shipping_charged_cents,\n    c.allowance_cents"),
        ("({sum income: c.$_cents})", "(c.shipping_charged_cents + c.allowance_cents)"),
        (
            "{union income: select '$' as k}",
            "select 'shipping_charged' as k\n    union all\n    select 'allowance' as k",
        ),
        ("select 1", "select 1"),
    ],
)
def test_fragments_are_written_out(text: str, expected: str) -> None:
    assert written_out(text) == expected


@pytest.mark.parametrize("text", ["{each nothing: $}", "{every income: $}"])
def test_an_unknown_fragment_or_list_is_an_error(text: str) -> None:
    with pytest.raises(KeyError):
        written_out(text)


def test_no_text_leaves_a_fragment_behind() -> None:
    folders = [file.parent.relative_to(ROOT / "models" / "sql") for file in (ROOT / "models" / "sql").rglob("*.sql")]
    texts = [text for folder in set(folders) for text in sql_texts(folder.as_posix()).values()]
    assert len(texts) > 100
    assert not any("{" in text or "}" in text for text in texts)
    assert LISTS["all"]
