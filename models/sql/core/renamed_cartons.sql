-- One row per carton code that another one has taken the place of: same inside and style, no other board, begun later in the
-- catalogue, and in use since the last parcel in it. Pieces of it that were counted since then are proof against that.
-- `today_code` is the latest of several; from `renamed_on` on the catalogue had another code for it.
with known as (
    select
        c.carton_code,
        min(c.effective_from) as first_from,
        max(c.effective_from) as last_from,
        max(case when c.on_hand > 0 then c.counted_on end) as last_counted_on
    from core.cartons as c
    group by c.carton_code
),

used as (
    select
        d.carton_code,
        min(d.shipped_on) as first_on,
        max(d.shipped_on) as last_on
    from marts.carton_days as d
    group by d.carton_code
),

sized as (
    select
        k.*,
        u.first_on, u.last_on,
        c.inside_length_in, c.inside_width_in, c.inside_height_in, c.board_in,
        coalesce(c.carton_style, '') as carton_style
    from known as k
    inner join core.cartons as c on c.carton_code = k.carton_code and c.effective_from = k.last_from
    inner join used as u on u.carton_code = k.carton_code
),

followed as (
    select
        s.carton_code,
        n.carton_code as today_code,
        min(n.first_from) over (partition by s.carton_code) as renamed_on,
        row_number() over (partition by s.carton_code order by n.first_from desc, n.carton_code) as place
    from sized as s
    inner join sized as n
        on {alike n, s in inside_length_in, inside_width_in, inside_height_in, carton_style}
        and coalesce(n.board_in = s.board_in, true)
        and n.first_from > s.last_from
        and n.first_on > s.last_on
        and coalesce(s.last_counted_on < n.first_on, true)
)

select f.carton_code, f.today_code, f.renamed_on
from followed as f
where f.place = 1
