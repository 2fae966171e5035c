-- One row per rule of services and change of carton, or packing method, with parcels of both: what both save together beyond
-- what each saves alone. A parcel that the other service does not take in that carton stays on its own service.
select
    b.rule_key, b.change_key,
    count(case when b.sign = 1 then 1 end) as parcel_count,
    count(case when b.sign = 1 and q.expected_cents is null then 1 end) as refused_parcel_count,
    cast(
        sum(b.sign * (b.other_cents + b.in_carton_cents - b.as_sent_cents - coalesce(q.expected_cents, b.in_carton_cents)))
        as bigint
    ) as joint_cents
from cartons.both_changed as b
inner join cartons.both_priced as q on q.request_id = b.request_id
group by b.rule_key, b.change_key
