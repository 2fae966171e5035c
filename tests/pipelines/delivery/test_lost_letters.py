"""Letters that are lost after a scheduled run: the owner is mailed once about each, and a check fails until settled."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from models.delivery_attempts import State
from pipelines.cli import main
from pipelines.delivery import outbox, owner_letters
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings
from tests.pipelines.delivery.letters import START, queued
from tests.pipelines.delivery.mailbox import Fault, Mailbox, mail_server
from tests.pipelines.small_shop import with_mail

OWNER = "owner@fernmoor.example"


@pytest.fixture
def mailbox() -> Iterator[Mailbox]:
    with mail_server() as served:
        yield served


@pytest.fixture
def shop(tmp_path: Path, mailbox: Mailbox) -> Settings:
    """A shop with two letters that wait."""
    settings = with_mail(tmp_path, mailbox)
    with warehouse.writing(settings, "test") as connection:
        outbox.queue(connection, settings.path("outbox"), "review 2026-10", 1, [queued(1), queued(2)], START)
    return settings


def reported(mailbox: Mailbox) -> list[str]:
    """The texts of the letters to the owner."""
    return [bytes(letter.get_payload(decode=True)).decode() for letter in mailbox.kept if letter["To"] == OWNER]


def scheduled(shop: Settings) -> int:
    return main(["--shop", str(shop.folder), "schedule", "--once"])


def checked(shop: Settings, capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    capsys.readouterr()
    return main(["--shop", str(shop.folder), "status", "--check"]), capsys.readouterr().out


def test_the_owner_is_mailed_once_and_a_check_fails(
    shop: Settings, mailbox: Mailbox, capsys: pytest.CaptureFixture[str]
) -> None:
    mailbox.faults = [Fault("END", "drop after keeping"), Fault("RCPT", "5xx")]
    for _ in range(3):
        assert scheduled(shop) == 0
    (notice,) = reported(mailbox)
    words = " ".join(notice.split())
    assert words.count("review 2026-10, edition 1") == 2
    assert "handed over without a clear answer" in words and "refused for good" in words
    assert "send --arrived" in words
    code, said = checked(shop, capsys)
    assert code == 1
    assert [line.split(": ")[1].split()[0] for line in said.splitlines()] == ["unsure", "failed"]


def test_a_letter_that_is_lost_again_is_reported_again(shop: Settings, mailbox: Mailbox) -> None:
    mailbox.faults = [Fault("END", "drop"), None]
    scheduled(shop)
    with warehouse.writing(shop, "test") as connection:
        outbox.retry_unsure(connection, START)
    mailbox.faults = [Fault("END", "drop")]
    scheduled(shop)
    assert len(reported(mailbox)) == 2


def test_the_owners_word_settles_an_unsure_letter(
    shop: Settings, mailbox: Mailbox, capsys: pytest.CaptureFixture[str]
) -> None:
    mailbox.faults = [Fault("END", "drop after keeping")]
    scheduled(shop)
    with warehouse.writing(shop, "test") as connection:
        assert outbox.note_arrived(connection, START) == 1
    assert checked(shop, capsys) == (0, "Nothing is overdue.\n")
    scheduled(shop)
    assert len(reported(mailbox)) == 1


def test_a_failed_letter_that_is_given_up_is_overdue_no_more(
    shop: Settings, mailbox: Mailbox, capsys: pytest.CaptureFixture[str]
) -> None:
    mailbox.faults = [Fault("RCPT", "5xx"), Fault("END", "drop after keeping")]
    scheduled(shop)
    with warehouse.writing(shop, "test") as connection:
        assert outbox.drop_failed(connection, START) == 1
        assert outbox.retry_failed(connection, START) == 0
    code, said = checked(shop, capsys)
    assert (code, said.count("unsure"), said.count("failed")) == (1, 1, 0)


def test_a_lost_notice_is_shown_and_never_reported_by_another(
    shop: Settings, mailbox: Mailbox, capsys: pytest.CaptureFixture[str]
) -> None:
    mailbox.faults = [Fault("END", "drop"), None, Fault("END", "drop")]
    for _ in range(3):
        scheduled(shop)
    assert reported(mailbox) == []
    code, said = checked(shop, capsys)
    assert (code, said.count("unsure")) == (1, 2)
    assert "letter lost letters, edition 1, to owner@fernmoor.example" in said


def test_a_kill_before_the_notice_is_queued_loses_none(
    shop: Settings, mailbox: Mailbox, monkeypatch: pytest.MonkeyPatch
) -> None:
    mailbox.faults = [Fault("END", "drop")]

    def killed(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(owner_letters, "_lost_notice", killed)
        assert scheduled(shop) == 130
    with warehouse.reading(shop) as connection:
        assert list(outbox.unreported(connection)["state"]) == [State.UNSURE]
    scheduled(shop)
    assert len(reported(mailbox)) == 1


def test_without_an_owner_nothing_is_queued(shop: Settings, mailbox: Mailbox) -> None:
    toml = shop.folder / "dunnage.toml"
    toml.write_text(toml.read_text(encoding="utf-8").replace("owner =", "# owner ="), encoding="utf-8")
    mailbox.faults = [Fault("END", "drop")]
    assert scheduled(shop) == 0
    assert len(mailbox.kept) == 1
    with warehouse.reading(shop) as connection:
        assert connection.execute("select count(*) from outbox.messages").fetchall() == [(2,)]
