-- One row per parcel that a check of checks/warn found, or whose sale line or charge it found.
select 'bench parcels without sales' as warning, c.parcel_id from bench_parcels_without_sales as c
union all
select 'bench rows disagree' as warning, c.parcel_id from bench_rows_disagree as c
union all
select 'claims without parcels' as warning, c.parcel_id from claims_without_parcels as c
union all
select 'cuts above cartons' as warning, c.parcel_id from cuts_above_cartons as c
union all
select 'packed more than sold' as warning, l.parcel_id from packed_more_than_sold as c
inner join core.parcel_lines as l on l.sale_id = c.sale_id and l.line_number = c.line_number
union all
select 'returns claimed too' as warning, c.parcel_id from returns_claimed_too as c
union all
select 'returns without parcels' as warning, c.parcel_id from returns_without_parcels as c
union all
select 'sales disagree' as warning, c.parcel_id from sales_disagree as c
union all
select 'sales without parcels' as warning, c.parcel_id from sales_without_parcels as c
union all
select 'shipped after promise' as warning, c.parcel_id from shipped_after_promise as c
union all
select 'uncharged parcels' as warning, c.parcel_id from uncharged_parcels as c
union all
select 'undated parcels' as warning, c.parcel_id from undated_parcels as c
union all
select 'unknown cartons' as warning, c.parcel_id from unknown_cartons as c
union all
select 'unknown fees on shipping' as warning, l.parcel_id from unknown_fees_on_shipping as c
inner join core.parcel_lines as l on l.sale_id = c.sale_id and l.line_number = c.line_number
union all
select 'unknown item types' as warning, l.parcel_id from unknown_item_types as c
inner join core.parcel_lines as l on l.sale_id = c.sale_id and l.line_number = c.line_number
union all
select 'unknown packing methods' as warning, c.parcel_id from unknown_packing_methods as c
union all
select 'unknown titles' as warning, l.parcel_id from unknown_titles as c
inner join core.parcel_lines as l on l.sale_id = c.sale_id and l.line_number = c.line_number
union all
select 'unmapped charge codes' as warning, l.parcel_id from unmapped_charge_codes as c
inner join core.charge_lines as l on l.carrier = c.carrier and l.charge_code = c.charge_code
union all
select 'zones against chart' as warning, p.parcel_id from zones_against_chart as c
inner join core.parcels as p on p.carrier = c.carrier and p.service = c.service
inner join core.billed_parcels as b on b.parcel_id = p.parcel_id and b.zone = c.zone
inner join core.tariff_days as d
    on d.carrier = p.carrier and d.service = p.service and d.shipped_on = p.shipped_on
inner join core.charted_zones as z
    on z.tariff_key = d.tariff_key
    and z.service = p.service
    and z.destination_prefix = p.destination_prefix
    and z.chart_prefix = c.chart_prefix
    and z.zone = c.charted_zone
