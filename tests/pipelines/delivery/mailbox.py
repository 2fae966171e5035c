"""A mail server on this machine for tests: with TLS and login, and with faults where a test asks for them."""

from __future__ import annotations

import asyncio
import datetime as dt
import os
import signal
import socket
import ssl
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from email import message_from_bytes
from email.message import Message
from ipaddress import ip_address
from pathlib import Path
from typing import Any

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, AuthResult
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

HOST = "127.0.0.1"
STAGES = ("EHLO", "MAIL", "RCPT", "TEXT", "END")


@dataclass(frozen=True)
class Fault:
    """What goes wrong, and at which command; TEXT is the moment before the text, END the one after its last dot."""

    stage: str
    kind: str

    @property
    def keeps(self) -> bool:
        """Whether the server kept the letter although it never said so."""
        return self.kind.endswith("keeping")


@dataclass
class Mailbox:
    """What the server has seen. faults: one for each talk to come; None or an empty list for none."""

    faults: list[Fault | None] = field(default_factory=list)
    kept: list[Message] = field(default_factory=list)
    raw: list[bytes] = field(default_factory=list)
    logins: list[bytes] = field(default_factory=list)
    accepted_password: bytes = b""
    hang_seconds: float = 0.5
    victim: int = 0
    fault: Fault | None = None
    port: int = 0

    def begin_talk(self) -> None:
        self.fault = self.faults.pop(0) if self.faults else None

    async def strike(self, server: SMTP, stage: str) -> str | None:
        """The answer that the fault gives at this stage, after its harm is done; None for business as usual."""
        fault = self.fault
        if fault is None or fault.stage != stage:
            return None
        if fault.kind in ("4xx", "5xx"):
            return "451 4.3.0 not now" if fault.kind == "4xx" else "550 5.1.1 nobody of that name"
        if fault.kind.startswith("hang"):
            await asyncio.sleep(self.hang_seconds)
        if fault.kind.startswith("kill"):
            os.kill(self.victim, signal.SIGKILL)
        if server.transport is not None:
            server.transport.abort()
        return "421 gone"

    def received(self, message_id: str) -> list[Message]:
        """The letters with this id."""
        return [letter for letter in self.kept if letter["Message-ID"] == message_id]


class Handler:
    """Hooks of aiosmtpd that strike with the mailbox's fault."""

    def __init__(self, mailbox: Mailbox) -> None:
        self.mailbox = mailbox

    async def handle_EHLO(  # noqa: N802
        self, server: SMTP, session: Any, envelope: Any, hostname: str, responses: list[str]
    ) -> list[str]:
        session.host_name = hostname
        self.mailbox.begin_talk()
        answer = await self.mailbox.strike(server, "EHLO")
        return [answer] if answer else responses

    async def handle_MAIL(  # noqa: N802
        self, server: SMTP, session: Any, envelope: Any, address: str, options: list[str]
    ) -> str:
        envelope.mail_from = address
        return await self.mailbox.strike(server, "MAIL") or "250 OK"

    async def handle_RCPT(  # noqa: N802
        self, server: SMTP, session: Any, envelope: Any, address: str, options: list[str]
    ) -> str:
        answer = await self.mailbox.strike(server, "RCPT")
        if answer is None:
            envelope.rcpt_tos.append(address)
        return answer or "250 OK"

    async def handle_DATA(self, server: SMTP, session: Any, envelope: Any) -> str:  # noqa: N802
        mailbox = self.mailbox
        fault = mailbox.fault if mailbox.fault and mailbox.fault.stage == "END" else None
        if fault is None or fault.keeps:
            mailbox.raw.append(envelope.content)
            mailbox.kept.append(message_from_bytes(envelope.content))
        return await mailbox.strike(server, "END") or "250 OK"


class FaultyServer(SMTP):  # type: ignore[misc]
    """Strikes between `DATA` and the text."""

    async def smtp_DATA(self, arg: str) -> None:  # noqa: N802
        answer = await self.event_handler.mailbox.strike(self, "TEXT")
        if answer is None:
            await super().smtp_DATA(arg)
        elif self.transport is not None and not self.transport.is_closing():
            await self.push(answer)


@contextmanager
def mail_server(mailbox: Mailbox | None = None, **options: Any) -> Iterator[Mailbox]:
    """A running server. options: of aiosmtpd's SMTP, and `ssl_context` for TLS from the first byte."""
    mailbox = mailbox or Mailbox()
    controller = _Controller(Handler(mailbox), hostname=HOST, port=free_port(), **options)
    controller.start()
    mailbox.port = controller.port
    try:
        yield mailbox
    finally:
        controller.stop()


class _Controller(Controller):  # type: ignore[misc]
    def factory(self) -> SMTP:
        return FaultyServer(self.handler, **self.SMTP_kwargs)


def login(mailbox: Mailbox) -> Callable[..., AuthResult]:
    """An authenticator that remembers what it was told."""

    def check(server: SMTP, session: Any, envelope: Any, mechanism: str, reported: Any) -> AuthResult:
        mailbox.logins.append(reported.password)
        return AuthResult(success=reported.password == mailbox.accepted_password, handled=False)

    return check


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind((HOST, 0))
        return int(probe.getsockname()[1])


def certificate(folder: Path, name: str = "localhost") -> tuple[Path, ssl.SSLContext]:
    """A certificate that vouches for itself, for `name` and the loopback address, and the server's context with it."""
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
    names = [x509.DNSName(name)] + ([x509.IPAddress(ip_address(HOST))] if name == "localhost" else [])
    today = dt.datetime.now(dt.UTC)
    signed = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(today - dt.timedelta(days=1))
        .not_valid_after(today + dt.timedelta(days=2))
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    public, private = folder / f"{name}.pem", folder / f"{name}.key"
    public.write_bytes(signed.public_bytes(serialization.Encoding.PEM))
    private.write_bytes(
        key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    )
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(public, private)
    return public, context
