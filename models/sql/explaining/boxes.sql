-- One row per carton in which the parcel's goods are placed: the one used, and the cheaper one from stock for most
-- parcels of that month, contents, packing method and carton, where there is one.
with sent as (
    select
        p.shipped_month, p.shipped_on, p.item_type,
        coalesce(p.packing_method, 'unknown') as packing_method,
        p.carton_code, p.is_rectangular,
        coalesce(p.cut_height_in, c.inside_height_in) as used_height_in,
        p.cut_height_in is not null as is_cut
    from core.parcels as p
    inner join core.cartons as c on c.carton_code = p.carton_code and {valid c on p.shipped_on}
    where p.parcel_id = $parcel_id
),

better as (
    select
        b.best_carton_code, b.best_height_in, b.is_cut,
        row_number() over (order by b.parcel_count desc, b.best_carton_code, b.best_height_in) as place
    from sent as s
    inner join analysis.best_cartons as b
        on {alike b, s in shipped_month, item_type, packing_method, carton_code, used_height_in}
    where b.contents = $contents and b.saving_cents > 0
),

listed as (
    select e.carton_code, e.effective_from, e.effective_before, e.carton_style, e.inside_length_in, e.inside_width_in
    from core.cartons as e
    union all
    select
        t.carton_code, t.effective_from, t.effective_before,
        'telescoped' as carton_style,
        t.inside_length_in, t.inside_width_in
    from core.telescoped_cartons as t
),

-- What another code has taken the place of was offered under that code: its first entry holds for the days before it, too.
entries as (
    select
        l.carton_code,
        case
            when l.effective_from > min(l.effective_from) over (partition by l.carton_code) then l.effective_from
            else date '1900-01-01'
        end as effective_from,
        l.effective_before, l.carton_style, l.inside_length_in, l.inside_width_in
    from listed as l
),

boxes as (
    select
        'as sent' as looked_at,
        s.carton_code,
        s.used_height_in as inside_height_in,
        s.is_cut, s.is_rectangular
    from sent as s
    union all
    select
        'cheaper from stock' as looked_at,
        b.best_carton_code as carton_code,
        b.best_height_in as inside_height_in,
        b.is_cut,
        true as is_rectangular
    from better as b
    where b.place = 1
)

select
    b.looked_at, b.carton_code,
    c.inside_length_in, c.inside_width_in,
    b.inside_height_in, b.is_cut,
    coalesce(b.is_rectangular, true) and coalesce(c.carton_style, '') <> 'tube' as is_rectangular
from boxes as b
cross join sent as s
inner join entries as c on c.carton_code = b.carton_code and {valid c on s.shipped_on}
order by b.looked_at
