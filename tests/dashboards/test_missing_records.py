"""A shop that keeps only some of the records still gets a page that says what is missing."""

from __future__ import annotations

import datetime as dt
import re

import pandas as pd
import pytest

from dashboards.review import render
from tests.dashboards import shop
from tests.dashboards.markup import Element, by_id, parsed
from tests.dashboards.parcels import MONTHS


def shown(**more: object) -> Element:
    return parsed(render(shop.review(**more)))  # type: ignore[arg-type]


def visible(root: Element) -> str:
    scripts = {id(each) for tag in ("script", "style") for each in root.all(tag)}
    return " ".join(
        part for each in root.walk() if id(each) not in scripts for part in each.parts if isinstance(part, str)
    )


def assert_nothing_raw(root: Element) -> None:
    words = set(re.findall(r"[\w<]+", visible(root)))
    assert not words & {"nan", "NaN", "NaT", "None", "<NA", "inf", "NULL", "null"}


def emptied(*names: str) -> dict[str, pd.DataFrame]:
    return {name: table.iloc[:0] if name in names else table for name, table in shop.tables().items()}


def test_a_shop_without_any_record_gets_sentences() -> None:
    root = shown(tables=emptied(*shop.tables()))
    assert_nothing_raw(root)
    assert root.all("table") == []
    assert root.all("form") == []
    assert "No parcel on record is counted in October 2026." in visible(root)
    assert root.all("article") == [], "a part without rows is not shown"
    sections = [each for each in root.all("section") if each.attributes.get("class") == "fold"]
    assert all(each.text().endswith(".") or each.attributes["id"] == "headline" for each in sections)


def test_without_tables_only_the_headline_stands() -> None:
    root = shown(tables={})
    assert [each.attributes["id"] for each in root.all("section")] == ["chapter-money", "headline"]
    assert len(render(shop.review(tables={}))) < 100_000, "a page without figures needs no drawing library"


def test_a_shop_without_claims() -> None:
    def unclaimed(frame: pd.DataFrame) -> pd.DataFrame:
        return frame.assign(
            damage_count=0, loss_count=0, other_claim_count=0, crude_damage_rate=0.0, damage_net_cents=0
        )

    names = ("marts.damage_counts", "marts.damage_year", "marts.packing_method_year")
    root = shown(tables={**shop.tables(), **{name: unclaimed(shop.tables()[name]) for name in names}})
    assert_nothing_raw(root)
    text = by_id(root, "damage").text()
    assert "No damage has been reported" in text
    assert "No damage claim is on record" in text


def test_a_shop_without_weights() -> None:
    def unmeasured(frame: pd.DataFrame) -> pd.DataFrame:
        return frame.assign(benched_parcel_count=0, measured_parcel_count=0, sold_parcel_count=0)

    worst = shop.tables()["marts.worst_parcels"].assign(
        carton_code=None, packing_method=None, service=None, zone=None, item_type="unknown"
    )
    root = shown(tables={**shop.changed("marts.coverage", unmeasured), "marts.worst_parcels": worst})
    assert_nothing_raw(root)
    assert "October 2026: 103 parcels are counted. In the bench log: 0." in by_id(root, "records").text()
    heads = [each.text() for each in by_id(root, "worst-parcels").all("thead")[0].all("th")]
    assert not {"Carton", "Packing method", "Service", "Zone"} & set(heads), "a column that no record fills"


def test_a_shop_without_invoices() -> None:
    def unbilled(frame: pd.DataFrame) -> pd.DataFrame:
        return frame.assign(charged_count=0, invoiced_share=0.0)

    tables = {**shop.changed("marts.coverage", unbilled), **{}}
    tables["marts.surcharge_frequency"] = shop.tables()["marts.surcharge_frequency"].iloc[:0]
    root = shown(tables=tables)
    assert_nothing_raw(root)
    assert "No bill is on record for October 2026." in root.text()
    assert "No bill is on record for October 2026, so surcharges are not known." in by_id(root, "surcharges").text()


def test_the_first_month_has_nothing_to_compare_with() -> None:
    first = {
        name: table[table["shipped_month"] == MONTHS[0]] if "shipped_month" in table else table
        for name, table in shop.tables().items()
    }
    root = shown(tables=first, month=dt.date(2025, 5, 1))
    assert_nothing_raw(root)
    assert "There is no month before in the records to compare with." in root.text()
    assert len(by_id(root, "margin-table").all("thead")[0].all("th")) == 1


def test_a_month_that_no_record_knows() -> None:
    root = shown(month=dt.date(2027, 2, 1))
    assert_nothing_raw(root)
    assert "No parcel on record is counted in February 2027." in root.text()


@pytest.mark.parametrize("column", ["cost_per_piece_cents", "margin_per_parcel_cents"])
def test_a_column_without_a_known_cell_is_not_shown(column: str) -> None:
    def unknown(frame: pd.DataFrame) -> pd.DataFrame:
        return frame.assign(**{column: pd.array([pd.NA] * len(frame), dtype="Int64")})

    root = shown(tables=shop.changed("marts.item_type_costs", unknown))
    assert_nothing_raw(root)
    if column == "margin_per_parcel_cents":
        heads = [each.text() for each in by_id(root, "item-type-margins").all("thead")[0].all("th")]
        assert heads[-1] == "Margin"
    else:
        assert "no mean is shown" in by_id(root, "item-types").text()
        assert "per piece" not in by_id(root, "item-types").text()


def test_tables_may_come_with_plain_dates_as_an_engine_gives_them() -> None:
    def plain_dates(frame: pd.DataFrame) -> pd.DataFrame:
        return frame.assign(shipped_month=frame["shipped_month"].dt.date.astype(object))

    tables = {name: plain_dates(table) if "shipped_month" in table else table for name, table in shop.tables().items()}
    assert render(shop.review(tables=tables)) == render(shop.review())


@pytest.mark.parametrize(
    ("currency", "written", "rounded"),
    [("JPY", "-¥240,584", "¥240,584"), ("KWD", "-KWD 240.584", "KWD 241"), ("EUR", "-€2,405.84", "€2,406")],
)
def test_amounts_follow_the_currency(currency: str, written: str, rounded: str) -> None:
    root = shown(currency=currency)
    assert f"is expected to lose {rounded} on" in root.all("h1")[0].text()
    (own,) = [each for each in root.all("tr") if each.attributes.get("class") == "own"]
    assert written in own.text()
