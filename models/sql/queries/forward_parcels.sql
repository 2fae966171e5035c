-- One row per sampled parcel of one piece of the last twelve months: what it cost but for damage, and the day on which it
-- is rated again. A parcel sent under an older tariff moves by whole years of 52 weeks into the days of the carrier's
-- latest list, announced lists of the next sixty days among them, so that its season stays; others keep their day.
with latest as (
    select
        t.carrier,
        max(t.effective_from) as effective_from
    from shop.tariffs as t
    where t.effective_from <= cast($as_of as date) + interval '60' day
    group by t.carrier
),

months as (
    select
        v.shipped_month,
        max(v.shipped_month) over () as last_month
    from marts.coverage as v
),

shipped as (
    select
        c.parcel_id, c.item_type,
        coalesce(z.zone_band, 'unknown') as zone_band,
        c.shipped_on, c.billed_cents,
        {sum costs: c.$_cents} - c.damage_net_cents as cost_cents,
        coalesce(
            cast(
                c.shipped_on
                + cast(ceil(greatest(date_diff('day', c.shipped_on, t.effective_from), 0) / 364) as integer) * 364 as date
            ),
            c.shipped_on
        ) as rated_on,
        row_number() over (
            partition by c.item_type, coalesce(z.zone_band, 'unknown') order by md5(c.parcel_id), c.parcel_id
        ) as sample_number
    from marts.parcel_costs as c
    inner join months as m
        on m.shipped_month = c.shipped_month and m.shipped_month > cast(m.last_month - interval '12' month as date)
    left join core.zone_bands as z on z.carrier = c.carrier and z.zone = coalesce(c.zone, 'unknown')
    left join latest as t on t.carrier = c.carrier
    where not c.is_account and c.piece_count = 1 and c.base_cents <> 0
)

select
    s.parcel_id, s.item_type, s.zone_band, s.shipped_on, s.rated_on, s.billed_cents, s.cost_cents,
    o.base_cents + o.surcharge_cents as own_cents
from shipped as s
left join rating.rated as o on o.request_id = s.parcel_id
where s.sample_number <= $most
order by s.item_type, s.zone_band, s.sample_number
