"""The shop's own texts to buyer and carrier: files of a folder, the program's where a file is missing."""

from pathlib import Path

from models.claims.texts import TEMPLATES, template
from models.errors import SettingsError
from pipelines.shop import durable
from pipelines.shop.settings import Settings

MOST_BYTES = 50_000


def texts(settings: Settings) -> dict[str, tuple[str, str]]:
    """Name -> where the text stands and the text itself. Raises SettingsError for a file that is no short text."""
    folder = settings.folder / settings.folders.texts
    return {name: _read(folder / name, template(name)) for name in TEMPLATES}


def _read(path: Path, usual: str) -> tuple[str, str]:
    if not path.is_file():
        return str(path), usual
    if path.stat().st_size > MOST_BYTES:
        raise SettingsError(str(path), "is too long for a letter", "the texts of claims", "shorten it")
    try:
        return str(path), path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise SettingsError(str(path), "is not UTF-8 text", "the texts of claims", "save it as UTF-8") from None


def write_texts(settings: Settings) -> list[Path]:
    """Write the program's texts where the shop has none yet, to be changed; returns what was written."""
    folder = settings.path("texts")
    fresh = [folder / name for name in TEMPLATES if not (folder / name).exists()]
    return [durable.write(path, template(path.name)) for path in fresh]
