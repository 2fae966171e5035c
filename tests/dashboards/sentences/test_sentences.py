"""Every sentence by its id: records that make it true, and records that must suppress it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from importlib import import_module
from pathlib import Path
from random import Random
from types import ModuleType

import numpy as np
import pandas as pd
import pytest

from dashboards import due_words, explanation, packing_words, sentences
from dashboards.review_tables import Cell, Records
from dashboards.sentences import entries, topics
from dashboards.sentences.entry import Entry, definition, where
from models.plain_rows import as_dicts, plain
from models.shop_units import METRIC, Units
from pipelines.commands.trace import TRACED
from tests.dashboards.sentences.cases import MONTH, Case, columns_of, records, row, rows
from tests.sampling import tries

UNITS = Units("USD")
ROOT = Path(__file__).parents[3]
PROVEN = sorted(id for id, entry in entries().items() if not entry.is_definition)
WITH_CELLS = [id for id in PROVEN if entries()[id].columns]
# What `status`, `disputes`, `explain` and `trace` place.
TOLD_OF_PLAIN_ROWS = {
    *(*due_words.DEADLINES, "letter.more_due", *due_words.INVOICES, *due_words.CARTONS, *TRACED),
    *("runs.none", "runs.nothing_overdue", "letter.none_waits", "letter.failed", "letter.unsure"),
    *("disputes.no_bill", "disputes.none", "disputes.not_known", "disputes.all_listed"),
    *("parcel.lost", "parcel.made", "parcel.not_rated", "parcel.packing_not_known"),
    *(*explanation.SIDES, *explanation.ZONES, *explanation.WEIGHTS, *explanation.TOTAL, *explanation.AMOUNTS),
    *(*explanation.BECAUSE, *explanation.NEAR_MISS, *explanation.DISPUTE, *explanation.LEARNED, *explanation.LACKING),
    *(*explanation.SHIPMENT, *packing_words.CARTON),
}
DEFINED = sorted(set(entries()) - set(PROVEN))


@cache
def topics_of_cases() -> list[ModuleType]:
    """The modules of cases; to make their tables takes longer than to collect their tests, so one process does it."""
    files = sorted(Path(__file__).parent.glob("*_cases.py"))
    return [import_module(f"{__package__}.{file.stem}") for file in files if file.stem != "sheet_cases"]


@cache
def cases() -> dict[str, Case]:
    """The cases of every id."""
    return {id: case for topic in topics_of_cases() for id, case in topic.CASES.items()}


def written(entry: Entry, known: Records) -> str:
    return " | ".join(sentences.text(sentence, UNITS) for sentence in entry.stated(known))


def test_each_id_stands_once_and_each_topic_has_cases_for_all_of_its_own() -> None:
    listed = [entry.id for topic in topics() for entry in topic.ENTRIES]
    assert sorted(listed) == sorted(set(listed)) == sorted(entries())
    files = {path.stem for path in (ROOT / "dashboards" / "sentences").glob("*.py")}
    assert files - {"__init__", "entry", "grounds", "open_months", "claim_sheet"} == set(sentences.TOPICS)
    assert sum(len(topic.CASES) for topic in topics_of_cases()) == len(cases())
    assert sorted(cases()) == PROVEN


@pytest.mark.parametrize("id", PROVEN)
def test_it_is_reported_where_the_records_prove_it_and_suppressed_where_they_do_not(id: str) -> None:
    entry, case = entries()[id], cases()[id]
    words = written(entry, records(case.shows, case.shows_at))
    assert words and case.says in words
    assert not re.search(r"[{}]|\bnan\b|\bNone\b|\bNaT\b|unknown(?!;)", words)
    hidden = [written(entry, records(tables, case.hides_at)) for tables in (*case.hides, {})]
    assert len(hidden) > 1 and set(hidden) == {""}


@pytest.mark.parametrize("id", WITH_CELLS)
def test_no_row_no_column_and_no_unknown_cell_is_reported(id: str) -> None:
    """Each cell that a sentence holds is taken away in turn: its rows, its values, its column."""
    entry, case = entries()[id], cases()[id]
    told = [part for sentence in entry.stated(records(case.shows, case.shows_at)) for part in sentence]
    (of_table,) = {part.table for part in told if isinstance(part, Cell)}
    assert set(entry.columns) <= set(columns_of(of_table))
    whole = case.shows[of_table]
    without = [whole.iloc[:0], *(whole.drop(columns=column) for column in entry.columns)]
    without += [blanked(whole, column) for column in entry.columns]
    for table in without:
        assert written(entry, records({**case.shows, of_table: table}, case.shows_at)) == ""


def blanked(table: pd.DataFrame, column: str) -> pd.DataFrame:
    """The table with one column unknown, as an engine hands it over."""
    return table.assign(**{column: table[column].convert_dtypes().where(np.zeros(len(table), dtype=bool))})


def test_unknown_cells_of_any_column_stop_no_page() -> None:
    """Every sentence stays silent or true, whatever column that conditions read is unknown."""
    conditions = (ROOT / "dashboards" / "sentences").glob("*.py")
    read = {text for path in conditions for text in literals(path) if re.fullmatch(r"[a-z_]+", text)}
    cells = [
        (id, name, column)
        for id in PROVEN
        for name, table in cases()[id].shows.items()
        for column in sorted(read & set(table.columns) - set(entries()[id].columns))
    ]
    for id, name, column in Random(1).sample(cells, tries(len(cells))):
        shown = cases()[id].shows
        written(entries()[id], records({**shown, name: blanked(shown[name], column)}, cases()[id].shows_at))


@pytest.mark.parametrize("id", DEFINED)
def test_what_holds_for_any_records_names_no_cell(id: str) -> None:
    entry = entries()[id]
    assert entry.columns == [] and "{" not in entry.text
    assert written(entry, Records(tables={})) == entry.text


def literals(path: Path) -> Iterator[str]:
    """The texts of a module without its docstrings."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    documented = (ast.Module, ast.ClassDef, ast.FunctionDef)
    owners = [node for node in ast.walk(tree) if isinstance(node, documented) and ast.get_docstring(node)]
    docs = {id(node.body[0].value) for node in owners if isinstance(node.body[0], ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
            yield node.value


@cache
def surfaces() -> list[Path]:
    """The modules that show something: all of dashboards but the sentences, and the commands."""
    own = ROOT / "dashboards" / "sentences"
    drawn = [path for path in (ROOT / "dashboards").rglob("*.py") if own not in path.parents]
    return sorted([*drawn, *(ROOT / "pipelines" / "commands").glob("*.py")])


def test_surfaces_place_every_sentence_and_no_unknown_one() -> None:
    topics = {id.split(".")[0] for id in entries()}
    words = {word for path in surfaces() for text in literals(path) for word in text.split()}
    named = {word for word in words if re.fullmatch(r"[a-z_]+\.[a-z_]+", word)}
    placed = {
        text for text in named if text.split(".")[0] in topics and text.split(".")[1] not in ("css", "js", "html")
    }
    assert placed - set(entries()) == set()
    assert set(entries()) - placed == set()


# What is no statement on records: cautions of the bench.
OTHER_SENTENCES = {"cautions.py"}


def is_sentence(text: str) -> bool:
    """More than four words and a full stop at the end of one of them."""
    return len(re.findall(r"[A-Za-z]{2,}", text)) > 4 and bool(re.search(r"[a-z)”]\.(\s|$)", text))


def test_surfaces_hold_no_sentence_of_their_own() -> None:
    drawn = [path for path in surfaces() if path.parent.name != "commands" and path.name not in OTHER_SENTENCES]
    assert [f"{path.name}: {text}" for path in drawn for text in literals(path) if is_sentence(text)] == []
    assert is_sentence("No carton of the shop was cut.") and not is_sentence("placement of goods in a carton")


def test_rows_are_reported_one_by_one_in_their_order() -> None:
    known = records(rows("marts.coverage", {"charged_count": 1}, {"charged_count": 2}, {"charged_count": None}))
    entry = where("x.y", "{charged_count:bill is/bills are} here.", lambda r: r.table("marts.coverage"))
    assert written(entry, known) == "1 bill is here. | 2 bills are here."
    spoken = list(entry.stated(known))
    assert [part.row for sentence in spoken for part in sentence if not isinstance(part, str)] == [0, 1]


def test_a_month_is_named_where_one_is_looked_at() -> None:
    entry = definition("x.y", "In {:month}.")
    assert written(entry, Records(tables={}, month=MONTH)) == "In March 2027."


def test_an_unknown_id_is_an_error_and_sentences_are_parted_by_a_blank() -> None:
    with pytest.raises(KeyError):
        sentences.tell(["no.such"], records({}))
    words = sentences.text(sentences.tell(["margin.means", "surcharges.several"], records({})), UNITS)
    assert words.endswith("less other costs. One parcel may be charged several surcharges.")


def test_only_the_deadline_is_compared_with_the_day_of_making() -> None:
    """A claim's step is overdue on the day after its deadline, whatever the hour; this week ends seven days on."""
    due = pd.Timestamp("2027-04-09")
    table = row("analysis.claim_steps", claim_step="filing", is_in_time=True, step_due_on=due)
    ids = ("claims.step", "claims.step_this_week", "claims.step_overdue", "claims.step_by_records")
    days = ("2027-04-01 23:59", 0), ("2027-04-02 00:00", 1), ("2027-04-09 23:59", 1), ("2027-04-10 00:00", 2), (None, 3)
    for made_at, place in days:
        known = records(table, pd.Timestamp(made_at).to_pydatetime() if made_at else None)
        assert [bool(written(entries()[id], known)) for id in ids] == [at == place for at in range(4)]


def test_measures_are_in_the_units_of_the_shop() -> None:
    case, metric = cases()["packing.carton"], Units("USD", METRIC)
    (sentence,) = entries()["packing.carton"].stated(records(case.shows))
    assert sentences.text(sentence, metric) == "Packing in K-1, inside 10.2 x 10.2 x 10.2 cm, as sent."


@pytest.mark.parametrize("id", sorted(TOLD_OF_PLAIN_ROWS))
def test_plain_rows_are_reported_as_frames_are(id: str) -> None:
    """What commands that load no frames place: true, silent and in the same words of the same cells."""
    entry, case = entries()[id], cases()[id]
    for tables, made_at in ((case.shows, case.shows_at), *((each, case.hides_at) for each in case.hides)):
        rows = {name: plain(as_dicts(table), list(table.columns)) for name, table in tables.items()}
        known = Records(tables=rows, made_at=made_at)
        assert written(entry, known) == written(entry, Records(tables=tables, made_at=made_at))
