-- Claims as the analyses of damage read them: by day of report.
select l.*
from marts.claim_losses as l
order by l.opened_on, l.claim_id
