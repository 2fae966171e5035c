"""Fragments of the SQL texts that are queries of their own; models/sql_texts.py lists the others."""

import re


def recent(table: str) -> str:
    """`recent`, the rows of a table's last twelve months, and `months`, how many there are."""
    return f"""latest as (
    select
        cast(max(b.shipped_month) - interval '12' month as date) as before_month,
        cast(max(b.shipped_month) - interval '3' month as date) as late_before_month
    from {table} as b
),

recent as (
    select
        b.*,
        b.shipped_month > l.late_before_month as is_late
    from {table} as b
    cross join latest as l
    where b.shipped_month > l.before_month
),

months as (
    select count(distinct r.shipped_month) as month_count
    from recent as r
)"""


def values(stated: str) -> str:
    """stated: NAME in A, B, ... for rows of one column; NAME, OTHER in A 1, B 2, ... for rows of several."""
    names, rows = (part.split(",") for part in stated.split(" in ", 1))
    each = (row.split() if len(names) > 1 else [row.strip()] for row in rows)
    cells = (", ".join(f"{cell} as {name.strip()}" for cell, name in zip(row, names, strict=True)) for row in each)
    return "\n    union all\n    ".join(f"select {row}" for row in cells)


def today(kinds: str) -> str:
    """`today`: `as_of`, the last day that records of these kinds know."""
    listed = ", ".join(f"'{kind.strip()}'" for kind in kinds.split(","))
    return f"""today as (
    select max(s.last_on) as as_of
    from marts.record_states as s
    where s.kind in ({listed})
)"""


def shared_out(stated: str) -> str:
    """stated: ROWS of WHOLE, ... to PART, ... `shares`: what a part of a whole has of its amount_cents by cost_basis,
    share_cents, by largest remainder: rounded down, and the cents left over go one each to the largest remainders."""
    rows, wholes, parts = re.split(" of | to ", stated)
    whole, part = (", ".join(f"a.{each.strip()}" for each in keys.split(",")) for keys in (wholes, parts))
    return f"""totals as (
    select
        a.*,
        cast(sum(a.cost_basis) over (partition by {whole}) as bigint) as total
    from {rows} as a
),

floors as (
    select
        a.*,
        cast(floor(cast(a.amount_cents * a.cost_basis as double) / a.total) as bigint) as floor_cents
    from totals as a
),

ranked as (
    select
        a.*,
        a.amount_cents - cast(sum(a.floor_cents) over (partition by {whole}) as bigint) as left_over,
        row_number() over (
            partition by {whole} order by a.amount_cents * a.cost_basis - a.floor_cents * a.total desc, {part}
        ) as place
    from floors as a
),

shares as (
    select
        a.*,
        a.floor_cents + case when a.place <= a.left_over then 1 else 0 end as share_cents
    from ranked as a
)"""


def medians(stated: str) -> str:
    """stated: ROWS of VALUE by KEY, ... `medians`: of each key the middle VALUE of its rows, each counting for its
    parcel_count, and how many they are."""
    rows, value, keys = re.split(" of | by ", stated)
    counted, ranked = (", ".join(f"{row}.{key.strip()}" for key in keys.split(",")) for row in ("c", "r"))
    return f"""ranked as (
    select
        c.*,
        cast(sum(c.parcel_count) over (partition by {counted} order by c.{value}) as bigint) as up_to,
        cast(sum(c.parcel_count) over (partition by {counted}) as bigint) as total
    from {rows} as c
),

medians as (
    select
        {ranked},
        max(r.total) as parcel_count,
        (
            min(case when r.up_to > floor((r.total - 1) / 2) then r.{value} end)
            + min(case when r.up_to > floor(r.total / 2) then r.{value} end)
        ) / 2 as {value}
    from ranked as r
    group by {ranked}
)"""


def current(stated: str) -> str:
    """stated: KEY in LIST. The entries of a dated list that are in force on the last day of shipping on record."""
    key, entries = stated.split(" in ", 1)
    return f"""with reached as (
    select max(d.shipped_on) as last_on
    from marts.carton_days as d
),

placed as (
    select
        e.{key},
        e.effective_from,
        row_number() over (
            partition by e.{key}
            order by
                case when e.effective_from > r.last_on then 1 else 0 end,
                case when e.effective_from > r.last_on then e.effective_from end,
                e.effective_from desc
        ) as place
    from {entries} as e
    cross join reached as r
)

select
    p.{key},
    p.effective_from
from placed as p
where p.place = 1"""


def margin_by(stated: str) -> str:
    """stated: COLUMN, ... Kinds of money and means of a parcel by month and these columns, with its own fragments."""
    keys = ", ".join(f"m.{name}" for name in ("shipped_month", *stated.split(", ")))
    return f"""with summed as (
    select
        {keys},
        cast(sum(m.parcel_count) as bigint) as parcel_count,
        {{each split: cast(sum(m.$_cents) as bigint) as $_cents}}
    from marts.margin_cells as m
    group by {keys}
)

select
    s.*,
    {{mean s.billed_cents over s.parcel_count}} as carriage_per_parcel_cents,
    {{mean s.margin_cents over s.parcel_count}} as margin_per_parcel_cents
from summed as s"""


def compared_by(key: str) -> str:
    """What another tariff would change, by a column of whatif.pairs; with fragments of its own."""
    return f"""select
    p.{key},
    count(*) as parcel_count,
    {{sums p.before_cents, p.after_cents}},
    cast(sum(p.after_cents - p.before_cents) as bigint) as change_cents,
    round(cast(sum(p.after_cents - p.before_cents) as double) / nullif(sum(p.before_cents), 0), 4) as change_share,
    case
        when bool_or(p.is_learned) and count(p.base_within_cents) = count(*)
            then cast(ceil(sum(p.base_within_cents + p.fuel_within_cents)) as bigint)
    end as within_cents
from whatif.pairs as p
where p.is_compared
group by p.{key}
order by change_cents desc, p.{key}"""


def unlike(stated: str) -> str:
    """stated: MART: THINGS, CENTS against SOURCE: THINGS, CENTS; ... A row for each mart that adds up to other sums."""
    return "\nunion all\n".join(_unlike(pair.strip()) for pair in stated.split(";"))


def _unlike(pair: str) -> str:
    kept, made = (_summed(side) for side in re.split(r"\s+against\s+", pair))
    return f"""select
    '{pair.split()[0]}' as mart,
    k.thing_count, m.thing_count as thing_count_made_from,
    k.amount_cents, m.amount_cents as cents_made_from
from ({kept}) as k
cross join ({made}) as m
where k.thing_count <> m.thing_count or k.amount_cents <> m.amount_cents"""


def _summed(side: str) -> str:
    rows, sums = side.split(": ")
    things, cents = (f"coalesce(cast(sum({each}) as bigint), 0)" for each in sums.split(", "))
    return f"select {things} as thing_count, {cents} as amount_cents from {rows}"
