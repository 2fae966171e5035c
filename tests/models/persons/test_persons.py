"""Persons in remarks: what a row's own columns say of them goes, what merely looks like one is noticed."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.persons import BLANKED_NAME, BLANKED_STREET, Doubts, doubtful, without_repeated
from models.privacy import BLANKED_PHONE, NAMES, PHONES, STREETS
from tests.models.persons.corpus import HELD_OUT_CLEAN, HELD_OUT_PERSONS, clean, remarks
from tests.sampling import tries

HELD = {NAMES: ["Anna Müller"], STREETS: ["12 Mill Lane, Springfield 59711"], PHONES: ["+1 (555) 010-1234"]}


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("Anna Müller says it rattles", f"{BLANKED_NAME} says it rattles"),
        ("Mueller, Anna: bent", f"{BLANKED_NAME}: bent"),
        ("ANNA called", f"{BLANKED_NAME} called"),
        ("Muellers Karton, Mu\u0308ller", f"{BLANKED_NAME} Karton, {BLANKED_NAME}"),
        ("muller's tube", f"{BLANKED_NAME}'s tube"),
        ("left at 12 mill ln", f"left at {BLANKED_STREET}"),
        ("Mill Lane 12, Springfield", BLANKED_STREET),
        ("ring 5550101234 or 555.010.1234", f"ring {BLANKED_PHONE} or {BLANKED_PHONE}"),
        # Whole words, no postal code and no figure alone.
        ("annals, mulling, 59711, 12 in", "annals, mulling, 59711, 12 in"),
        ("the lane marking is off", "the lane marking is off"),
        (f"{BLANKED_NAME} wrote", f"{BLANKED_NAME} wrote"),
    ],
)
def test_what_the_row_itself_holds_is_blanked(text: str, left: str) -> None:
    assert without_repeated(text, HELD) == left


@pytest.mark.parametrize(
    ("name", "text", "left"),
    [
        ("Carl Box", "box crushed", "box crushed"),
        ("Carl Box", "Carl Box wrote", f"{BLANKED_NAME} wrote"),
        ("Jo Brown", "brown tape torn", "brown tape torn"),
        ("Jo Brown", "jo brown: tape torn", f"{BLANKED_NAME}: tape torn"),
        ("Mark Long", "long mark on the side", f"{BLANKED_NAME} on the side"),
        ("Ana von der Heide", "von der Bank gefallen", "von der Bank gefallen"),
        ("Li Wu", "wu is 2 in short", "wu is 2 in short"),
        ("Li Wu", "Li Wu is out", f"{BLANKED_NAME} is out"),
        ("Dobson Pike", "dobson base cracked", "dobson base cracked"),
        ("Søren Łukasz", "soren lukasz", BLANKED_NAME),
        ("Zoë O'Dowd", "ask Zoe O’Dowd", f"ask {BLANKED_NAME}"),
    ],
)
def test_words_of_the_trade_stay_unless_the_whole_name_stands_there(name: str, text: str, left: str) -> None:
    assert without_repeated(text, {NAMES: [name]}, frozenset({"dobson"})) == left


NAMES_TYPED = st.lists(st.text(st.sampled_from("abcdeéöłñ'- .XYZ12ßΩж"), max_size=8), max_size=4).map(" ".join)


@settings(derandomize=True, deadline=None, max_examples=tries(300))
@given(NAMES_TYPED, NAMES_TYPED, st.sampled_from([NAMES, STREETS, PHONES]))
def test_any_text_survives_and_a_second_pass_changes_nothing(held: str, text: str, kind: str) -> None:
    once = without_repeated(text, {kind: [held]})
    assert without_repeated(once, {kind: [held]}) == once


@pytest.mark.parametrize(
    ("text", "what"),
    [
        *[(text, Doubts.STREET) for text in ("12 Mill Lane", "at 7 larkspur road", "Hauptstr. 5", "14 rue des Lilas")],
        *[(text, Doubts.NAME) for text in ("c/o Venn", "Mrs Pike", "Frau Kessler", "M. Dupont", "ship to jane miller")],
        *[(text, Doubts.NONE) for text in ("1 place torn", "12 in drop", "M. 4 bolt", "ship to new address", "")],
    ],
)
def test_what_looks_like_a_street_or_a_name(text: str, what: Doubts) -> None:
    assert doubtful(text) == what


def test_names_and_streets_are_blanked_or_noticed() -> None:
    reported = remarks(200, 11)
    held = [without_repeated(each.text, {NAMES: [each.name], STREETS: [each.street]}) for each in reported]
    assert sum(text != each.text for text, each in zip(held, reported, strict=True)) >= 0.99 * len(reported)
    noticed = sum(bool(doubtful(each.text)) for each in reported)
    assert noticed >= 0.9 * len(reported)
    assert sum(bool(doubtful(text)) for text in HELD_OUT_PERSONS) >= 0.8 * len(HELD_OUT_PERSONS)


def test_clean_remarks_are_seldom_suspected_and_never_changed() -> None:
    """A thousand; `python -m tests.benchmarks persons` tries ten thousand."""
    reported = clean(1_000, 12)
    assert sum(bool(doubtful(text)) for text in reported) <= 0.02 * len(reported)
    assert not [text for text in HELD_OUT_CLEAN if doubtful(text)]
    assert [without_repeated(text, HELD) for text in reported] == reported
