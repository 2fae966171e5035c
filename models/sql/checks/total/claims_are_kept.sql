-- Every accepted claim's net loss is in the parcels' costs and in the counts of damage, to the cent.
select
    a.loss_cents as claimed_loss_cents,
    c.loss_cents as costed_loss_cents,
    d.loss_cents as counted_loss_cents
from (
    select
        coalesce(cast(sum(
            coalesce(c.refund_cents, 0) + coalesce(c.replacement_cents, 0) + coalesce(c.return_cost_cents, 0)
            - coalesce(c.salvage_cents, 0) - coalesce(c.paid_cents, 0)
        ) as bigint), 0) as loss_cents
    from accepted.claims as c
) as a
cross join (
    select coalesce(cast(sum(p.damage_net_cents) as bigint), 0) as loss_cents
    from marts.parcel_costs as p
) as c
cross join (
    select coalesce(cast(sum(n.damage_net_cents) as bigint), 0) as loss_cents
    from marts.damage_counts as n
) as d
where a.loss_cents <> c.loss_cents or a.loss_cents <> d.loss_cents
