-- One row per carrier: labels that were paid for, and those of them that show a scan. A carrier without one reports none.
select
    l.carrier,
    count(*) as label_count,
    count(l.first_scan_on) as scanned_count
from core.labels as l
where not l.is_voided
group by l.carrier
