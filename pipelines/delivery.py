"""Talks to the shop's mail server. The only user of smtplib, and the only place that ever holds the password.

The steps of a talk are taken one by one (RFC 5321, section 4.1.1), because what a break means depends on where it
happens: before the whole text was handed over nothing was taken; after that nobody knows until the server answers.
"""

from __future__ import annotations

import base64
import os
import re
import smtplib
import ssl
from collections.abc import Callable
from contextlib import suppress
from functools import partial

from dashboards.formats import plain
from models.errors import DeliveryError
from models.mail_settings import Mail
from models.mailing import Answer, Reply

PASSWORD_VARIABLE = "DUNNAGE_MAIL_PASSWORD"
KEYRING_SERVICE = "dunnage"
LINE_START_DOT = re.compile(rb"(?m)^\.")
Connect = Callable[[Mail], smtplib.SMTP]
# What the network and the server can do to a talk.
BROKEN = (OSError, smtplib.SMTPException)


def deliver(
    mail: Mail, text: bytes, recipient: str, on_text: Callable[[], None], connect: Connect | None = None
) -> Answer:
    """Hand one letter to the server. on_text is called when the server waits for the text, before the first byte.

    text: the whole message with CRLF line ends. Never raises for what network or server do.
    """
    try:
        client = (connect or connected)(mail)
    except DeliveryError as wrong:
        return Answer(Reply.DEFERRED, f"{wrong.what}; {wrong.next_step}", is_for_all=True)
    except BROKEN as broken:
        return Answer(Reply.DEFERRED, _words(broken), is_for_all=True)
    try:
        return _handed_over(client, mail, text, recipient, on_text)
    finally:
        client.close()


def _handed_over(client: smtplib.SMTP, mail: Mail, text: bytes, recipient: str, on_text: Callable[[], None]) -> Answer:
    try:
        for step in (
            partial(client.mail, mail.sender, _options(client, text)),
            partial(client.rcpt, recipient),
            partial(client.docmd, "data"),
        ):
            code, said = step()
            if code not in (250, 251, 354):
                return _refusal(code, said)
        on_text()
        client.send(LINE_START_DOT.sub(b"..", text) + b"\r\n.\r\n")
    except BROKEN as broken:
        return Answer(Reply.DEFERRED, _words(broken))
    return _answer_to_text(client)


def _options(client: smtplib.SMTP, text: bytes) -> list[str]:
    return [f"size={len(text)}"] if client.has_extn("size") else []


def _answer_to_text(client: smtplib.SMTP) -> Answer:
    try:
        code, said = client.getreply()
    except BROKEN as broken:
        return Answer(Reply.UNANSWERED, _words(broken))
    if code == 250:
        _say_goodbye(client)
        return Answer(Reply.ACCEPTED)
    return _refusal(code, said)


def _say_goodbye(client: smtplib.SMTP) -> None:
    with suppress(*BROKEN):  # the letter is taken; how the talk ends does not matter
        client.quit()


def _refusal(code: int, said: bytes) -> Answer:
    """5xx is for good, anything else for now (RFC 5321, section 4.2.1). 421 means that the server is closing."""
    reply = Reply.REFUSED if code >= 500 else Reply.DEFERRED
    return Answer(reply, scrubbed(f"{code} {said.decode(errors='replace')}"), is_for_all=code == 421)


def connected(mail: Mail) -> smtplib.SMTP:
    """A connection that is encrypted as the settings say and logged in where they name a user.

    Raises DeliveryError where a password, encryption or login fails, OSError or SMTPException for the network.
    """
    secret = password(mail) if mail.user else ""
    try:
        return _logged_in(_opened(mail), mail, secret)
    except ssl.SSLError as wrong:
        raise _mistake(
            mail, f"no trusted encryption: {_words(wrong)}", "check host, port and security, and the clock"
        ) from None
    except smtplib.SMTPNotSupportedError:
        raise _mistake(
            mail, "the server offers no TLS or no login there", "check port and security in [mail]"
        ) from None
    except smtplib.SMTPAuthenticationError as refused:
        raise _mistake(
            mail, f"the login was refused: {_words(refused)}", f"check user, and set {PASSWORD_VARIABLE} anew"
        ) from None


def _opened(mail: Mail) -> smtplib.SMTP:
    # The default context verifies certificate and name; SSL_CERT_FILE names an authority of one's own.
    if mail.security == "tls":
        return smtplib.SMTP_SSL(
            mail.host, mail.port, timeout=mail.timeout_seconds, context=ssl.create_default_context()
        )
    client = smtplib.SMTP(mail.host, mail.port, timeout=mail.timeout_seconds)
    try:
        if mail.security == "starttls":
            client.starttls(context=ssl.create_default_context())
    except BaseException:
        client.close()
        raise
    return client


def _logged_in(client: smtplib.SMTP, mail: Mail, secret: str) -> smtplib.SMTP:
    try:
        client.ehlo_or_helo_if_needed()
        if mail.user:
            client.login(mail.user, secret)
    except BaseException:
        client.close()
        raise
    return client


def password(mail: Mail) -> str:
    """The password from the environment or, if that library is installed, the keyring. Raises DeliveryError."""
    found = os.environ.get(PASSWORD_VARIABLE) or _from_keyring(mail.user)
    if not found:
        raise _mistake(mail, "no password is known", f"set {PASSWORD_VARIABLE} where dunnage runs")
    return found


def _from_keyring(user: str) -> str | None:
    try:
        import keyring
    except ImportError:
        return None
    return str(keyring.get_password(KEYRING_SERVICE, user) or "") or None


def _mistake(mail: Mail, what: str, next_step: str) -> DeliveryError:
    return DeliveryError(f"mail server {mail.host}:{mail.port}", what, "every letter that waits", next_step)


def _words(broken: Exception) -> str:
    if isinstance(broken, smtplib.SMTPResponseException):
        said = broken.smtp_error
        return scrubbed(f"{broken.smtp_code} {said.decode(errors='replace') if isinstance(said, bytes) else said}")
    return scrubbed(f"{type(broken).__name__}: {broken}")


def scrubbed(words: str) -> str:
    """The server's words on one line, cut short; the password, plain or as a login sends it, is blotted out."""
    secret = os.environ.get(PASSWORD_VARIABLE, "")
    if secret:
        encoded = base64.b64encode(secret.encode()).decode()
        for form in (secret, encoded, encoded.rstrip("=")):
            words = words.replace(form, "(password)")
    # An AUTH PLAIN answer holds user and password in one base64 text: no long one is repeated.
    return plain(re.sub(r"[A-Za-z0-9+/]{24,}={0,2}", "(text)", words), 300)
