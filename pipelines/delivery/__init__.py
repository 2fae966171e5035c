"""Hands letters to the shop's mail server, and is the only place that ever holds the password.

The steps are taken one by one (RFC 5321, section 4.1.1), because what a break means depends on where it happens: before
the dot that ends the text nothing was taken; after it nobody knows until the server answers clearly.
"""

import base64
import os
import re
import ssl
from collections.abc import Callable
from functools import partial

from dashboards.formats import plain
from models.delivery_attempts import Answer, Reply
from models.errors import DeliveryError
from models.settings.mail import Mail
from pipelines.delivery.smtp import BROKEN, LoginRefused, NotOffered, Refused, Talk
from pipelines.shop.keyrings import from_keyring

PASSWORD_VARIABLE = "DUNNAGE_MAIL_PASSWORD"
LINE_START_DOT = re.compile(rb"(?m)^\.")
Connect = Callable[[Mail], Talk]


def deliver(
    mail: Mail, text: bytes, recipient: str, on_text: Callable[[], None], connect: Connect | None = None
) -> Answer:
    """Hand one letter to the server. on_text is called when only the dot is missing that makes the text whole.

    text: the whole message with CRLF line ends. Never raises for what network or server do, and never takes longer than
    the settings' deadline, the system's keyring aside.
    """
    try:
        talk = (connect or connected)(mail)
    except DeliveryError as wrong:
        return Answer(Reply.DEFERRED, f"{wrong.what}; {wrong.next_step}", is_for_all=True)
    except BROKEN as broken:
        return Answer(Reply.DEFERRED, _words(broken, mail), is_for_all=True)
    try:
        return _handed_over(talk, mail, text, recipient, on_text)
    finally:
        talk.close()


def _handed_over(talk: Talk, mail: Mail, text: bytes, recipient: str, on_text: Callable[[], None]) -> Answer:
    options = [f"size={len(text)}"] if talk.has_extn("size") else []
    try:
        # RFC 5321, section 4.3.2: the first digit of the reply to each command says whether to go on.
        for step, first_digit in (
            (partial(talk.mail, mail.sender, options), 2),
            (partial(talk.rcpt, recipient), 2),
            (partial(talk.docmd, "DATA"), 3),
        ):
            code, said = step()
            if code // 100 != first_digit:
                return _refusal(code, said, mail)
        talk.send(_stuffed(text))
        if talk.has_spoken():  # no answer to the letter: that is not whole yet
            return _refusal(*talk.getreply(), mail)
        on_text()
    except BROKEN as broken:
        return Answer(Reply.DEFERRED, _words(broken, mail))
    return _answer_to_text(talk, mail)


def _stuffed(text: bytes) -> bytes:
    """The text with its line-start dots doubled and its last line ended (RFC 5321, section 4.5.2)."""
    return LINE_START_DOT.sub(b"..", text if text.endswith(b"\r\n") else text + b"\r\n")


def _answer_to_text(talk: Talk, mail: Mail) -> Answer:
    """Any 2xx means that the server has the letter, 4xx and 5xx that it has not; all else leaves it open."""
    try:
        talk.end_text()
        code, said = talk.getreply()
    except BROKEN as broken:
        return Answer(Reply.UNCLEAR, _words(broken, mail))
    if code // 100 == 3:
        return Answer(Reply.UNCLEAR, f"no answer to a letter: {_said(code, said, mail)}")
    if not talk.ends_in_step(code):
        return Answer(Reply.UNCLEAR, f"the server said more after its answer {_said(code, said, mail)}")
    return Answer(Reply.ACCEPTED) if code // 100 == 2 else _refusal(code, said, mail)


def _refusal(code: int, said: bytes, mail: Mail) -> Answer:
    """5xx is for good, anything else for now (RFC 5321, section 4.2.1). 421 means that the server is closing."""
    reply = Reply.REFUSED if code >= 500 else Reply.DEFERRED
    return Answer(reply, _said(code, said, mail), is_for_all=code == 421)


def connected(mail: Mail) -> Talk:
    """A talk that is encrypted as the settings say and logged in where they name a user.

    Raises DeliveryError where a password, encryption or login fails, and one of BROKEN for the network.
    """
    secret = password(mail) if mail.user else ""
    talk = Talk(mail)
    try:
        talk.begin()
        if mail.user:
            talk.log_in(mail.user, _bytes_of(secret))
    except BaseException as wrong:
        talk.close()
        raise _named(wrong, mail, secret) from None
    return talk


def _named(wrong: BaseException, mail: Mail, secret: str) -> BaseException:
    """What is wrong in the owner's words where the owner can correct it; else what it was."""
    if isinstance(wrong, ssl.SSLError):
        what = f"no trusted encryption: {_words(wrong, mail)}"
        return _mistake(mail, what, "check host, port and security, and the clock")
    if isinstance(wrong, NotOffered):
        return _mistake(mail, "the server offers no TLS or no login there", "check port and security in [mail]")
    if isinstance(wrong, LoginRefused):
        beyond = "" if secret.isascii() else "; letters beyond ASCII went as UTF-8: a server may want others"
        what = f"the login was refused: {_words(wrong, mail)}"
        return _mistake(mail, what, f"check user, and set {PASSWORD_VARIABLE} again{beyond}")
    return wrong


def password(mail: Mail) -> str:
    """The password from the environment or, if that library is installed, the keyring. Raises DeliveryError."""
    found = _known_password(mail.user)
    if not found:
        raise _mistake(mail, "no password is known", f"set {PASSWORD_VARIABLE} where dunnage runs")
    if "\0" in found:
        raise _mistake(mail, "the password holds a NUL character, which no login can send", "set another password")
    return found


def _known_password(user: str) -> str | None:
    return os.environ.get(PASSWORD_VARIABLE) or (from_keyring(user) if user else None)


def _bytes_of(secret: str) -> bytes:
    """UTF-8; bytes of the environment that are none go as they are."""
    return secret.encode("utf-8", "surrogateescape")


def _mistake(mail: Mail, what: str, next_step: str) -> DeliveryError:
    return DeliveryError(f"mail server {mail.host}:{mail.port}", what, "every letter that waits", next_step)


def _words(broken: BaseException, mail: Mail) -> str:
    if isinstance(broken, Refused):
        said = broken.smtp_error
        return _said(broken.smtp_code, said if isinstance(said, bytes) else said.encode(), mail)
    if isinstance(broken, TimeoutError):
        return f"the talk with the server was not over within {mail.timeout_seconds:g} seconds"
    return scrubbed(f"{type(broken).__name__}: {broken}", mail.user)


def _said(code: int, said: bytes, mail: Mail) -> str:
    return scrubbed(f"{code} {said.decode(errors='replace')}", mail.user)


def scrubbed(words: str, user: str = "") -> str:
    """The server's words on one line, cut short; the password, plain or as a login sends it, is blotted out."""
    if secret := _known_password(user):
        raw = _bytes_of(secret)
        encoded = base64.b64encode(raw).decode()
        for form in (raw.decode(errors="replace"), encoded, encoded.rstrip("=")):
            words = words.replace(form, "(password)")
    # An AUTH PLAIN answer holds user and password in one base64 text: no long one is repeated.
    return plain(re.sub(r"[A-Za-z0-9+/]{24,}={0,2}", "(text)", words), 300)
