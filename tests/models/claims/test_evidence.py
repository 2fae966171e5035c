"""What evidence is counted against, and what a kept file's name says."""

from __future__ import annotations

import pytest

from models.claims.evidence import ASKED, FROM_BUYER, KINDS, Kept, counted, kept_of, kind_of

HASH = "a" * 64


@pytest.mark.common_practice
def test_what_carriers_usually_ask_to_see_is_on_the_list() -> None:
    """Contents, cushioning, closed carton, tape, label, proof of value."""
    assert set(ASKED) == {"contents", "cushioning", "closed", "tape", "label", "value"}
    assert "value" not in FROM_BUYER


def test_a_file_is_sorted_by_the_first_word_of_its_name_alone() -> None:
    named = {
        "label 2.jpg": "label",
        "LABEL.JPG": "label",
        "closed-carton.png": "closed",
        "IMG_2041.jpg": "other",
        "my label.jpg": "other",
        "labels.jpg": "other",
        "-label.jpg": "other",
    }
    assert {name: kind_of(name) for name in named} == named


def test_a_kept_name_says_what_it_holds_and_no_other_name_does() -> None:
    for kind in KINDS:
        kept = Kept(kind, HASH, ".jpg")
        assert kept_of(kept.name) == kept
    for wrong in (
        f"label-{HASH}.exe",
        f"label-{HASH[:-1]}.jpg",
        f"face-{HASH}.jpg",
        f"label-{HASH}.jpg.jpg",
        "label.jpg",
    ):
        assert kept_of(wrong) is None


def test_every_kind_is_counted() -> None:
    kept = [Kept("label", HASH, ".jpg"), Kept("label", "b" * 64, ".jpg"), Kept("other", "c" * 64, ".png")]
    assert counted(kept) == {**dict.fromkeys(KINDS, 0), "label": 2, "other": 1}
