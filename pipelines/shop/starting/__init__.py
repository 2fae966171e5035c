"""`dunnage init`: a new shop's folder with a commented dunnage.toml, its folders and files to fill in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from pathlib import Path

import tomlkit

from models.cells.texts import minor_digits
from models.errors import SettingsError
from models.reference import RECORDS
from models.settings import checking
from pipelines.shop.settings import FILE_NAME, Folders, Shop
from pipelines.shop.starting.templates import WORKBOOK, csv_name, csv_template, template_sources, workbook_template

TEMPLATES = "templates"
QUESTIONS = {
    "name": "Name of the shop",
    "currency": "Currency, by its three letters",
    "time_zone": "Time zone, such as Europe/Berlin",
    "wage": "Wage of the packing bench per hour",
}

_SETTINGS = """\
# The shop's settings. After a change, run `dunnage intake` and `dunnage review` again.

[shop]
name = {name}
# One currency per shop. Amounts are kept in its smallest unit.
currency = {currency}
# Times that name no zone are in this one.
time_zone = {time_zone}
# What an hour of packing costs; 0 leaves labour out.
wage_cents_per_hour = {wage}

# Folders beside this file.
[folders]
inbox = "{folders.inbox}"        # put your files here; they stay as they are
archive = "{folders.archive}"    # a copy of every imported file
rejects = "{folders.rejects}"    # rejected rows, to correct and import again
reviews = "{folders.reviews}"    # what `dunnage review` writes
tariffs = "{folders.tariffs}"    # one TOML of rules and one CSV of prices per tariff

# The monthly review by mail. The password is never in a file: set it as DUNNAGE_MAIL_PASSWORD where dunnage runs.
# [mail]
# host = "mail.your-domain.example"
# port = 587
# security = "starttls"    # or "tls" (often port 465); "none" only for a mail server on this machine
# user = "reports"
# sender = "reports@your-domain.example"
# recipients = ["you@your-domain.example"]
# owner = "you@your-domain.example"    # who gets a letter when a scheduled run fails
# attach_limit_mb = 10

# When `dunnage schedule` runs what, by the clock of the shop's time zone. The month before is reviewed; choose a day
# on which most of its invoices have come.
# [schedule]
# intake_at = "06:00"
# watch_day = "monday"
# watch_at = "06:30"
# review_day = 5
# review_at = "07:00"
# alert_after_hours = 24   # the owner gets a letter when a run has not begun so long after its time
# end_after_hours = 6      # a run that takes longer than this is ended and tried again

# Backups that `dunnage schedule` makes, and which stay: of so many last days, weeks and months the newest.
[backup]
when = "daily"          # or a weekday; "" for never
# at = "05:00"
# folder = "backups"    # better one on another disk
# keep_daily = 7
# keep_weekly = 5
# keep_monthly = 12
# encrypted = false     # true needs DUNNAGE_BACKUP_PASSPHRASE; without it a backup is lost

# How near a charge counts as a near miss: inches off one side, pounds off the weight.
# [near_misses]
# reach_in = 1.0
# reach_lb = 1.0

# How damage is reckoned. Without this section the values are these. Logged changes lie in decisions.toml
# (`dunnage decide`), alarms that were seen in alarms.toml (`dunnage watch`).
# [damage]
# causes = ["damage"]                  # claims that packing answers for; add "loss" if parcels burst
# window_days = 120                    # claims count up to this age of the parcel
# months = 24                          # how far back rates look
# min_claims = 20                      # fewer, and claims are taken to come evenly over the window
# min_parcels = 30                     # parcels by a method before it is weighed for an item type
# handling_cents = 0                   # your own work on one claim
# chance_needed = 0.9                  # before another packing method is recommended
# sampled_parcels = 120                # of each item type, rated again under every method
# false_discovery_rate = 0.05          # over all pairs of methods compared
# weeks_between_false_alarms = 200.0   # of all charts of `dunnage watch` together

# How cartons are judged and, by `dunnage cartons`, chosen. Without this section the values are these.
# [cartons]
# judged_months = 24                   # parcels of so many last months are judged
# sizes = 0                            # most sizes to stock; 0: as many as are in use
# hold_out_months = 3                  # later months on which the saving is checked
# fixed_cents_per_month = 500          # what it costs to stock one size at all
# new_size_cents = 6000                # once, for a size that is not stocked yet
# seconds = 60.0                       # time limit of the choice
# candidate_step_in = 1.0              # sides of new sizes are whole numbers of it
# max_candidates = 400                 # new sizes that come into question
# keep = []                            # codes of stocked sizes that must stay
# drop = []                            # codes of stocked sizes that must go
# cut_step_in = 1.0                    # cut heights are whole numbers of it
# cut_minutes = 2.0                    # work of cutting one carton down
# stock_months = 3.0                   # how long an order should last

# What builds the tables. DuckDB on this machine is right for up to some ten million parcels; Spark needs
# `pip install 'dunnage[spark]'` and Java.
# [engine]
# kind = "duckdb"                      # or "spark"
# memory_limit = "4GB"                 # of DuckDB
# threads = 0                          # of DuckDB; 0: all cores
# [spark]
# master = "local[*]"                  # or as your cluster says; "" leaves it to Spark's own configuration
# storage = "storage"                  # this shop's records as Parquet: a folder, or a URL that Spark reads and writes
# [spark.options]                      # Spark's own settings, as they are
# "spark.executor.memory" = "8g"

# How the shop's own files are read stands below, one [[source]] each.
# `dunnage map FILE --as KIND --write` adds one, with its reasons.

# Filled templates are imported by these, as they are. Templates lie in {templates}/, with an example of each column
# in the workbook's first sheet: fill in a copy and put it into {folders.inbox}/. Remove what you do not use.
"""


@dataclass(frozen=True)
class Answers:
    """What a new shop says about itself; None where nothing was said."""

    name: str | None = None
    currency: str | None = None
    time_zone: str | None = None
    wage: str | None = None


DEFAULTS = {"name": Shop.name, "currency": Shop.currency, "time_zone": Shop.time_zone, "wage": "0.00"}


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
    stated = {
        "name": str(answers.name).strip(),
        "currency": currency,
        "time_zone": str(answers.time_zone).strip(),
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
    try:
        cents = Decimal(said.strip()).scaleb(digits)
    except InvalidOperation:
        raise _wrong("--wage", f"{said!r} is not an amount", "write it with a point, such as 24.00") from None
    if not cents.is_finite() or cents != cents.to_integral_value():
        raise _wrong("--wage", f"{said!r} is not an amount per hour", "write it with a point, such as 24.00")
    return int(cents)


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
        **{templates / csv_name(kind): csv_template(kind).encode() for kind in RECORDS},
        templates / WORKBOOK: workbook_template(),
        folder / FILE_NAME: settings_text(shop).encode(),
    }


def settings_text(shop: Shop) -> str:
    """The whole dunnage.toml of a new shop."""
    filled = _SETTINGS.format(
        name=tomlkit.item(shop.name).as_string(),
        currency=tomlkit.item(shop.currency).as_string(),
        time_zone=tomlkit.item(shop.time_zone).as_string(),
        wage=shop.wage_cents_per_hour,
        folders=Folders(),
        templates=TEMPLATES,
    )
    return f"{filled}\n{template_sources()}"


def _write_new(path: Path, content: bytes) -> bool:
    """Write a file that does not exist yet; whether it was written."""
    try:
        with path.open("xb") as opened:
            opened.write(content)
    except FileExistsError:
        return False
    return True
