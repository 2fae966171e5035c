"""Where the shop's reports go: the section [mail] of its settings, and what it may say."""

from __future__ import annotations

import ipaddress
from dataclasses import dataclass, field
from email.errors import HeaderParseError
from email.headerregistry import Address

from models.errors import SettingsError

SECURITIES = ("starttls", "tls", "none")


@dataclass(frozen=True)
class Mail:
    """The mail server and who gets the reports. A password is no setting: it is never in a file.

    security: `starttls` turns the connection to TLS or gives up, `tls` begins with it, `none` only within this machine.
    attach_limit_mb: page and workbook are attached up to this many megabytes together, else named.
    owner: who is told of a failed run; nobody where empty. timeout_seconds: for each answer of the server.
    """

    host: str = ""
    port: int = 587
    security: str = "starttls"
    user: str = ""
    sender: str = ""
    recipients: list[str] = field(default_factory=list)
    owner: str = ""
    attach_limit_mb: int = 10
    timeout_seconds: float = 30.0

    @property
    def is_set(self) -> bool:
        """Whether the shop wants mail at all."""
        return bool(self.host)


def checked_mail(mail: Mail, where: str) -> Mail:
    """The section if it can be used. Raises SettingsError that names the setting."""
    if not mail.is_set:
        return mail
    if mail.security not in SECURITIES:
        raise _wrong(where, f"security = {mail.security!r} is not known", f"use one of {', '.join(SECURITIES)}")
    if mail.security == "none" and not is_loopback(mail.host):
        raise _wrong(
            where,
            'security = "none" would send reports and password readable through the network',
            'use "starttls" or "tls"; "none" is for a mail server on this machine',
        )
    if not 0 < mail.port < 65536 or mail.attach_limit_mb < 0 or mail.timeout_seconds <= 0:
        raise _wrong(where, "port, attach_limit_mb or timeout_seconds is out of range", "mend that number")
    if not mail.recipients:
        raise _wrong(where, "names no recipients", 'write recipients = ["you@your-domain.example"]')
    _check_addresses(mail, where)
    return mail


def _check_addresses(mail: Mail, where: str) -> None:
    for address in (mail.sender, *mail.recipients, *([mail.owner] if mail.owner else [])):
        if not is_address(address):
            raise _wrong(
                where,
                f"{str(address)[:80]!r} is no mail address",
                "write it as name@domain, in plain ASCII letters (a domain with others in its xn-- form)",
            )


def is_address(text: object) -> bool:
    """Whether the text is one bare address (RFC 5322 addr-spec) in ASCII; never a list, a name or a second header."""
    if not isinstance(text, str) or not text.isascii() or any(mark in text for mark in '\r\n\0 ,;<>"'):
        return False
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


def _wrong(where: str, what: str, next_step: str) -> SettingsError:
    return SettingsError(where, what, "every mail of this shop", next_step)
