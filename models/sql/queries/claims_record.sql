-- One row: the day on which the last claim on any parcel was reported, and the one on which claims were imported last.
select
    (select max(c.opened_on) from core.claims as c) as reported_on,
    cast(s.landed_at as date) as imported_on
from marts.record_states as s
where s.kind = 'claims'
