"""The edition of a month's review on its page and in the terminal, with a mail server and without one."""

from __future__ import annotations

import html
from pathlib import Path

import pytest

from pipelines.cli import main
from pipelines.review import runs
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, load
from tests.pipelines.delivery.mailbox import mail_server
from tests.pipelines.small_shop import TOML, built_shop, land, with_mail
from tests.without_analyses import without_analyses

FIRST = "Edition 1 of this month's review: editions go by what is counted, not by what is estimated."
SECOND = "Edition 2 of this month's review. Since edition 1: "


def correct(shop: Settings) -> None:
    late = {"parcel_id": "P2", "charge_kind": "adjustment", "amount_cents": 1_850, "line_number": 9}
    land(shop, "charges", [late | {"invoice_number": "I2", "invoiced_on": "2026-11-20"}])


@pytest.mark.slow(10)
def test_without_mail_each_state_that_was_shown_is_an_edition(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    built_shop(tmp_path / "shop")
    without_mail = TOML.partition("[mail]")[0]
    (tmp_path / "shop" / "dunnage.toml").write_text(without_mail, encoding="utf-8")
    shop = load(tmp_path / "shop")
    for _ in range(2):
        assert runs.run_review(shop, "2026-10").review.edition_words == FIRST
    correct(shop)
    capsys.readouterr()
    with without_analyses():
        assert main(["--shop", str(tmp_path / "shop"), "review", "2026-10"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    page = html.unescape((tmp_path / "shop" / "reviews" / "review-2026-10.html").read_text(encoding="utf-8"))
    for reported in (said, page):
        assert SECOND in reported
        assert "Adjustments $0.00, now $18.50" in reported


@pytest.mark.slow
def test_with_mail_an_edition_is_one_that_was_mailed(tmp_path: Path) -> None:
    shop = built_shop(tmp_path / "shop")
    with mail_server() as mailbox:
        mailed = with_mail(tmp_path / "shop", mailbox)
        assert runs.run_review(mailed, "2026-10").review.edition_words == FIRST
    correct(shop)
    with without_analyses():
        assert runs.run_review(mailed, "2026-10").review.edition_words == FIRST
    with warehouse.reading(shop) as connection:
        assert connection.execute("select count(*) from outbox.editions").fetchone() == (0,)
