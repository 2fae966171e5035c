-- One row per all that decides a parcel's price beside its sides, and the carton catalogue of its day: parcels under the same conditions
-- cost the same in the same carton.
with occurring as (
    select distinct q.lane_key, q.price_class_key, q.scale_band
    from rating.priced as q
    where q.expected_cents is not null
),

found as (
    select distinct
        l.lane_class_key,
        c.is_home, c.place_key, c.declared_steps,
        o.scale_band,
        l.fuel_share_millionths,
        coalesce(l.tax_share_millionths, 0) as tax_share_millionths,
        k.effective_from as catalogue_from
    from occurring as o
    inner join rating.lanes as l on l.lane_key = o.lane_key
    inner join rating.price_classes as c on c.price_class_key = o.price_class_key
    left join core.carton_catalogues as k on {valid k on l.shipped_on}
)

select
    {key f.lane_class_key, f.is_home, f.place_key, f.declared_steps, f.scale_band, f.fuel_share_millionths,
        f.tax_share_millionths, f.catalogue_from} as conditions_key,
    f.*
from found as f
