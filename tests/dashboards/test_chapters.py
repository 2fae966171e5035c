"""The page's chapters: findings as headings, two pictures and the top rows open, all else folded, filters inside."""

from __future__ import annotations

import pandas as pd

from dashboards.chapters import CHAPTERS
from dashboards.review import render
from dashboards.sections import all_sections
from tests.dashboards import shop
from tests.dashboards.markup import Element, by_id, parsed
from tests.dashboards.test_review import cells, page

CHAPTER_NAMES = [chapter.name for chapter in CHAPTERS]


def test_chapters_stand_in_their_order_and_hold_every_section() -> None:
    assert set(CHAPTER_NAMES) == {section.chapter for section in all_sections() if section.name != "front"}
    chapters = [each for each in page().all("section") if each.attributes.get("class") == "chapter"]
    assert [each.attributes["id"] for each in chapters] == [f"chapter-{name}" for name in CHAPTER_NAMES]
    assert [each.attributes["href"] for each in page().all("nav")[0].all("a")] == [
        f"#chapter-{name}" for name in CHAPTER_NAMES
    ]
    for chapter, name in zip(chapters, CHAPTER_NAMES, strict=True):
        inside = {each.attributes["id"] for each in chapter.all("section")} - {f"chapter-{name}"}
        assert inside <= {section.name for section in all_sections() if section.chapter == name}


def test_a_chapter_opens_with_its_finding_two_pictures_at_most_and_its_top_rows() -> None:
    for name in CHAPTER_NAMES:
        chapter = by_id(page(), f"chapter-{name}")
        opened = [each for each in chapter.all("article") if "open" in each.attributes["class"].split()]
        assert 1 <= len(opened) <= 2
        assert chapter.all("h2")[0].text() != chapter.all("p")[0].text()
        for part in opened:
            rows = [row for row in part.all("tr") if "data-row" in row.attributes and not folded(row)]
            assert len([row for row in rows if row.attributes.get("class") != "more"]) <= 5
        assert all(folded(each) for each in chapter.all("article") if each not in opened)


def folded(element: Element) -> bool:
    return any(up.tag == "details" for up in element.ancestry())


def test_a_chapter_whose_finding_the_records_do_not_prove_has_its_topic_as_heading() -> None:
    few = shop.changed("marts.item_type_costs", lambda rows: rows[rows["item_type"] == "tripod"])
    chapter = by_id(parsed(render(shop.review(tables=few))), "chapter-money")
    assert chapter.all("h2")[0].text() == "Money"


def test_rows_beyond_what_a_page_can_hold_are_counted_and_said_where_they_are() -> None:
    def many(rows: pd.DataFrame) -> pd.DataFrame:
        return pd.concat([rows.assign(zone=f"{at}") for at in range(12)], ignore_index=True)

    part = by_id(parsed(render(shop.review(tables=shop.changed("marts.margin_by_zone", many)))), "margin-zones")
    month = many(shop.tables()["marts.margin_by_zone"])["shipped_month"].eq(pd.Timestamp(shop.MONTH)).sum()
    assert len([row for row in part.all("tr") if "data-row" in row.attributes]) == 25
    assert f"{month - 25} more rows: in the workbook, and by dunnage export marts.margin_by_zone" in part.text()


def test_a_section_without_any_of_its_tables_is_left_out() -> None:
    fewer = {name: table for name, table in shop.tables().items() if name != "marts.surcharge_frequency"}
    root = parsed(render(shop.review(tables=fewer)))
    names = [each.attributes["id"] for each in root.all("section") if "id" in each.attributes]
    assert "surcharges" not in names
    assert "damage" in names


def test_every_row_can_be_filtered_by_its_own_values_in_its_chapter() -> None:
    checked = 0
    for name in CHAPTER_NAMES:
        chapter = by_id(page(), f"chapter-{name}")
        options = {
            select.attributes["data-filter"]: {each.attributes["value"]: each.text() for each in select.all("option")}
            for select in chapter.all("select")
        }
        for cell in (cell for row in chapter.all("tr") if "data-row" in row.attributes for cell in cells(row)):
            row, column = cell.parent, cell.attributes["data-column"]
            code = row.attributes.get(f"data-by-{column}") if row is not None else None
            if code is not None and column in options:
                assert options[column][code] == cell.text()
                checked += 1
    assert checked > 200
