"""The talk with the mail server: encrypted or not at all, and the password seen by nobody."""

from __future__ import annotations

import base64
import logging
import os
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.delivery_attempts import Reply
from models.errors import DeliveryError
from models.settings.mail import Mail
from pipelines import delivery
from pipelines.shop.settings import load
from tests.pipelines.delivery.letters import Served
from tests.pipelines.delivery.mailbox import HOST, Mailbox, certificate, login, mail_server
from tests.pipelines.delivery.scripted_mailbox import HELLO, scripted

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


def mail_of(mailbox: Served, **more: Any) -> Mail:
    stated = Mail(host="localhost", port=mailbox.port, user="reports", sender="reports@fernmoor.example")
    return replace(stated, timeout_seconds=60.0, **more)


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


@pytest.mark.parametrize("left_out", [[], ["PLAIN"], ["LOGIN"]])
@pytest.mark.parametrize("secret", ["Größe-ñandú-42", "пароль для писем", "密码-かぎ", "ключ🔑", "p\u00e9\u0301"])
def test_a_password_of_any_alphabet(
    tls: dict[str, Any], monkeypatch: pytest.MonkeyPatch, secret: str, left_out: list[str]
) -> None:
    monkeypatch.setenv(delivery.PASSWORD_VARIABLE, secret)
    with served(tls | {"auth_exclude_mechanism": left_out}, accepted=secret) as mailbox:
        assert sent(mail_of(mailbox, user="Büro")).reply is Reply.ACCEPTED
    assert mailbox.logins == [secret.encode("utf-8")]


def test_bytes_of_another_encoding_go_as_they_were_set(tls: dict[str, Any], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(os.environ, delivery.PASSWORD_VARIABLE, os.fsdecode("größe".encode("latin-1")))
    with served(tls) as mailbox:
        answer = sent(mail_of(mailbox))
    assert set(mailbox.logins) == {"größe".encode("latin-1")}
    assert "beyond ASCII" in answer.words


@pytest.mark.published
def test_the_published_logins(monkeypatch: pytest.MonkeyPatch) -> None:
    """RFC 2195 (1997), section 2, and RFC 4616 (2006), section 4: user tim, password tanstaaftanstaaf."""
    monkeypatch.setenv(delivery.PASSWORD_VARIABLE, "tanstaaftanstaaf")
    asked = b"334 PDE4OTYuNjk3MTcwOTUyQHBvc3RvZmZpY2UucmVzdG9uLm1jaS5uZXQ+"
    end = [b"250 ok", b"550 no"]
    with scripted([HELLO[0], b"250-x\r\n250 AUTH LOGIN CRAM-MD5", asked, b"235 ok", *end]) as script:
        sent(Mail(HOST, script.port, "none", "tim", "a@b.example"))
    assert script.reported[1:3] == [b"AUTH CRAM-MD5", b"dGltIGI5MTNhNjAyYzdlZGE3YTQ5NWI0ZTZlNzMzNGQzODkw"]
    with scripted([HELLO[0], b"250-x\r\n250 AUTH PLAIN", b"235 ok", *end]) as script:
        sent(Mail(HOST, script.port, "none", "tim", "a@b.example"))
    assert base64.b64decode(script.reported[1].removeprefix(b"AUTH PLAIN ")) == b"\0tim\0tanstaaftanstaaf"


@pytest.mark.parametrize("odd", [b"334 %%%", b"334", b"334 " + b"A" * 400, b"250 ok", b"999", b"421 closing", b"\xff"])
def test_odd_questions_at_the_login_only_delay(odd: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(delivery.PASSWORD_VARIABLE, PASSWORD)
    for way in (b"PLAIN", b"LOGIN", b"CRAM-MD5"):
        with scripted([HELLO[0], b"250-x\r\n250 AUTH " + way, odd, odd, odd, odd]) as script:
            answer = sent(Mail(HOST, script.port, "none", "tim", "a@b.example", timeout_seconds=30))
        assert (answer.reply, answer.is_for_all) == (Reply.DEFERRED, True)
        assert not any(reported.startswith(b"MAIL") for reported in script.reported)


@pytest.mark.published
def test_nothing_said_before_the_encryption_counts(tls: dict[str, Any]) -> None:
    """RFC 3207 (2002), section 5: what comes unencrypted may come from anybody; here with the answer to STARTTLS."""
    injected = b"220 go on\r\n250-x\r\n250 AUTH PLAIN"
    rest = [b"250-x\r\n250 AUTH PLAIN", b"235 ok", b"250 ok", b"250 ok", b"354 go on", b"250 taken", b"221 bye"]
    for reply, expected in ((b"220 go on", Reply.ACCEPTED), (injected, Reply.DEFERRED)):
        with scripted([HELLO[0], b"250-x\r\n250 STARTTLS", reply, *rest], tls["tls_context"]) as script:
            answer = sent(mail_of(script))
        assert answer.reply is expected, answer
    assert "before the encryption" in answer.words
    assert not any(reported.startswith(b"AUTH") for reported in script.reported)


@pytest.mark.parametrize("ahead", range(5))
def test_a_server_one_answer_ahead_never_makes_a_letter_look_sent(ahead: int) -> None:
    """It answers one step twice at once, and refuses the letter in the end."""
    lines = [*HELLO, b"250 ok", b"250 ok", b"354 go on", b"554 no"]
    lines[ahead] += b"\r\n" + lines[ahead + 1][:3] + b" too soon"
    with scripted(lines) as script:
        answer = sent(Mail(HOST, script.port, "none", "", "a@b.example", timeout_seconds=30))
    assert answer.reply in (Reply.DEFERRED, Reply.REFUSED)
    assert b"QUIT" not in script.reported


@pytest.mark.parametrize(
    ("answers", "expected"),
    [
        (b"250 too soon\r\n250 too soon\r\n554 no", Reply.UNCLEAR),
        (b"550 too soon\r\n250 taken", Reply.UNCLEAR),
        (b"250 taken\r\n250 taken", Reply.ACCEPTED),
        (b"550 no\r\n550 no", Reply.REFUSED),
    ],
)
def test_answers_that_contradict_one_another_leave_it_open(answers: bytes, expected: Reply) -> None:
    """Whichever of them is to the letter; those that say the same twice say it."""
    with scripted([*HELLO, b"250 ok", b"250 ok", b"354 go on", answers, b"221 bye"]) as script:
        answer = sent(Mail(HOST, script.port, "none", "", "a@b.example", timeout_seconds=30))
    assert answer.reply is expected


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
    monkeypatch.setattr(delivery, "from_keyring", lambda user: None)
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
