-- One row per item type and band of the goods' worth: premiums billed, claims for damage or loss, what carriers paid.
select
    p.item_type, p.worth_from_cents,
    count(*) as parcel_count,
    count(case when p.is_insured then 1 end) as insured_parcel_count,
    cast(sum(p.premium_cents) as bigint) as premium_cents,
    count(case when p.is_claimed then 1 end) as claim_count,
    count(case when p.is_claimed and p.is_insured then 1 end) as insured_claim_count,
    count(case when p.is_claim_decided and p.paid_cents > 0 then 1 end) as paid_claim_count,
    count(case when p.is_claim_decided and p.paid_cents = 0 then 1 end) as refused_claim_count,
    {sums p.lost_cents, p.paid_cents}
from core.insured_parcels as p
group by p.item_type, p.worth_from_cents
