-- One row per parcel and service that can be compared: the parcel as it was, on that service.
select w.*
from services.ways as w
where w.not_compared is null
