-- One row: parcels of the months judged, those compared with another service, and those that one would have taken for less, beyond
-- what learned prices may be off.
with best as (
    select
        s.parcel_number,
        max(s.saving_cents) as saving_cents
    from analysis.parcel_services as s
    where s.other_cents is not null
    group by s.parcel_number
)

select
    count(*) as parcel_count,
    count(b.parcel_number) as compared_elsewhere_count,
    count(case when b.saving_cents > 0 then 1 end) as better_parcel_count,
    cast(coalesce(sum(b.saving_cents), 0) as bigint) as saving_cents
from analysis.compared_parcels as m
left join best as b on b.parcel_number = m.parcel_number
