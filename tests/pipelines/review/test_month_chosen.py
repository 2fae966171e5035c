"""A review of no named month says which month it chose and why."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipelines.cli import main
from pipelines.review import month_review
from pipelines.shop import warehouse
from tests.pipelines.small_shop import built_shop
from tests.without_analyses import without_analyses

NAMED = "No month was named"


@pytest.mark.slow
def test_the_month_is_explained_where_none_was_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shop = built_shop(tmp_path / "shop")
    with warehouse.reading(shop) as connection:
        months = [
            row[0] for row in connection.execute("select shipped_month from marts.coverage order by 1").fetchall()
        ]
        chosen = month_review.month_named(None, connection)
        stands = {month: month_review.standing(connection, month) for month in months}
    assert stands[chosen]["is_over"] == any(each["is_over"] for each in stands.values())
    capsys.readouterr()
    with without_analyses():
        for words in ([], [f"{chosen:%Y-%m}"]):
            assert main(["--shop", str(tmp_path / "shop"), "review", *words]) == 0
            said = " ".join(capsys.readouterr().out.split())
            assert f"review of {chosen:%Y-%m}" in said
            assert (NAMED in said) == (not words)
