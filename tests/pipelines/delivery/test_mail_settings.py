"""The section [mail] of a shop's settings: what it may say, and what is refused before anything is sent."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import pytest

from models.errors import SettingsError
from models.settings.mail import CheckedMail, Mail
from pipelines.shop.toml_files import stated_as

TO = "packer@fernmoor.example"
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


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1", "127.8.9.1", "::1"])
def test_no_encryption_is_for_this_machine_only(host: str) -> None:
    """RFC 6761, section 6.3; RFC 1122, section 3.2.1.3 (g); RFC 4291, section 2.5.3."""
    assert stated_as(CheckedMail, asdict(MAIL) | {"security": "none", "host": host}, "[mail]").host == host


@pytest.mark.parametrize("host", ["localhost.evil.example", "128.0.0.1", "0.0.0.0", "127.0.0.1.example", "192.168.0.2"])
def test_a_name_that_only_looks_local_is_refused(host: str) -> None:
    with pytest.raises(SettingsError, match="readable"):
        stated_as(CheckedMail, asdict(MAIL) | {"security": "none", "host": host}, "[mail]")
