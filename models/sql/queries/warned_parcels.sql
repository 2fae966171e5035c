-- One row per parcel that a check of checks/warn found, or whose sale line or charge it found.
{in_each bench_parcels_without_sales, bench_rows_disagree, claims_without_parcels, claims_without_stated_cost,
    contents_not_told_apart, cuts_above_cartons, returns_claimed_too, returns_without_parcels, sales_disagree,
    sales_without_parcels, shipped_after_promise, uncharged_parcels, undated_parcels, unknown_cartons,
    unknown_packing_methods:
    select replace('$', '_', ' ') as warning, c.parcel_id from $ as c}
union all
{in_each amounts_on_every_line, packed_more_than_sold, unknown_fees_on_shipping, unknown_item_types, unknown_titles:
    select replace('$', '_', ' ') as warning, l.parcel_id from $ as c
    inner join core.parcel_lines as l on l.sale_id = c.sale_id and l.line_number = c.line_number}
union all
select 'unmapped charge codes' as warning, l.parcel_id from unmapped_charge_codes as c
inner join core.charge_lines as l on l.carrier = c.carrier and l.charge_code = c.charge_code
union all
select 'zones against chart' as warning, p.parcel_id from zones_against_chart as c
inner join core.parcels as p on p.carrier = c.carrier and p.service = c.service
inner join core.billed_parcels as b on b.parcel_id = p.parcel_id and b.zone = c.zone
inner join core.tariff_days as d on d.carrier = p.carrier and d.service = p.service and d.shipped_on = p.shipped_on
inner join core.charted_zones as z
    on z.tariff_key = d.tariff_key
    and z.service = p.service
    and z.destination_prefix = p.destination_prefix
    and z.chart_prefix = c.chart_prefix
    and z.zone = c.charted_zone
