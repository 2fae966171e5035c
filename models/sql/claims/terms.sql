-- One row per step of a claim whose last day a tariff states.
select t.claim_step, t.term_length, t.term_unit, t.term_start
from shop.tariff_claim_terms as t
where t.tariff_key = ?
order by t.claim_step
