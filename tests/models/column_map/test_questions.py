"""What is asked of a file, and which of its columns are offered as answers."""

from __future__ import annotations

from dataclasses import replace

import pytest

from models.column_map import Question, Sample, propose
from models.column_map.headers import Vocabulary, header
from models.column_map.pairing import SURE
from models.column_map.questions import open_questions
from models.column_map.sample_values import allowed_words
from models.column_map.word_maps import map_words
from models.reference import RECORDS
from tests.models.column_map.carrier_exports import INVOICE


def test_a_column_of_currencies_answers_no_question() -> None:
    headers = ("Currency", "Shop note", *INVOICE.sample.headers[1:])
    rows = tuple(("usd", f"note {n}", *row[1:]) for n, row in enumerate(INVOICE.rows))
    sample = Sample(headers, rows)
    proposal = propose(RECORDS["charges"], sample)
    assert "carrier" in proposal.missing and {"Currency", "Shop note"} <= set(proposal.unused)
    options = {question.option: question for question in open_questions(proposal, RECORDS["charges"], sample)}
    carrier = options["--column carrier={}"]
    assert "Currency" not in carrier.choices and "Shop note" in carrier.choices


def test_where_no_header_is_left_the_example_leaves_the_column_out() -> None:
    """`--column service=no` would ask for a header named no."""
    service = Question("Which column is service, or none?", ("no",), "--column service={}", "service")
    assert service.example == "--without service"
    assert replace(service, choices=("Product", "no")).example == "--column service=Product, or --without service"


def asked(kind: str, headers: str, *rows: str) -> dict[str, Question]:
    """What a file of these cells leaves open, by the option that answers it."""
    sample = Sample(tuple(headers.split(";")), tuple(tuple(row.split(";")) for row in rows))
    schema = RECORDS[kind]
    return {each.option: each for each in open_questions(propose(schema, sample), schema, sample)}


def test_only_headers_whose_cells_fit_are_offered() -> None:
    rows = [f"P{n};2026-10-{n + 1:02d};wet;K{n}" for n in range(8)]
    found = asked("claims", "Tracking;Zzz;Qqq;Xxx", *rows)
    assert found["--column claim_id={}"].choices == ("Qqq", "Xxx")
    assert found["--column claim_id={}"].example == "--column claim_id=..."
    assert found["--column claim_state={}"].choices == ("Qqq",)


def test_what_no_column_can_give_is_asked_for_once() -> None:
    found = asked("packing_methods", "Method;Material cost;Minutes;Clearance cm", "paper;0.85;4;1.5", "foam;2.30;9;2.5")
    (dated,) = found.values()
    assert dated.words.startswith("No column gives effective_from")
    assert dated.example == "--constant effective_from=..."
    assert dated.answered("2026-06-01") == ["--constant", "effective_from=2026-06-01"]
    goods = "Family;Length cm;Width cm;Height cm;Weight kg"
    turns = asked("item_types", goods, "tube;120;9;9;3.1")["--constant turns={}"]
    assert "flat" in turns.choices and turns.example == "--constant turns=..."
    assert turns.answered("flat") == ["--constant", "turns=flat"]


def test_a_day_that_another_column_has_may_answer_for_one_that_every_row_needs() -> None:
    rows = [f"C{n};P{n};2026-10-0{n + 1};damage;paid" for n in range(8)]
    opened = asked("claims", "Claim;Tracking;Filed;Cause;State", *rows)["--column opened_on={}"]
    assert (opened.choices, opened.example) == (("Filed",), "--column opened_on=Filed")


def test_an_answer_that_is_no_header_stands_in_every_row() -> None:
    rows = [f"9{n};2026-10-0{n + 1};P{n};base;{n}.50;hub" for n in range(8)]
    carrier = asked("charges", "Invoice;Invoice date;Tracking;Charge;Amount;Zzz", *rows)["--column carrier={}"]
    assert carrier.choices == ("Zzz",)
    assert carrier.answered("Zzz") == ["--column", "carrier=Zzz"]
    assert carrier.answered("Northline") == ["--constant", "carrier=Northline"]


def test_an_invoice_without_a_number_of_parcels_is_asked_about() -> None:
    rows = [f"9{n};2026-10-0{n + 1};base;{n}.50;K{n}" for n in range(8)]
    parcel = asked("charges", "Invoice;Invoice date;Charge;Amount;Zzz", *rows)["--column parcel_id={}"]
    assert parcel.words == "Which column is parcel_id (Number on the label), or none?"
    assert parcel.answered("no") == ["--without", "parcel_id"]


def test_no_meaning_is_proposed_for_a_word_that_nothing_suggests() -> None:
    rows = [f"C{n};P{n};2026-10-0{n + 1};{word};filed" for n, word in enumerate(("qqq", "broken glass", "lost"))]
    found = asked("claims", "Claim;Tracking;Opened on;Cause;State", *rows)
    assert found["--word claim_cause:qqq={}"].example == "--word claim_cause:qqq=..."
    assert found["--word claim_cause:broken glass={}"].example == "--word 'claim_cause:broken glass=damage'"


@pytest.mark.parametrize(
    ("word", "state"),
    [
        *(("Accolta in parte", "paid in part"), ("partially paid", "paid in part"), ("Respinta", "refused")),
        *(("In corso", "filed"), ("In Bearbeitung", "filed"), ("Accolta", "paid"), ("paid", "paid")),
    ],
)
def test_how_far_a_claim_has_come_is_not_reported_by_a_small_word(word: str, state: str) -> None:
    listed = allowed_words(RECORDS["claims"].columns["claim_state"])
    assert map_words([word], listed).words == {word: state}


def test_headers_of_a_household_of_records_are_known() -> None:
    """Each as a shop or a carrier may write it; the words are from general usage."""
    known = {
        "cartons": {"is_cuttable": "Si può tagliare;Zuschneidbar;Se puede cortar", "counted_on": "Contata il"},
        "sales": {"shipping_charged_cents": "Spedizione incassata €;Beförderung"},
        "weights": {"parcel_id": "LDV", "length_in": "Lung.", "cut_height_in": "Tagliata a cm"},
        "claims": {"claim_id": "Pratica;Vorgang", "parcel_id": "Lettera di vettura", "opened_on": "Data apertura"},
        "packing_methods": {
            "material_cents": "Costo materiale €;Material cost",
            "clearance_in": "Spessore per lato cm",
        },
        "item_types": {"item_cost_cents": "Costo acquisto €;Purchase price"},
    }
    for kind, columns in known.items():
        vocabulary = Vocabulary(RECORDS[kind])
        for column, headers in columns.items():
            for written in headers.split(";"):
                near = {each: vocabulary.nearness(each, header(written))[0] for each in RECORDS[kind].columns}
                assert near[column] >= SURE and near[column] == max(near.values()), (written, near[column])


@pytest.mark.parametrize("word", ["HST", "GST", "PST", "QST", "USt", "TVA", "IVA", "BTW"])
def test_a_tax_on_sales_is_known_by_its_letters(word: str) -> None:
    """The letters of Canada (HST, GST, PST, QST), Germany, France, Italy, Spain and the Netherlands (from memory)."""
    listed = allowed_words(RECORDS["charges"].columns["charge_kind"])
    assert map_words([word], listed).words == {word: "tax"}
