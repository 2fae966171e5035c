-- One row per month of shipping and place: the twenty parcels with the lowest margin, the lowest first.
with ranked as (
    select
        c.*,
        row_number() over (partition by c.shipped_month order by c.margin_cents, c.parcel_id) as place
    from marts.parcel_costs as c
    where not c.is_account
)

select
    r.shipped_month, r.place, r.parcel_id, r.item_type, r.channel, r.carrier, r.service, r.zone, r.carton_code,
    r.packing_method,
    {each split: r.$_cents}
from ranked as r
where r.place <= 20
