"""The talk with the mail server: encrypted or not at all, and the password seen by nobody."""

from __future__ import annotations

import logging
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.errors import DeliveryError, SettingsError
from models.mail_settings import CheckedMail, Mail
from models.mailing import Reply
from pipelines import delivery
from pipelines.settings import load
from pipelines.toml_files import stated_as
from tests.pipelines.mailbox import HOST, Mailbox, certificate, login, mail_server

PASSWORD = "one-long-secret-9f2c"
TEXT = b"Subject: October\r\nMessage-ID: <1@fernmoor.example>\r\n\r\nhello\r\n"
TO = "packer@fernmoor.example"


@pytest.fixture
def tls(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """Options of a server that insists on TLS and login; its certificate is trusted here."""
    public, context = certificate(tmp_path)
    monkeypatch.setenv("SSL_CERT_FILE", str(public))
    monkeypatch.setenv(delivery.PASSWORD_VARIABLE, PASSWORD)
    return {"tls_context": context, "require_starttls": True, "auth_required": True}


def mail_of(mailbox: Mailbox, **more: Any) -> Mail:
    stated = Mail(host="localhost", port=mailbox.port, user="reports", sender="reports@fernmoor.example")
    return replace(stated, timeout_seconds=5.0, **more)


def sent(mail: Mail, begun: list[str] | None = None) -> Any:
    return delivery.deliver(mail, TEXT, TO, lambda: (begun if begun is not None else []).append("text"))


def served(options: dict[str, Any], accepted: str = PASSWORD) -> Any:
    mailbox = Mailbox(accepted_password=accepted.encode())
    return mail_server(mailbox, authenticator=login(mailbox), **options)


def test_with_starttls_and_login(tls: dict[str, Any]) -> None:
    with served(tls) as mailbox:
        assert sent(mail_of(mailbox)).reply is Reply.ACCEPTED
    assert mailbox.logins == [PASSWORD.encode()]
    assert mailbox.kept[0]["Subject"] == "October"


def test_with_tls_from_the_first_byte(tls: dict[str, Any]) -> None:
    options = {"ssl_context": tls["tls_context"], "auth_require_tls": False}
    with served(options) as mailbox:
        assert sent(mail_of(mailbox, security="tls")).reply is Reply.ACCEPTED
    assert len(mailbox.kept) == 1


def test_a_server_without_tls_gets_neither_password_nor_letter(tls: dict[str, Any]) -> None:
    begun: list[str] = []
    with served({"auth_require_tls": False}) as mailbox:
        answer = sent(mail_of(mailbox), begun)
    assert (answer.reply, answer.is_for_all, begun) == (Reply.DEFERRED, True, [])
    assert "no TLS" in answer.words
    assert not mailbox.logins
    assert not mailbox.kept


@pytest.mark.parametrize("security", ["starttls", "tls"])
def test_a_certificate_that_nobody_vouches_for_stops_the_talk(
    tls: dict[str, Any], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, security: str
) -> None:
    stranger, _ = certificate(tmp_path, "elsewhere.example")
    monkeypatch.setenv("SSL_CERT_FILE", str(stranger))
    options = tls if security == "starttls" else {"ssl_context": tls["tls_context"], "auth_require_tls": False}
    with served(options) as mailbox:
        answer = sent(mail_of(mailbox, security=security))
    assert answer.reply is Reply.DEFERRED
    assert "certificate" in answer.words.lower()
    assert not mailbox.logins


def test_a_certificate_of_another_name_stops_the_talk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    public, context = certificate(tmp_path, "elsewhere.example")
    monkeypatch.setenv("SSL_CERT_FILE", str(public))
    monkeypatch.setenv(delivery.PASSWORD_VARIABLE, PASSWORD)
    with served({"tls_context": context, "require_starttls": True}) as mailbox:
        answer = sent(mail_of(mailbox))
    assert answer.reply is Reply.DEFERRED
    assert not mailbox.logins


def test_a_refused_login_waits_and_says_what_to_mend(tls: dict[str, Any]) -> None:
    with served(tls, accepted="another") as mailbox:
        answer = sent(mail_of(mailbox))
    assert (answer.reply, answer.is_for_all) == (Reply.DEFERRED, True)
    assert delivery.PASSWORD_VARIABLE in answer.words
    assert PASSWORD not in answer.words


def test_a_missing_password_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(delivery.PASSWORD_VARIABLE, raising=False)
    monkeypatch.setattr(delivery, "_from_keyring", lambda user: None)
    with pytest.raises(DeliveryError, match="no password is known"):
        delivery.password(Mail(host="localhost", user="reports"))


def test_the_password_is_in_no_log_error_repr_or_file(
    tls: dict[str, Any], tmp_path: Path, caplog: pytest.LogCaptureFixture, capfd: pytest.CaptureFixture[str]
) -> None:
    caplog.set_level(logging.DEBUG)
    with served(tls, accepted="another") as mailbox:
        text = (
            f'[mail]\nhost = "localhost"\nport = {mailbox.port}\nuser = "reports"\n'
            f'sender = "reports@fernmoor.example"\nrecipients = ["{TO}"]\n'
        )
        (tmp_path / "dunnage.toml").write_text(text, encoding="utf-8")
        shop = load(tmp_path)
        answer = sent(shop.mail)
        with pytest.raises(DeliveryError) as raised:
            delivery.connected(shop.mail)
    written = "".join(path.read_text(errors="replace") for path in tmp_path.rglob("*") if path.is_file())
    streams = capfd.readouterr()
    for seen in (repr(shop), repr(answer), str(raised.value), repr(raised.value), written, *streams, caplog.text):
        assert PASSWORD not in seen


@pytest.mark.parametrize("echo", [PASSWORD, "AHJlcG9ydHMAb25lLWxvbmctc2VjcmV0LTlmMmM=", "b25lLWxvbmctc2VjcmV0LTlmMmM="])
def test_a_server_that_repeats_the_password_is_not_repeated(echo: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(delivery.PASSWORD_VARIABLE, PASSWORD)
    said = delivery.scrubbed(f"535 wrong: {echo}\r\nBcc: everybody@elsewhere.example")
    assert echo not in said
    assert "\n" not in said
    assert said.startswith("535 wrong")


@pytest.mark.published
def test_dots_at_line_starts_are_doubled() -> None:
    """RFC 5321 (2008), section 4.5.2: "if it is a period, one additional period is inserted at the beginning"."""
    assert delivery.LINE_START_DOT.sub(b"..", b"a\r\n.\r\n.b\r\n..c\r\n") == b"a\r\n..\r\n..b\r\n...c\r\n"


@settings(derandomize=True, deadline=None, max_examples=100)
@given(st.lists(st.text(alphabet=".ab ", max_size=6), max_size=8))
def test_no_line_of_a_letter_can_end_it(lines: list[str]) -> None:
    text = "\r\n".join(lines).encode()
    stuffed = delivery.LINE_START_DOT.sub(b"..", text)
    assert b"\r\n.\r\n" not in b"\r\n" + stuffed + b"\r\n"
    kept = [line[1:] if line.startswith(b".") else line for line in stuffed.split(b"\r\n")]
    assert b"\r\n".join(kept) == text


MAIL = Mail(host="mail.fernmoor.example", sender="reports@fernmoor.example", recipients=[TO])


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"security": "none"}, "readable through the network"),
        ({"security": "ssl"}, "is not known"),
        ({"recipients": []}, "names no recipients"),
        ({"recipients": ["a@b.example\r\nBcc: c@d.example"]}, "is not a mail address"),
        ({"recipients": ["Packer <a@b.example>"]}, "is not a mail address"),
        ({"recipients": ["a@b.example, c@d.example"]}, "is not a mail address"),
        ({"sender": "nobody"}, "is not a mail address"),
        ({"owner": "o@bücher.example"}, "is not a mail address"),
        ({"port": 0}, "too small"),
    ],
)
def test_settings_that_cannot_be_used(wrong: dict[str, Any], said: str) -> None:
    with pytest.raises(SettingsError, match=said):
        stated_as(CheckedMail, asdict(MAIL) | wrong, "[mail]")


@pytest.mark.parametrize("host", ["localhost", HOST, "127.8.9.1", "::1"])
def test_no_encryption_is_for_this_machine_only(host: str) -> None:
    """RFC 6761, section 6.3; RFC 1122, section 3.2.1.3 (g); RFC 4291, section 2.5.3."""
    assert stated_as(CheckedMail, asdict(MAIL) | {"security": "none", "host": host}, "[mail]").host == host


@pytest.mark.parametrize("host", ["localhost.evil.example", "128.0.0.1", "0.0.0.0", "127.0.0.1.example", "192.168.0.2"])
def test_a_name_that_only_looks_local_is_refused(host: str) -> None:
    with pytest.raises(SettingsError, match="readable"):
        stated_as(CheckedMail, asdict(MAIL) | {"security": "none", "host": host}, "[mail]")
