-- One row per sale line that has a title and neither a known item type nor a known stock number: the item type of the first
-- rule all of whose words stand in the title. Signs part words; models/titles.py reads them the same way.
with titled as (
    select
        s.sale_id, s.line_number, s.title,
        ' ' || translate(
            lower(s.title),
            '!"#$%&''()*+,-./:;<=>?@[\]^_`|~' || chr(123) || chr(125) || chr(9) || chr(160),
            '                                  '
        ) || ' ' as words
    from accepted.sales as s
    left join accepted.skus as k on k.sku = s.sku
    where s.title is not null and s.item_type is null and k.item_type is null
),

fitting as (
    select
        t.sale_id, t.line_number,
        w.place, w.item_type
    from titled as t
    cross join shop.title_words as w
    where t.words like '% ' || w.word || ' %'
    group by t.sale_id, t.line_number, w.place, w.item_type
    having count(*) = max(w.word_count)
),

ranked as (
    select
        f.*,
        row_number() over (partition by f.sale_id, f.line_number order by f.place) as nth
    from fitting as f
)

select
    t.sale_id, t.line_number, t.title,
    r.item_type
from titled as t
left join ranked as r on r.sale_id = t.sale_id and r.line_number = t.line_number and r.nth = 1
