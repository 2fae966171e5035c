"""The month's review by mail, from the records to the letter: each edition once, a correction as a new edition."""

from __future__ import annotations

import email
import shutil
from collections.abc import Iterator
from datetime import datetime
from email.message import EmailMessage
from email.policy import default
from pathlib import Path

import pandas as pd
import pytest

from models.delivery_attempts import Reply, State
from models.errors import SettingsError
from pipelines.cli import main
from pipelines.delivery import outbox, owner_letters, reports
from pipelines.review import runs
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, load
from tests.pipelines.delivery.letters import Clock, letters_kept
from tests.pipelines.delivery.mailbox import Fault, Mailbox, mail_server
from tests.pipelines.small_shop import built_shop, land, with_mail
from tests.without_analyses import without_analyses


@pytest.fixture
def mailbox() -> Iterator[Mailbox]:
    with mail_server() as served:
        yield served


@pytest.fixture(scope="module")
def reviewed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop's folder with a review; each test takes a copy."""
    folder = tmp_path_factory.mktemp("reviewed") / "shop"
    runs.run_review(built_shop(folder), "2026-10")
    return folder


@pytest.fixture
def sql_alone() -> Iterator[None]:
    """What a correction changes in a letter or an edition stands in the tables of the SQL models."""
    with without_analyses():
        yield


@pytest.fixture
def shop(reviewed: Path, tmp_path: Path, mailbox: Mailbox) -> Settings:
    shutil.copytree(reviewed, tmp_path / "shop")
    return with_mail(tmp_path / "shop", mailbox)


def text_of(raw: bytes) -> str:
    found = email.message_from_bytes(raw, policy=default)
    assert isinstance(found, EmailMessage)
    part = found.get_body(("plain",))
    assert part is not None
    return str(part.get_content()).replace("\r\n", "\n")


def test_each_recipient_gets_the_review_once(shop: Settings, mailbox: Mailbox) -> None:
    for _ in range(2):
        reports.send_review(shop, runs.run_review(shop, "2026-10"))
    assert sorted(letter["To"] for letter in mailbox.kept) == ["books@fernmoor.example", "packer@fernmoor.example"]
    assert len({letter["Message-ID"] for letter in mailbox.kept}) == 2
    text = text_of(mailbox.raw[0])
    assert "2 parcels are counted" in text
    assert "-$66 on the records so far." in " ".join(text.split())
    attached = {part.get_filename() for part in mailbox.kept[0].walk() if part.get_filename()}
    assert {"review-2026-10.zip", "review-2026-10.xlsx"} <= attached


@pytest.mark.slow
@pytest.mark.usefixtures("sql_alone")
def test_a_correction_of_the_month_is_a_new_edition(shop: Settings, mailbox: Mailbox) -> None:
    reports.send_review(shop, runs.run_review(shop, "2026-10"))
    late = {"parcel_id": "P2", "charge_kind": "adjustment", "amount_cents": 1_850, "line_number": 9}
    land(shop, "charges", [late | {"invoice_number": "I2", "invoiced_on": "2026-11-20"}])
    sending = reports.send_review(shop, runs.run_review(shop, "2026-10"))
    assert (sending.edition, len(mailbox.kept)) == (2, 4)
    assert "edition 2" in str(mailbox.kept[-1]["Subject"])
    text = " ".join(text_of(mailbox.raw[-1]).split())
    assert "Since edition 1: Billed by carriers $55.00, now $73.50; Adjustments $0.00, now $18.50;" in text
    assert len({letter["Message-ID"] for letter in mailbox.kept}) == 4


@pytest.mark.usefixtures("sql_alone")
def test_a_correction_of_another_month_is_none(shop: Settings, mailbox: Mailbox) -> None:
    reports.send_review(shop, runs.run_review(shop, "2026-10"))
    land(shop, "charges", [{"parcel_id": "P1", "charge_kind": "adjustment", "amount_cents": 900, "line_number": 9}])
    sending = reports.send_review(shop, runs.run_review(shop, "2026-10"))
    assert (sending.edition, sending.queued, len(mailbox.kept)) == (1, [], 2)


def test_what_could_not_be_sent_goes_with_the_next_run(shop: Settings, mailbox: Mailbox) -> None:
    clock = Clock()
    mailbox.faults = [Fault("RCPT", "4xx"), Fault("RCPT", "5xx")]
    review = runs.run_review(shop, "2026-10")
    sending = reports.send_review(shop, review, now=clock)
    assert (len(sending.waiting), len(sending.lost), len(mailbox.kept)) == (1, 1, 0)
    clock.now = datetime(2026, 11, 4)
    (letter,) = reports.send_waiting(shop, now=clock).letters
    assert (letter.state, len(mailbox.kept)) == (State.SENT, 1)
    again = reports.send_review(shop, review, now=clock, again=[outbox.retry_failed])
    assert [letter.state for letter in again.letters] == [State.SENT]
    assert len({letter["To"] for letter in mailbox.kept}) == 2
    assert not list(shop.path("outbox").iterdir())


def test_alarms_are_mailed_once(shop: Settings, mailbox: Mailbox) -> None:
    alarms = pd.DataFrame(
        {
            "alarm_id": ["A1", "A2"],
            "cause": ["damage: tripod", "<b>cost</b>\r\nBcc: x@y.example"],
            "week_on": pd.Timestamp("2026-10-26"),
            "alarm_words": "9 claims where 4 were to be expected",
            "is_acknowledged": False,
        }
    )
    for found in (alarms, alarms.iloc[::-1], alarms.iloc[:0]):
        reports.send_alarms(shop, found)
    assert len(mailbox.kept) == 2
    assert mailbox.kept[0]["Subject"] == "Fernmoor Optics: 2 alarms between reviews"
    assert "damage: tripod, week of 26 Oct 2026: 9 claims where 4 were to be expected." in text_of(mailbox.raw[0])
    assert "dunnage watch --acknowledge" in text_of(mailbox.raw[0])
    assert mailbox.kept[0]["Bcc"] is None
    reports.send_alarms(shop, alarms.iloc[:1])
    assert len(mailbox.kept) == 4


def test_the_owner_is_told_and_nothing_is_raised(shop: Settings, mailbox: Mailbox) -> None:
    assert owner_letters.mail_owner(shop, "the run failed", ["It did not finish."]).reply is Reply.ACCEPTED
    assert mailbox.kept[0]["To"] == "owner@fernmoor.example"
    mailbox.faults = [Fault("EHLO", "drop")]
    assert owner_letters.mail_owner(shop, "the run failed", ["again"]).reply is Reply.DEFERRED


def test_the_dry_run_writes_letters_and_sends_none(
    shop: Settings, mailbox: Mailbox, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["--shop", str(shop.folder), "send", "2026-10", "--dry-run"]) == 0
    written = sorted((shop.folder / "reviews").glob("*.eml"))
    assert [path.name for path in written] == ["review-2026-10-letter-1.eml", "review-2026-10-letter-2.eml"]
    assert "2 parcels are counted" in text_of(written[0].read_bytes())
    assert not mailbox.kept
    with warehouse.reading(shop) as connection:
        assert letters_kept(connection) == []
    assert "edition 1" in capsys.readouterr().out


def test_send_and_status_on_the_command_line(
    shop: Settings, mailbox: Mailbox, capsys: pytest.CaptureFixture[str]
) -> None:
    mailbox.faults = [Fault("RCPT", "5xx")]
    assert main(["--shop", str(shop.folder), "send", "2026-10"]) == 1
    assert main(["--shop", str(shop.folder), "status"]) == 0
    reported = capsys.readouterr().out
    assert "current" in reported
    assert "failed" in reported
    assert "nobody of that name" in " ".join(reported.split())
    assert main(["--shop", str(shop.folder), "send", "2026-10", "--retry-failed"]) == 0
    assert len(mailbox.kept) == 2
    land(shop, "claims", [{"claim_id": "C2", "parcel_id": "P2"}])
    assert main(["--shop", str(shop.folder), "status"]) == 0
    reported = capsys.readouterr().out
    assert "to be built" in reported
    assert "No letter is waiting, and none failed." in reported


def test_an_unsure_letter_is_shown_and_goes_again_on_request(
    shop: Settings, mailbox: Mailbox, capsys: pytest.CaptureFixture[str]
) -> None:
    mailbox.faults = [Fault("END", "drop")]
    send = ["--shop", str(shop.folder), "send", "2026-10"]
    assert main(send) == 1
    assert main(send) == 0
    assert main(["--shop", str(shop.folder), "status"]) == 0
    reported = " ".join(capsys.readouterr().out.split())
    assert "unsure" in reported
    assert "send --retry-unsure" in reported
    assert len(mailbox.kept) == 1
    assert main([*send, "--retry-unsure"]) == 0
    assert sorted(letter["To"] for letter in mailbox.kept) == ["books@fernmoor.example", "packer@fernmoor.example"]
    assert mailbox.kept[-1]["X-Dunnage-Repeat"] == "possible"


def test_a_shop_without_mail_is_told_how(shop: Settings, capsys: pytest.CaptureFixture[str]) -> None:
    toml = shop.folder / "dunnage.toml"
    toml.write_text(toml.read_text(encoding="utf-8").split("[mail]")[0], encoding="utf-8")
    with pytest.raises(SettingsError, match="has no mail server"):
        reports.required_mail(load(shop.folder))
    assert main(["--shop", str(shop.folder), "send", "2026-10"]) == 1
    assert "[mail]" in capsys.readouterr().err
    assert main(["--shop", str(shop.folder), "send", "2026-10", "--dry-run"]) == 0
    assert reports.send_waiting(load(shop.folder)).letters == ()
