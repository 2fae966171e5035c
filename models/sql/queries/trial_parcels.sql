-- One row per parcel of an item type under trial, sent in the trial's time: what it was assigned and how it was packed.
with assigned as (
    select
        w.parcel_id,
        max(w.assigned_method) as assigned_method
    from accepted.weights as w
    where w.assigned_method is not null
    group by w.parcel_id
)

select
    t.trial_id,
    p.parcel_id, p.shipped_on,
    a.assigned_method,
    p.packing_method
from shop.trials as t
inner join core.parcels as p
    on p.item_type = t.item_type
    and p.shipped_on >= t.started_on
    and p.shipped_on <= t.planned_end_on
    and (t.ended_on is null or p.shipped_on <= t.ended_on)
left join assigned as a on a.parcel_id = p.parcel_id
where p.has_bench_log or p.has_charges
order by t.trial_id, p.parcel_id
