"""The texts of a claim: names filled in, what is not known left out, nothing else touched."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.claims.texts import NAMES, TEMPLATES, filled, template
from models.errors import SettingsError


def test_every_name_of_the_usual_texts_is_known_and_filled() -> None:
    for name, text in zip(TEMPLATES, map(template, TEMPLATES), strict=True):
        written = filled(text, {each: f"<{each}>" for each in NAMES}, name)
        assert "{" not in written and "not known" not in written


def test_what_no_record_says_is_left_out_and_beside_something_known_it_is_said() -> None:
    packing = "Packing: {packing_method} in {carton}; sides {sides}; as {weight}."
    text = f"Cause: {{cause}}. Reported on {{opened_on}}.\n\n{packing}\n"
    assert filled(text, {}, "a.txt") == "\n"
    assert filled(text, {"sides": "30 x 2"}, "a.txt") == "\nSides 30 x 2.\n"
    assert filled(text, {"opened_on": "2 May", "carton": "K-1"}, "a.txt") == (
        "Reported on 2 May.\n\nPacking: not known in K-1.\n"
    )
    assert filled("Of 3.5 cm; yours.", {}, "a.txt") == "Of 3.5 cm; yours."


def test_an_unknown_name_is_refused_with_the_file_and_the_names_there_are() -> None:
    with pytest.raises(SettingsError, match=r"texts/to-buyer\.txt: names \{wieght\}"):
        filled("{wieght}", {}, "texts/to-buyer.txt")


@given(st.text())
def test_facts_are_never_read_as_names(fact: str) -> None:
    """A fact with braces, such as a claim's part, stands as it is."""
    assert filled("{cause}", {"cause": fact}, "a.txt") == fact
