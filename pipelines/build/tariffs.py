"""Reads the shop's tariff files and loads them into the warehouse for the rating."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from models.errors import NotFoundError, TariffError
from models.tables.tariffs import TARIFFS
from models.tariffs.checks import checked, checked_together
from models.tariffs.format import fault, read
from models.tariffs.reading import Finding
from models.tariffs.record_checks import Recorded, currency_findings, record_findings
from models.tariffs.rules import Tariff
from models.tariffs.tables import tables
from pipelines.build.loading import load_rows
from pipelines.build.tariff_files import files
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings


def check(file: Path) -> tuple[Tariff | None, list[Finding]]:
    """One tariff file and everything found in it. Raises NotFoundError where there is no such file."""
    try:
        text = file.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise NotFoundError(str(file), "does not exist", "this command", "check the name") from None
    except UnicodeDecodeError:
        raise TariffError(str(file), "is not UTF-8 text", "this tariff", "save it as UTF-8") from None
    tariff, findings = read(file.name, text, lambda name: _beside(file, name))
    return tariff, findings + (checked(tariff) if tariff else [])


def _beside(file: Path, name: str) -> str | None:
    beside = file.parent / Path(name).name
    return beside.read_text(encoding="utf-8-sig") if beside.is_file() else None


def check_beside_records(settings: Settings, tariff: Tariff) -> list[Finding]:
    """What the shop's currency and records say of a tariff; of the currency alone before anything was imported."""
    found = list(currency_findings(tariff, settings.shop.currency))
    try:
        with warehouse.reading(settings) as connection:
            sql = "select distinct service, zone, destination_prefix from accepted.weights where carrier = ?"
            rows = connection.execute(sql, [tariff.carrier]).fetchall()
    except NotFoundError:
        return found
    lanes = frozenset((service, zone) for service, zone, _ in rows if service and zone)
    recorded = Recorded(lanes, frozenset(code for _, _, code in rows if code))
    return found + list(record_findings(tariff, recorded))


def tariffs_of(settings: Settings) -> list[Tariff]:
    """Every tariff of the shop. Raises TariffError for the first fault that makes a price wrong."""
    found = [check(file) for file in files(settings)]
    tariffs = [tariff for tariff, _ in found if tariff]
    findings = [each for _, listed in found for each in listed] + checked_together(tariffs)
    findings += [each for tariff in tariffs for each in currency_findings(tariff, settings.shop.currency)]
    if any(each.level == "stop" for each in findings):
        raise fault(findings)
    return [as_borne(tariff, settings) for tariff in tariffs]


def announced(settings: Settings, file: Path) -> Tariff:
    """The tariff of a file that is not among the shop's. Raises NotFoundError, TariffError for a fault in it."""
    tariff, findings = check(file)
    if tariff is None or any(found.level == "stop" for found in findings):
        raise fault(findings)
    return as_borne(tariff, settings)


def as_borne(tariff: Tariff, settings: Settings) -> Tariff:
    """The tariff with its tax as this shop bears it: none where the shop gets all of it back."""
    return replace(tariff, is_tax_reclaimable=tariff.is_tax_reclaimable or settings.shop.tax_reclaimed)


def named(settings: Settings, tariff_code: str) -> Tariff:
    """The shop's tariff of that code. Raises NotFoundError that lists those there are."""
    tariffs = tariffs_of(settings)
    for tariff in tariffs:
        if tariff.tariff_code == tariff_code:
            return tariff
    known = ", ".join(tariff.tariff_code for tariff in tariffs)
    then = (
        f"use one of: {known}" if known else "there is none yet: see `dunnage tariff format` and `dunnage tariff learn`"
    )
    raise NotFoundError(f"tariff {tariff_code}", "is not among the shop's tariffs", "this command", then)


def write(connection: warehouse.Connection, tariffs: Sequence[Tariff], schema: str = "shop") -> None:
    """Replace SCHEMA.tariff_* by the tables of these tariffs. A schema other than `shop` lives in memory."""
    if schema != "shop":
        connection.execute(f"detach database if exists {schema}")
        connection.execute(f"attach ':memory:' as {schema}")
    frames = tables(tariffs)
    for contract in TARIFFS:
        name = str(contract.name).replace("shop.", f"{schema}.")
        load_rows(connection, contract, frames[str(contract.name)], name)
