"""Which edition a review is and what changed, as page and terminal say it."""

from __future__ import annotations

import pandas as pd

from dashboards.edition_words import edition_words
from dashboards.review import render
from models.shop_units import Units
from tests.dashboards import shop

CHANGES = pd.DataFrame(
    [("adjustment_cents", 8420.0, 10270.0), ("parcel_count", 102.0, 103.0), ("invoiced_share", None, 0.913)],
    columns=["measure", "amount_before", "amount_after"],
)


def test_the_first_edition_compares_with_nothing() -> None:
    assert edition_words(1, CHANGES.iloc[:0], Units("USD")) == (
        "Edition 1 of this month's review: editions go by what is counted, not by what is estimated."
    )


def test_a_later_edition_names_each_amount_before_and_now() -> None:
    assert edition_words(2, CHANGES, Units("USD")) == (
        "Edition 2 of this month's review. Since edition 1: Adjustments $84.20, now $102.70; Parcels 102, now 103; "
        "Share invoiced not known, now 91.3%."
    )


def test_an_edition_without_changed_headlines_says_so() -> None:
    assert "No headline amount changed; smaller figures did." in edition_words(3, CHANGES.iloc[:0], Units("USD"))


def test_the_page_says_it_under_its_headline_and_escapes_it() -> None:
    page = render(shop.review(edition_words="Edition 2. Since <b>edition</b> 1: Parcels 102, now 103."))
    header = page[page.index("<header>") : page.index("<nav")]
    assert "Since &lt;b&gt;edition&lt;/b&gt; 1: Parcels 102, now 103." in header
    assert 'id="edition"' not in render(shop.review())
