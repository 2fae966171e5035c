"""Where the shop's reports go: the section [mail] of its settings, and what it may say."""

import ipaddress
import re
from dataclasses import dataclass, field
from typing import Annotated, ClassVar

from pydantic import AfterValidator, Field

from models.settings.types import Plain, RefusedError, Section, among

SECURITIES = ("starttls", "tls", "none")


def _host(text: str) -> str:
    if not re.fullmatch(r"[A-Za-z0-9._:%-]{0,253}", text):
        raise RefusedError(
            "is not the name or address of a server", 'write it as "mail.your-domain.example", without port or path'
        )
    return text


def _recipient(text: str) -> str:
    if not is_address(text):
        raise RefusedError(
            "is not a mail address",
            "write it as name@domain, in plain ASCII letters (a domain with others in its xn-- form)",
        )
    return text


Host = Annotated[str, AfterValidator(_host)]
Recipient = Annotated[str, AfterValidator(_recipient)]
ATTACHABLE = "page", "workbook"
# Nobody where it is empty.
Mailbox = Annotated[str, AfterValidator(lambda text: _recipient(text) if text else text)]


@dataclass(frozen=True)
class Mail(Section):
    """The mail server and who gets the reports. A password is no setting: it is never in a file.

    security: `starttls` turns the connection to TLS or gives up, `tls` begins with it, `none` only within this machine.
    attach: what goes with a letter beside its pictures; nothing, and it says where page and workbook lie.
    attach_limit_mb: attached up to this many megabytes together, else named.
    owner: who hears of a failed run; nobody where empty. timeout_seconds: for the whole talk with the server about
    one letter (RFC 5321, section 4.5.3.2, would have a client wait minutes for some answers).
    """

    affected: ClassVar[str] = "every mail of this shop"

    host: Host = ""
    port: Annotated[int, Field(ge=1, le=65_535)] = 587
    security: Annotated[str, among(SECURITIES)] = "starttls"
    user: Annotated[Plain, Field(max_length=320)] = ""
    sender: Mailbox = ""
    recipients: Annotated[list[Recipient], Field(max_length=100)] = field(default_factory=list)
    owner: Mailbox = ""
    attach: Annotated[list[Annotated[str, among(ATTACHABLE)]], Field(max_length=2)] = field(default_factory=list)
    attach_limit_mb: Annotated[int, Field(ge=0, le=1000)] = 10
    timeout_seconds: Annotated[float, Field(gt=0, le=3600)] = 300.0

    @property
    def is_set(self) -> bool:
        """Whether the shop wants mail at all."""
        return bool(self.host)

    @property
    def has_owner(self) -> bool:
        """Whether there is an owner to write to."""
        return self.is_set and bool(self.owner)


def _sendable(mail: Mail) -> Mail:
    """The section where it names a server and then all that a letter needs. Raises RefusedError."""
    if not mail.is_set:
        return mail
    if mail.security == "none" and not is_loopback(mail.host):
        raise RefusedError(
            'security = "none" would send reports and password readable through the network',
            'use "starttls" or "tls"; "none" is for a mail server on this machine',
            at=("security",),
        )
    if not mail.recipients:
        raise RefusedError("names no recipients", 'write recipients = ["you@your-domain.example"]', at=("host",))
    if not mail.sender:
        raise RefusedError("names no sender", 'write sender = "reports@your-domain.example"', at=("host",))
    return mail


CheckedMail = Annotated[Mail, AfterValidator(_sendable)]


def is_address(text: object) -> bool:
    """Whether the text is one bare address (RFC 5322 addr-spec) in ASCII; never a list, a name or a second header."""
    if not isinstance(text, str) or not text.isascii() or any(mark in text for mark in '\r\n\0 ,;<>"'):
        return False
    from email.errors import HeaderParseError
    from email.headerregistry import Address

    try:
        found = Address(addr_spec=text)
    except (ValueError, HeaderParseError, IndexError):
        return False
    return bool(found.username and found.domain) and len(text) <= 254


def is_loopback(host: str) -> bool:
    """Whether the host is this machine: localhost or a loopback address (RFC 6761, section 6.3; RFC 1122; RFC 4291)."""
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False
