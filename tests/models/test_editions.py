"""Editions: the same facts are the same edition, a later correction is a new one and says what changed."""

from __future__ import annotations

import datetime as dt

import pandas as pd

from models.editions import FACTS, changes, fingerprint, headline
from models.plain_rows import as_dicts
from tests.dashboards import shop

MONTH = shop.MONTH


def corrected(table: str, column: str, month: dt.date, by: int) -> dict[str, pd.DataFrame]:
    """The shop's tables with one cell of one month changed."""

    def change(rows: pd.DataFrame) -> pd.DataFrame:
        is_known = (pd.to_datetime(rows["shipped_month"]) == pd.Timestamp(month)) & rows[column].notna()
        at = rows.index[is_known][0]
        rows.loc[at, column] += by
        return rows

    return shop.changed(table, change)


def test_the_order_of_rows_and_tables_does_not_matter() -> None:
    turned = {name: rows.iloc[::-1] for name, rows in reversed(shop.tables().items())}
    assert fingerprint(turned, MONTH) == fingerprint(shop.tables(), MONTH)


def test_each_fact_of_the_month_counts() -> None:
    facts = [
        (table, name)
        for table in FACTS
        for name in shop.tables()[table].columns
        if name.endswith(("_cents", "_count")) and name != "margin_change_cents"
    ]
    seen = {fingerprint(corrected(table, name, MONTH, 1), MONTH) for table, name in facts}
    assert len(facts) > 40
    assert len(seen | {fingerprint(shop.tables(), MONTH)}) == len(facts) + 1


def test_another_month_does_not_count() -> None:
    before = dt.date(2026, 9, 1)
    whole = fingerprint(shop.tables(), MONTH)
    assert fingerprint(corrected("marts.shipping_margin", "billed_cents", before, 99), MONTH) == whole
    assert fingerprint(corrected("marts.shipping_margin", "margin_change_cents", MONTH, 99), MONTH) == whole
    assert fingerprint(shop.tables(), before) != whole


def test_what_changed_is_reported_with_both_amounts() -> None:
    old = headline(shop.tables(), MONTH)
    new = headline(corrected("marts.shipping_margin", "adjustment_cents", MONTH, 1850), MONTH)
    (row,) = as_dicts(changes(old, new))
    assert (row["measure"], row["amount_after"] - row["amount_before"]) == ("adjustment_cents", 1850.0)
    assert changes(old, old).empty


def test_a_month_without_rows_has_unknown_amounts() -> None:
    assert set(headline({}, MONTH).values()) == {None}
    assert fingerprint({}, MONTH) == fingerprint({}, dt.date(2020, 1, 1))
