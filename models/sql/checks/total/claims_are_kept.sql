-- Every accepted claim is among the claims, and every claim's net loss is in the parcels' costs and in the counts of
-- damage, to the cent.
select
    a.lost_count,
    a.loss_cents as claimed_loss_cents,
    c.loss_cents as costed_loss_cents,
    d.loss_cents as counted_loss_cents
from (
    select
        coalesce(cast(sum(m.loss_cents) as bigint), 0) as loss_cents,
        (
            select count(*)
            from accepted.claims as r
            left join core.claims as k on k.claim_id = r.claim_id
            where k.claim_id is null
        ) as lost_count
    from core.claims as m
) as a
cross join (
    select coalesce(cast(sum(p.damage_net_cents) as bigint), 0) as loss_cents
    from marts.parcel_costs as p
) as c
cross join (
    select coalesce(cast(sum(n.damage_net_cents) as bigint), 0) as loss_cents
    from marts.damage_counts as n
) as d
where a.lost_count > 0 or a.loss_cents <> c.loss_cents or a.loss_cents <> d.loss_cents
