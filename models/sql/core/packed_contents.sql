-- One row per goods with the same clearance that occur, and per inside that bounds goods of unknown sides.
with occurring as (
    select distinct g.goods, g.clearance_in, g.bound_length_in, g.bound_width_in, g.bound_height_in
    from core.parcel_goods as g
)

select
    {key o.goods, o.clearance_in, o.bound_length_in, o.bound_width_in, o.bound_height_in} as packed_contents_key,
    o.*
from occurring as o
