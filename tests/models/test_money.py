"""The kinds of money are stated once: what the SQL, the contracts, the bridge and the page list follows from them."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

from dashboards.explanation import MARGIN_PARTS
from dashboards.sections.headline import GROUPS
from models.analyses.bridge_steps import KINDS
from models.columns.billing import CHARGE_KINDS
from models.money import MONEY
from models.sql_texts import FRAGMENT
from models.tables import TABLES

ROOT = Path(__file__).parents[2]
COLUMNS = {each.column for each in MONEY}


def test_every_kind_has_its_column_in_what_a_parcel_cost() -> None:
    assert set(TABLES["marts.parcel_costs"].columns) >= COLUMNS
    assert {each.name for each in MONEY if each.origin == "charge"} == {*CHARGE_KINDS, "unmapped"}


def test_bridge_page_and_terminal_tell_every_kind_once_with_its_sign() -> None:
    bridged = Counter((sign, column) for signs in KINDS.values() for column, sign in signs.items())
    assert bridged == Counter((each.sign, each.column) for each in MONEY)
    shown = Counter(column for name in ("Came in", "Billed by carriers", "Other costs") for column in GROUPS[name])
    assert shown == Counter([*COLUMNS, "billed_cents"])
    reported = Counter((sign, column) for sign, column, _ in MARGIN_PARTS)
    assert reported == Counter([*((m.sign, m.column) for m in MONEY if m.origin != "charge"), (-1, "billed_cents")])


def test_no_sql_file_lists_kinds_by_hand() -> None:
    """A model that names most kinds of a list has to be found and changed when one comes."""
    listed = {
        file.name: sorted(named)
        for file in (ROOT / "models" / "sql").rglob("*.sql")
        if len(named := COLUMNS & set(re.findall(r"\w+_cents", FRAGMENT.sub("", file.read_text())))) > 5
    }
    assert listed == {}
