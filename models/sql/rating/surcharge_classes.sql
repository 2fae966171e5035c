-- One row per surcharge class: what decides which surcharges are charged.
with lane_classes as (
    select distinct
        l.lane_class_key, l.tariff_key, l.service_key, l.season_key,
        l.priced_zone as zone,
        l.fuel_basis_key, l.declared_grain_cents
    from rating.lanes as l
    where l.lacking is null
)

select distinct
    c.surcharge_class_key, c.lane_class_key,
    l.tariff_key, l.service_key, l.season_key, l.zone, l.fuel_basis_key,
    c.case_bits, c.missing_weight_milli, c.is_home, c.place_key,
    c.declared_steps * l.declared_grain_cents as declared_up_to_cents
from rating.price_classes as c
inner join lane_classes as l on l.lane_class_key = c.lane_class_key
