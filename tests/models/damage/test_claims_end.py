"""How far claims are on record: what reports, imports, settings and days without a report prove."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.stats import lomax

from models.damage.claims_end import IMPORTED, NEWEST, STATED, WHOLE, ClaimsEnd, chance_of_silence, claims_end

TODAY = np.datetime64("2026-11-30")
LAGS = np.arange(30)
YEAR = TODAY - np.arange(400)


def end(*ago: int, **more: Any) -> ClaimsEnd:
    """Of a shop that sends three parcels a day, with reports so many days ago."""
    return claims_end(TODAY - np.array(ago, dtype=int), LAGS, YEAR, np.full(400, 3.0), TODAY, draws=64, **more)


EVERY_THIRD = tuple(range(0, 360, 3))


def test_a_record_with_reports_to_the_end_is_whole() -> None:
    found = end(*EVERY_THIRD)
    assert found.source == WHOLE
    assert not found.short_days(TODAY).any()


def test_a_short_gap_is_chance() -> None:
    assert end(*(day + 3 for day in EVERY_THIRD)).source == WHOLE


def test_a_long_gap_ends_the_record_about_where_the_next_report_was_due() -> None:
    found = end(*(day + 20 for day in EVERY_THIRD))
    assert found.source == NEWEST
    assert found.on.min() >= TODAY - 20
    assert 1.5 < (found.on - (TODAY - 20)).astype(int).mean() < 4.5
    assert found.middle_on < TODAY - 15


def test_few_reports_prove_no_end() -> None:
    assert end(40, 110, 200).source == WHOLE
    assert end(40).source == WHOLE
    assert end().source == WHOLE
    assert np.isnat(end().reported_on)


def test_nothing_sent_explains_days_without_a_report() -> None:
    reports = TODAY - np.arange(60, 360, 3)
    sent = YEAR[YEAR < TODAY - 90]
    assert claims_end(reports, LAGS, sent, np.full(sent.size, 3.0), TODAY, draws=64).source == WHOLE


def test_an_import_bounds_the_record_that_it_ends() -> None:
    found = end(*(day + 20 for day in EVERY_THIRD), imported_on=TODAY - 19)
    assert found.source == IMPORTED
    assert (found.on <= TODAY - 19).mean() > 0.9
    assert found.middle_on <= TODAY - 19


def test_an_import_alone_does_not_end_the_record() -> None:
    found = end(*(day + 1 for day in EVERY_THIRD), imported_on=TODAY - 1)
    assert found.middle_on == TODAY
    assert end(*EVERY_THIRD, imported_on=TODAY - 1).source == WHOLE


def test_what_the_shop_states_holds_until_later_claims_come() -> None:
    late = tuple(day + 20 for day in EVERY_THIRD)
    assert end(*late, stated_on=TODAY).source == WHOLE
    stated = end(*late, stated_on=TODAY - 10)
    assert (stated.source, set(stated.on)) == (STATED, {TODAY - 10})
    assert end(*late, stated_on=TODAY - 21).source == NEWEST


def test_a_stated_day_holds_without_any_claim() -> None:
    found = end(stated_on=TODAY - 10)
    assert (found.source, set(found.on)) == (STATED, {TODAY - 10}) and np.isnat(found.reported_on)


def test_days_short_count_from_the_day_asked() -> None:
    found = end(*(day + 20 for day in EVERY_THIRD), stated_on=TODAY - 10)
    assert set(found.short_days(TODAY)) == {10}
    assert set(found.short_days(TODAY - 15)) == {0}


@pytest.mark.published
def test_silence_has_a_lomax_law() -> None:
    """K. S. Lomax (1954), as scipy 1.x `scipy.stats.lomax` has it: survival (1 + x) ** -c."""
    reports = TODAY - np.array([60, 50, 40, 30])
    found = chance_of_silence(reports, np.full(61, 2.0))
    assert found == pytest.approx(lomax.sf(np.arange(31) / 31.0, 3))
