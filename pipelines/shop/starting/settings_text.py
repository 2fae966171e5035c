"""The text of a new shop's dunnage.toml: every setting with its meaning, those that matter later as comments."""

from __future__ import annotations

import tomlkit

from models.settings.cartons import Cartons
from models.settings.near_misses import NearMisses
from models.settings.shop import Folders, Shop
from models.shop_units import Units, measure_of
from pipelines.shop.starting.templates import template_sources

TEMPLATES = "templates"
_SETTINGS = """\
# The shop's settings. After a change, run `dunnage intake` and `dunnage review` again.

[shop]
name = {name}
# One currency per shop. Amounts are kept in its smallest unit.
currency = {currency}
# Times that name no zone are in this one.
time_zone = {time_zone}
# In what you measure: "metric" (cm, kg) or "inch" (in, lb). Every page, sheet, template and command keeps to it.
units = "{units.system}"
# What an hour of packing costs; 0 leaves labour out.
wage_cents_per_hour = {wage}

# Folders beside this file.
[folders]
inbox = "{folders.inbox}"        # put your files here; they stay as they are
archive = "{folders.archive}"    # a copy of every imported file
rejects = "{folders.rejects}"    # rejected rows, to correct and import again
reviews = "{folders.reviews}"    # what `dunnage review` writes
tariffs = "{folders.tariffs}"    # one TOML of rules and one CSV of prices per tariff
evidence = "{folders.evidence}"  # pictures of damaged parcels, in a folder for each label number
texts = "{folders.texts}"        # the letters of a claim; `dunnage claims texts` writes them, to be changed

# The monthly review by mail. The password is never in a file: set it as DUNNAGE_MAIL_PASSWORD where dunnage runs.
# [mail]
# host = "mail.your-domain.example"
# port = 587
# security = "starttls"    # or "tls" (often port 465); "none" only for a mail server on this machine
# user = "reports"
# sender = "reports@your-domain.example"
# recipients = ["you@your-domain.example"]
# owner = "you@your-domain.example"    # who gets a letter when a scheduled run fails
# attach = ["page"]    # and "workbook"; without, a letter says where they lie
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

# How near a charge counts as a near miss: so much off one side, or off the weight.
# [near_misses]
# {reach_in}
# {reach_lb}

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
# # claims_to = 2026-10-31             # last day whose claims are on record, where they come in files

# How cartons are judged and, by `dunnage cartons`, chosen. Without this section the values are these.
# [cartons]
# judged_months = 24                   # parcels of so many last months are judged
# sizes = 0                            # most sizes to stock; 0: as many as are in use
# hold_out_months = 3                  # later months on which the saving is checked
# fixed_cents_per_month = 500          # what it costs to stock one size at all
# new_size_cents = 6000                # once, for a size that is not stocked yet
# seconds = 60.0                       # of the processor, for the choice
# {candidate_step_in:<36} # sides of new sizes are whole numbers of it
# max_candidates = 400                 # new sizes that come into question
# keep = []                            # codes of stocked sizes that must stay
# drop = []                            # codes of stocked sizes that must go
# {cut_step_in:<36} # cut heights are whole numbers of it
# cut_minutes = 2.0                    # work of cutting one carton down
# stock_months = 3.0                   # how long an order should last, where the next three say nothing
# order_cost_cents = 0                 # what one order costs beside the cartons: freight, time
# {storage_month_cents_per_ft3:<36} # storing cartons flat, a month, by volume
# {void_fill_cents_per_ft3:<36} # void fill: price of the room left in a carton
# {void_fill_lb_per_ft3:<36} # and its weight
# interest_per_year = 0.0              # on the money that lies in stock
# service_level = 0.95                 # chance that stock lasts until delivery
# solver = false                       # true: ask a general solver where fits stay open (pip install 'dunnage[solver]')

# What is worth advising. Without this section the value is this.
# [advice]
# least_cents = 500                    # expected of an action, a month or once, in the currency's smallest unit

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


def settings_text(shop: Shop) -> str:
    """The whole dunnage.toml of a new shop."""
    filled = _SETTINGS.format(
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
