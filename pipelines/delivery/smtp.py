"""One conversation with a mail server, under one deadline. The only user of smtplib.

smtplib gives each read a time-out of its own, so a server that drips holds it for ever; it takes the last line of a
reply for all of it; and it sends logins in ASCII only. What is read and written goes through here instead.
"""

import base64
import binascii
import hmac
import re
import smtplib
import socket
import ssl
import time
from collections.abc import Callable
from typing import Any

from models.settings.mail import Mail
from pipelines.delivery import lookups

LONGEST_REPLY = 1 << 16  # RFC 5321, section 4.5.3.1.5: 512 octets a line; many servers say more, none this much
CONNECT_SECONDS = 30.0
GOODBYE_SECONDS = 5.0
CHUNK = 1 << 16
# RFC 5321, section 4.2: three digits of which the first says what to do; every line of a reply has the same.
REPLY_LINE = re.compile(rb"([2-5][0-9]{2})(?:([ -])(.*))?", re.DOTALL)
# In the order of preference; none goes out before the connection is encrypted or stays within this machine.
MECHANISMS = ("CRAM-MD5", "PLAIN", "LOGIN")

NotOffered = smtplib.SMTPNotSupportedError
LoginRefused = smtplib.SMTPAuthenticationError
Refused = smtplib.SMTPResponseException


class Muddled(smtplib.SMTPException):
    """The server said something that is no reply, or spoke out of turn."""


# What the network and the server can do to a talk.
BROKEN = (OSError, smtplib.SMTPException)


class Talk(smtplib.SMTP):
    """A conversation from the greeting on. Its methods raise one of BROKEN for what network and server do."""

    def __init__(self, mail: Mail) -> None:
        self._ends_at = time.monotonic() + mail.timeout_seconds
        super().__init__(local_hostname=lookups.own_name(mail.timeout_seconds))
        self._mail = mail
        self._heard = bytearray()

    def begin(self) -> None:
        """Connect, encrypt as the settings say, and say hello. Raises NotOffered where the server has no TLS."""
        self.sock = _reached(self._mail, self._left)
        if self._mail.security == "tls":
            self._encrypt()
        self._expect(2, self.getreply())
        self._introduce()
        if self._mail.security == "starttls":
            self._start_tls()

    def _introduce(self) -> None:
        code, said = self.ehlo()
        if code >= 500:
            code, said = self.helo()
        self._expect(2, (code, said))

    def _start_tls(self) -> None:
        if not self.has_extn("starttls"):
            raise NotOffered("STARTTLS")
        self._expect(2, self.docmd("STARTTLS"))
        # Whatever came after that reply came unencrypted, from anybody: RFC 3207, section 5.
        if self.has_spoken():
            raise Muddled("the server said more before the encryption began")
        self._encrypt()
        # What it offered before is forgotten: RFC 3207, section 4.2.
        self.helo_resp = self.ehlo_resp = None
        self.esmtp_features, self.does_esmtp = {}, False
        self._introduce()

    def _encrypt(self) -> None:
        # The default context verifies certificate and name; SSL_CERT_FILE names an authority of one's own.
        context = ssl.create_default_context()
        self.sock = context.wrap_socket(self._limited(), server_hostname=self._mail.host)

    def _expect(self, first_digit: int, reply: tuple[int, bytes]) -> None:
        if reply[0] // 100 != first_digit:
            raise Refused(*reply)

    def log_in(self, user: str, secret: bytes) -> None:
        """Log in by the first way that works; user and password go as UTF-8 (RFC 4616, section 2).

        Raises NotOffered, or LoginRefused with the server's last words.
        """
        offered = str(self.esmtp_features.get("auth", "")).upper().split()
        ways = [each for each in MECHANISMS if each in offered]
        if not ways:
            raise NotOffered("AUTH")
        code, said = 0, b""
        for way in ways:
            code, said = self._authenticated(way, user.encode(), secret)
            if code in (235, 503):
                return
            if code == 421:
                break
        raise LoginRefused(code, said)

    def _authenticated(self, way: str, user: bytes, secret: bytes) -> tuple[int, bytes]:
        whole = b"\0" + user + b"\0" + secret
        answers: list[Callable[[bytes], bytes]] = {
            "CRAM-MD5": [lambda asked: user + b" " + hmac.new(secret, _decoded(asked), "md5").hexdigest().encode()],
            "PLAIN": [],
            "LOGIN": [lambda asked: user, lambda asked: secret],
        }[way]
        code, said = self.docmd("AUTH", f"PLAIN {_encoded(whole)}" if way == "PLAIN" else way)
        for answer in answers:
            if code != 334:
                return code, said
            code, said = self.docmd(_encoded(answer(said)))
        # A further question is called off: RFC 4954, section 4.
        return self.docmd("*") if code == 334 else (code, said)

    def send(self, s: Any) -> None:
        """Write a command or the text. Raises Muddled where the server has spoken before it was asked."""
        if self.has_spoken():
            code, said = self.getreply()
            raise Muddled(f"the server spoke out of turn: {code} {said.decode(errors='replace')}")
        self._write(s.encode(self.command_encoding) if isinstance(s, str) else bytes(s))

    def end_text(self) -> None:
        """Write the dot that makes the text whole."""
        self._write(b".\r\n")

    def _write(self, text: bytes) -> None:
        left = memoryview(text)
        while left:
            left = left[self._limited().send(left[:CHUNK]) :]

    def getreply(self) -> tuple[int, bytes]:
        """The next reply: its code and its lines joined. Raises Muddled for what is none."""
        lines: list[bytes] = []
        first, size = b"", 0
        while True:
            line = self._line()
            size += len(line)
            found = REPLY_LINE.fullmatch(line)
            if not found or found[1] != (first or found[1]) or size > LONGEST_REPLY:
                raise Muddled(f"no valid reply: {line[:100].decode(errors='replace')}")
            first = found[1]
            lines.append((found[3] or b"").strip())
            if found[2] != b"-":
                return int(first), b"\n".join(lines)

    def _line(self) -> bytes:
        while (end := self._heard.find(b"\n")) < 0:
            if len(self._heard) > LONGEST_REPLY:
                raise Muddled("no valid reply: a line without end")
            self._hear(self._limited())
        line = bytes(self._heard[:end]).removesuffix(b"\r")
        del self._heard[: end + 1]
        return line

    def _hear(self, connection: socket.socket) -> None:
        chunk = connection.recv(CHUNK)
        if not chunk:
            raise smtplib.SMTPServerDisconnected("the server closed the connection")
        self._heard += chunk

    def has_spoken(self) -> bool:
        """Whether something has come that was not read yet."""
        if not self._heard:
            connection = self._limited()
            connection.settimeout(0.0)
            try:
                self._hear(connection)
            except (BlockingIOError, ssl.SSLWantReadError):
                return False
        return True

    def ends_in_step(self, answer: int) -> bool:
        """Say goodbye; false where a reply comes that is none of the goodbye: `answer` may then be to nothing.

        A server that answers before it is asked is one reply ahead, and the next then belongs to the step before. The
        same answer said twice is no such thing.
        """
        self._ends_at = min(self._ends_at, time.monotonic() + GOODBYE_SECONDS)
        try:
            while self.has_spoken():
                code, _ = self.getreply()
                if code // 100 != answer // 100:
                    return _is_farewell(code)
            code, _ = self.docmd("QUIT")
        except BROKEN:  # it closed, or says nothing that can be read: the reply stands
            return True
        return _is_farewell(code) or code // 100 == 2 == answer // 100

    def _left(self) -> float:
        left = self._ends_at - time.monotonic()
        if left <= 0:
            raise TimeoutError("the deadline has passed")
        return left

    def _limited(self) -> socket.socket:
        """The connection, its next step limited to what is left of the deadline."""
        if self.sock is None:
            raise smtplib.SMTPServerDisconnected("there is no connection")
        connection: socket.socket = self.sock
        connection.settimeout(self._left())
        return connection


def _reached(mail: Mail, left: Callable[[], float]) -> socket.socket:
    """A connection to the first address of the host that answers."""
    problem: OSError | None = None
    for family, kind, protocol, _, address in lookups.addresses(mail.host, mail.port, left()):
        connection = socket.socket(family, kind, protocol)
        try:
            connection.settimeout(min(left(), CONNECT_SECONDS))
            connection.connect(address)
        except OSError as broken:
            problem = broken
            connection.close()
        else:
            return connection
    raise problem or OSError(f"{mail.host} has no address")


def _is_farewell(code: int) -> bool:
    """Whether a goodbye may be answered so: it is taken, the server is closing, or it does not know the command."""
    return code in (221, 421) or 500 <= code <= 504


def _encoded(text: bytes) -> str:
    return base64.b64encode(text).decode()


def _decoded(asked: bytes) -> bytes:
    try:
        return base64.b64decode(asked, validate=True)
    except binascii.Error:
        raise Muddled("no valid question for the login") from None
