"""Rows and sentences as a terminal shows them: by given rows, and that no word is ever broken."""

from __future__ import annotations

import datetime as dt
import io
import re
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.console import Console, RenderableType

from dashboards.explanation import MARGIN_PARTS
from dashboards.formats import money
from models.shop_units import Units
from models.visible import wrapped
from pipelines import cli, printing
from pipelines.commands import intake
from pipelines.intake.deliveries import Delivery
from pipelines.review import tracing
from pipelines.shop import warehouse
from tests.sampling import tries


def printed(reported: RenderableType, width: int = 80) -> list[str]:
    out = io.StringIO()
    Console(file=out, width=width).print(reported)
    return [line.rstrip() for line in out.getvalue().splitlines()]


CHARGES = pd.DataFrame(
    {
        "invoiced_on": [dt.datetime(2026, 1, 5)] * 2,
        "charge_code": ["TRANSPORT", "RESIDENTIAL"],
        "amount_cents": [800, -195],
        "recovered_cents": [0, 0],
        "damaged_part": [None, None],
    }
)


def test_a_table_has_labels_money_and_no_empty_column() -> None:
    assert printed(printing.rows("charged", CHARGES, Units("USD"))) == [
        "charged: invoiced 5 Jan 2026",
        "Charge code  Amount",
        "───────────────────",
        "TRANSPORT     $8.00",
        "RESIDENTIAL  -$1.95",
    ]


def test_a_single_row_stands_upright() -> None:
    row = pd.DataFrame(
        [{"parcel_id": "NL1", "length_in": 48.875, "pack_minutes": 8.0, "is_cut": False, "tax_cents": 0}]
    )
    assert printed(printing.either("parcel", row, Units("EUR"))) == [
        "parcel",
        "Parcel:        NL1",
        "Length, in:    48.88",
        "Pack minutes:  8",
        "To be cut:     no",
    ]


def test_a_long_list_is_cut_and_says_so() -> None:
    many = pd.DataFrame({"parcel_id": [f"NL{number}" for number in range(9)], "row_count": range(1, 10)})
    lines = printed(printing.rows("parcels", many, Units("USD"), most=2))
    assert [line.split()[0] for line in lines] == ["parcels", "Parcel", lines[2], "NL0", "NL1", "and"]
    assert lines[-1] == "and 7 more"
    assert printed(printing.rows("parcels", many, Units("USD"), most=9, of=1200))[-1] == "and 1,191 more"


WIDE = pd.DataFrame({f"column{number}_cents": [number * 100, number * 200] for number in range(1, 9)})


def test_columns_for_which_there_is_no_room_are_named_where_they_may_be_left_out() -> None:
    many = pd.concat([WIDE] * 2)
    assert len(WIDE) <= printing.MOST_UPRIGHT < len(many)
    lines = printed(printing.rows("wide", many, Units("USD"), narrow=True), 40)
    assert lines[1].split() == ["Column1", "Column2", "Column3", "Column8"]
    said = "left out for want of width, shown in a wider terminal: Column4; Column5; Column6; Column7"
    assert " ".join(" ".join(lines[-3:]).split()) == said
    assert printed(printing.rows("wide", WIDE, Units("USD"), narrow=True), 40)[1:3] == [
        "Column1:  $1.00",
        "Column2:  $2.00",
    ]
    upright = printed(printing.rows("wide", WIDE, Units("USD")), 40)
    assert upright[1:3] == ["Column1:  $1.00", "Column2:  $2.00"]
    assert upright[9:11] == ["", "Column1:  $2.00"]


def test_a_column_too_wide_keeps_no_narrower_one_out() -> None:
    goods = pd.DataFrame({"parcel_count": [1, 2, 3, 4], "charge_code": ["X" * 30] * 3 + ["Y"]})
    goods = goods.assign(margin_cents=100, carrier=list("abcd"))
    lines = printed(printing.rows("goods", goods, Units("USD"), narrow=True), 40)
    assert lines[1].split() == ["Parcels", "Margin", "Carrier"]
    assert " ".join(lines[-2:]).endswith("Charge code")


def test_what_is_the_same_in_all_rows_and_not_known_is_not_said() -> None:
    rows = pd.DataFrame({"item_type": ["unknown"] * 2, "carrier": ["Northline"] * 2, "parcel_count": [3, 4]})
    assert printed(printing.rows("parcels", rows, Units("USD")))[0] == "parcels: carrier Northline"


def test_a_path_is_printed_whole_on_a_narrow_terminal(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    path = f"/backups/{'x' * 80}.zip"
    printing.say(f"{path}: 3 files")
    assert path in capsys.readouterr().out


def test_a_group_without_a_name_is_called_not_known_and_a_missing_cell_is_empty() -> None:
    goods = pd.DataFrame({"item_type": ["unknown", None, "pane"], "parcel_count": [3, 4, 5]})
    lines = printed(printing.rows("goods", goods, Units("USD")))
    assert [line.split() for line in lines[3:]] == [["not", "known", "3"], ["4"], ["pane", "5"]]


def test_names_that_a_cell_lists_are_parted() -> None:
    """A name may hold a comma itself."""
    goods = pd.DataFrame({"item_type": ["frame, oak\x1fpane", "pane"], "parcel_count": [3, 4]})
    assert "frame, oak; pane" in printed(printing.rows("goods", goods, Units("USD")))[3]


def test_text_is_broken_before_it_stands_on_end() -> None:
    reasons = pd.DataFrame({"column_name": ["zone", "a" * 30], "reason": ["is none of " + "air, " * 20, "is missing"]})
    lines = printed(printing.rows("rejected", reasons, Units("USD")), 60)
    assert lines[3].startswith("zone") and lines[4].split()[0] == "air,"
    tight = printed(printing.rows("rejected", reasons, Units("USD")), 48)
    assert tight[1].startswith("Column name:")


@pytest.mark.parametrize("cell", ["[bold]x[/bold]", "a\x1b[31mb", "a\nb"])
def test_a_cell_is_text_on_one_line(cell: str) -> None:
    lines = printed(printing.rows("cells", pd.DataFrame({"reason": [cell, "other"]}), Units("USD")))
    assert len(lines) == 5
    assert "\x1b" not in "".join(lines)
    assert ("[bold]x[/bold]" in lines[3]) == cell.startswith("[bold]")


def test_sentences_go_on_further_in_and_lines_stay_lines() -> None:
    reported = printing.Prose("Charges:\n  base: as billed\n1. a longer line that does not fit")
    assert printed(reported, 22) == ["Charges:", "  base: as billed", "1. a longer line that", "  does not fit"]
    assert wrapped("x" * 30, 10) == "x" * 30


words = st.text("abcdefgh-_/", min_size=1, max_size=14)
texts = st.lists(words, min_size=1, max_size=6).map(" ".join)


@st.composite
def frames(draws: st.DrawFn) -> pd.DataFrame:
    count = draws(st.integers(2, 5))
    names = draws(st.lists(st.sampled_from(["service", "reason", "zone", "carrier", "kind"]), min_size=1, unique=True))
    columns = {name: draws(st.lists(texts, min_size=count, max_size=count)) for name in names}
    return pd.DataFrame(columns | {"amount_cents": draws(st.lists(st.integers(-(10**6), 10**6), min_size=count,
                                                                  max_size=count))})  # fmt: skip


@settings(derandomize=True, deadline=None, max_examples=tries(150))
@example(pd.DataFrame({"reason": ["a b", "c d"], "amount_cents": [0, 0]}), 40)
@given(frames(), st.integers(40, 130))
def test_nothing_is_wider_than_the_terminal_and_no_word_is_broken_or_lost(frame: pd.DataFrame, width: int) -> None:
    lines = printed(printing.rows("title", frame, Units("USD")), width)
    assert all(cell_len(line) <= width for line in lines)
    shown = set(" ".join(lines).replace(",", " ").split())
    texts_given = frame.drop(columns="amount_cents").to_numpy().ravel()
    assert {word for text in texts_given for word in text.split()} <= shown


def test_rows_of_a_file_are_drawn_together() -> None:
    found = sources([(2, "a.csv"), (3, "a.csv"), (4, "a.csv"), (9, "a.csv"), (1, "b.csv")])
    assert tracing.by_file(found)["row_numbers"].tolist() == ["2-4, 9", "1"]


def sources(places: list[tuple[int, str]]) -> pd.DataFrame:
    rows = [("P1", "charges", "k", file, row, "h") for row, file in places]
    return pd.DataFrame(rows, columns=["parcel_id", "kind", "row_key", "file_name", "row_number", "content_hash"])


@pytest.mark.parametrize("name", ["sales-2026-Q4-bad-rows.csv", "a-much-longer-name-of-a-file-than-usual.parquet"])
def test_what_was_landed_is_reported_with_whole_names_and_numbers(name: str) -> None:
    landed = Delivery(name, row_count=1_234_567, accepted_count=1_234_000, rejected_count=567)
    lines = printed(intake._table([landed, Delivery("skus.csv", unchanged_count=9)]))
    shown = " ".join(lines)
    assert all(word in shown for word in (name, "1,234,567", "1,234,000", "567", "Unchanged"))
    assert "Corrected" not in shown


def test_many_files_that_were_landed_stay_a_table_that_names_what_it_leaves_out() -> None:
    name = "a-much-longer-name-of-a-file-than-usual.parquet"
    many = [Delivery(name, row_count=9, accepted_count=8, rejected_count=1)] * (intake.MOST_UPRIGHT + 1)
    lines = printed(intake._table(many))
    assert sum(name in line for line in lines) == len(many) == len(lines) - 4
    assert lines[-1].startswith("left out for want of width, shown in a wider terminal: ")


COMMANDS = (
    ("explain", "NL40030594"),
    ("explain", "NL40010504"),
    ("trace", "marts.item_type_costs"),
    ("trace", "marts.item_type_costs", "--item-type", "tripod", "--month", "2026-10"),
    ("trace", "marts.parcel_costs", "--parcel-id", "NL40030594"),
    ("rejects",),
    ("rejects", "--all"),
    ("disputes", "list", "--all"),
    ("status",),
    ("damage",),
    ("bridge", "2026-09", "2026-10"),
    ("tariff", "show", "northline-2026"),
)


@pytest.mark.parametrize("columns", [80, 120])
@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_commands_keep_within_the_terminal_and_show_no_cents(
    words: tuple[str, ...], columns: int, demo_folder: Path, capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.setenv("COLUMNS", str(columns))
    assert cli.main(["--shop", str(demo_folder), *words]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) > 3
    assert max(map(cell_len, lines)) <= columns
    if words[0] != "rejects":  # which names columns as the shop's own settings do
        assert not any(re.search(r"[a-z]_(cents|id|lb|in|on)\b", line) for line in lines)


def test_explain_begins_with_the_margin(
    demo: warehouse.Connection, demo_folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    asked = "select parcel_id, margin_cents from marts.parcel_costs where not is_account order by margin_cents"
    for parcel_id, cents in (demo.execute(asked).fetchall()[at] for at in (0, -1)):
        assert cli.main(["--shop", str(demo_folder), "explain", parcel_id]) == 0
        first = capsys.readouterr().out.splitlines()[0]
        assert first.startswith(f"{parcel_id} {'lost' if cents < 0 else 'made'} {money(abs(cents), 'USD')}: ")


def test_the_margin_reported_is_the_sum_of_its_parts(demo: warehouse.Connection) -> None:
    sums = " ".join(f"{'+' if sign > 0 else '-'} {column}" for sign, column, _ in MARGIN_PARTS)
    wrong = demo.execute(f"select count(*) from marts.parcel_costs where {sums} <> margin_cents").fetchall()
    assert wrong == [(0,)]
