-- One row: parcels of the months judged, those compared with another service, and those that one would have taken for less, beyond
-- what learned prices may be off.
with best as (
    select
        s.parcel_id,
        max(case when s.other_cents is not null then 1 else 0 end) as is_compared,
        max(s.saving_cents) as saving_cents
    from analysis.parcel_services as s
    group by s.parcel_id
)

select
    count(*) as parcel_count,
    cast(coalesce(sum(b.is_compared), 0) as bigint) as compared_elsewhere_count,
    count(case when b.saving_cents > 0 then 1 end) as better_parcel_count,
    cast(coalesce(sum(b.saving_cents), 0) as bigint) as saving_cents
from best as b
