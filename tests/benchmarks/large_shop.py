"""The demo shop many times over: other parcels, sales, claims and invoice lines, made by the engine itself.

Each copy ships on other days, weighs and measures differently to the bench's own grain, and is billed what the tariffs
say of it; parcels that the demo's carriers billed wrong are billed just as wrong in every copy. Over more months than
the demo's eighteen, copies are moved back by whole spans of 78 weeks; the oldest tariffs hold from the first of them.
"""

from __future__ import annotations

import io
import shutil
from contextlib import redirect_stdout
from datetime import date, timedelta
from pathlib import Path

from models.tables.incremental_rules import DATED
from pipelines.build import tariff_files, tariffs
from pipelines.build.sql_models import models, needed_for
from pipelines.cli import main
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, load

# The same noise for every row of a parcel: -1 to 1, by parcel and by what is measured.
NOISE = "(cast(hash(o.parcel_id || c.number || '{what}') % 10001 as double) / 5000 - 1)"
SHIFTED = "least(date '2026-10-31', greatest(date '2025-05-01', o.{day} + c.shift_days)) - c.back_days"
SPAN_DAYS = 546
SPAN_MONTHS = 18
COPIES = """
create or replace temp table copies as
select
    '-' || i as number,
    i as place,
    cast(i * 5 % 27 as integer) - 13 as shift_days,
    cast(i % $spans * $span_days as integer) as back_days,
    case when i % $spans > 0 then '-' || i % $spans else '' end as span
from range(1, $copies) as t(i)
"""
# Catalogues and tariffs of the demo begin with it.
BEGUN_EARLIER = """
update accepted.{kind} as o
set effective_from = o.effective_from - {days}
where o.effective_from = (
    select min(e.effective_from) from accepted.{kind} as e where e.{key} = o.{key}
)
"""
ENTERED = {"cartons": "carton_code", "packing_methods": "packing_method"}
FIRST_DAYS = ("effective_from = 2025-01-01", "from = 2025-01-06")
# Weights to a sixteenth of a pound, sides to an eighth of an inch, longest first.
MEASURES = {
    "scale_weight_lb": f"ceil(o.scale_weight_lb * (1 + 0.08 * {NOISE.format(what='w')}) * 16) / 16",
    "length_in": f"o.length_in + round(3 + 3 * {NOISE.format(what='l')}) / 8",
    "width_in": f"least(o.length_in, o.width_in + round(2 + 2 * {NOISE.format(what='b')}) / 8)",
    "height_in": f"o.height_in - round(2 + 2 * {NOISE.format(what='h')}) / 8",
    "pack_minutes": f"round(o.pack_minutes * (1 + 0.2 * {NOISE.format(what='m')}) * 2) / 2",
}
CHANGED = {
    "sales": {"sale_id": "o.sale_id || c.number", "sold_at": "o.sold_at + to_days(c.shift_days - c.back_days)"},
    "weights": {
        "parcel_id": "o.parcel_id || c.number",
        "sale_id": "o.sale_id || c.number",
        "shipped_on": SHIFTED.format(day="shipped_on"),
        "declared_value_cents": "o.declared_value_cents + c.place % 50 * 100",
        **MEASURES,
    },
    "charges": {
        "parcel_id": "o.parcel_id || c.number",
        "sale_id": "o.sale_id || c.number",
        "line_number": "o.line_number + c.place * 10000",
        "invoice_number": "o.invoice_number || c.span",
        "invoiced_on": "o.invoiced_on - c.back_days",
        "shipped_on": SHIFTED.format(day="shipped_on"),
    },
    "claims": {
        "claim_id": "o.claim_id || c.number",
        "parcel_id": "o.parcel_id || c.number",
        **{day: f"o.{day} - c.back_days" for day in ("opened_on", "filed_on", "decided_on")},
    },
}
# Account fees come once a month, however many parcels there are.
LEFT_OUT = {"charges": "where o.parcel_id is not null"}
BILLED_RIGHT = """
create or replace temp table billed_right as
select b.parcel_id || c.number as parcel_id
from core.billed_parcels as b
cross join copies as c
where b.parcel_id not in (select d.parcel_id from marts.billing_differences as d)
    and b.parcel_id not in (select a.parcel_id from core.billed_adjustments as a)
    and b.parcel_id in (select e.parcel_id from core.expected_charges as e)
"""
# Codes of the demo's carriers for lines that a tariff states without a code.
CODE_NAMES = """
create or replace temp table code_names as
select * from (
    values
    ('Northline', 'base', 'base', 'TRANSPORT'),
    ('Northline', 'base', 'discount', 'DISCOUNT'),
    ('Northline', 'surcharge', 'discount', 'DISCOUNT LONG'),
    ('Northline', 'fuel', 'fuel', 'FUEL'),
    ('Corvane', 'base', 'base', 'CARRIAGE'),
    ('Corvane', 'base', 'discount', 'REBATE'),
    ('Corvane', 'fuel', 'fuel', 'FUEL PART')
) as t(carrier, charge_kind, charge_name, charge_code)
"""
AS_EXPECTED = """
create or replace temp table expected_lines as
select
    p.carrier,
    f.invoice_number,
    100000000 + row_number() over (order by e.parcel_id, e.line_number) as line_number,
    f.invoiced_on,
    e.parcel_id,
    f.sale_id,
    p.shipped_on,
    p.service,
    p.zone,
    coalesce(e.charge_code, n.charge_code) as charge_code,
    cast(null as varchar) as charge_kind,
    e.amount_cents,
    case when e.charge_name = 'base' then coalesce(f.billed_weight_lb, p.scale_weight_lb) end as billed_weight_lb,
    case when e.charge_name = 'base' then coalesce(p.length_in, f.billed_length_in) end as billed_length_in,
    case when e.charge_name = 'base' then coalesce(p.width_in, f.billed_width_in) end as billed_width_in,
    case when e.charge_name = 'base' then coalesce(p.height_in, f.billed_height_in) end as billed_height_in,
    f.delivery_id,
    f.row_number
from core.expected_charges as e
inner join core.parcels as p on p.parcel_id = e.parcel_id
inner join (
    select
        b.parcel_id,
        min(b.invoice_number) as invoice_number,
        min(b.invoiced_on) as invoiced_on,
        min(b.sale_id) as sale_id,
        max(b.billed_weight_lb) as billed_weight_lb,
        max(b.billed_length_in) as billed_length_in,
        max(b.billed_width_in) as billed_width_in,
        max(b.billed_height_in) as billed_height_in,
        min(b.delivery_id) as delivery_id,
        min(b.row_number) as row_number
    from accepted.charges as b
    group by b.parcel_id
) as f on f.parcel_id = e.parcel_id
left join code_names as n
    on n.carrier = p.carrier and n.charge_kind = e.charge_kind and n.charge_name = e.charge_name
where e.parcel_id in (select r.parcel_id from billed_right as r)
"""
# Written anew: to delete half of a large table in place keeps every deletion in memory. Lines are numbered from one.
REPLACED = """
create or replace table accepted.charges as
with lines as (
    select c.* from accepted.charges as c
    where c.parcel_id is null or c.parcel_id not in (select e.parcel_id from expected_lines as e)
    union all by name
    select e.* from expected_lines as e
)

select l.* replace (
    row_number() over (partition by l.carrier, l.invoice_number order by l.line_number, l.parcel_id) as line_number
)
from lines as l
"""


def large_shop(folder: Path, parcels: int, months: int = SPAN_MONTHS) -> Settings:
    """A shop of about so many parcels over about so many months that end in October 2026, imported but not built."""
    spans = max(1, round(months / SPAN_MONTHS))
    with redirect_stdout(io.StringIO()):
        main(["demo", str(folder)])
    for name in ("archive", "reviews"):
        shutil.rmtree(folder / name)
        (folder / name).mkdir()
    settings = load(folder)
    with warehouse.writing(settings, "bench") as connection:
        connection.execute("set enable_progress_bar = false")
        if spans > 1:
            begin_earlier(connection, settings, (spans - 1) * SPAN_DAYS)
        multiply(connection, parcels, spans)
        bill(connection, settings)
        for kind, day in DATED.items():  # they land day by day, so that those of a few weeks lie together
            landed = f"select * from accepted.{kind} order by {day}"
            connection.execute(f"create or replace table accepted.{kind} as {landed}")
        forget_tables(connection)
    return settings


def forget_tables(connection: warehouse.Connection) -> None:
    """Nothing is built yet: a warehouse just imported holds records alone."""
    connection.execute("delete from intake.builds")
    for name in models():
        connection.execute(f"drop table if exists {name}")
    connection.execute("checkpoint")


def begin_earlier(connection: warehouse.Connection, settings: Settings, days: int) -> None:
    """Let the first entry of every carton, packing method and carrier's tariff hold from so many days before."""
    for kind, key in ENTERED.items():
        connection.execute(BEGUN_EARLIER.format(kind=kind, key=key, days=days))
    for file in tariff_files.files(settings):
        text = file.read_text(encoding="utf-8")
        for stated in FIRST_DAYS:
            name, day = stated.split(" = ")
            text = text.replace(stated, f"{name} = {date.fromisoformat(day) - timedelta(days)}")
        file.write_text(text, encoding="utf-8")


def multiply(connection: warehouse.Connection, parcels: int, spans: int = 1) -> None:
    """Add copies of the demo's accepted records until there are about so many parcels."""
    (known,) = connection.execute("select count(*) from core.parcels").fetchall()[0]
    connection.execute(COPIES, {"copies": round(parcels / known), "spans": spans, "span_days": SPAN_DAYS})
    for kind, changed in CHANGED.items():
        named = [row[0] for row in connection.execute(f"describe accepted.{kind}").fetchall()]
        columns = ", ".join(f"{changed.get(name, f'o.{name}')} as {name}" for name in named)
        copied = f"select {columns} from accepted.{kind} as o cross join copies as c {LEFT_OUT.get(kind, '')}"
        connection.execute(f"insert into accepted.{kind} by name {copied}")


def bill(connection: warehouse.Connection, settings: Settings) -> None:
    """Bill the copies by the tariffs, but for those whose original was billed otherwise."""
    connection.execute(BILLED_RIGHT)
    tariffs.write(connection, tariffs.tariffs_of(settings))
    for model in needed_for("core.expected_charges", models()):
        connection.execute(f"create or replace table {model.name} as {model.sql}")
    connection.execute(CODE_NAMES)
    connection.execute(AS_EXPECTED)
    connection.execute(REPLACED)
    for name in ("billed_right", "code_names", "expected_lines"):
        connection.execute(f"drop table {name}")
