"""The e-mail: every number is its table's, it reads back as it was written, and nothing in a record can do harm."""

from __future__ import annotations

import email
import re
from email.policy import default

import pandas as pd
import pytest

from dashboards import formats, sentences
from dashboards.due_words import INVOICES
from dashboards.letter_contents import INVOICES_NAMED, content
from dashboards.letter_email import Edition, Envelope, message, notice
from dashboards.letter_pictures import stills
from dashboards.letter_text import LINE, plain_text
from dashboards.pages import unbroken
from dashboards.review import render
from dashboards.sentences.invoices import OWED
from models.shop_units import Units
from tests.dashboards import shop
from tests.dashboards.letters import BOOK, ENVELOPE, NO_CHANGES, PAGE, body, hostile, letter, read_back
from tests.dashboards.markup import parsed

# Lines of a mail program's window, its own bars taken off (common practice, no source).
SCREEN = 45
UNITS = Units("USD")


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


def test_the_text_begins_with_the_month_and_its_result() -> None:
    month = month_row("analysis.completed_months")
    first, lead, *_ = (" ".join(part.split()) for part in body(letter(), "plain").split("\n\n"))
    assert first == (
        f"Shipping in October 2026 is expected to lose {whole_usd(month['completed_margin_cents'])[1:]} on "
        f"{month['parcel_count']} parcels"
    )
    limits = [whole_usd(month[name]) for name in ("completed_low_cents", "completed_high_cents")]
    assert f"eight of ten such months end between {limits[0]} and {limits[1]}." in lead
    assert "September 2026" in lead


def test_the_text_is_whole_on_one_screen() -> None:
    for found in (letter(), hostile()):
        lines = body(found, "plain").splitlines()
        assert len(lines) <= SCREEN
        assert max(map(len, lines)) <= LINE
    for title in ("WHAT COST MOST", "DO THIS MONTH"):
        assert title in body(letter(), "plain").splitlines()


def told(text: str, title: str) -> str:
    """What stands under a heading, on one line."""
    return " ".join(text.split(f"{title}\n", 1)[1].split("\n\n")[0].split())


def test_the_month_stands_beside_others() -> None:
    month, rows = month_row("analysis.completed_months"), shop.tables()["analysis.margin_comparisons"]
    text = body(letter(), "plain")
    lines = [re.split(r" {2,}", line) for line in text.splitlines()]
    margin, per_parcel = (usd(month[f"completed_{name}_cents"]) for name in ("margin", "per_parcel"))
    assert ["October 2026", margin, per_parcel] in lines
    before = rows[(rows["shipped_month"] == pd.Timestamp(shop.MONTH)) & (rows["compared_with"] == "the month before")]
    (cents,) = before["compared_completed_cents"]
    assert [usd(cents)] == [cells[1] for cells in lines if cells[0] == "The month before"]


def test_the_first_cause_and_the_first_three_actions_are_the_tables_own() -> None:
    causes, actions = (shop.tables()[name] for name in ("analysis.causes", "analysis.actions"))
    first = causes[causes["shipped_month"] == pd.Timestamp(shop.MONTH)].sort_values("place").iloc[0]
    text = body(letter(), "plain")
    assert told(text, "WHAT COST MOST").startswith(
        formats.spoken(first["cause_cents"], "cause_cents", UNITS, is_rounded=True)
    )
    named = actions[actions["is_in_sum"].astype(bool)].sort_values("place").head(3)["action_words"]
    to_do = told(text, "DO THIS MONTH")
    assert len(named) and all(words[1:] in to_do for words in named)
    left = len(actions) - len(named)
    assert (f"{left} more action" in to_do) == (left > 0)


def test_a_shop_with_nothing_to_do_is_told_so() -> None:
    known, totals = shop.tables(), "analysis.action_totals"
    none = {"analysis.actions": known["analysis.actions"].iloc[:0]}
    all_seen = {totals: known[totals].assign(not_looked_at="nothing", action_count=0, apart_count=0)}
    text = body(read_back(shop.review(tables={**known, **none, **all_seen})), "plain")
    assert told(text, "DO THIS MONTH") == "Nothing was found that is worth doing."


def test_every_number_of_the_html_is_in_the_text() -> None:
    shown = parsed(body(letter(), "html"))
    text = " ".join(body(letter(), "plain").split())
    numbers = {each.text() for tag in ("td", "bdi") for each in shown.all(tag) if re.search(r"\d", each.text())}
    assert len(numbers) > 12
    assert not [number for number in numbers if not all(word in text for word in number.split())]


def test_all_that_the_letter_states_stands_on_the_page() -> None:
    """The same fact has the same number, written alike: each amount, day and share of the letter."""
    review = shop.review()
    page = " ".join(parsed(render(review)).text().split())
    made = content(review, 1, NO_CHANGES)
    points = [text for block in made.blocks for point in block.points for text in (point.worth, point.words)]
    stated = [made.heading, *made.paragraphs, *(cell for row in made.months for cell in row), *points]
    figures = {each for text in stated for each in re.findall(r"[-+]?\$?\d[\d,.]*%?", text)}
    assert len(figures) > 20
    assert {each for each in figures if each.rstrip(",.") not in page} == set()


def test_no_amount_below_zero_is_broken_behind_its_minus() -> None:
    text = unbroken("between -$911 & <b>-5</b> and -€88, a-b")
    whole = [f'<span style="white-space:nowrap">{each}</span>' for each in ("-$911", "-€88,")]
    assert text == f"between {whole[0]} &amp; &lt;b&gt;-5&lt;/b&gt; and {whole[1]} a-b"
    assert unbroken("lose CAD 1,960 (-CAD 5) ABC x") == (
        'lose <span style="white-space:nowrap">CAD 1,960</span> (<span style="white-space:nowrap">-CAD 5)</span> ABC x'
    )
    assert unbroken("(-€88 on 3)") == '(<span style="white-space:nowrap">-€88</span> on 3)'
    html = body(letter(), "html")
    (interval,) = re.findall(r"such months end\s+between ([^.]*)\.", html)
    assert interval.count("nowrap") == interval.count("-$") > 0


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
    profits = next(still for still in stills(shop.review()) if still.name == "item-type-margins")
    row = month_row("marts.item_type_costs", item_type="tripod")
    assert f"tripod {whole_usd(row['margin_cents'])}" in profits.alt


def test_a_letter_has_no_table_of_what_a_picture_leaves_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dashboards.figures.MOST_BARS", 2)
    alts = [still.alt for still in stills(shop.review())]
    assert any("more on the page" in alt for alt in alts) and not any("in the table" in alt for alt in alts)


def test_pictures_are_found_by_names_that_no_header_folds() -> None:
    long = Envelope(**{**vars(ENVELOPE), "message_id": f"<{'0a1b' * 20}@reports.a-rather-long-name.example>"})
    raw = message(shop.review(), PAGE, BOOK, long).as_bytes().decode()
    assert len(re.findall(r"Content-ID: <picture\d@\w+>\r\n", raw)) == raw.count("Content-ID:") == 3


def test_a_later_edition_says_what_changed() -> None:
    changes = pd.DataFrame(
        [("adjustment_cents", 8420.0, 10270.0), ("parcel_count", 102.0, 103.0), ("invoiced_share", None, 0.913)],
        columns=NO_CHANGES.columns,
    )
    found = read_back(shop.review(), Edition(2, changes))
    text = body(found, "plain")
    assert str(found["Subject"]).endswith("(edition 2)")
    told = " ".join(text.split())
    assert "Adjustments $84.20, now $102.70; Parcels 102, now 103; Share invoiced not known, now 91.3%." in told
    assert len(text.splitlines()) <= SCREEN
    assert "edition" not in body(letter(), "plain").lower()


def test_a_month_without_records_still_makes_a_letter() -> None:
    empty = {name: rows.iloc[:0] for name, rows in shop.tables().items()}
    for tables in (empty, {}):
        found = read_back(shop.review(tables=tables))
        assert found["Subject"] == "Fernmoor Optics: shipping in October 2026"
        assert ("No parcel on record is counted in October 2026." in body(found, "plain")) == bool(tables)


def test_many_lines_on_invoices_are_counted() -> None:
    owed = pd.DataFrame(
        {
            **{"recovery_id": [f"R{at}" for at in range(9)], "carrier": "Northline", "granted_cents": 900},
            **{"owed_cents": 900, "days_waiting": 40, "granted_on": pd.Timestamp("2026-09-01")},
        }
    )
    review = shop.review(tables={**shop.tables(), OWED: owed})
    all_lines = sentences.lines(INVOICES, review, review.units)
    text = " ".join(plain_text(content(review, 1, NO_CHANGES), []).split())
    assert all_lines[0] in text and all_lines[1] not in text
    assert f"{len(all_lines) - INVOICES_NAMED} more lines on invoices and payments" in text


def test_a_notice_keeps_its_paragraphs() -> None:
    made = notice("Fernmoor:\r\ntwo alarms", ["2026-10-26\n  foam: +$18.50", "a\r\nBcc: b"], ENVELOPE)
    found = email.message_from_bytes(made.as_bytes(), policy=default)
    assert found["Subject"] == "Fernmoor: two alarms"
    assert found["Bcc"] is None
    assert body(found, "plain") == "2026-10-26\nfoam: +$18.50\n\na\nBcc: b\n"
