"""The texts of a claim: names filled in, what is not known said so, nothing else touched."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.claims.texts import NAMES, TEMPLATES, filled
from models.errors import SettingsError


def test_every_name_of_the_usual_texts_is_known_and_filled() -> None:
    for name, text in TEMPLATES.items():
        written = filled(text, {each: f"<{each}>" for each in NAMES}, name)
        assert "{" not in written and "not known" not in written


def test_what_no_record_says_is_said_to_be_not_known() -> None:
    assert filled("Weight: {weight}.", {"weight": ""}, "a.txt") == "Weight: not known."


def test_an_unknown_name_is_refused_with_the_file_and_the_names_there_are() -> None:
    with pytest.raises(SettingsError, match=r"texts/to-buyer\.txt: names \{wieght\}"):
        filled("{wieght}", {}, "texts/to-buyer.txt")


@given(st.text())
def test_facts_are_never_read_as_names(fact: str) -> None:
    """A fact with braces, such as a claim's part, stands as it is."""
    assert filled("{cause}", {"cause": fact}, "a.txt") == (fact or "not known")
