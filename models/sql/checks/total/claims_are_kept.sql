-- Every claim of the records is among the claims as the record says it, unless something was said of it at the command
-- line; every other claim was opened there; and every claim's net loss is in the parcels' costs and in the counts of
-- damage, to the cent.
select
    a.wrong_count,
    a.loss_cents as claimed_loss_cents,
    c.loss_cents as costed_loss_cents,
    d.loss_cents as counted_loss_cents
from (
    select
        coalesce(cast(sum(k.loss_cents) as bigint), 0) as loss_cents,
        count(case when k.claim_id is null or (r.claim_id is null and o.claim_id is null) then 1 end)
        + count(case
            when m.parcel_id is null and k.is_cost_stated
                and k.loss_cents <> coalesce(r.refund_cents, 0) + coalesce(r.replacement_cents, 0)
                + coalesce(r.return_cost_cents, 0) - coalesce(r.salvage_cents, 0) - coalesce(r.paid_cents, 0) then 1
            when m.parcel_id is null and not k.is_cost_stated
                and k.loss_cents not between 0 and coalesce(r.claimed_cents, 0) then 1
        end) as wrong_count
    from accepted.claims as r
    full join core.claims as k on k.claim_id = r.claim_id
    left join shop.claim_openings as o on o.claim_id = k.claim_id
    left join (select distinct s.parcel_id from shop.claim_marks as s) as m
        on m.parcel_id = coalesce(k.parcel_id, r.parcel_id)
) as a
cross join (
    select coalesce(cast(sum(p.damage_net_cents) as bigint), 0) as loss_cents
    from marts.parcel_costs as p
) as c
cross join (
    select coalesce(cast(sum(n.damage_net_cents) as bigint), 0) as loss_cents
    from marts.damage_counts as n
) as d
where a.wrong_count > 0 or a.loss_cents <> c.loss_cents or a.loss_cents <> d.loss_cents
