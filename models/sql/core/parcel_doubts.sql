-- One row per parcel and doubt about its bench log or its sale. Where bench rows of one parcel differ, the greater value is used; what
-- a carton or packing method without an entry on the day of shipping costs counts as nothing.
with entered as (
    select
        p.parcel_id, p.shipped_on, p.carton_code, p.cut_height_in, p.packing_method,
        c.inside_height_in, c.minimum_height_in,
        p.carton_code is not null and c.carton_code is null as is_carton_unknown,
        p.packing_method is not null and m.packing_method is null as is_method_unknown,
        p.cut_height_in > c.inside_height_in or p.cut_height_in < c.minimum_height_in as is_cut_wrong
    from core.parcels as p
    left join core.cartons as c on c.carton_code = p.carton_code and {valid c on p.shipped_on}
    left join core.packing_methods as m on m.packing_method = p.packing_method and {valid m on p.shipped_on}
),

-- One line has one row, unless a printed list marked the parcel as well.
several as (
    select p.parcel_id from core.parcels as p where p.line_count > 1
    union
    select w.parcel_id from accepted.weights as w where w.line_number is null
),

disagreeing as (
    select w.parcel_id
    from accepted.weights as w
    inner join several as p on p.parcel_id = w.parcel_id
    group by w.parcel_id
    having
        min(w.shipped_on) <> max(w.shipped_on)
        or min(w.carrier) <> max(w.carrier)
        or min(w.service) <> max(w.service)
        or min(w.carton_code) <> max(w.carton_code)
        or min(w.packing_method) <> max(w.packing_method)
        or min(w.scale_weight_lb) <> max(w.scale_weight_lb)
        or min(w.length_in) <> max(w.length_in)
),

-- What the bench log has of a parcel counts, then the sale's word, then the label's, then the invoice's.
named as (
    select r.parcel_id, r.sale_id
    from core.parcel_references as r
    inner join (select distinct s.sale_id from accepted.sales as s) as k on k.sale_id = r.sale_id
    inner join (select distinct l.parcel_id from core.packed_lines as l) as h on h.parcel_id = r.parcel_id
),

elsewhere as (
    select w.parcel_id
    from core.sale_parcels as s
    inner join accepted.weights as w on w.sale_id = s.sale_id and w.line_number = s.line_number
    left join accepted.weights as h
        on h.parcel_id = s.parcel_id and h.sale_id = s.sale_id and h.line_number = s.line_number
    where h.parcel_id is null
),

otherwise_sold as (
    select n.parcel_id
    from named as n
    left join core.packed_lines as t on t.parcel_id = n.parcel_id and t.sale_id = n.sale_id
    where t.parcel_id is null
    union
    select e.parcel_id from elsewhere as e
),

doubted as (
    select
        o.parcel_id,
        'sales disagree' as doubt
    from otherwise_sold as o
    union all
    select
        d.parcel_id,
        'bench rows disagree' as doubt
    from disagreeing as d
    union all
    select
        e.parcel_id,
        'unknown carton' as doubt
    from entered as e
    where e.is_carton_unknown
    union all
    select
        e.parcel_id,
        'unknown packing method' as doubt
    from entered as e
    where e.is_method_unknown
    union all
    select
        e.parcel_id,
        'cut above carton' as doubt
    from entered as e
    where e.is_cut_wrong
)

select
    d.parcel_id, d.doubt,
    e.shipped_on, e.carton_code, e.cut_height_in, e.inside_height_in, e.minimum_height_in, e.packing_method
from doubted as d
inner join entered as e on e.parcel_id = d.parcel_id
