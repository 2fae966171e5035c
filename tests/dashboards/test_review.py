from __future__ import annotations

import datetime as dt
import re
from decimal import Decimal
from functools import cache
from typing import Any

import pandas as pd
import pytest

from dashboards.review import render
from models import columns
from models.fields import Quantity
from tests.dashboards import shop
from tests.dashboards.markup import Element, by_id, parsed


@cache
def page_text() -> str:
    return render(shop.review())


@cache
def page() -> Element:
    return parsed(page_text())


def cells(root: Element) -> list[Element]:
    """What says which cell it shows, but for pictures, which round it."""
    return [element for element in root.walk() if "data-column" in element.attributes and element.tag != "g"]


def origin(element: Element, tables: dict[str, pd.DataFrame]) -> Any:
    return tables[element.stated("data-table")].iloc[int(element.stated("data-row"))][element.attributes["data-column"]]


def number(text: str) -> Decimal:
    return Decimal(re.sub(r"[^0-9.-]", "", text))


MEASURES = (Quantity.NUMBER, Quantity.LENGTH, Quantity.WEIGHT, Quantity.MINUTES)


def reads_as(text: str, cell: Any, column: str) -> bool:
    """Whether the text, read by other means than it was written with, is the cell at the printed precision."""
    kind = columns.quantity(column)
    if pd.isna(cell) or cell == "unknown":
        return text in ("not known", "n/a")
    if text == "–":
        return kind in (Quantity.MONEY, Quantity.COUNT) and cell == 0
    if kind in (Quantity.DATE, Quantity.INSTANT):
        written = "%d %b %Y %H:%M" if kind is Quantity.INSTANT else "%B %Y" if column.endswith("_month") else "%d %b %Y"
        return bool(dt.datetime.strptime(text, written) == cell)
    if kind is Quantity.FLAG:
        return text == ("yes" if cell else "no")
    if kind is Quantity.TEXT:
        return text == " ".join(str(cell).split())
    return _counts_as(text, cell, kind)


def _counts_as(text: str, cell: Any, kind: Quantity) -> bool:
    if among := re.fullmatch(r"(\d+) of (\d+)", text):  # of few parcels
        return kind is Quantity.FRACTION and int(among[2]) < 50 and int(among[1]) == pytest.approx(cell * int(among[2]))
    shown = number(text)
    if kind is Quantity.MONEY:
        return "$" in text and shown * 100 == int(cell)
    if kind is Quantity.FRACTION:
        exact = 0.0005 if "." in text or text == "100%" else 0.005  # whole percent from a tenth on
        return text.endswith("%") and abs(float(shown) / 100 - cell) <= exact + 1e-12 and (exact < 0.005 or cell > 0.09)
    return bool(abs(float(shown) - cell) <= (0.005 + 1e-12 if kind in MEASURES else 0))


def in_prose(element: Element) -> bool:
    """Whether it stands in a sentence, or in a list of the first screen."""
    return any(set(up.attributes.get("class", "").split()) & {"said", "plain"} for up in element.ancestry())


def reads_in_prose(text: str, cell: Any, column: str) -> bool:
    """The same in prose: amounts of a hundred or more in whole units."""
    kind = columns.quantity(column)
    if kind is Quantity.MONEY and "." not in text:
        return "$" in text and abs(int(cell)) >= 1_000 and abs(abs(number(text)) * 100 - abs(int(cell))) <= 50
    return reads_as(text, abs(cell) if kind is Quantity.MONEY and cell < 0 and "-" not in text else cell, column)


def test_every_shown_value_is_the_cell_it_names() -> None:
    shown = cells(page())
    wrong = [
        (element.attributes, element.text())
        for element in shown
        if not (reads_in_prose if in_prose(element) else reads_as)(
            element.text(), origin(element, shop.tables()), element.attributes["data-column"]
        )
    ]
    assert wrong == []
    assert len(shown) > 900


def test_no_number_stands_on_the_page_without_its_cell() -> None:
    body = page().all("body")[0]
    loose = [
        part
        for element in body.walk()
        for part in element.parts
        if isinstance(part, str) and re.search(r"\d", part) and not _is_placed(element)
    ]
    assert loose == []


def _is_placed(element: Element) -> bool:
    marks = ("data-column", "data-plain")
    return any(
        up.tag in ("h1", "option", "script") or any(mark in up.attributes for mark in marks)
        for up in element.ancestry()
    )


def drawn(root: Element) -> dict[str, list[Element]]:
    """The marks of the pictures for a desk, by part."""
    found = {
        part.attributes["id"]: [each for each in part.all("svg") if "desk" in each.attributes["class"]]
        for part in root.all("article")
    }
    return {
        name: [mark for mark in drawings[0].all("g") if "data-row" in mark.attributes]
        for name, drawings in found.items()
        if drawings
    }


def test_every_mark_of_every_picture_says_the_cell_it_names() -> None:
    for marks in drawn(page()).values():
        for mark in marks:
            values = [each.text() for each in mark.all("text") if each.attributes.get("class") == "value"]
            cell, column = origin(mark, shop.tables()), mark.attributes["data-column"]
            assert all(rounded(text.split(" (")[0], cell, column) for text in values)


def rounded(text: str, cell: Any, column: str) -> bool:
    shown = float(number(text))
    if columns.quantity(column) is Quantity.MONEY:
        return "$" in text and abs(shown * 100 - cell) <= 50
    return abs(shown / 100 - cell) <= 0.005 + 1e-12 if text.endswith("%") else shown == pytest.approx(cell)


def test_pictures_are_drawn_but_of_few_parcels_one_row_or_what_does_not_change() -> None:
    on_page = {each.attributes["id"] for each in page().all("article")}
    with_picture = {part.name: part for part in shop.parts_filled() if getattr(part, "draw", None) is not None}
    marks = drawn(page())
    assert set(marks) <= set(with_picture) & on_page
    assert len(marks) >= 15
    assert all(marks.values())


def test_every_picture_has_a_table_with_the_same_rows_under_it() -> None:
    shares_drawn = {part.name for part in shop.parts_filled() if getattr(part, "draws_shares", False)}
    for name, marks in drawn(page()).items():
        part = by_id(page(), name)
        lines = {int(row.attributes["data-row"]) for row in part.all("tr") if "data-row" in row.attributes}
        shown = {int(mark.attributes["data-row"]) for mark in marks}
        table = shop.tables()[marks[0].stated("data-table")]
        is_few = name in shares_drawn and "parcel_count" in table.columns
        assert shown <= {line for line in lines if not is_few or table["parcel_count"].iloc[line] >= 50}
        assert len(shown) >= min(len(lines), 12) or is_few or name == "next-actions", "an action may bring once"
        order = [element.attributes.get("class", element.attributes.get("id", "")) for element in part.walk()]
        assert order.index("drawing") < order.index(f"{name}-table")


def headline(root: Element) -> str:
    (found,) = [each for each in root.all("p") if "headline" in each.attributes.get("class", "")]
    return found.text()


def test_first_screen_says_the_month_beside_others() -> None:
    root = parsed(render(shop.review(tables=shop.complete())))
    assert re.fullmatch(r"Shipping in October 2026 lost money: -\$[\d,]+ on \d+ parcels", root.all("h1")[0].text())
    assert "than September 2026" in headline(root)
    months = [
        row for table in root.all("table") if table.attributes.get("class") == "months" for row in table.all("tr")
    ]
    assert [row.all("th")[0].text() for row in months[1:]] == [
        *("October 2026", "the month before", "the same month last year", "the mean of the twelve months before")
    ]


@pytest.mark.parametrize(
    ("margins", "words"), [((-5, -9), "better than"), ((-9, -5), "worse than"), ((7, 7), "same as")]
)
def test_headline_compares_in_words(margins: tuple[int, int], words: str) -> None:
    frame = shop.tables()["marts.shipping_margin"].copy()
    frame.loc[frame.index[-1], ["margin_cents", "margin_change_cents"]] = [margins[0], margins[0] - margins[1]]
    frame.loc[frame.index[-2], "margin_cents"] = margins[1]
    text = parsed(render(shop.review(tables=shop.complete(frame)))).text()
    assert words in text
    assert ("paid for itself" in text) == (margins[0] >= 0)


def test_a_month_whose_bills_lack_is_completed_before_it_is_compared() -> None:
    text = headline(page())
    assert page().all("h1")[0].text().startswith("Shipping in October 2026 is expected to lose $")
    assert re.match(r"\d+% of the carriage expected is billed; eight of ten such months end between -\$", text)
    assert "than September 2026" in text
    assert not re.search("Hurt most|Helped most", text + by_id(page(), "bridge").text())


def test_damage_is_named_crude_wherever_a_rate_is_shown() -> None:
    damage = by_id(page(), "damage")
    assert "not corrected for claims still to come" in damage.text()
    assert "crude" in damage.all("h3")[0].text()
    headers = {each.text() for each in page().all("th")}
    assert "Crude damage rate" in headers
    assert "Damage rate" not in headers


def test_trend_shows_eighteen_months_up_to_the_month_reviewed() -> None:
    early = parsed(render(shop.review(month=dt.date(2026, 3, 1))))
    rows = [row for row in by_id(early, "months").all("tr") if "data-row" in row.attributes]
    assert [rows[0].all("th")[0].text(), rows[-1].all("th")[0].text()] == ["May 2025", "March 2026"]
    assert len([row for row in by_id(page(), "months").all("tr") if "data-row" in row.attributes]) == 18


def test_worst_parcels_are_the_lowest_margins_without_account_fees() -> None:
    costs = shop.tables()["marts.parcel_costs"]
    october = costs[(costs["shipped_month"] == pd.Timestamp(shop.MONTH)) & ~costs["is_account"]]
    shown = [
        row.all("th")[0].text() for row in by_id(page(), "worst-parcels").all("tr") if "data-row" in row.attributes
    ]
    assert shown == october.sort_values(["margin_cents", "parcel_id"])["parcel_id"].head(20).tolist()


def test_warnings_stand_with_their_counts_and_notes_as_given() -> None:
    records = by_id(page(), "chapter-records").text()
    first = by_id(page(), "warnings-table").all("tbody")[0].all("tr")[0]
    assert [each.text() for each in cells(first)][:2] == ["uncharged parcels", "17"]
    assert "Northline's invoice of 31 October has not come yet." in records
