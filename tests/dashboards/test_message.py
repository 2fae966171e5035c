"""The e-mail: every number is its table's, it reads back as it was written, and nothing in a record can do harm."""

from __future__ import annotations

import email
import re
from email.policy import default

import pandas as pd
import pytest

from dashboards import formats
from dashboards.letter import MOST_ROWS, content
from dashboards.letter_text import plain_text
from dashboards.message import Edition, Enclosure, Envelope, message, notice
from dashboards.stills import stills
from tests.dashboards import shop
from tests.dashboards.letters import BOOK, ENVELOPE, NO_CHANGES, PAGE, body, hostile, letter, read_back
from tests.dashboards.markup import parsed


def cells(line: str) -> list[str]:
    return re.split(r" {2,}", line.strip())


def line_of(text: str, title: str, name: str) -> list[str]:
    """The cells of the named row of the table under a title."""
    rows = text.split(f"{title}:\n", 1)[1].split("\n\n")[0].splitlines()
    return next(cells(line) for line in rows if cells(line)[0] == name)


def month_row(table: str, **key: object) -> pd.Series:
    rows = shop.tables()[table]
    rows = rows[rows["shipped_month"] == pd.Timestamp(shop.MONTH)]
    for column, value in key.items():
        rows = rows[rows[column] == value]
    (found,) = (row for _, row in rows.iterrows())
    return found


def usd(cents: float) -> str:
    """An amount of US dollars written here by other means than the code's."""
    whole = abs(int(cents))
    return f"{'-' if cents < 0 else ''}${whole // 100:,}.{whole % 100:02d}"


def whole_usd(cents: float) -> str:
    """The same in prose, of a hundred dollars or more: without cents."""
    assert abs(cents) >= 10_000
    return f"{'-' if cents < 0 else ''}${(abs(int(cents)) + 50) // 100:,}"


def test_headers_say_who_what_and_when() -> None:
    month = month_row("analysis.completed_months")
    found = letter()
    assert found["Subject"] == (
        f"Fernmoor Optics: shipping in October 2026, {usd(month['completed_margin_cents'])} expected"
    )
    assert (found["From"], found["To"]) == (ENVELOPE.sender, ENVELOPE.recipient)
    assert found["Message-ID"] == ENVELOPE.message_id
    assert found["Date"].datetime == ENVELOPE.dated_at
    assert found["Auto-Submitted"] == "auto-generated"
    assert not found.defects


def test_the_text_begins_with_the_result() -> None:
    month = month_row("analysis.completed_months")
    first = " ".join(body(letter(), "plain").split("\n\n")[0].split())
    assert first.startswith(
        f"With what is still to come, shipping in October 2026 is expected to lose money: "
        f"{whole_usd(month['completed_margin_cents'])} on {month['parcel_count']} parcels (interval"
    )
    assert f"{whole_usd(month['billed_cents'])} is billed so far" in first
    known = month_row("marts.coverage")
    share = f"{100 * known['invoiced_share']:.0f}%"
    assert (
        f"{known['charged_count']} of {known['parcel_count']} parcels on record have a bill so far ({share})." in first
    )
    assert "than September 2026" in first


@pytest.mark.parametrize(
    ("label", "column"),
    [
        ("Shipping charged", "shipping_charged_cents"),
        ("Plain carriage", "base_cents"),
        ("Surcharges", "surcharge_cents"),
        ("Adjustments", "adjustment_cents"),
        ("Billed by carriers", "billed_cents"),
        ("Labour", "labour_cents"),
        ("Damage, net", "damage_net_cents"),
        ("Margin", "margin_cents"),
        ("Margin per parcel", "margin_per_parcel_cents"),
    ],
)
def test_each_amount_of_the_month_is_its_cell(label: str, column: str) -> None:
    line = line_of(body(letter(), "plain"), "From what buyers paid to what was left", label)
    assert line[1] == usd(month_row("marts.shipping_margin")[column])


def test_each_item_type_has_its_cells() -> None:
    rows = shop.tables()["marts.item_type_costs"]
    for _, row in rows[rows["shipped_month"] == pd.Timestamp(shop.MONTH)].iterrows():
        per_piece = "unknown" if pd.isna(row["cost_per_piece_cents"]) else usd(row["cost_per_piece_cents"])
        assert line_of(body(letter(), "plain"), "Profit or loss by item type", row["item_type"]) == [
            row["item_type"],
            f"{row['parcel_count']:,}",
            usd(row["billed_cents"]),
            per_piece,
            usd(row["margin_cents"]),
        ]


def test_each_packing_method_has_its_cells() -> None:
    text = body(letter(), "plain")
    for method in ("foam", "paper", "twin wall"):
        row = month_row("marts.packing_method_year", packing_method=method)
        line = line_of(text, "Twelve months: damage claims over parcels, by packing method, crude", method)
        assert line[1:3] == [str(row["parcel_count"]), str(row["damage_count"])]
        assert line[3:] == [f"{100 * row['crude_damage_rate']:.1f}%", usd(row["damage_net_cents"])]


def test_the_state_of_the_records_is_told() -> None:
    text = body(letter(), "plain")
    states = shop.record_states()
    for _, row in states[states["row_count"] > 0].iterrows():
        line = line_of(text, "Data loaded", row["kind"])
        assert (line[1], line[-1]) == (f"{row['row_count']:,}", str(row["rejected_count"]))
    assert "Northline's invoice of 31 October has not come yet." in text


def test_every_number_of_the_html_is_in_the_text() -> None:
    shown = parsed(body(letter(), "html"))
    text = " ".join(body(letter(), "plain").split())
    numbers = {cell.text() for cell in shown.all("td") if re.search(r"\d", cell.text())}
    assert len(numbers) > 60
    assert not [number for number in numbers if number not in text and formats.plain(number, 30) not in text]


def test_lines_are_short() -> None:
    for found in (letter(), hostile()):
        assert max(len(line) for line in body(found, "plain").splitlines()) <= 80


def test_pictures_are_shown_where_the_html_names_them() -> None:
    pictures = {part["Content-ID"]: part for part in letter().walk() if part.get_content_type() == "image/png"}
    shown = parsed(body(letter(), "html")).all("img")
    assert {f"<{image.attributes['src'].removeprefix('cid:')}>" for image in shown} == set(pictures)
    assert len(pictures) == 3
    for part in pictures.values():
        start = part.get_content()
        assert start.startswith(b"\x89PNG\r\n\x1a\n")
        width, height = (int.from_bytes(start[at : at + 4], "big") for at in (16, 20))
        assert 100 < height < width * 1.5
    for image in shown:
        assert " chart: " in image.attributes["alt"]


def test_alternative_texts_hold_the_cells() -> None:
    costs = next(still for still in stills(shop.review()) if still.name == "item-type-costs")
    row = month_row("marts.item_type_costs", item_type="tripod")
    assert f"tripod ${row['cost_per_piece_cents'] / 100:.0f}" in costs.alt


def test_page_and_workbook_come_whole() -> None:
    attached = {part.get_filename(): part.get_content() for part in letter().iter_attachments()}
    assert attached["review-2026-10.xlsx"] == BOOK.content
    page = attached["review-2026-10.html"]
    assert (page if isinstance(page, bytes) else page.encode()) == PAGE.content
    assert "Attached: review-2026-10.html and review-2026-10.xlsx" in body(letter(), "plain")


def test_a_letter_without_attachments_is_light_and_says_where_they_lie() -> None:
    bare = Envelope(**{**vars(ENVELOPE), "attach": ()})
    found = email.message_from_bytes(message(shop.review(), PAGE, BOOK, bare).as_bytes(), policy=default)
    assert list(found.iter_attachments()) == []
    assert len(found.as_bytes()) < 1_000_000
    for each in (PAGE, BOOK):
        assert f"On the shop's machine: {each.place}" in body(found, "plain")
    assert "Attached" not in body(found, "plain") and "Too large" not in body(found, "plain")


def test_what_is_too_large_is_named() -> None:
    large = Enclosure(BOOK.name, bytes(1_200_000), BOOK.place)
    small = Envelope(**{**vars(ENVELOPE), "attach_limit_mb": 1})
    found = email.message_from_bytes(message(shop.review(), PAGE, large, small).as_bytes(), policy=default)
    assert [part.get_filename() for part in found.iter_attachments()] == [PAGE.name]
    assert f"Too large to attach: {BOOK.place}" in body(found, "plain")
    assert len(found.as_bytes()) < 1_000_000


def test_a_later_edition_says_what_changed() -> None:
    changes = pd.DataFrame(
        [("adjustment_cents", 8420.0, 10270.0), ("parcel_count", 102.0, 103.0), ("invoiced_share", None, 0.913)],
        columns=NO_CHANGES.columns,
    )
    found = read_back(shop.review(), Edition(2, changes))
    text = body(found, "plain")
    assert str(found["Subject"]).endswith("(edition 2)")
    title = "Amounts that changed"
    assert line_of(text, title, "Adjustments") == ["Adjustments", "$84.20", "$102.70"]
    assert line_of(text, title, "Parcels") == ["Parcels", "102", "103"]
    assert line_of(text, title, "Share invoiced") == ["Share invoiced", "unknown", "91.3%"]
    assert "edition" not in body(letter(), "plain")


def test_a_month_without_records_still_makes_a_letter() -> None:
    empty = {name: rows.iloc[:0] for name, rows in shop.tables().items()}
    for tables in (empty, {}):
        found = read_back(shop.review(tables=tables))
        assert found["Subject"] == "Fernmoor Optics: shipping in October 2026"
        assert ("No record names a parcel shipped in October 2026." in body(found, "plain")) == bool(tables)


def test_long_tables_are_cut_and_say_so() -> None:
    def many(rows: pd.DataFrame) -> pd.DataFrame:
        one = rows[rows["shipped_month"] == pd.Timestamp(shop.MONTH)].iloc[[0]]
        return pd.concat([rows, *(one.assign(item_type=f"kind {n}") for n in range(30))], ignore_index=True)

    text = plain_text(content(shop.review(tables=shop.changed("marts.item_type_costs", many)), 1, NO_CHANGES), [])
    count = 30 + (shop.tables()["marts.item_type_costs"]["shipped_month"] == pd.Timestamp(shop.MONTH)).sum()
    assert f"... and {count - MOST_ROWS} more on the page and in the workbook" in text


def test_a_notice_keeps_its_paragraphs() -> None:
    made = notice("Fernmoor:\r\ntwo alarms", ["2026-10-26\n  foam: +$18.50", "a\r\nBcc: b"], ENVELOPE)
    found = email.message_from_bytes(made.as_bytes(), policy=default)
    assert found["Subject"] == "Fernmoor: two alarms"
    assert found["Bcc"] is None
    assert body(found, "plain") == "2026-10-26\nfoam: +$18.50\n\na\nBcc: b\n"
