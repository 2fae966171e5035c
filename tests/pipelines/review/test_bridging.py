"""`dunnage bridge`: any two spans, in words and to the cent."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from models.errors import NotFoundError, SettingsError
from pipelines.cli import main
from pipelines.review.bridging import bridged, span
from pipelines.shop import warehouse
from tests.shops import rows


def test_a_span_is_a_month_or_several() -> None:
    assert span("2026-10") == (date(2026, 10, 1), date(2026, 10, 1))
    assert span("2025-12..2026-02") == (date(2025, 12, 1), date(2026, 2, 1))


@pytest.mark.parametrize("text", ["", "october", "2026-13", "2026-10..", "2026-10..2026-09", "2026-1", "2026-10-01"])
def test_what_is_no_span_is_refused(text: str) -> None:
    with pytest.raises(SettingsError, match=r"write 2026-10, or"):
        span(text)


def test_half_years_of_the_demo_are_bridged_to_the_cent(demo: warehouse.Connection) -> None:
    found = bridged(demo, "2025-05..2025-10", "2026-05..2026-10")
    earlier, later = (
        rows(demo, f"select sum(margin_cents) as m from marts.shipping_margin where shipped_month between {span}")[0][
            "m"
        ]
        for span in ("'2025-05-01' and '2025-10-01'", "'2026-05-01' and '2026-10-01'")
    )
    changes = found["margin_step_change_cents"].tolist()
    assert sum(changes[:-1]) == changes[-1] == later - earlier
    assert found["margin_reached_cents"].iloc[-1] == later


def test_months_without_records_are_named(demo: warehouse.Connection) -> None:
    with pytest.raises(NotFoundError, match=r"from 2025-05 to 2026-11"):
        bridged(demo, "2024-05", "2026-10")


def test_the_command_prints_amounts_that_add_up(demo_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--shop", str(demo_folder), "bridge", "2026-09", "2026-10"]) == 0
    lines = capsys.readouterr().out.splitlines()
    amounts = [round(100 * float(re.sub(r"[$,]", "", found[0]))) for found in _amounts(lines) if found]
    assert lines[0].startswith("margin 2026-09")
    assert amounts[0] + sum(amounts[1:-1]) == amounts[-1]
    assert "are comparable with the earlier months" in " ".join(lines[-2:])


def _amounts(lines: list[str]) -> list[list[str]]:
    """The first amount of each line; what is broken over two lines goes on further to the right."""
    return [re.findall(r"[-+]?\$[\d,]+\.\d\d", line)[:1] for line in lines if not line.startswith("    ")]
