-- One row per label bought, and the last day on which the carrier refunds one that was not used, where the tariff of the
-- day of buying states a term. What was typed is never taken as measured.
with terms as (
    select
        l.parcel_id,
        t.label_refund_days,
        row_number() over (
            partition by l.parcel_id
            order by case when s.service_key is null then 1 else 0 end, t.effective_from desc, t.tariff_key desc
        ) as place
    from accepted.labels as l
    inner join shop.tariffs as t on t.carrier = l.carrier and {in_force t on l.bought_on}
    left join shop.tariff_services as s on s.tariff_key = t.tariff_key and s.service = l.service
)

select
    l.parcel_id, l.carrier, l.service, l.zone, l.bought_on, l.sale_id, l.quoted_cents, l.insured_cents,
    coalesce(l.is_voided, false) as is_voided,
    l.first_scan_on, l.destination_prefix, l.typed_weight_lb, l.typed_length_in, l.typed_width_in, l.typed_height_in,
    cast(l.bought_on + t.label_refund_days * interval '1' day as date) as refund_by_on
from accepted.labels as l
left join terms as t on t.parcel_id = l.parcel_id and t.place = 1
