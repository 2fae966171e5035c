-- One row per parcel of the carrier in the months looked back on, moved by whole years of 52 weeks into the tariff's days.
select
    r.request_id, r.carrier, r.service, r.zone,
    cast(
        r.shipped_on
        + cast(ceil(greatest(date_diff('day', r.shipped_on, t.effective_from), 0) / 364) as integer) * 364 as date
    ) as shipped_on,
    {facts r}
from rating.requests as r
inner join announced.tariffs as t on t.carrier = r.carrier
where r.shipped_on >= cast(? as date)
