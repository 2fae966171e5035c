"""The shop's tariff files and their digest, without a look into them: whether one has changed is often asked."""

import hashlib
from pathlib import Path

from pipelines.shop.settings import Settings


def files(settings: Settings) -> list[Path]:
    """The shop's tariff files, by name."""
    return sorted(settings.path("tariffs").glob("*.toml"))


def digest(settings: Settings) -> str:
    """A digest of every tariff and price file: another digest means that the rating must be built again."""
    folder = settings.path("tariffs")
    found = sorted([*folder.glob("*.toml"), *folder.glob("*.csv")])
    return hashlib.sha256(b"\0".join(file.name.encode() + b"\0" + file.read_bytes() for file in found)).hexdigest()
