"""`dunnage init`: a new shop's folder with a commented dunnage.toml, its folders and files to fill in."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import tomlkit

from models.cells.numbers import minor_units
from models.cells.texts import minor_digits
from models.errors import SettingsError
from models.reference import RECORDS
from models.settings import checking
from models.settings.cartons import Cartons, NearMisses
from models.shop_units import Units, measure_of
from pipelines.shop.settings import FILE_NAME, Folders, Shop
from pipelines.shop.starting.templates import WORKBOOK, csv_name, csv_template, template_sources, workbook_template

TEMPLATES = "templates"
_SETTINGS = Path(__file__).with_name("dunnage.toml.txt")
QUESTIONS = {
    "name": "Name of the shop",
    "currency": "Currency, by its three letters",
    "time_zone": "Time zone, such as Europe/Berlin",
    "units": "Units of the shop, metric (cm, kg) or inch (in, lb)",
    "wage": "Wage of the packing bench per hour",
}


@dataclass(frozen=True)
class Answers:
    """What a new shop says about itself; None where nothing was said."""

    name: str | None = None
    currency: str | None = None
    time_zone: str | None = None
    units: str | None = None
    wage: str | None = None


# Units have none: 48 in and 48 cm are both likely, and nothing that comes later would tell.
DEFAULTS = {"name": Shop.name, "currency": Shop.currency, "time_zone": Shop.time_zone, "units": "", "wage": "0.00"}


def complete(answers: Answers, ask: Callable[[str, str], str] | None) -> Answers:
    """Ask for what was not given, or take the default where nobody can be asked. `ask(question, default)`."""
    said = {
        name: getattr(answers, name) or (ask(question, DEFAULTS[name]) if ask else "") or DEFAULTS[name]
        for name, question in QUESTIONS.items()
    }
    return replace(answers, **said)


def checked(answers: Answers) -> Shop:
    """The answers as the shop's settings. Raises SettingsError that names the answer."""
    currency = str(answers.currency).strip().upper()
    if not answers.units:
        raise _wrong("--units", "is not stated", "add --units metric (cm, kg) or --units inch (in, lb)")
    stated = {
        "name": str(answers.name).strip(),
        "currency": currency,
        "time_zone": str(answers.time_zone).strip(),
        "units": answers.units.strip().lower(),
        "wage_cents_per_hour": _cents(str(answers.wage), minor_digits(currency)),
    }
    shop, mistakes = checking.checked(Shop, stated)
    if mistakes:
        option = {"wage_cents_per_hour": "--wage"}.get(name := str(mistakes[0].place[0]), f"--{name.replace('_', '-')}")
        raise _wrong(option, mistakes[0].what, mistakes[0].next_step)
    checked_shop: Shop = shop
    return checked_shop


def _wrong(where: str, what: str, next_step: str) -> SettingsError:
    return SettingsError(where, what, "the new folder; nothing was written", next_step)


def _cents(said: str, digits: int) -> int:
    cents = minor_units(said, digits)
    if cents is None:
        raise _wrong("--wage", f"{said!r} is not an amount per hour", "write it with a point, such as 24.00")
    return cents


def start(folder: Path, shop: Shop, *, is_forced: bool = False) -> tuple[list[Path], list[Path]]:
    """Write the folder; returns what was written and what was there already and left alone.

    Raises SettingsError where a dunnage.toml exists, or where the folder holds other things and `is_forced` is not set.
    """
    _refuse_used(folder, is_forced)
    for name in _folder_names():
        (folder / name).mkdir(mode=0o700, parents=True, exist_ok=True)
    written: list[Path] = []
    kept: list[Path] = []
    for path, content in _files(folder, shop).items():
        (written if _write_new(path, content) else kept).append(path)
    return written, kept


def _refuse_used(folder: Path, is_forced: bool) -> None:
    if (folder / FILE_NAME).exists():
        raise _wrong(str(folder / FILE_NAME), "exists already; it is never overwritten", "choose another folder")
    if folder.exists() and not folder.is_dir():
        raise _wrong(str(folder), "is a file", "choose another folder")
    if folder.is_dir() and any(folder.iterdir()) and not is_forced:
        raise _wrong(str(folder), "is not empty", "choose another folder, or add --force: no file is overwritten")


def _folder_names() -> Iterator[str]:
    folders = Folders()
    yield from (folders.inbox, folders.archive, folders.rejects, folders.reviews, folders.tariffs, TEMPLATES)


def _files(folder: Path, shop: Shop) -> Mapping[Path, bytes]:
    # The settings come last: a folder without them was never finished and may be started again.
    templates = folder / TEMPLATES
    return {
        **{templates / csv_name(kind): csv_template(kind, shop.shown_units).encode() for kind in RECORDS},
        templates / WORKBOOK: workbook_template(shop.shown_units),
        folder / FILE_NAME: settings_text(shop).encode(),
    }


def _write_new(path: Path, content: bytes) -> bool:
    """Write a file that does not exist yet; whether it was written."""
    try:
        with path.open("xb") as opened:
            opened.write(content)
    except FileExistsError:
        return False
    return True


def settings_text(shop: Shop) -> str:
    """The whole dunnage.toml of a new shop: every setting with its meaning, those that matter later as comments."""
    filled = _SETTINGS.read_text(encoding="utf-8").format(
        name=tomlkit.item(shop.name).as_string(),
        currency=tomlkit.item(shop.currency).as_string(),
        time_zone=tomlkit.item(shop.time_zone).as_string(),
        units=shop.shown_units,
        **_measures(shop.shown_units),
        wage=shop.wage_cents_per_hour,
        folders=Folders(),
        templates=TEMPLATES,
    )
    return f"{filled}\n{template_sources(shop.shown_units)}"


def _measures(units: Units) -> dict[str, str]:
    """Settings that are measures, as lines in the shop's units, by the name under which they are kept."""
    kept = vars(NearMisses()) | vars(Cartons())
    return {name: f"{units.name(name)} = {units.value(name, kept[name])}" for name in kept if measure_of(name)}
