-- What returns of known parcels state is in the parcels' costs to the cent, but for ways back that an invoice bills.
select
    s.stated_cents,
    c.costed_cents
from (
    select
        coalesce(
            cast(
                sum(
                    coalesce(r.depreciation_cents, 0)
                    + case when b.parcel_id is null then coalesce(r.return_carriage_cents, 0) else 0 end
                ) as bigint
            ),
            0
        ) as stated_cents
    from accepted.returns as r
    inner join core.parcels as p on p.parcel_id = r.parcel_id
    left join (select distinct k.parcel_id from accepted.charges as k) as b on b.parcel_id = r.return_parcel_id
) as s
cross join (
    select coalesce(cast(sum(p.return_carriage_cents + p.depreciation_cents) as bigint), 0) as costed_cents
    from marts.parcel_costs as p
) as c
where s.stated_cents <> c.costed_cents
